// The load against time on a canvas: a column of pixels holds the least and the greatest that
// lie in it; far in, every sample is a dot. Colours are those of the look.

import { share, within, type Axis } from '../../../parts/chart/axis';
import type { AxisUnit } from '../../../show/number';
import type { Span, Tiles } from './tiles';

export interface Ink {
  ink: string;
  soft: string;
  line: string;
  grid: string;
  ground: string;
  accent: string;
  wash: string;
  warning: string;
  face: string;
  /** Size of the type, px. */
  type: number;
}

export function inkOf(of: Element): Ink {
  const style = getComputedStyle(of);
  const value = (name: string) => style.getPropertyValue(name).trim();
  const faint = document.documentElement.dataset.look === 'sunlight' ? 'rgb(0 0 0 / 0.3)' : value('--line');
  return {
    ink: value('--ink'),
    soft: value('--ink-soft'),
    line: value('--line-strong'),
    grid: faint,
    ground: value('--ground'),
    accent: value('--accent'),
    wash: value('--accent-wash'),
    warning: value('--warning'),
    face: style.fontFamily,
    type: Math.round(0.78 * parseFloat(getComputedStyle(document.documentElement).fontSize)),
  };
}

/** The ink of a printed page. */
export const PAPER: Ink = {
  ink: '#000',
  soft: '#333',
  line: '#000',
  grid: '#ccc',
  ground: '#fff',
  accent: '#000',
  wash: '#f2f2f2',
  warning: '#000',
  face: 'sans-serif',
  type: 12,
};

/** A line through the chart at a time. */
export interface MarkLine {
  sample: number;
  /** Set by hand, or being moved. */
  solid: boolean;
}

export interface Scene {
  tiles: Tiles;
  span: Span;
  low: number;
  high: number;
  force: AxisUnit;
  /** From taut to slack, washed. */
  pull: Span | null;
  marks: MarkLine[];
  /** Loads that matter, dashed. */
  threshold: number | null;
}

/** Where the plot lies in its canvas, CSS pixels. */
export interface Frame {
  left: number;
  right: number;
  top: number;
  bottom: number;
}

export interface Sheet {
  context: CanvasRenderingContext2D;
  width: number;
  height: number;
  density: number;
  frame: Frame;
  ink: Ink;
}

/** Draws the whole chart anew. */
export function draw(sheet: Sheet, scene: Scene): void {
  const { context, width, height, density, frame, ink } = sheet;
  context.setTransform(density, 0, 0, density, 0, 0);
  context.fillStyle = ink.ground;
  context.fillRect(0, 0, width, height);
  const up = within(scene.low, scene.high, scene.force, Math.max(2, Math.round((frame.bottom - frame.top) / 55)));
  const plot = new Plot(sheet, scene, up);
  plot.pull();
  plot.grid();
  context.save();
  context.beginPath();
  context.rect(frame.left, frame.top - 2, frame.right - frame.left, frame.bottom - frame.top + 4);
  context.clip();
  plot.threshold();
  plot.trace();
  plot.marks();
  context.restore();
  plot.frame();
}

/** The whole record in a low strip. */
export function drawStrip(sheet: Sheet, scene: Scene): void {
  const { context, width, height, density, frame, ink } = sheet;
  context.setTransform(density, 0, 0, density, 0, 0);
  context.fillStyle = ink.ground;
  context.fillRect(0, 0, width, height);
  const plot = new Plot(sheet, scene, within(scene.low, scene.high, scene.force, 2));
  plot.pull();
  plot.trace();
  context.strokeStyle = ink.line;
  context.lineWidth = 1;
  context.strokeRect(frame.left + 0.5, 0.5, frame.right - frame.left - 1, height - 1);
}

class Plot {
  private readonly sheet: Sheet;
  private readonly scene: Scene;
  private readonly up: Axis;

  constructor(sheet: Sheet, scene: Scene, up: Axis) {
    this.sheet = sheet;
    this.scene = scene;
    this.up = up;
  }

