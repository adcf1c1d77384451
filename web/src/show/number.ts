// Numbers as people read them: three significant figures, always with a unit. The same words
// as the command line's (crates/steadypull-contract/src/show.rs); a test compares the two.

import type { ReadUnits } from '../contract/types.gen';

export const G = 9.80665;
const POUND_KG = 0.45359237;
const POUND_FORCE_N = POUND_KG * G;
const FOOT_M = 0.3048;
const MPH = 1.609344 / 3.6;

/** Whole decimal exponent, exact at the powers of ten. */
function exponent(value: number): number {
  return Number(value.toExponential().split('e')[1]);
}

function group(text: string): string {
  const sign = text.startsWith('-') ? '-' : '';
  const [whole = '', rest] = text.slice(sign.length).split('.');
  const spaced = whole.length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, ' ') : whole;
  return sign + spaced + (rest === undefined ? '' : `.${rest}`);
}

/** Three significant figures, thousands set apart from five digits on. */
export function figures(value: number): string {
  if (!Number.isFinite(value)) return 'unknown';
  if (value === 0) return '0';
  let places = 2 - exponent(Math.abs(value));
  const step = 10 ** -places;
  const rounded = roundHalfAway(value / step) * step;
  if (exponent(Math.abs(rounded)) > exponent(Math.abs(value))) places -= 1;
  return group(rounded.toFixed(Math.max(places, 0)));
}

/** Math.round takes -2.5 to -2; Rust's round takes it to -3. */
function roundHalfAway(value: number): number {
  return Math.sign(value) * Math.round(Math.abs(value));
}

/** The number at an axis mark: as many decimals as the step between marks has. */
export function tick(value: number, step: number): string {
  if (!Number.isFinite(value)) return 'unknown';
  const places = Math.min(Math.max(-exponent(Math.abs(step)), 0), 9);
  const text = group(value.toFixed(places));
  return /^-?[0.]*$/.test(text) ? '0' : text;
}

/** A share as a percentage. */
export function percent(share: number): string {
  const value = share * 100;
  if (value !== 0 && Math.abs(value) < 0.1) return value > 0 ? 'under 0.1 %' : 'over -0.1 %';
  if (Math.abs(value) >= 99.95 && Math.abs(value) < 100) return 'over 99.9 %';
  return `${figures(value)} %`;
}

/** A probability found from samples: what never happened is told by its upper end. */
export function likely(value: number, low: number, high: number): string {
  const bounded = (word: string, share: number) => {
    const text = percent(share);
    return text.startsWith(word) ? text : `${word} ${text}`;
  };
  if (value <= 0 && high > 0) return bounded('under', high);
  if (value >= 1 && low < 1) return bounded('over', low);
  return percent(value);
}

/** A time. */
export function seconds(value: number): string {
  return `${figures(Math.abs(value) < 1e-4 ? 0 : value)} s`;
}

/** An angle given in degrees. */
export function degrees(value: number): string {
  return `${figures(value)} deg`;
}

export interface AxisUnit {
  name: string;
  /** SI units in one of it. */
  si: number;
}

/** Units that people read: methods take SI. */
export class Units {
  readonly system: ReadUnits;

  constructor(system: ReadUnits) {
    this.system = system;
  }

  private get metric(): boolean {
    return this.system === 'metric';
  }

  force(newtons: number): string {
    return this.metric ? `${figures(newtons / 1e3)} kN` : `${figures(newtons / POUND_FORCE_N)} lbf`;
  }

  handForce(newtons: number): string {
    return this.metric && newtons < 1e3 ? `${figures(newtons)} N` : this.force(newtons);
  }

  /** A force as the load that people rate gear by. */
  forceAsLoad(newtons: number): string {
    return this.metric ? `${figures(newtons / G / 1e3)} t` : `${figures(newtons / POUND_FORCE_N)} lb`;
  }

  length(metres: number): string {
    return this.metric ? `${figures(metres)} m` : `${figures(metres / FOOT_M)} ft`;
  }

  /** A driving speed. */
  speed(metresPerSecond: number): string {
    return this.metric ? `${figures(metresPerSecond * 3.6)} km/h` : `${figures((metresPerSecond * 3.6) / 1.609344)} mph`;
  }

  /** The speed of something that flies. */
  flightSpeed(metresPerSecond: number): string {
    return this.metric ? `${figures(metresPerSecond)} m/s` : `${figures(metresPerSecond / FOOT_M)} ft/s`;
  }

  energy(joules: number): string {
    if (!this.metric) return `${figures(joules / (FOOT_M * POUND_FORCE_N))} ft lbf`;
    return Math.abs(joules) < 1e3 ? `${figures(joules)} J` : `${figures(joules / 1e3)} kJ`;
  }

  mass(kilograms: number): string {
    return this.metric ? `${figures(kilograms)} kg` : `${figures(kilograms / POUND_KG)} lb`;
  }

  get forceAxis(): AxisUnit {
    return this.metric ? { name: 'kN', si: 1e3 } : { name: 'lbf', si: POUND_FORCE_N };
  }

  get lengthAxis(): AxisUnit {
    return this.metric ? { name: 'm', si: 1 } : { name: 'ft', si: FOOT_M };
  }

  get speedAxis(): AxisUnit {
    return this.metric ? { name: 'km/h', si: 1 / 3.6 } : { name: 'mph', si: MPH };
  }

  get energyAxis(): AxisUnit {
    return this.metric ? { name: 'J', si: 1 } : { name: 'ft lbf', si: FOOT_M * POUND_FORCE_N };
  }
}
