// The recoil on a canvas, from above and from the side, to one scale. Colours are those of
// the look.

import type { Outline, Replay, ReplayTrack } from '../../contract/types.gen';
import { wholeDegrees, type AxisUnit } from '../../show/number';
import { end, firstStrike, moment, place, type Moment } from './motion';

/** A rectangle of the world, m: across the picture, and up it. */
export interface Box {
  left: number;
  right: number;
  low: number;
  high: number;
}

export interface Views {
  above: Box;
  side: Box;
  /** Way along which the side is seen, a unit vector in plan, and where it begins. */
  way: [number, number];
  from: [number, number];
  /** Whether the ground is level; if not, how it slopes, in words. Heights are above it. */
  level: boolean;
  slope: string;
}

const MARGIN_M = 0.6;
/** Nothing is shown further past the vehicles than this share of what lies between. */
const PAST = 0.3;
/** How much of the vehicles a narrow picture shows, m. */
const NARROW_M = 2.3;
/** Room above the picture for its scale, px. */
const HEAD = 22;

/** What has to be in sight, of all replays on the screen together. */
export function views(replays: Replay[], outlines: Outline[], narrow: boolean): Views | null {
  const first = replays[0];
  if (!first) return null;
  const flight = first.flight;
  const turn = ((flight?.heading_deg ?? 0) * Math.PI) / 180;
  const way: [number, number] = flight ? [Math.cos(turn), Math.sin(turn)] : [1, 0];
  const from: [number, number] = flight ? [flight.from_x_m, flight.from_y_m] : [0, 0];
  const above = nothing();
  const side = nothing();
  const still = nothing();
  for (const vehicle of first.vehicles) {
    for (const [x, z] of vehicle.outline_mm) {
      for (const y of [vehicle.left_mm, vehicle.right_mm]) take(above, x / 1000, y / 1000);
      take(side, x / 1000, z / 1000);
    }
  }
  if (flight) {
    for (const outline of outlines) for (const p of outline.points) take(still, p.x_m, p.y_m);
  }
  take(side, 0, 0);
  const moving = nothing();
  const movingSide = nothing();
  for (const replay of replays) {
    for (const track of replay.tracks) {
      for (let k = 0; k < track.places_mm.length; k += 3) {
        const [x, y, z] = [track.places_mm[k]! / 1000, track.places_mm[k + 1]! / 1000, track.places_mm[k + 2]! / 1000];
        take(moving, x, y);
        take(movingSide, (x - from[0]) * way[0] + (y - from[1]) * way[1], z);
      }
    }
  }
  const room = flight ? still : { ...above };
  const span = PAST * Math.max(room.right - room.left, 4);
  keep(above, moving, room, span);
  if (flight) keep(above, still, still, 0);
  keep(side, movingSide, flight ? movingSide : room, span);
  if (narrow && !flight) for (const box of [above, side]) crop(box, first);
  side.high = Math.max(side.high, 1.2);
  side.low = -0.25;
  return { above: grown(above), side: { ...grown(side), low: side.low, high: side.high + 0.3 }, way, from, ...slope(first) };
}

function slope(replay: Replay): { level: boolean; slope: string } {
  const rise = replay.slope_deg;
  const to = replay.flight ? 'the way it flies' : 'the tug';
  return {
    level: Math.abs(rise) < 0.05,
    slope: `heights above ground that slopes ${wholeDegrees(Math.abs(rise))} ${rise > 0 ? 'up' : 'down'} ${replay.flight ? 'along' : 'towards'} ${to}`,
  };
}

function nothing(): Box {
  return { left: Infinity, right: -Infinity, low: Infinity, high: -Infinity };
}

function take(box: Box, x: number, y: number): void {
  box.left = Math.min(box.left, x);
  box.right = Math.max(box.right, x);
  box.low = Math.min(box.low, y);
  box.high = Math.max(box.high, y);
}

/** Takes `what` into `box`, but no further than `span` past `room`. */
function keep(box: Box, what: Box, room: Box, span: number): void {
  take(box, Math.max(what.left, room.left - span), what.low);
  take(box, Math.min(what.right, room.right + span), what.high);
}

/** Leaves the line and the ends of the vehicles. */
function crop(box: Box, replay: Replay): void {
  const [casualty, tug] = ['casualty', 'tug'].map((side) => replay.vehicles.find((v) => v.side === side)?.outline_mm.map(([x]) => x / 1000) ?? []);
  if (!casualty?.length || !tug?.length) return;
  box.left = Math.max(box.left, Math.max(...casualty) - NARROW_M);
  box.right = Math.min(box.right, Math.min(...tug) + NARROW_M);
}

