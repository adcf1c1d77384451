// What is to be labelled on the drawing, and what labels must not cover.

import { degrees, type Units } from '../../show/number';
import { fanned } from './fan';
import type { Wanted } from './labels';
import type { RigScreen } from './rig-screen.svelte';
import { from, halves, handle } from './bodies';
import type { Pos } from './view.svelte';

/** A part of line shorter than this on the screen ends at a thing that says its load. */
const SHORT_PX = 44;
/** A name stands this far from its vehicle: more than a label keeps from what is covered. */
const CLEAR_PX = 9;
/** Things are kept free at points this far apart, in pixels. */
const APART_PX = 18;

export function wanted(screen: RigScreen, read: Units): Wanted[] {
  const { view, scene, answer, fresh } = screen;
  const was = fresh ? '' : 'was ';
  const all: Wanted[] = [];
  /** What says its load beside its name. */
  const told = new Set<string>();
  for (const body of scene.bodies) {
    if (view.far && body.length < 2) continue;
    const hold = answer?.rig?.anchors.find((a) => a.name === body.id);
    const lines = [body.title];
    if (body.facing === null && hold && hold.load_n > 0) {
      lines.push(was + read.force(hold.load_n));
      told.add(body.id);
    }
    const half = halves(body);
    // Clear of the points that its own sides lie on, too: else every place hard by it counts as taken.
    const clear = { x: Math.max(half.x * view.scale, 10) + CLEAR_PX, y: Math.max(half.y * view.scale, 10) + CLEAR_PX };
    all.push({ id: `body:${body.id}`, lines, at: view.onScreen(body.at), clear, kind: 'name', large: body.length > 2 });
  }
  for (const node of view.far ? [] : scene.nodes) {
    if (node.kind !== 'block' && node.kind !== 'ring' && node.kind !== 'apex') continue;
    if (node.solved) told.add(node.name);
    const angle = node.solved?.included_angle_deg;
    const loads = node.solved ? [read.force(node.solved.load_n), ...(angle == null ? [] : [degrees(angle)])] : [];
    const lines = loads.length > 0 ? [node.name, loads.join(', ')] : [node.name];
    all.push({ id: node.name, lines, at: view.onScreen(node.at), clear: { x: 12, y: 12 }, kind: 'name' });
  }
  if (screen.threading !== null) {
    for (const [name, at] of fanned(scene.spots, view)) {
      all.push({ id: name, lines: [name], at, clear: { x: 18, y: 18 }, kind: 'load' });
    }
    return all;
  }
  for (const strand of view.far ? [] : scene.strands) {
    const [a, b] = [view.onScreen(strand.a), view.onScreen(strand.b)];
    if (Math.hypot(a.x - b.x, a.y - b.y) < SHORT_PX && (told.has(strand.from) || told.has(strand.to))) continue;
    const load = strand.slack ? 'slack' : strand.tension === null ? 'not worked out' : was + read.force(strand.tension);
    const at = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
    all.push({ id: strand.id, lines: [load], at, clear: { x: 6, y: 6 }, kind: fresh ? 'load' : 'old' });
  }
  const { standoff } = screen;
  for (const area of view.far ? [] : (standoff?.danger_areas ?? [])) {
    const at = view.onScreen(centre(area.corners));
    if (view.shows(at)) all.push({ id: area.name, lines: ['bight'], at, clear: { x: 0, y: 0 }, kind: 'warn', large: true });
  }
  // The edge of the zone is named where it comes highest on the sheet.
  const seen = (standoff?.zone ?? []).map((p) => view.onScreen({ x: p.x_m, y: p.y_m })).filter((p) => view.shows(p));
  const top = seen.reduce<Pos | null>((a, b) => (a && a.y <= b.y ? a : b), null);
  if (top) all.push({ id: 'zone', lines: ['nobody inside'], at: top, clear: { x: 8, y: 4 }, kind: 'name' });
  return all;
}

function centre(corners: { x_m: number; y_m: number }[]): Pos {
  const n = Math.max(corners.length, 1);
  return { x: corners.reduce((s, p) => s + p.x_m, 0) / n, y: corners.reduce((s, p) => s + p.y_m, 0) / n };
}

/** Points of the screen that lines, hardware and vehicles lie on. */
export function covered(screen: RigScreen): Pos[] {
  const { view, scene } = screen;
  const all = scene.nodes.map((n) => view.onScreen(n.at));
  if (screen.threading !== null) all.push(...fanned(scene.spots, view).values());
  const along = (a: Pos, b: Pos) => {
    const count = Math.min(Math.floor(Math.hypot(a.x - b.x, a.y - b.y) / APART_PX), 60);
    for (let i = 1; i <= count; i += 1) {
      const share = i / (count + 1);
      all.push({ x: a.x + (b.x - a.x) * share, y: a.y + (b.y - a.y) * share });
    }
  };
  for (const strand of scene.strands) along(view.onScreen(strand.a), view.onScreen(strand.b));
  for (const body of scene.bodies) {
    const turn = handle(body, view.scale);
    if (turn) along(view.onScreen(turn.from), view.onScreen(turn.to));
    if (turn) all.push(view.onScreen(turn.to));
    if (body.length < 2) continue;
    const [l, w] = [body.length / 2, body.width / 2];
    for (const side of [-w, 0, w]) {
      along(view.onScreen(from(body.at, body.facing ?? 0, -l, side)), view.onScreen(from(body.at, body.facing ?? 0, l, side)));
    }
  }
  return all;
}
