// What stands on the ground, put together from the plan's places and the rig as worked out.
// Places come from the plan, so that what is dragged or cannot be rigged is drawn all the
// same; lines and what hangs in them come from the answer, or are sketched where it has none.

import type { LoadPath, RigNode, RigRun, RigState, Standoff } from '../../contract/types.gen';
import { standing, spotsOf } from './bodies';
import { isLaidOut, type Fields } from './kit';
import { sketch } from './sketch';
import { straight } from './straight';
import type { Pos } from './view.svelte';

/** A vehicle or an anchor: what can be moved. */
export interface Body {
  id: string;
  /** Its table in the plan file. */
  table: string[];
  kind: 'casualty' | 'tug' | 'vehicle' | 'tree' | 'pickets' | 'deadman' | 'plate' | 'stated' | 'anchor';
  title: string;
  at: Pos;
  /** Degrees; null for what has no nose, or where it is not known. */
  facing: number | null;
  /** Nose to tail, or the diameter of a stem. */
  length: number;
  width: number;
  bonnet: number;
  /** Why it cannot be moved here; null where it can. */
  stays: string | null;
}

export interface Node {
  name: string;
  kind: RigNode['kind'];
  at: Pos;
  solved: RigNode | null;
}

export interface Strand {
  id: string;
  run: string;
  from: string;
  to: string;
  a: Pos;
  b: Pos;
  /** Null where none has been worked out. */
  tension: number | null;
  slack: boolean;
  hauled: boolean;
  holds: string[];
  length: number | null;
}

export interface Spot {
  name: string;
  at: Pos;
}

export interface Scene {
  bodies: Body[];
  nodes: Node[];
  strands: Strand[];
  /** Recovery points and the winch: where a line may be made fast. */
  spots: Spot[];
  laidOut: boolean;
}

/** Where something is while it is dragged. */
export interface Moved {
  id: string;
  at: Pos;
  facing: number | null;
}

export interface Answered {
  path: LoadPath;
  rig: RigState | null;
  standoff: Standoff | null;
}

export function scene(fields: Fields, answer: Answered | null, solved: boolean, moved: Moved | null): Scene {
  const laidOut = isLaidOut(fields);
  if (!laidOut) return straight(fields, answer);
  const bodies = standing(fields).map((body) =>
    moved?.id === body.id ? { ...body, at: moved.at, facing: moved.facing } : body,
  );
  const spots = bodies.flatMap((body) => spotsOf(fields, body));
  const places = new Map<string, Pos>();
  for (const body of bodies) places.set(body.id, body.at);
  for (const spot of spots) places.set(spot.name, spot.at);
  const rig = answer?.rig ?? null;
  if (rig && solved) return { bodies, spots, laidOut, ...worked(rig) };
  return { bodies, spots, laidOut, ...sketch(fields, rig, places) };
}

function worked(rig: RigState): Pick<Scene, 'nodes' | 'strands'> {
  const nodes = rig.nodes.map((n) => ({ name: n.name, kind: n.kind, at: { x: n.x_m, y: n.y_m }, solved: n }));
  const at = new Map(nodes.map((n) => [n.name, n.at]));
  return { nodes, strands: rig.runs.flatMap((run) => strands(run, at)) };
}

function strands(run: RigRun, at: Map<string, Pos>): Strand[] {
  return run.parts.flatMap((part, i) => {
    const [a, b] = [at.get(part.from), at.get(part.to)];
    if (!a || !b) return [];
    return [{
      id: `${run.name}/${i}`, run: run.name, from: part.from, to: part.to, a, b,
      tension: part.tension_n, slack: run.slack, hauled: run.hauled, holds: part.holds, length: part.length_m,
    }];
  });
}