function grown(box: Box): Box {
  return { left: box.left - MARGIN_M, right: box.right + MARGIN_M, low: box.low - MARGIN_M, high: box.high + MARGIN_M };
}

export interface Palette {
  ink: string;
  soft: string;
  line: string;
  ground: string;
  accent: string;
  wash: string;
  critical: string;
  face: string;
}

export function palette(of: Element): Palette {
  const style = getComputedStyle(of);
  const value = (name: string) => style.getPropertyValue(name).trim();
  return {
    ink: value('--ink'),
    soft: value('--ink-soft'),
    line: value('--line-strong'),
    ground: value('--ground'),
    accent: value('--accent'),
    wash: value('--accent-wash'),
    critical: value('--critical'),
    face: style.fontFamily,
  };
}

/** Height of a picture of `box` as wide as `width`, both in pixels. */
export const heightOf = (box: Box, width: number): number => HEAD + Math.round(((box.high - box.low) * width) / (box.right - box.left));

/** A view onto a canvas. */
class Sheet {
  readonly context: CanvasRenderingContext2D;
  readonly colours: Palette;
  private readonly box: Box;
  readonly scale: number;
  readonly width: number;
  readonly height: number;

  constructor(context: CanvasRenderingContext2D, box: Box, width: number, height: number, colours: Palette) {
    this.context = context;
    this.box = box;
    this.width = width;
    this.height = height;
    this.scale = width / (box.right - box.left);
    this.colours = colours;
  }

  get left(): number {
    return this.box.left;
  }

  get right(): number {
    return this.box.right;
  }

  x = (metres: number): number => (metres - this.box.left) * this.scale;
  y = (metres: number): number => this.height - (metres - this.box.low) * this.scale;

  path(points: [number, number][], closed: boolean): void {
    const { context } = this;
    context.beginPath();
    points.forEach(([a, b], k) => (k === 0 ? context.moveTo(this.x(a), this.y(b)) : context.lineTo(this.x(a), this.y(b))));
    if (closed) context.closePath();
  }
}

type Flat = (x: number, y: number, z: number) => [number, number];

export interface Shown {
  replay: Replay;
  views: Views;
  outlines: Outline[];
  /** The unit that lengths are read in. */
  length: AxisUnit;
}

type From = 'above' | 'side';

/** One picture, from above or from the side: what stands still is drawn once. */
export class Film {
  private readonly sheet: Sheet;
  private readonly still: HTMLCanvasElement;
  private readonly flat: Flat;
  private readonly replay: Replay;
  private readonly from: From;
  private readonly strike: number | null;
  private readonly density: number;

  constructor(context: CanvasRenderingContext2D, size: { width: number; height: number; density: number }, shown: Shown, from: From, colours: Palette) {
    const { replay, views } = shown;
    const [wx, wy] = views.way;
    this.replay = replay;
    this.from = from;
    this.density = size.density;
    this.strike = firstStrike(replay);
    this.flat = from === 'above' ? (x, y) => [x, y] : (x, y, z) => [(x - views.from[0]) * wx + (y - views.from[1]) * wy, z];
    const box = from === 'above' ? views.above : views.side;
    this.sheet = new Sheet(context, box, size.width, size.height, colours);
    this.still = document.createElement('canvas');
    this.still.width = context.canvas.width;
    this.still.height = context.canvas.height;
    const under = this.still.getContext('2d', { alpha: false });
    if (under) {
      const sheet = new Sheet(under, box, size.width, size.height, colours);
      this.set(sheet);
      under.fillStyle = colours.ground;
      under.fillRect(0, 0, size.width, size.height);
      if (from === 'side') ground(sheet);
      if (replay.flight && from === 'above') rig(sheet, shown.outlines);
      vehicles(sheet, replay, null, from);
      scaleBar(sheet, shown.length);
    }
  }