  x(sample: number): number {
    const { frame } = this.sheet;
    const { span } = this.scene;
    return frame.left + ((sample - span.from) / (span.to - span.from)) * (frame.right - frame.left);
  }

  y(newtons: number): number {
    const { frame } = this.sheet;
    return frame.bottom - share(this.up, newtons) * (frame.bottom - frame.top);
  }

  pull(): void {
    const { context, frame, ink } = this.sheet;
    const { pull } = this.scene;
    if (!pull) return;
    const [from, to] = [Math.max(this.x(pull.from), frame.left), Math.min(this.x(pull.to), frame.right)];
    if (to <= from) return;
    context.fillStyle = ink.wash;
    context.fillRect(from, frame.top, to - from, frame.bottom - frame.top);
  }

  grid(): void {
    const { context, frame, ink } = this.sheet;
    context.font = `${ink.type}px ${ink.face}`;
    context.fillStyle = ink.soft;
    context.strokeStyle = ink.grid;
    context.lineWidth = 1;
    context.textAlign = 'right';
    context.textBaseline = 'middle';
    context.beginPath();
    for (const mark of this.up.marks) {
      const y = Math.round(this.y(mark.value)) + 0.5;
      context.moveTo(frame.left, y);
      context.lineTo(frame.right, y);
      context.fillText(mark.text, frame.left - 6, y);
    }
    context.textAlign = 'center';
    context.textBaseline = 'top';
    for (const mark of this.times()) {
      const x = Math.round(this.x(mark.sample)) + 0.5;
      if (x < frame.left - 1 || x > frame.right + 1) continue;
      context.moveTo(x, frame.top);
      context.lineTo(x, frame.bottom);
      context.fillText(mark.text, Math.min(Math.max(x, frame.left + 12), frame.right - 14), frame.bottom + 6);
    }
    context.stroke();
  }

  threshold(): void {
    const { threshold } = this.scene;
    if (threshold === null || threshold < this.up.low || threshold > this.up.high) return;
    const { context, frame, ink } = this.sheet;
    context.strokeStyle = ink.soft;
    context.lineWidth = 1.2;
    context.setLineDash([10, 4, 2, 4]);
    context.beginPath();
    context.moveTo(frame.left, this.y(threshold));
    context.lineTo(frame.right, this.y(threshold));
    context.stroke();
    context.setLineDash([]);
  }

  trace(): void {
    const { frame, density } = this.sheet;
    const { span, tiles } = this.scene;
    const pixels = (frame.right - frame.left) * density;
    if (span.to - span.from < pixels && tiles.hasSamples(span)) this.samples();
    else this.columns(pixels);
  }

  marks(): void {
    const { context, frame, ink } = this.sheet;
    context.strokeStyle = ink.ink;
    for (const mark of this.scene.marks) {
      context.lineWidth = mark.solid ? 2.4 : 1.4;
      context.setLineDash(mark.solid ? [] : [3, 4]);
      context.beginPath();
      context.moveTo(this.x(mark.sample), frame.top);
      context.lineTo(this.x(mark.sample), frame.bottom);
      context.stroke();
    }
    context.setLineDash([]);
  }

  frame(): void {
    const { context, frame, ink } = this.sheet;
    context.strokeStyle = ink.line;
    context.lineWidth = 1.5;
    context.beginPath();
    context.moveTo(frame.left, frame.top);
    context.lineTo(frame.left, frame.bottom);
    context.lineTo(frame.right, frame.bottom);
    context.stroke();
  }

  private times(): { sample: number; text: string }[] {
    const { frame } = this.sheet;
    const { grid } = this.scene.tiles;
    const { span } = this.scene;
    const at = (sample: number) => grid.start_s + sample * grid.step_s;
    const [from, to] = [at(span.from), at(span.to)];
    const axis = within(from, to, { name: 's', si: 1 }, Math.max(3, Math.round((frame.right - frame.left) / 110)));
    return axis.marks.map((m) => ({ sample: (m.value - grid.start_s) / grid.step_s, text: m.text }));
  }

