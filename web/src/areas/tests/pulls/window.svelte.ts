// The stretch of time that a chart shows, in samples: moved and zoomed, never past the record.

import type { Grid, Span } from './tiles';

/** Fewest samples in sight. */
const FEWEST = 8;

export class View {
  readonly grid: Grid;
  span = $state.raw() as Span;

  constructor(grid: Grid, span?: Span) {
    this.grid = grid;
    this.span = this.held(span ?? this.all);
  }

  get all(): Span {
    return { from: 0, to: this.grid.count - 1 };
  }

  get isAll(): boolean {
    return this.width >= this.grid.count - 1;
  }

  get width(): number {
    return this.span.to - this.span.from;
  }

  show(span: Span): void {
    this.span = this.held(span);
  }

  /** Moves by a share of what is in sight. */
  pan(share: number): void {
    const by = share * this.width;
    this.show({ from: this.span.from + by, to: this.span.to + by });
  }

  /** `factor` below 1 shows less; the place at `share` of the window stays where it is. */
  zoom(factor: number, share = 0.5): void {
    const width = Math.min(Math.max(this.width * factor, FEWEST), this.grid.count - 1);
    const from = this.span.from + share * (this.width - width);
    this.show({ from, to: from + width });
  }

  /** Sample at a time, and the other way. */
  sampleAt(time_s: number): number {
    return (time_s - this.grid.start_s) / this.grid.step_s;
  }

  timeAt(sample: number): number {
    return this.grid.start_s + sample * this.grid.step_s;
  }

  private held({ from, to }: Span): Span {
    const last = this.grid.count - 1;
    const width = Math.min(Math.max(to - from, Math.min(FEWEST, last)), last);
    const begin = Math.min(Math.max(from, 0), last - width);
    return { from: begin, to: begin + width };
  }
}
