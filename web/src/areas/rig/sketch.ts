// A rig that has no answer: its runs as they are written, from place to place.

import type { RigState } from '../../contract/types.gen';
import { parts, runs, taken, type Fields } from './kit';
import { metres } from './quantity';
import type { Node, Scene, Strand } from './scene';
import type { Pos } from './view.svelte';

/** The runs as they are written, from place to place, with the loads of the answer before. */
export function sketch(fields: Fields, rig: RigState | null, places: Map<string, Pos>): Pick<Scene, 'nodes' | 'strands'> {
  const sort = new Map(parts(fields).map((p) => [p.name, p.sort]));
  const before = new Map(rig?.nodes.map((n) => [n.name, n]) ?? []);
  const nodes = new Map<string, Node>();
  const made: Strand[] = [];
  const all = runs(fields);
  const known = [...places.values()];
  const middle = { x: mean(known.map((p) => p.x)), y: mean(known.map((p) => p.y)) };
  // What hangs free and was never worked out is drawn off what it hangs on, towards the middle.
  for (const { path } of all) {
    for (const [loose, held] of [[path[0], path.at(-1)], [path.at(-1), path[0]]]) {
      const at = held === undefined ? undefined : places.get(held);
      if (loose === undefined || !at || places.has(loose) || before.has(loose)) continue;
      const strap = path.reduce((sum, step) => sum + (metres(taken(fields, `line.${step}.length`)) ?? 0), 0);
      const far = Math.hypot(middle.x - at.x, middle.y - at.y) || 1;
      const share = Math.min(Math.max(strap, 1) / far, 0.4);
      places.set(loose, { x: at.x + (middle.x - at.x) * share, y: at.y + (middle.y - at.y) * share });
    }
  }
  for (const run of all) {
    const name = run.name ?? 'rig';
    let last: { name: string; at: Pos } | null = null;
    let holds: string[] = [];
    for (const step of run.path) {
      const is = sort.get(step);
      if (is === 'line' || is === 'shackle') {
        holds.push(step);
        continue;
      }
      const old = before.get(step);
      const at: Pos | undefined = places.get(step) ?? (old && { x: old.x_m, y: old.y_m });
      if (!at) continue;
      if (!nodes.has(step)) nodes.set(step, { name: step, kind: nodeKind(step, is), at, solved: null });
      if (last) {
        const tension = rig?.runs.flatMap((r) => r.parts).find((p) => joins(p, last?.name, step))?.tension_n ?? null;
        made.push({
          id: `${name}/${made.length}`, run: name, from: last.name, to: step, a: last.at, b: at,
          tension, slack: false, hauled: false, holds, length: null,
        });
      }
      last = { name: step, at };
      holds = [];
    }
  }
  return { nodes: [...nodes.values()], strands: made };
}

const mean = (values: number[]) => values.reduce((a, b) => a + b, 0) / Math.max(values.length, 1);

function joins(part: { from: string; to: string }, a: string | undefined, b: string): boolean {
  return (part.from === a && part.to === b) || (part.from === b && part.to === a);
}

function nodeKind(name: string, sort: string | undefined): Node['kind'] {
  if (name === 'tug.winch') return 'winch';
  if (sort === 'block' || sort === 'ring') return sort;
  if (sort === 'bridle') return 'apex';
  if (name.startsWith('casualty.')) return 'casualty';
  return name.startsWith('tug.') ? 'tug' : 'anchor';
}
