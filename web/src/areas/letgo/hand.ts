// Numbers that are typed by hand: dampers and loads.

import type { ReadUnits, ReplayDamper, Edit } from '../../contract/types.gen';
import { figures } from '../../show/number';

/** Most dampers that a line takes. */
export const MOST = 12;
const POUND_KG = 0.45359237;

interface Bounds {
  unit: string;
  least: number;
  most: number;
}

export const MASS_UNIT: Record<ReadUnits, Bounds> = {
  metric: { unit: 'kg', least: 0.1, most: 100 },
  imperial: { unit: 'lb', least: 0.3, most: 220 },
};

export const inMass = (kg: number, units: ReadUnits): string => figures(units === 'metric' ? kg : kg / POUND_KG).replace(/(\.\d*?)0+$/, '$1').replace(/\.$/, '');
export const toMass = (value: number, units: ReadUnits): number => (units === 'metric' ? value : value * POUND_KG);
export const asPercent = (share: number): string => String(Math.round(share * 1000) / 10);

/** What was typed as a number within its bounds, or what is wrong with it. */
export function within(text: string, { unit, least, most }: Bounds): { value: number | null; problem: string | null } {
  const value = Number(text.trim().replace(',', '.'));
  if (text.trim() === '' || !Number.isFinite(value) || value < least || value > most) {
    return { value: null, problem: `"${text}" is not a number from ${least} to ${most} ${unit}.` };
  }
  return { value, problem: null };
}

/** The edits that bring dampers into a plan that has `names` of them. */
export function intoPlan(dampers: ReplayDamper[], names: string[]): Edit[] {
  const free = (k: number) => {
    let n = k + 1;
    while (names.includes(`damper-${n}`)) n += 1;
    return `damper-${n}`;
  };
  const kept = dampers.flatMap((damper, k): Edit[] => {
    const name = names[k] ?? free(k);
    return [
      { path: ['damper', name, 'mass'], value: `${+damper.mass_kg.toPrecision(6)} kg` },
      { path: ['damper', name, 'place'], value: `${+(100 * damper.place).toPrecision(6)} %` },
    ];
  });
  const gone = names.slice(dampers.length).map((name): Edit => ({ path: ['damper', name], value: null }));
  return [...kept, ...gone];
}
