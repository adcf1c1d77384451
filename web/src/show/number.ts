// Numbers as people read them: three significant figures, always with a unit. The same to
// the character as the command line's (crates/steadypull-engine/src/show.rs):
// tests/numbers.spec.ts holds it against texts that the Rust side wrote.

import type { ReadUnits } from '../contract/types.gen';

export const G = 9.80665;
const POUND_KG = 0.45359237;
const POUND_FORCE_N = POUND_KG * G;
const FOOT_M = 0.3048;
const PSI_PA = POUND_FORCE_N / ((FOOT_M * FOOT_M) / 144);
/** What is left of a difference: told as nothing. */
const LEAST = 1e-9;

/** Whole decimal exponent, exact at the powers of ten. */
function exponent(value: number): number {
  return Number(value.toExponential().split('e')[1]);
}

/** With this many decimals; a tie goes to the even digit, where `toFixed` takes it up. */
function fixed(value: number, places: number): string {
  const size = Math.abs(value);
  const sign = value < 0 || Object.is(value, -0) ? '-' : '';
  // From here on `toFixed` writes with an exponent; such numbers are whole.
  if (size >= 1e21) return sign + BigInt(size).toString() + (places > 0 ? `.${'0'.repeat(places)}` : '');
  const text = size.toFixed(places);
  const full = size.toFixed(Math.min(places + 60, 100));
  const tie = /^50*$/.test(full.slice(full.indexOf('.') + 1 + places));
  if (!tie || Number(text.at(-1)) % 2 === 0) return sign + text;
  return sign + (Number(text) - 10 ** -places).toFixed(places);
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
  if (Math.abs(value) < LEAST) return '0';
  let places = 2 - exponent(Math.abs(value));
  const step = power(-places);
  const rounded = roundHalfAway(value / step) * step;
  if (exponent(Math.abs(rounded)) > exponent(Math.abs(value))) places -= 1;
  return group(fixed(rounded, Math.max(places, 0)));
}

/** A power of ten by squaring, to the same last bit as the Rust side's. */
function power(of: number): number {
  let result = 1;
  let base = 10;
  for (let left = Math.abs(of); left > 0; left = Math.floor(left / 2)) {
    if (left % 2 === 1) result *= base;
    base *= base;
  }
  return of < 0 ? 1 / result : result;
}

/** Math.round takes -2.5 to -2; Rust's round takes it to -3. */
function roundHalfAway(value: number): number {
  return Math.sign(value) * Math.round(Math.abs(value));
}

/** The number at an axis mark: as many decimals as the step between marks has. */
export function tick(value: number, step: number): string {
  if (!Number.isFinite(value)) return 'unknown';
  const places = Math.min(Math.max(-exponent(Math.abs(step)), 0), 9);
  const text = group(fixed(value, places));
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

/** A small probability as people say it; in per cent from a tenth. */
export function oneIn(p: number): string {
  const share = p * 100;
  if (p >= 0.1) return `${fixed(share, share > 0 && share < 1 ? 1 : 0)} %`;
  if (p < 1e-6) return 'under 1 in a million';
  const n = 1 / p;
  const step = power(exponent(n) - 1);
  const round = Math.round(n / step) * step;
  if (round >= 1e6) return '1 in a million';
  return `1 in ${round < 10_000 ? round : group(String(round))}`;
}

/** How many of a hundred a share is: for stated levels. */
export function of100(share: number): string {
  return figures(share * 100).replace(/\.0+$/, '');
}

/** A time. */
export function seconds(value: number): string {
  return `${figures(Math.abs(value) < 1e-4 ? 0 : value)} s`;
}

/** A time as people plan it: in minutes from two of them on. */
export function minutes(value: number): string {
  return value < 120 ? seconds(value) : `${figures(value / 60)} min`;
}

/** An acceleration in shares of standard gravity. */
export function gravities(metresPerSecondSquared: number): string {
  return `${figures(metresPerSecondSquared / G)} g`;
}

/** An angle given in degrees. */
export function degrees(value: number): string {
  return `${figures(value)} deg`;
}

/** An angle given in degrees, to the whole degree. */
export function wholeDegrees(value: number): string {
  return `${fixed(value, 0)} deg`;
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

  /** The speed of a line on a drum. */
  lineSpeed(metresPerSecond: number): string {
    return `${figures(metresPerSecond / this.lineSpeedAxis.si)} ${this.lineSpeedAxis.name}`;
  }

  /** The pressure of oil. */
  oilPressure(pascals: number): string {
    return `${figures(pascals / this.oilPressureAxis.si)} ${this.oilPressureAxis.name}`;
  }

  temperature(celsius: number): string {
    return `${figures(this.degrees(celsius))} ${this.degreeSign}`;
  }

  /** A temperature on the scale that is read. */
  degrees(celsius: number): number {
    return this.metric ? celsius : celsius * 1.8 + 32;
  }

  get degreeSign(): string {
    return this.metric ? 'C' : 'F';
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
    return this.metric ? { name: 'km/h', si: 1 / 3.6 } : { name: 'mph', si: 1.609344 / 3.6 };
  }

  get lineSpeedAxis(): AxisUnit {
    return this.metric ? { name: 'm/min', si: 1 / 60 } : { name: 'ft/min', si: FOOT_M / 60 };
  }

  get oilPressureAxis(): AxisUnit {
    return this.metric ? { name: 'bar', si: 1e5 } : { name: 'psi', si: PSI_PA };
  }

  get handForceAxis(): AxisUnit {
    return this.metric ? { name: 'N', si: 1 } : { name: 'lbf', si: POUND_FORCE_N };
  }

  get energyAxis(): AxisUnit {
    return this.metric ? { name: 'J', si: 1 } : { name: 'ft lbf', si: FOOT_M * POUND_FORCE_N };
  }
}
