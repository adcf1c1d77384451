// What is drawn in a chart. Values are SI; `read` prints one as people read it.

import type { AxisUnit } from '../../show/number';

/** Curves are told apart by their dash pattern and a label on them, never by colour alone. */
export type Dash = 'full' | 'dashed' | 'dotted';

export interface Curve {
  name: string;
  x: number[];
  y: number[];
  dash: Dash;
  read: (value: number) => string;
  /** What each of its points reads as, where its value alone does not tell. */
  texts?: string[];
  /** Holds its value up to the next point. */
  steps?: boolean;
  /** A band about it. */
  band?: { name: string; low: number[]; high: number[] };
}

/** A level that matters, such as a limit. */
export interface Level {
  value: number;
  text: string;
}

export interface Panel {
  title: string;
  unit: AxisUnit;
  curves: Curve[];
  levels?: Level[];
  /** The whole scale, where it is not that of the values. */
  range?: [number, number];
  /** A panel that matters more is taller. */
  tall?: boolean;
}

/** A stretch of the x axis with its name, drawn as a bar under the panels. */
export interface Stretch {
  name: string;
  from: number;
  to: number;
  fill: 'full' | 'hatched' | 'open';
}

/** Something that happens at a place of the x axis. */
export interface Happening {
  at: number;
  what: string;
}

/** The x axis. */
export interface Along {
  name: string;
  unit: AxisUnit;
  read: (value: number) => string;
  /** Where the cursor can stand, rising. */
  stops: number[];
}

/** Value of a curve at a place of the x axis; null off its ends. */
export function valueAt(curve: Curve, x: number): number | null {
  const last = Math.min(curve.x.length, curve.y.length) - 1;
  if (last < 0 || x < curve.x[0]! - 1e-9 || x > curve.x[last]! + 1e-9) return null;
  const i = after(curve.x, x);
  if (i > last) return curve.y[last]!;
  if (i === 0) return curve.y[0]!;
  const [x0, x1, y0, y1] = [curve.x[i - 1]!, curve.x[i]!, curve.y[i - 1]!, curve.y[i]!];
  if (curve.steps || x1 <= x0) return y0;
  return y0 + ((x - x0) / (x1 - x0)) * (y1 - y0);
}

/** What is left of a sum, as a share of the most: told as nothing. */
const NOTHING = 1e-5;

/** What a curve reads at a place; what is read between two of its points says so. */
export function told(curve: Curve, x: number): string {
  const value = valueAt(curve, x);
  if (value === null) return '-';
  const i = nearest(curve.x, x);
  const own = curve.steps === true || curve.x[i] === x;
  const text = own ? curve.texts?.[i] : undefined;
  if (text !== undefined) return text;
  const read = curve.read(Math.abs(value) < NOTHING * greatest(curve.y.map(Math.abs)) ? 0 : value);
  return own ? read : `about ${read}`;
}

/** Index of the stop next to a place. */
export function nearest(stops: number[], x: number): number {
  const i = after(stops, x);
  if (i <= 0) return 0;
  if (i >= stops.length) return stops.length - 1;
  return x - stops[i - 1]! <= stops[i]! - x ? i - 1 : i;
}

/** Index of the first value that is greater. */
function after(values: number[], x: number): number {
  let [low, high] = [0, values.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (values[middle]! <= x) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Greatest of the values that are numbers, or `least` if none is above it. */
export function greatest(values: number[], least = 0): number {
  return values.reduce((most, v) => (Number.isFinite(v) && v > most ? v : most), least);
}

/** Where a curve stands furthest from the others of its panel, so that its label is clear
 *  of them, and whether the label goes over it. */
export function labelPlace(curve: Curve, others: Curve[], x: (v: number) => number, y: (v: number) => number, bottom: number) {
  const [from, to] = [x(curve.x[0] ?? 0), x(curve.x.at(-1) ?? 0)];
  let best = { x: from, y: 0, over: true, room: -1 };
  for (let i = 0; i < curve.x.length; i += Math.max(1, Math.floor(curve.x.length / 60))) {
    const at = x(curve.x[i]!);
    if (at < from + 0.15 * (to - from) || at > from + 0.85 * (to - from)) continue;
    const own = y(curve.y[i]!);
    const gaps = others
      .map((other) => valueAt(other, curve.x[i]!))
      .filter((v) => v !== null)
      .map((v) => y(v) - own);
    const room = Math.min(...gaps.map(Math.abs), 60);
    const over = gaps.filter((gap) => gap < 0).length <= gaps.length / 2 || own + 20 > bottom;
    if (room > best.room) best = { x: at, y: own, over, room };
  }
  return best;
}