  /** Everything as it is at `time`. */
  draw(time: number): void {
    const { sheet, replay, flat } = this;
    const { context } = sheet;
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.drawImage(this.still, 0, 0);
    this.set(sheet);
    const at = moment(replay, time);
    vehicles(sheet, replay, at, this.from);
    trail(sheet, replay, at, flat);
    const past = this.strike !== null && Math.min(time, end(replay)) > this.strike;
    const drawn: [number, number][] = [];
    let damper = 0;
    for (const track of replay.tracks) {
      if (track.kind === 'damper') damper += 1;
      draw(sheet, track, at, flat, past, damper, drawn);
    }
  }

  private set({ context }: Sheet): void {
    context.setTransform(this.density, 0, 0, this.density, 0, 0);
    context.lineJoin = 'round';
    context.lineCap = 'round';
  }
}

function ground(sheet: Sheet): void {
  const { context, colours } = sheet;
  const y = sheet.y(0);
  context.strokeStyle = colours.ink;
  context.lineWidth = 1.5;
  context.beginPath();
  context.moveTo(0, y);
  context.lineTo(sheet.width, y);
  context.stroke();
  context.strokeStyle = colours.line;
  context.lineWidth = 1;
  context.beginPath();
  for (let x = 4; x < sheet.width; x += 14) {
    context.moveTo(x, y + 1);
    context.lineTo(x - 6, y + 7);
  }
  context.stroke();
}

/** The vehicle that holds the line at a moment; without a moment the one that stands. */
function vehicles(sheet: Sheet, replay: Replay, at: Moment | null, from: From): void {
  const { context, colours } = sheet;
  const line = replay.tracks[0];
  // What holds the line rolls with its first point.
  const rolled = line && at ? place(line, 0, 0, at) - line.places_mm[0]! / 1000 : 0;
  for (const vehicle of replay.vehicles) {
    if (vehicle.holds_line !== (at !== null)) continue;
    const by = vehicle.holds_line ? rolled : 0;
    const xs = vehicle.outline_mm.map(([x]) => x / 1000 + by);
    const [near, far] = [Math.min(...xs), Math.max(...xs)];
    const corners: [number, number][] =
      from === 'side'
        ? vehicle.outline_mm.map(([x, z]) => [x / 1000 + by, z / 1000])
        : [
            [near, vehicle.right_mm / 1000],
            [far, vehicle.right_mm / 1000],
            [far, vehicle.left_mm / 1000],
            [near, vehicle.left_mm / 1000],
          ];
    sheet.path(corners, true);
    context.fillStyle = vehicle.side === 'casualty' ? colours.wash : colours.ground;
    context.fill();
    context.strokeStyle = colours.ink;
    context.lineWidth = 2;
    context.stroke();
    if (from === 'side') {
      for (const share of [0.2, 0.78]) {
        context.beginPath();
        context.arc(sheet.x(near + share * (far - near)), sheet.y(0.38), 0.38 * sheet.scale, 0, 2 * Math.PI);
        context.fillStyle = colours.ground;
        context.fill();
        context.stroke();
      }
    }
    // Over what is in sight of it.
    const middle = (Math.max(near, sheet.left) + Math.min(far, sheet.right)) / 2;
    const roof = Math.max(...vehicle.outline_mm.map(([, z]) => z / 1000));
    words(sheet, vehicle.side, middle, from === 'side' ? roof + 10 / sheet.scale : (vehicle.left_mm + vehicle.right_mm) / 2000);
  }
}

function words(sheet: Sheet, text: string, x: number, y: number): void {
  const { context, colours } = sheet;
  context.font = `600 13px ${colours.face}`;
  context.textAlign = 'center';
  context.textBaseline = 'middle';
  context.fillStyle = colours.ink;
  context.fillText(text, sheet.x(x), sheet.y(y));
}

/** The rig as it stands, without what parts. */
function rig(sheet: Sheet, outlines: Outline[]): void {
  const { context, colours } = sheet;
  for (const outline of outlines) {
    sheet.path(outline.points.map((p) => [p.x_m, p.y_m]), outline.closed);
    const vehicle = outline.what === 'casualty' || outline.what === 'tug' || outline.what === 'anchor vehicle';
    context.strokeStyle = vehicle ? colours.ink : colours.line;
    context.lineWidth = vehicle ? 2 : 1.2;
    if (outline.closed) {
      context.fillStyle = outline.what === 'casualty' ? colours.wash : colours.ground;
      context.fill();
    }
    context.setLineDash(outline.closed ? [] : [6, 4]);
    context.stroke();
    context.setLineDash([]);
    const first = outline.points[0];
    if (!outline.closed && outline.points.length === 1 && first) {
      context.beginPath();
      context.arc(sheet.x(first.x_m), sheet.y(first.y_m), 4, 0, 2 * Math.PI);
      context.stroke();
    }
    if (vehicle) {
      const mean = (of: (p: { x_m: number; y_m: number }) => number) => outline.points.reduce((sum, p) => sum + of(p), 0) / outline.points.length;
      words(sheet, outline.what === 'anchor vehicle' ? 'anchor' : outline.what, mean((p) => p.x_m), mean((p) => p.y_m));
    }
  }
}

