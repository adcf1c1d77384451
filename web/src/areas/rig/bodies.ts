// Vehicles and anchors at the places that the plan gives them, and the points of vehicles.

import { parts, points, taken, written, type Fields } from './kit';
import { inDegrees, isPlain, metres } from './quantity';
import type { Body, Spot } from './scene';
import type { Pos } from './view.svelte';

export const WAGON = { length: 4.9, width: 1.9, bonnet: 1.3 };
/** The ends of a wagon lie this far from its middle. */
const END = 2.3;
/** A stem that is not stated yet is drawn as thick as this. */
const STEM = 0.4;

/** The plan's vehicles and anchors, where their places can be read. */
export function standing(fields: Fields): Body[] {
  const get = (key: string) => taken(fields, key);
  const all: Body[] = [];
  const put = (id: string, table: string[], kind: Body['kind'], title: string, size: typeof WAGON) => {
    const key = table.join('.');
    const written = get(`${key}.at`);
    const [x, y] = Array.isArray(written) ? [metres(written[0]), metres(written[1])] : [null, null];
    if (x === null || y === null || !Array.isArray(written)) return;
    const turns = kind === 'casualty' || kind === 'tug' || kind === 'vehicle';
    const facing = get(`${key}.facing`);
    const one = written.slice(0, 2).every(isPlain) && (!turns || facing === null || isPlain(facing));
    all.push({
      id, table, kind, title, ...size,
      at: { x, y },
      facing: turns ? inDegrees(facing) : null,
      stays: one ? null : 'where it stands is a range: change it in the plan',
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

export function spotsOf(fields: Fields, body: Body): Spot[] {
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
export function forwardOf(fields: Fields, table: string, name: string): number {
  const said = metres(taken(fields, `${table}.forward`));
  return said ?? (name.includes('front') ? END : name.includes('rear') ? -END : 0);
}

/** A point of a vehicle on the ground. */
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
