// The page prints numbers to the character as the command line does: numbers.json was
// written by the Rust side (crates/steadypull-contract/tests/show_vectors.rs).
import { readFileSync } from 'node:fs';

import { expect, test } from '@playwright/test';

import { figures, gravities, likely, of100, oneIn, percent, seconds, tick, Units } from '../src/show/number';

interface Vectors {
  numbers: [number, string[]][];
  ticks: [number, number, string][];
  likely: [number, number, number, string][];
  axes: [string, number][][];
}

const vectors = JSON.parse(readFileSync(new URL('numbers.json', import.meta.url), 'utf8')) as Vectors;
const metric = new Units('metric');
const imperial = new Units('imperial');

function inUnits(units: Units, value: number): string[] {
  return [
    units.force(value), units.handForce(value), units.forceAsLoad(value), units.length(value),
    units.speed(value), units.flightSpeed(value), units.energy(value), units.mass(value),
    units.lineSpeed(value), units.oilPressure(value), units.temperature(value),
  ];
}

test('numbers read as the command line prints them', () => {
  expect(vectors.numbers.length).toBeGreaterThan(400);
  const wrong = [];
  for (const [value, texts] of vectors.numbers) {
    const own = [
      figures(value), percent(value), seconds(value), gravities(value), of100(value), oneIn(value),
      ...inUnits(metric, value), ...inUnits(imperial, value),
    ];
    for (const [i, text] of texts.entries()) if (own[i] !== text) wrong.push({ value, text, own: own[i] });
    expect(own.length).toBe(texts.length);
  }
  expect(wrong).toEqual([]);
});

test('axis marks read as the command line draws them', () => {
  const wrong = vectors.ticks.filter(([value, step, text]) => tick(value, step) !== text);
  expect(wrong.map(([value, step, text]) => ({ value, step, text, own: tick(value, step) }))).toEqual([]);
});

test('probabilities read as the command line prints them', () => {
  const wrong = vectors.likely.filter(([value, low, high, text]) => likely(value, low, high) !== text);
  expect(wrong).toEqual([]);
});

test('axes have the same units', () => {
  for (const [i, units] of [metric, imperial].entries()) {
    const own = [units.forceAxis, units.lengthAxis, units.speedAxis, units.energyAxis, units.lineSpeedAxis, units.oilPressureAxis, units.handForceAxis];
    expect(own.map((axis) => [axis.name, axis.si])).toEqual(vectors.axes[i]);
  }
});