  /** Each column of pixels from its least to its greatest, joined to the one before. */
  private columns(pixels: number): void {
    const { context, frame, density, ink } = this.sheet;
    const { span, tiles } = this.scene;
    const level = tiles.levelFor(span, pixels);
    const each = (span.to - span.from) / pixels;
    const gaps: number[] = [];
    let before: { least: number; greatest: number } | null = null;
    context.strokeStyle = ink.accent;
    context.lineWidth = Math.max(1.4, 1 / density);
    context.lineJoin = 'round';
    context.beginPath();
    for (let p = 0; p < pixels; p += 1) {
      const from = span.from + p * each;
      const part = tiles.extent(from, from + each, level);
      const x = frame.left + (p + 0.5) / density;
      if (part?.gap) gaps.push(x);
      if (!part || part.least > part.greatest) {
        before = null;
        continue;
      }
      // A stroke that meets the one before has no holes on steep flanks.
      const low = before ? Math.min(part.least, before.greatest) : part.least;
      const high = before ? Math.max(part.greatest, before.least) : part.greatest;
      const [top, bottom] = [this.y(high), this.y(low)];
      context.moveTo(x, Math.min(top, bottom - 0.7));
      context.lineTo(x, bottom + 0.7);
      before = part;
    }
    context.stroke();
    this.gaps(gaps, 1 / density);
  }

  private samples(): void {
    const { context, frame, ink } = this.sheet;
    const { span, tiles } = this.scene;
    const [first, last] = [Math.max(Math.floor(span.from), 0), Math.min(Math.ceil(span.to), tiles.grid.count - 1)];
    const dots = (frame.right - frame.left) / (span.to - span.from) > 7;
    const gaps: number[] = [];
    let pen = false;
    context.strokeStyle = ink.accent;
    context.lineWidth = 2;
    context.lineJoin = 'round';
    context.beginPath();
    for (let i = first; i <= last; i += 1) {
      const value = tiles.sample(i) ?? NaN;
      const [x, y] = [this.x(i), this.y(value)];
      if (Number.isNaN(value)) gaps.push(x);
      else if (pen) context.lineTo(x, y);
      else context.moveTo(x, y);
      pen = !Number.isNaN(value);
    }
    context.stroke();
    if (dots) {
      context.fillStyle = ink.accent;
      for (let i = first; i <= last; i += 1) {
        const value = tiles.sample(i) ?? NaN;
        if (!Number.isNaN(value)) context.fillRect(this.x(i) - 2.5, this.y(value) - 2.5, 5, 5);
      }
    }
    this.gaps(gaps, (frame.right - frame.left) / (span.to - span.from));
  }

  /** Where samples are missing: hatched from top to bottom, with the word where there is room. */
  private gaps(at: number[], wide: number): void {
    if (at.length === 0) return;
    const { context, frame, ink } = this.sheet;
    const runs: [number, number][] = [];
    for (const x of at) {
      const run = runs.at(-1);
      if (run && x - run[1] <= wide * 1.5) run[1] = x;
      else runs.push([x, x]);
    }
    context.strokeStyle = ink.warning;
    context.fillStyle = ink.warning;
    context.lineWidth = 1;
    context.textAlign = 'center';
    context.textBaseline = 'top';
    context.font = `${ink.type}px ${ink.face}`;
    for (const [from, to] of runs) {
      const [left, right] = [from - wide / 2, Math.max(to + wide / 2, from + 2)];
      context.save();
      context.beginPath();
      context.rect(left, frame.top, right - left, frame.bottom - frame.top);
      context.clip();
      context.beginPath();
      for (let x = left - (frame.bottom - frame.top); x < right; x += 7) {
        context.moveTo(x, frame.bottom);
        context.lineTo(x + frame.bottom - frame.top, frame.top);
      }
      context.stroke();
      context.restore();
      context.fillRect(left, frame.top, right - left, 3);
      if (right - left < 44) continue;
      context.fillStyle = ink.ground;
      context.fillRect((left + right) / 2 - 18, frame.top + 5, 36, ink.type + 5);
      context.fillStyle = ink.warning;
      context.fillText('gap', (left + right) / 2, frame.top + 7);
    }
  }
}
