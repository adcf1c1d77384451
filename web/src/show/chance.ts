// Chances of a method as people read them, the same as in the command line's report.

import type { Probability, Rung } from '../contract/types.gen';
import { likely, percent } from './number';

/** A probability with what its number of samples leaves open. */
export interface Chance {
  value: number;
  low: number;
  high: number;
  /** As the report prints it. */
  text: string;
}

/** A probability with its interval, as the contract has it. */
export function chance(p: Probability): Chance {
  return { ...p, text: likely(p.value, p.low, p.high) };
}

/** That a method shifts the casualty, as found. */
export function shifts(rung: Rung): Chance | null {
  return ofRung(rung, rung.shift_probability);
}

/** The same after clearing and digging. */
export function shiftsAfterDigging(rung: Rung): Chance | null {
  return ofRung(rung, rung.shift_probability_after_digging);
}

function ofRung(rung: Rung, value: number | null): Chance | null {
  if (value === null) return null;
  const one = oneSample(rung);
  if (one === null) return { value, low: value, high: value, text: percent(value) };
  // Two standard errors either way; at an end what never happened in the samples is
  // bounded by three of them (the rule of three).
  const error = value > 0 && value < 1 ? 2 * Math.sqrt(value * (1 - value) * one) : 3 * one;
  return {
    value,
    low: Math.max(value - error, 0),
    high: Math.min(value + error, 1),
    text: likely(value, 1 - 3 * one, 3 * one),
  };
}

/** One over the samples behind the chances of a rung, from the error that is told. */
function oneSample(rung: Rung): number | null {
  const { shift_probability: p, shift_probability_error: error } = rung;
  if (p === null || error === null) return null;
  const between = p * (1 - p);
  return between > 0 ? (error * error) / between : error;
}

/** The interval in words. */
export function interval(of: Chance): string {
  return `${percent(of.low)} to ${percent(of.high)}`;
}
