// The first picture of a pull, asked for as soon as the address says which: while the page and the test day
// are still on their way the server reads the log.

import type { TestsLevels } from '../contract/types.gen';
import { session } from './session.svelte';

/** As many parts as a wide screen has pixels. */
const PARTS = 2000;

let asked: { key: string; levels: Promise<TestsLevels | null> } | null = null;

const keyOf = (day: string, pull: string) => `${day}/${pull}`;

/** Null where there is none: why not is told by whoever asks for the readings. */
function picture(day: string, pull: string): Promise<TestsLevels | null> {
  const levels = session.backend.tests.levels(day, { pull, from_s: null, to_s: null, parts: PARTS, at_once: true });
  return levels.catch(() => null);
}

export function askAhead(day: string, pull: string): void {
  asked = { key: keyOf(day, pull), levels: picture(day, pull) };
}

/** The picture that was asked for ahead, or another. */
export function firstPicture(day: string, pull: string): Promise<TestsLevels | null> {
  const ahead = asked?.key === keyOf(day, pull) ? asked.levels : null;
  asked = null;
  return ahead ?? picture(day, pull);
}
