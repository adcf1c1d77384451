// Points where lines are made fast may lie at one place, such as a winch and the point beside
// it: on the drawing they are fanned out, so that each can be reached.

import type { Spot } from './scene';
import type { Pos, View } from './view.svelte';

/** No two lie nearer than this, in pixels. */
const APART = 30;
const WAYS = [[0, 0], [1, 0], [-1, 0], [0, 1], [0, -1], [1, 1], [-1, -1], [1, -1], [-1, 1], [2, 0], [-2, 0], [0, 2], [0, -2]] as const;

export function fanned(spots: Spot[], view: View): Map<string, Pos> {
  const placed = new Map<string, Pos>();
  for (const spot of spots) {
    const at = view.onScreen(spot.at);
    const free = WAYS.map(([dx, dy]) => ({ x: at.x + dx * APART, y: at.y + dy * APART })).find((p) =>
      [...placed.values()].every((other) => Math.hypot(other.x - p.x, other.y - p.y) >= APART - 1),
    );
    placed.set(spot.name, free ?? at);
  }
  return placed;
}
