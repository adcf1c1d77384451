// Where names and loads stand on the drawing: each as near to its thing as it can without
// covering another or a line's hardware; far ones get a leader.

import type { Pos } from './view.svelte';

export interface Wanted {
  id: string;
  lines: string[];
  /** What it belongs to, on the screen. */
  at: Pos;
  /** Free room kept round `at`, in pixels, to either side and up and down. */
  clear: Pos;
  /** Said differently: a name, a load, a load that is out of date. */
  kind: 'name' | 'load' | 'old' | 'warn';
  /** So large that no line need lead to it. */
  large?: boolean;
}

export interface Placed extends Wanted {
  x: number;
  y: number;
  /** From the thing to the label, where they are apart. */
  leader: string | null;
}

interface Box {
  /** What it costs to lie over it. */
  weight: number;
  left: number;
  right: number;
  top: number;
  bottom: number;
}

/** Directions tried, the best first. */
const WAYS = [
  [0, -1], [0, 1], [1, 0], [-1, 0], [0.75, -0.75], [-0.75, -0.75], [0.75, 0.75], [-0.75, 0.75],
  [0.4, -0.9], [-0.4, -0.9], [0.4, 0.9], [-0.4, 0.9], [0.9, -0.4], [-0.9, -0.4], [0.9, 0.4], [-0.9, 0.4],
] as const;
/** A label over another is worse than one over a line. */
const OVER_LABEL = 8;
const OVER_LINE = 1;
const OUTSIDE = 6;
const REACHES = [0, 12, 26, 44, 66, 92, 122];
const LEADER_FROM = 12;

export function place(wanted: Wanted[], size: { width: number; height: number; text: number }, taken: Pos[]): Placed[] {
  const boxes: Box[] = taken.map((p) => ({ ...around(p, { w: 7, h: 7 }), weight: OVER_LINE }));
  const glyph = size.text * 0.56;
  return wanted.map((label) => {
    const half = { w: (Math.max(...label.lines.map((l) => l.length)) * glyph) / 2 + 4, h: (label.lines.length * size.text * 1.2) / 2 + 2 };
    let best = { x: label.at.x, y: label.at.y, cost: Infinity, reach: 0 };
    search: for (const reach of REACHES) {
      for (const [dx, dy] of WAYS) {
        const at = {
          x: label.at.x + dx * (label.clear.x + reach + half.w),
          y: label.at.y + dy * (label.clear.y + reach + half.h),
        };
        const cost = clashes(around(at, half), boxes, size) + reach * 0.02;
        if (cost < best.cost) best = { ...at, cost, reach };
        if (best.cost < 1) break search;
      }
    }
    boxes.push(around(best, half));
    return { ...label, x: best.x, y: best.y, leader: best.reach >= LEADER_FROM && !label.large ? leader(label.at, best, half) : null };
  });
}

function around(p: Pos, half: { w: number; h: number }): Box {
  return { weight: OVER_LABEL, left: p.x - half.w, right: p.x + half.w, top: p.y - half.h, bottom: p.y + half.h };
}

function clashes(box: Box, boxes: Box[], size: { width: number; height: number }): number {
  let cost = 0;
  for (const b of boxes) {
    if (box.left < b.right && b.left < box.right && box.top < b.bottom && b.top < box.bottom) cost += b.weight;
  }
  const outside = box.left < 0 || box.top < 0 || box.right > size.width || box.bottom > size.height;
  return cost + (outside ? OUTSIDE : 0);
}

/** From the thing to the nearest edge of the label. */
function leader(from: Pos, to: Pos, half: { w: number; h: number }): string {
  const x = Math.min(Math.max(from.x, to.x - half.w), to.x + half.w);
  const y = Math.min(Math.max(from.y, to.y - half.h), to.y + half.h);
  return `M${from.x.toFixed(1)} ${from.y.toFixed(1)}L${x.toFixed(1)} ${y.toFixed(1)}`;
}