/** The way of the free end so far. */
function trail(sheet: Sheet, replay: Replay, at: Moment, flat: Flat): void {
  const { context, colours } = sheet;
  const line = replay.tracks[0];
  if (!line) return;
  const tip = line.points - 1;
  context.beginPath();
  for (let f = 0; f <= at.frame; f += 1) {
    const then = { frame: f, share: 0 };
    const [a, b] = flat(place(line, tip, 0, then), place(line, tip, 1, then), place(line, tip, 2, then));
    if (f === 0) context.moveTo(sheet.x(a), sheet.y(b));
    else context.lineTo(sheet.x(a), sheet.y(b));
  }
  const [a, b] = flat(place(line, tip, 0, at), place(line, tip, 1, at), place(line, tip, 2, at));
  context.lineTo(sheet.x(a), sheet.y(b));
  context.strokeStyle = colours.accent;
  context.lineWidth = 1;
  context.stroke();
}

function draw(sheet: Sheet, track: ReplayTrack, at: Moment, flat: Flat, past: boolean, number: number, drawn: [number, number][]): void {
  const { context, colours } = sheet;
  const spot = (point: number): [number, number] => flat(place(track, point, 0, at), place(track, point, 1, at), place(track, point, 2, at));
  if (track.kind === 'line' || track.kind === 'tether') {
    const parted = track.parts_at_s !== null && track.parts_at_s <= 0;
    sheet.path(Array.from({ length: track.points }, (_, k) => spot(k)), false);
    context.strokeStyle = track.kind === 'line' ? colours.accent : colours.ink;
    context.lineWidth = track.kind === 'line' ? 3.2 : 1.6;
    context.setLineDash(past ? [5, 5] : track.kind === 'tether' || parted ? [8, 4] : []);
    context.stroke();
    context.setLineDash([]);
    return;
  }
  const [a, b] = spot(0);
  // What has been picked up is shown over what carries it.
  const x = sheet.x(a);
  let y = sheet.y(b);
  while (drawn.some(([u, v]) => Math.hypot(u - x, v - y) < 13)) y -= 15;
  drawn.push([x, y]);
  const r = track.kind === 'hardware' ? 6 : 8;
  context.beginPath();
  if (track.kind === 'hardware') {
    context.moveTo(x, y - r);
    context.lineTo(x + r, y);
    context.lineTo(x, y + r);
    context.lineTo(x - r, y);
    context.closePath();
  } else {
    context.arc(x, y, r, 0, 2 * Math.PI);
  }
  context.fillStyle = track.kind === 'hardware' ? colours.critical : colours.ground;
  context.fill();
  context.strokeStyle = track.kind === 'hardware' ? colours.critical : colours.ink;
  context.lineWidth = 2.4;
  context.stroke();
  if (track.kind !== 'damper') return;
  context.font = `600 11px ${colours.face}`;
  context.textAlign = 'center';
  context.textBaseline = 'middle';
  context.fillStyle = colours.ink;
  context.fillText(String(number), x, y + 0.5);
}

function scaleBar(sheet: Sheet, unit: AxisUnit): void {
  const { context, colours } = sheet;
  const count = [1, 2, 5, 10, 20, 50].find((n) => n * unit.si * sheet.scale > 40) ?? 100;
  const wide = count * unit.si * sheet.scale;
  const [right, y] = [sheet.width - 10, 12];
  context.strokeStyle = colours.ink;
  context.lineWidth = 1.5;
  context.beginPath();
  context.moveTo(right - wide, y - 4);
  context.lineTo(right - wide, y);
  context.lineTo(right, y);
  context.lineTo(right, y - 4);
  context.stroke();
  context.font = `12px ${colours.face}`;
  context.textAlign = 'right';
  context.textBaseline = 'middle';
  context.fillStyle = colours.ink;
  context.fillText(`${count} ${unit.name}`, right - wide - 6, y - 2);
}
