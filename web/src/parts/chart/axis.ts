// A straight scale with round marks, as the printed charts have it
// (crates/steadypull-brief/src/axis.rs).

import { tick, type AxisUnit } from '../../show/number';

export interface Axis {
  /** Ends of the scale, SI. */
  low: number;
  high: number;
  marks: { value: number; text: string }[];
  unit: AxisUnit;
}

/** A scale that holds `low` to `high` (SI) with about `wanted` marks. */
export function straight(low: number, high: number, unit: AxisUnit, wanted: number): Axis {
  const from = tame(low) / unit.si;
  let to = tame(high) / unit.si;
  if (to <= from) to = from + 1;
  const step = roundStep((to - from) / Math.max(wanted, 1));
  const first = Math.floor(from / step + 1e-9);
  const last = Math.ceil(to / step - 1e-9);
  const marks = [];
  for (let i = first; i <= Math.min(last, first + 50); i++) {
    marks.push({ value: i * step * unit.si, text: tick(i * step, step) });
  }
  return { low: first * step * unit.si, high: last * step * unit.si, marks, unit };
}

/** A scale that ends where it is told to, with the round marks that lie in it. */
export function within(low: number, high: number, unit: AxisUnit, wanted: number): Axis {
  const axis = straight(low, high, unit, wanted);
  const near = (high - low) * 1e-9;
  return { ...axis, low, high: high > low ? high : axis.high, marks: axis.marks.filter((m) => m.value >= low - near && m.value <= Math.max(high, low) + near) };
}

/** Share of the scale at which a value stands, held inside it. */
export function share(axis: Axis, value: number): number {
  const at = (tame(value) - axis.low) / (axis.high - axis.low);
  return Math.min(Math.max(at, 0), 1);
}

/** A value that a chart can hold. */
function tame(value: number): number {
  return Number.isFinite(value) ? Math.min(Math.max(value, -1e15), 1e15) : 0;
}

/** The next round step, 1, 2 or 5 times a power of ten, at or above `raw`. */
function roundStep(raw: number): number {
  const exponent = Number(Math.max(raw, 1e-9).toExponential().split('e')[1]);
  const power = Number(`1e${exponent}`);
  return ([1, 2, 5].find((n) => raw / power <= n * (1 + 1e-9)) ?? 10) * power;
}
