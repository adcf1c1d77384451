// Names of the plan's parts, to be offered where one is wanted.

import type { FormTable } from '../contract/types.gen';

/** For a key that names a line the lines alone, else every part and recovery point. */
export function partNames(tables: FormTable[], key: string): string[] {
  const named = new Set(tables.filter((t) => t.named).map((t) => t.key));
  const parts = tables.filter((t) => !t.named && t.there && named.has(t.path.slice(0, -1).join('.')));
  const lines = key.split('.').at(-1) === 'line';
  const names = parts
    // A run carries the name of a part at times, and nothing is ever made fast to a run.
    .filter((part) => (lines ? part.path[0] === 'line' : part.path[0] !== 'rig'))
    .map((part) => {
      const at = part.path.indexOf('point');
      const name = part.path.at(-1) ?? '';
      return at < 1 ? name : `${part.path[at - 1]}.${name}`;
    });
  return [...new Set(names)];
}
