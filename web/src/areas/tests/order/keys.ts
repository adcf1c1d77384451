// What a running order is asked by: the keys of [order], in the words of the form.

import type { OrderAsked } from '../../../contract/types.gen';

export interface OrderKey {
  key: string;
  label: string;
  /** What it means, or what is taken where it is left open. */
  hint: string;
  /** As somebody would type it, metric and imperial. */
  such_as: [string, string];
  needed: boolean;
  /** A whole number, which the test file has without quotes. */
  whole: boolean;
}

const key = (key: string, label: string, hint: string, such_as: [string, string], needed = false, whole = false): OrderKey => ({ key, label, hint, such_as, needed, whole });

export const ORDER_KEYS: OrderKey[] = [
  key('difference', 'Wanted resolution', 'the least difference of peaks worth knowing', ['4 kN', '900 lbf'], true),
  key('spread', 'Spread from pull to pull', 'standard deviation of the peak, of one set-up', ['1.2 kN', '270 lbf'], true),
  key('spread_pulls', 'Measured on so many pulls', 'left open: the spread is a guess', ['5', '5'], false, true),
  key('power', 'Power', 'chance of showing that difference; left open: 80 %', ['80 %', '80 %']),
  key('confidence', 'Confidence', 'over all comparisons together; left open: 95 %', ['95 %', '95 %']),
  key('pulls_at_most', 'Time for so many pulls each', 'of each set-up; left open: no limit', ['6', '6'], false, true),
  key('plan', 'Plan for the standoff', 'file of a plan kept here: people stand back as far as its let-go says', ['guard-deep-clay.toml', 'guard-deep-clay.toml']),
  key('highest_load', 'Highest load planned', 'a load of so much ends the day; the plan must be reckoned for it', ['38 kN', '8500 lbf']),
  key('standoff', 'Standoff', 'how far back people stand, where no plan says so or further than it says', ['with its unit, m', 'with its unit, ft']),
  key('limit', 'Load limit', 'lowest rating of what carries the load', ['45 kN', '10000 lbf'], true),
];

/** The keys of the form, and whatever else the test file has. */
export function keysOf(asked: OrderAsked | null): OrderKey[] {
  const others = Object.keys(asked?.values ?? {}).filter((name) => ORDER_KEYS.every((known) => known.key !== name));
  return [...ORDER_KEYS, ...others.map((name) => key(name, name, 'as the test file has it', ['', '']))];
}

/** A typed value as it goes into the test file; null takes it away. */
export function valueOf({ whole }: OrderKey, typed: string): string | number | null {
  const text = typed.trim();
  if (text === '') return null;
  return whole && /^\d{1,9}$/.test(text) ? Number(text) : text;
}

/** Levels, one a line. */
export const levelsOf = (typed: string): string[] => typed.split('\n').map((line) => line.trim()).filter((line) => line !== '');
