// The parts of charts that reckon: scales, values between points, labels of chances.
import { expect, test } from '@playwright/test';

import type { Rung } from '../src/contract/types.gen';
import { share, straight } from '../src/parts/chart/axis';
import { nearest, told, valueAt, type Curve } from '../src/parts/chart/curve';
import { interval, shifts, shiftsAfterDigging } from '../src/show/chance';

const PLAIN = { name: 'x', si: 1 };

test('marks are round and hold the range, as on the printed charts', () => {
  const axis = straight(0, 87, PLAIN, 5);
  expect(axis.marks.map((m) => m.text)).toEqual(['0', '20', '40', '60', '80', '100']);
  expect(share(axis, 50)).toBeCloseTo(0.5, 12);
  expect(straight(-7, 12, PLAIN, 4).marks.map((m) => m.text)).toEqual(['-10', '-5', '0', '5', '10', '15']);
  expect(straight(0, 0.9, PLAIN, 5).marks.map((m) => m.text)).toEqual(['0', '0.2', '0.4', '0.6', '0.8', '1.0']);
  expect(straight(0, 0, PLAIN, 5).high).toBeGreaterThan(0);
  const odd = straight(NaN, Infinity, PLAIN, 5);
  expect(Number.isFinite(share(odd, NaN))).toBe(true);
});

test('marks stand at whole values of their own unit', () => {
  const axis = straight(0, 60_000, { name: 'lbf', si: 4.4482216152605 }, 5);
  expect(axis.marks.map((m) => m.text)).toEqual(['0', '5000', '10 000', '15 000']);
  expect(axis.marks[1]!.value).toBeCloseTo(22_241.108, 3);
});

test('a value between two points says that it is none of them', () => {
  const curve: Curve = { name: 'c', x: [0, 1, 3], y: [0, 10, 30], dash: 'full', read: (v) => `${v} kN` };
  expect(valueAt(curve, 2)).toBe(20);
  expect(valueAt(curve, 3.1)).toBeNull();
  expect(told(curve, 1)).toBe('10 kN');
  expect(told(curve, 2)).toBe('about 20 kN');
  expect(told(curve, -1)).toBe('-');
  expect(told({ ...curve, y: [0, 1e-9, 30] }, 1)).toBe('0 kN');
  expect(told({ ...curve, texts: ['a', 'b', 'c'] }, 3)).toBe('c');
});

test('a curve in steps holds its value up to the next', () => {
  const curve: Curve = { name: 'c', x: [0, 1, 2], y: [3, 2, 1], dash: 'full', read: String, steps: true };
  expect([valueAt(curve, 0.9), valueAt(curve, 1), valueAt(curve, 1.5), valueAt(curve, 2)]).toEqual([3, 2, 2, 1]);
});

test('the cursor stands at the stop next to a place', () => {
  expect([-1, 0.4, 0.6, 1.5, 9].map((x) => nearest([0, 1, 2], x))).toEqual([0, 0, 1, 1, 2]);
});

test('chances of a rung: between the ends two standard errors, at an end the rule of three', () => {
  const rung = (p: number | null, error: number | null, dug: number | null) =>
    ({ shift_probability: p, shift_probability_error: error, shift_probability_after_digging: dug }) as Rung;
  // 100 samples: the error of a half is 0.05.
  const found = shifts(rung(0.5, 0.05, 0))!;
  expect([found.text, interval(found)]).toEqual(['50.0 %', '40.0 % to 60.0 %']);
  const dug = shiftsAfterDigging(rung(0.5, 0.05, 0))!;
  expect([dug.text, dug.low, dug.high]).toEqual(['under 3.00 %', 0, expect.closeTo(0.03, 12)]);
  expect(shiftsAfterDigging(rung(0, 0.01, 1))!.text).toBe('over 97.0 %');
  expect(shifts(rung(null, null, null))).toBeNull();
});
