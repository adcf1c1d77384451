// The words of test days, the same as the command line's, and numbers of any SI unit.

import type { Measured, TestEventKind, TestReading } from '../../contract/types.gen';
import { figures, gravities, percent, seconds, type AxisUnit, type Units } from '../../show/number';

/** What happens in a pull, with its key in the test file; each has a shape of its own (20 by 20). */
export const EVENTS: Record<TestEventKind, { word: string; means: string; key: string; shape: string; full: boolean }> = {
  taut: { word: 'taut', means: 'the line comes tight', key: 'taut', shape: 'M3 17L10 3L17 17Z', full: false },
  peak: { word: 'peak', means: 'the load is greatest', key: 'peak', shape: 'M10 1L19 10L10 19L1 10Z', full: true },
  'break-out': { word: 'break-out', means: 'the casualty begins to move', key: 'break_out', shape: 'M3 3H17V17H3Z', full: false },
  parting: { word: 'parting', means: 'something lets go', key: 'parting', shape: 'M3 3L17 17M17 3L3 17', full: false },
  end: { word: 'slack', means: 'the line is slack again', key: 'end', shape: 'M3 3H17L10 17Z', full: false },
};

export const READING: Record<TestReading, string> = {
  peak: 'Peak load',
  impulse: 'Impulse',
  duration: 'Taut to slack',
  rise: 'Rise, 10 to 90 %',
  stretch: 'Greatest stretch',
  'energy-in': 'Energy taken in',
  'energy-back': 'Energy given back',
  hysteresis: 'Share kept',
  stiffness: 'Dynamic stiffness',
};

/** A value in an SI unit as people read it. */
export function shown(read: Units, unit: string, value: number): string {
  switch (unit) {
    case 'N':
      return read.force(value);
    case 'm':
      return read.length(value);
    case 's':
      return seconds(value);
    case 'J':
      return read.energy(value);
    case '1':
      return percent(value);
    case 'm/s':
      return read.flightSpeed(value);
    case 'm/s2':
      return gravities(value);
    case 'N s':
      return `${read.force(value)} s`;
    case 'N/m': {
      const [force, length] = [read.forceAxis, read.lengthAxis];
      return `${figures((value * length.si) / force.si)} ${force.name}/${length.name}`;
    }
    default:
      return `${figures(value)} ${unit}`;
  }
}

/** The unit of an axis for values of an SI unit, none of them greater than `most`. */
export function axisOf(read: Units, unit: string, most: number): AxisUnit {
  const [force, length, energy] = [read.forceAxis, read.lengthAxis, read.energyAxis];
  switch (unit) {
    case 'N':
      return force;
    case 'm':
      return length;
    case 'J':
      return energy.name === 'J' && most >= 1e3 ? { name: 'kJ', si: 1e3 } : energy;
    case '1':
      return { name: '%', si: 0.01 };
    case 'N s':
      return { name: `${force.name} s`, si: force.si };
    case 'N/m':
      return { name: `${force.name}/${length.name}`, si: force.si / length.si };
    default:
      return { name: unit, si: 1 };
  }
}

/** From one end of an interval to the other, or why there is none. */
export function between(read: Units, unit: string, measured: Measured): string {
  const { low, high, no_interval: why } = measured;
  if (low === null && high === null) return why === null ? 'none' : `none: ${why}`;
  const end = (value: number) => shown(read, unit, value);
  // An end that is missing reaches as far as can be.
  const ends = low === null ? `up to ${end(high!)}` : high === null ? `from ${end(low)} up` : `${end(low)} to ${end(high)}`;
  return why === null ? ends : `${ends}; ${why}`;
}

/** A time by the log's clock, to the digits that its doubt leaves. */
export function clock(seconds: number, doubt = 1e-3): string {
  const places = Math.min(Math.max(Math.ceil(-Math.log10(Math.max(doubt, 1e-9))), 0) + 1, 9);
  return `${seconds.toFixed(places)} s`;
}

/** A short time such as a doubt, in ms below a tenth of a second. */
export function brief(seconds: number): string {
  return Math.abs(seconds) < 0.1 ? `${figures(seconds * 1e3)} ms` : `${figures(seconds)} s`;
}

/** So many bytes. */
export function size(bytes: number): string {
  if (bytes < 1e3) return `${bytes} bytes`;
  return bytes < 1e6 ? `${figures(bytes / 1e3)} kB` : `${figures(bytes / 1e6)} MB`;
}

/** A count with its digits in groups. */
export function count(number: number): string {
  return String(number).replace(/\B(?=(\d{3})+$)/g, number >= 10_000 ? '\u00a0' : '');
}
