// The kit, the recovery points and the runs of a plan, read from its form.

import type { Edit, Field } from '../../contract/types.gen';

export const SORTS = ['line', 'shackle', 'bridle', 'block', 'ring', 'anchor', 'damper', 'tether'] as const;
export type Sort = (typeof SORTS)[number];

export type Fields = ReadonlyMap<string, Field>;

export interface Part {
  sort: Sort;
  name: string;
  /** A few words on what it is. */
  words: string;
}

/** What can stand in a run, and what a run may end at. */
export interface Step {
  /** As a path names it. */
  name: string;
  sort: Sort | 'point' | 'winch';
  words: string;
}

export interface Run {
  /** Null for the path of a straight rig. */
  name: string | null;
  /** Where its list stands in the file. */
  key: string[];
  path: string[];
}

export function written(fields: Fields, key: string): unknown {
  return fields.get(key)?.written ?? null;
}

/** What stands there, or what is filled in. */
export function taken(fields: Fields, key: string): unknown {
  const field = fields.get(key);
  return field?.written ?? field?.filled?.value ?? null;
}

/** Names of the tables `prefix.NAME`, in the order of the file. */
function tables(fields: Fields, ...prefix: string[]): string[] {
  const names = new Set<string>();
  for (const field of fields.values()) {
    if (field.path.length <= prefix.length + 1) continue;
    const name = field.path[prefix.length];
    if (name !== undefined && prefix.every((p, i) => field.path[i] === p)) names.add(name);
  }
  return [...names];
}

export function parts(fields: Fields): Part[] {
  return SORTS.flatMap((sort) => tables(fields, sort).map((name) => ({ sort, name, words: words(fields, sort, name) })));
}

const plain = (value: unknown) => (typeof value === 'string' ? value.replaceAll('-', ' ') : '');

function words(fields: Fields, sort: Sort, name: string): string {
  const get = (key: string) => taken(fields, `${sort}.${name}.${key}`);
  switch (sort) {
    case 'line':
      return [plain(get('length')), plain(get('material')), 'line'].filter(Boolean).join(' ');
    case 'shackle':
      return `${plain(get('kind'))} shackle`.trim();
    case 'anchor':
      return get('kind') === 'stated' ? String(get('what') ?? 'anchor') : plain(get('kind')) || 'anchor';
    case 'damper':
      return ['damper', plain(get('mass'))].filter(Boolean).join(' ');
    default:
      return sort;
  }
}

/** The recovery points of a vehicle: the casualty, the tug, or an anchor vehicle. */
export function points(fields: Fields, table: string[]): string[] {
  return tables(fields, ...table, 'point');
}

export function steps(fields: Fields): Step[] {
  const all: Step[] = [];
  for (const vehicle of ['casualty', 'tug']) {
    for (const point of points(fields, [vehicle])) {
      all.push({ name: `${vehicle}.${point}`, sort: 'point', words: plain(taken(fields, `${vehicle}.point.${point}.kind`)) });
    }
  }
  if (hasWinch(fields)) all.push({ name: 'tug.winch', sort: 'winch', words: 'winch' });
  for (const part of parts(fields)) {
    if (part.sort === 'damper' || part.sort === 'tether') continue;
    const own = part.sort === 'anchor' ? points(fields, ['anchor', part.name]) : [];
    if (own.length === 0) all.push(part);
    for (const point of own) all.push({ name: `${part.name}.${point}`, sort: 'point', words: `point of ${part.words}` });
  }
  return all;
}

export function hasWinch(fields: Fields): boolean {
  return written(fields, 'tug.winch.rated_pull') !== null || written(fields, 'tug.winch.line') !== null;
}

export const list = (value: unknown): string[] =>
  Array.isArray(value) ? value.map(String) : typeof value === 'string' ? [value] : [];

export function runs(fields: Fields): Run[] {
  const named = tables(fields, 'rig', 'run').map((name) => {
    const field = fields.get(`rig.run.${name}.path`);
    return { name, key: ['rig', 'run', name, 'path'], path: list(field?.written) };
  });
  if (named.length > 0) return named;
  const field = fields.get('rig.path');
  if (!field || field.written === null) return [];
  return [{ name: null, key: ['rig', 'path'], path: list(field.written) }];
}

export type Shape = 'none' | 'straight' | 'runs' | 'short';

/** How the plan tells its rig. */
export function shape(fields: Fields): Shape {
  if (tables(fields, 'rig', 'run').length > 0) return 'runs';
  if (typeof written(fields, 'rig.layout') === 'string') return 'short';
  if (written(fields, 'rig.path') !== null) return 'straight';
  // A method alone is a rig of which no run is threaded yet.
  return written(fields, 'rig.method') === null ? 'none' : 'runs';
}

/** Whether vehicles and anchors stand at places of their own. */
export function isLaidOut(fields: Fields): boolean {
  return ['runs', 'short'].includes(shape(fields));
}

/** What a rig threaded from nothing begins with: its method, and places where there are none. */
export function fromNothing(fields: Fields, method: string): Edit[] {
  // Each faces the other with the end that lines are made fast to.
  const ahead = (vehicle: string) => points(fields, [vehicle]).some((p) => p.includes('front'));
  const winch = method.startsWith('winch') && hasWinch(fields);
  const places: Record<string, { at: string[]; facing: string }> = {
    casualty: { at: ['0 m', '0 m'], facing: ahead('casualty') ? '0 deg' : '180 deg' },
    tug: { at: ['20 m', '0 m'], facing: winch || ahead('tug') ? '180 deg' : '0 deg' },
  };
  const stand = Object.entries(places).flatMap(([vehicle, { at, facing }]) => [
    ...(written(fields, `${vehicle}.at`) === null ? [{ path: [vehicle, 'at'], value: at }] : []),
    ...(written(fields, `${vehicle}.facing`) === null ? [{ path: [vehicle, 'facing'], value: facing }] : []),
  ]);
  return [...stand, { path: ['rig', 'method'], value: method }];
}

/** Where a part stands in the runs. */
export function usedIn(all: Run[], name: string): Run[] {
  return all.filter((run) => run.path.some((step) => step === name || step.startsWith(`${name}.`)));
}

/** Takes a part out of the plan, and out of every run that it stands in. */
export function removal(all: Run[], part: Part): Edit[] {
  const without = usedIn(all, part.name).map((run) => ({
    path: run.key,
    value: run.path.filter((step) => step !== part.name && !step.startsWith(`${part.name}.`)),
  }));
  return [...without, { path: [part.sort, part.name], value: null }];
}

/** A name that no part has yet: `bow-4` after `bow-3`. */
export function freeName(fields: Fields, stem: string): string {
  const names = new Set(parts(fields).map((p) => p.name));
  let i = 1;
  while (names.has(`${stem}-${i}`)) i += 1;
  return `${stem}-${i}`;
}
