// The load of one pull in tiles of least and greatest, from coarse to single samples: what is
// there is drawn at once, finer tiles are asked for as the window moves, and those that it has
// left are given up. A part of a tile holds 4^level samples, so that panning never asks for
// the same stretch again.

import type { TestsLevels } from '../../../contract/types.gen';

/** The samples of a cleaned record: evenly spaced. */
export interface Grid {
  start_s: number;
  step_s: number;
  count: number;
}

/** A stretch of samples, in samples and parts of one. */
export interface Span {
  from: number;
  to: number;
}

export interface Extent {
  least: number;
  greatest: number;
  gap: boolean;
}

const PARTS = 2048;
const STEP = 4;
/** Most parts that are looked through for one stretch. */
const MOST_PARTS = 20_000;
/** Most tiles that are kept, of some 18 kB each. */
const KEPT = 400;
/** Asked at once. */
const AT_ONCE = 3;
/** While the window moves, what it then needs is asked for as often as this. */
const EVERY_MS = 30;

interface Tile {
  first: number;
  samples: number;
  least: Float32Array;
  greatest: Float32Array;
  gap: Uint8Array;
  used: number;
}

export type AskLevels = (from_s: number, to_s: number, parts: number, signal: AbortSignal) => Promise<TestsLevels>;

export class Tiles {
  readonly grid: Grid;
  private readonly levels: Map<number, Tile>[];
  private readonly going = new Map<string, AbortController>();
  private readonly refused = new Set<string>();
  private wanted: { level: number; index: number }[] = [];
  private timer: ReturnType<typeof setTimeout> | undefined;
  private readonly askLevels: AskLevels;
  private readonly arrived: () => void;
  private readonly failed: (error: unknown) => void;
  private clock = 0;
  private kept = 0;
  private ended = false;

  constructor(grid: Grid, askLevels: AskLevels, arrived: () => void, failed: (error: unknown) => void) {
    this.grid = grid;
    this.askLevels = askLevels;
    this.arrived = arrived;
    this.failed = failed;
    let top = 0;
    while (PARTS * STEP ** top < grid.count) top += 1;
    this.levels = Array.from({ length: top + 1 }, () => new Map());
  }

  /** The level whose parts are no wider than a pixel. */
  levelFor(window: Span, pixels: number): number {
    const each = (window.to - window.from) / Math.max(pixels, 1);
    return Math.min(Math.max(Math.floor(Math.log(each) / Math.log(STEP)), 0), this.levels.length - 1);
  }

  /** Has these windows fetched, the first before the others, and gives up all else. */
  want(windows: { span: Span; pixels: number }[]): void {
    const wanted: { level: number; index: number }[] = [];
    for (const { span, pixels } of windows) {
      const level = this.levelFor(span, pixels);
      const wide = PARTS * STEP ** level;
      const last = Math.floor((Math.min(span.to, this.grid.count) - 1) / wide);
      for (let index = Math.max(0, Math.floor(span.from / wide)); index <= last; index += 1) {
        if (!this.levels[level]!.has(index)) wanted.push({ level, index });
      }
    }
    this.wanted = wanted;
    const keys = new Set(wanted.map(keyOf));
    for (const [key, asking] of this.going) if (!keys.has(key)) asking.abort();
    if (this.timer !== undefined) return;
    this.fetch();
    this.timer = setTimeout(() => {
      this.timer = undefined;
      this.fetch();
    }, EVERY_MS);
  }

  /** Least and greatest of a stretch: at `level`, or what is coarser, or finer; null where nothing is. */
  extent(from: number, to: number, level: number): Extent | null {
    for (let at = level; at < this.levels.length; at += 1) {
      const found = this.extentAt(from, to, at);
      if (found) return found;
    }
    for (let at = level - 1; at >= 0 && (to - from) / STEP ** at <= MOST_PARTS; at -= 1) {
      const found = this.extentAt(from, to, at);
      if (found) return found;
    }
    return null;
  }

  /** One sample; NaN for one that is missing, null where it is not there yet. */
  sample(index: number): number | null {
    const tile = this.levels[0]!.get(Math.floor(index / PARTS));
    if (!tile) return null;
    tile.used = this.clock;
    return tile.least[index - tile.first] ?? null;
  }

