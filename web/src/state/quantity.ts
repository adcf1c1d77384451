// A quantity as it stands in a field: the number, or a spread of them, and its unit apart.

import type { Field, ReadUnits } from '../contract/types.gen';

export interface Split {
  number: string;
  unit: string;
}

const NUMBER = String.raw`[-+]?(?:\d[\d ]*\.?\d*|\.\d+)`;
/** A number, `2.2 to 2.6`, `between 2.2 and 2.6`, `2.4 +/- 0.2`. */
const BARE = new RegExp(String.raw`^(?:between\s+)?${NUMBER}(?:\s*(?:to|and|\+/-|±)\s*${NUMBER})?$`, 'i');

/** Whether a unit is still wanting. */
export function isBare(text: string): boolean {
  return BARE.test(text.trim());
}

/** The number and the unit of a text that ends in one; null where it is written otherwise. */
export function split(text: string, units: string[]): Split | null {
  const trimmed = text.trim();
  for (const unit of [...units].sort((a, b) => b.length - a.length)) {
    if (!trimmed.endsWith(unit)) continue;
    const number = trimmed.slice(0, -unit.length).trimEnd();
    if (BARE.test(number)) return { number, unit };
  }
  return null;
}

const IMPERIAL = ['lb', 'lbf', 'ft', 'mph', 'psi', 'ft lbf', 'hp', 'lb/ft', 'ft2', 'ft/min'];

/** The unit that is offered first where none is written: that of the default, or of the upper limit. */
export function firstUnit(field: Pick<Field, 'units' | 'filled' | 'limits'>, system: ReadUnits): string {
  const { units, filled, limits } = field;
  const usual = filled ? split(filled.value, units)?.unit : undefined;
  const imperial = system === 'imperial' ? units.find((unit) => IMPERIAL.includes(unit)) : undefined;
  const upper = limits === null ? undefined : split(limits.split(' to ').at(-1) ?? '', units)?.unit;
  return usual ?? imperial ?? upper ?? units[0] ?? '';
}
