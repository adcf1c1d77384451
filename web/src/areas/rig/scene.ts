// What stands on the ground, put together from the plan's places and the rig as worked out.
// Places come from the plan, so that what is dragged or cannot be rigged is drawn all the
// same; lines and what hangs in them come from the answer, or are sketched where it has none.

import type { LoadPath, PlanPoint, RigNode, RigRun, RigState, Standoff } from '../../contract/types.gen';
import { isLaidOut, parts, points, runs, taken, written, type Fields } from './kit';
import { inDegrees, metres } from './quantity';
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

const WAGON = { length: 4.9, width: 1.9, bonnet: 1.3 };
/** The ends of a wagon lie this far from its middle. */
const END = 2.3;
/** A stem that is not stated yet is drawn as thick as this. */
const STEM = 0.4;

export function scene(fields: Fields, answer: Answered | null, solved: boolean, moved: Moved | null): Scene {
  const laidOut = isLaidOut(fields);
  if (!laidOut) return straight(fields, answer);
  const bodies = laid(fields).map((body) =>
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

function pair(value: unknown): { at: Pos | null; spread: boolean } {
  if (!Array.isArray(value)) return { at: null, spread: false };
  const [x, y] = [metres(value[0]), metres(value[1])];
  return { at: x !== null && y !== null ? { x, y } : null, spread: x === null || y === null };
}

/** The plan's vehicles and anchors, where their places can be read. */
function laid(fields: Fields): Body[] {
  const get = (key: string) => taken(fields, key);
  const all: Body[] = [];
  const put = (id: string, table: string[], kind: Body['kind'], title: string, size: typeof WAGON) => {
    const key = table.join('.');
    const place = pair(get(`${key}.at`));
    if (place.at === null) return;
    const turns = kind === 'casualty' || kind === 'tug' || kind === 'vehicle';
    all.push({
      id, table, kind, title, ...size,
      at: place.at,
      facing: turns ? inDegrees(get(`${key}.facing`)) : null,
      stays: place.spread ? 'its place is a range: change it in the plan' : null,
    });
  };
  const wagon = (key: string) => ({
    length: metres(get(`${key}.body.length`)) ?? WAGON.length,
    width: metres(get(`${key}.body.width`)) ?? WAGON.width,
    bonnet: metres(get(`${key}.body.bonnet_length`)) ?? WAGON.bonnet,
  });
  const title = (key: string, otherwise: string) => String(get(`${key}.name`) ?? otherwise);
  put('casualty', ['casualty'], 'casualty', title('casualty', 'Casualty'), wagon('casualty'));
  for (const { sort, name } of parts(fields)) {
    if (sort !== 'anchor') continue;
    const kind = get(`anchor.${name}.kind`);
    const stem = metres(get(`anchor.${name}.stem_diameter`)) ?? STEM;
    const size = kind === 'tree' ? { length: stem, width: stem, bonnet: 0 } : kind === 'vehicle' ? WAGON : { length: 0, width: 0, bonnet: 0 };
    put(name, ['anchor', name], anchorKind(kind), name, size);
  }
  put('tug', ['tug'], 'tug', title('tug', 'Tug'), wagon('tug'));
  return all;
}

function anchorKind(kind: unknown): Body['kind'] {
  const known = ['tree', 'pickets', 'deadman', 'plate', 'vehicle', 'stated'] as const;
  return known.find((k) => k === kind) ?? 'anchor';
}

function spotsOf(fields: Fields, body: Body): Spot[] {
  if (body.facing === null) return [];
  const key = body.table.join('.');
  const facing = body.facing;
  const place = (name: string, table: string, point: string) => {
    const ahead = forwardOf(fields, table, point);
    const left = metres(taken(fields, `${table}.offset`)) ?? 0;
    return { name, at: ahead === 0 && left === 0 ? body.at : from(body.at, facing, ahead, left) };
  };
  const all = points(fields, body.table).map((point) =>
    place(`${body.id}.${point}`, `${key}.point.${point}`, point),
  );
  if (body.kind === 'tug' && written(fields, 'tug.winch.line') !== null) all.push(place('tug.winch', 'tug.winch', 'front'));
  return all;
}

/** How far towards the nose a point lies; by its name where the plan does not say. */
function forwardOf(fields: Fields, table: string, name: string): number {
  const said = metres(taken(fields, `${table}.forward`));
  return said ?? (name.includes('front') ? END : name.includes('rear') ? -END : 0);
}

export function from(at: Pos, facing: number, ahead: number, left: number): Pos {
  const [c, s] = [Math.cos((facing * Math.PI) / 180), Math.sin((facing * Math.PI) / 180)];
  return { x: at.x + ahead * c - left * s, y: at.y + ahead * s + left * c };
}

/** How far before its nose a vehicle is turned by, in pixels. */
const HANDLE_PX = 28;

export function handle(body: Body, scale: number): { from: Pos; to: Pos } | null {
  if (body.facing === null || body.stays !== null) return null;
  const nose = body.length / 2;
  return { from: from(body.at, body.facing, nose, 0), to: from(body.at, body.facing, nose + HANDLE_PX / scale, 0) };
}

/** Half of the upright box round a body, on the ground. */
export function halves(body: Body): Pos {
  const angle = ((body.facing ?? 0) * Math.PI) / 180;
  const [c, s] = [Math.abs(Math.cos(angle)) / 2, Math.abs(Math.sin(angle)) / 2];
  return { x: body.length * c + body.width * s, y: body.length * s + body.width * c };
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

/** The runs as they are written, from place to place, with the loads of the answer before. */
function sketch(fields: Fields, rig: RigState | null, places: Map<string, Pos>): Pick<Scene, 'nodes' | 'strands'> {
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

/** A straight rig along its own line of pull, with its true lengths. */
function straight(fields: Fields, answer: Answered | null): Scene {
  const bodies: Body[] = [];
  const made: Strand[] = [];
  for (const outline of answer?.standoff?.outlines ?? []) {
    if ((outline.what === 'casualty' || outline.what === 'tug') && outline.points.length >= 3) {
      bodies.push({
        id: outline.what, table: [outline.what], kind: outline.what, title: outline.name,
        facing: noseOf(fields, outline.what, answer), bonnet: WAGON.bonnet, ...box(outline.points), stays: 'a straight rig lies along its own line of pull: lay it out on the ground to move things',
      });
    } else if (outline.what === 'line' && outline.points.length > 1) {
      const [a, b] = [point(outline.points[0]), point(outline.points.at(-1))];
      if (a && b) {
        made.push({
          id: `${outline.name}/${made.length}`, run: outline.name, from: 'casualty', to: 'tug', a, b,
          tension: outline.tension_n ?? answer?.path.tension_n ?? null, slack: false, hauled: false,
          holds: [outline.name], length: Math.hypot(a.x - b.x, a.y - b.y),
        });
      }
    }
  }
  bodies.sort((a, b) => Number(a.id === 'tug') - Number(b.id === 'tug'));
  return { bodies, nodes: [], strands: made, spots: [], laidOut: isLaidOut(fields) };
}

/** Which way a vehicle of a straight rig points: by the end that the line is made fast to. */
function noseOf(fields: Fields, vehicle: 'casualty' | 'tug', answer: Answered | null): number | null {
  const name = answer?.path.links.find((l) => l.name.startsWith(`${vehicle}.`))?.name.slice(vehicle.length + 1);
  if (name === undefined) return null;
  const ahead = name === 'winch' ? 1 : forwardOf(fields, `${vehicle}.point.${name}`, name);
  if (ahead === 0) return null;
  return ahead > 0 === (vehicle === 'casualty') ? 0 : 180;
}

const point = (p: PlanPoint | undefined): Pos | null => (p ? { x: p.x_m, y: p.y_m } : null);

function box(corners: PlanPoint[]): { at: Pos; length: number; width: number } {
  const xs = corners.map((p) => p.x_m);
  const ys = corners.map((p) => p.y_m);
  const [left, right, low, high] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  return { at: { x: (left + right) / 2, y: (low + high) / 2 }, length: right - left, width: high - low };
}