  /** Whether the finest tiles are there for a window. */
  hasSamples(window: Span): boolean {
    for (let index = Math.floor(Math.max(window.from, 0) / PARTS); index * PARTS < Math.min(window.to, this.grid.count); index += 1) {
      if (!this.levels[0]!.has(index)) return false;
    }
    return true;
  }

  /** Asks again for what was refused, as when a lost server is back. */
  retry(): void {
    this.refused.clear();
    this.fetch();
  }

  end(): void {
    this.ended = true;
    clearTimeout(this.timer);
    for (const asking of this.going.values()) asking.abort();
  }

  private extentAt(from: number, to: number, level: number): Extent | null {
    const wide = PARTS * STEP ** level;
    const [first, last] = [Math.max(0, Math.floor(from)), Math.min(this.grid.count, Math.ceil(to))];
    let [least, greatest, gap] = [Infinity, -Infinity, false];
    for (let index = Math.floor(first / wide); index * wide < last; index += 1) {
      const tile = this.levels[level]!.get(index);
      if (!tile) return null;
      tile.used = this.clock;
      const parts = tile.least.length;
      const per = tile.samples / parts;
      const begin = Math.max(0, Math.floor((first - tile.first) / per));
      const end = Math.min(parts, Math.max(Math.ceil((last - tile.first) / per), begin + 1));
      for (let p = begin; p < end; p += 1) {
        if (tile.least[p]! < least) least = tile.least[p]!;
        if (tile.greatest[p]! > greatest) greatest = tile.greatest[p]!;
        if (tile.gap[p]) gap = true;
      }
    }
    return { least, greatest, gap };
  }

  private fetch(): void {
    for (const one of this.wanted) {
      const key = keyOf(one);
      if (this.going.size >= AT_ONCE || this.ended) return;
      if (!this.going.has(key) && !this.refused.has(key) && !this.levels[one.level]!.has(one.index)) void this.ask(one.level, one.index, key);
    }
  }

  private async ask(level: number, index: number, key: string): Promise<void> {
    const { start_s, step_s, count } = this.grid;
    const part = STEP ** level;
    // Two samples at least: a stretch of one is none.
    const first = Math.min(index * PARTS * part, count - 2);
    const samples = Math.min(PARTS * part, count - first);
    const asking = new AbortController();
    this.going.set(key, asking);
    try {
      const at = (sample: number) => start_s + sample * step_s;
      const levels = await this.askLevels(at(first - 0.25), at(first + samples - 0.75), Math.ceil(samples / part), asking.signal);
      this.keep(level, index, tileOf(levels, first, samples));
    } catch (error) {
      if (!asking.signal.aborted) {
        this.refused.add(key);
        this.failed(error);
      }
    } finally {
      this.going.delete(key);
    }
    if (this.ended) return;
    this.fetch();
    this.arrived();
  }

  private keep(level: number, index: number, tile: Tile): void {
    this.clock += 1;
    tile.used = this.clock;
    this.levels[level]!.set(index, tile);
    this.kept += 1;
    if (this.kept > KEPT) this.drop();
  }

  /** Drops what was not drawn for longest. The coarsest stays. */
  private drop(): void {
    const all = this.levels.slice(0, -1).flatMap((tiles, level) => [...tiles].map(([index, tile]) => ({ level, index, used: tile.used })));
    all.sort((a, b) => a.used - b.used);
    for (const { level, index } of all.slice(0, KEPT / 4)) this.levels[level]!.delete(index);
    this.kept = this.levels.reduce((sum, tiles) => sum + tiles.size, 0);
  }
}

function tileOf(levels: TestsLevels, first: number, samples: number): Tile {
  const values = (list: (number | null)[]) => Float32Array.from(list, (v) => v ?? NaN);
  return {
    first,
    samples,
    least: values(levels.least_n),
    greatest: values(levels.greatest_n),
    gap: Uint8Array.from(levels.gap, Number),
    used: 0,
  };
}

const keyOf = ({ level, index }: { level: number; index: number }) => `${level}/${index}`;
