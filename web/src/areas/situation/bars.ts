// The rows of the resistance drawing and of the table that says the same.

import type { ForceRange, Situation } from '../../contract/types.gen';

export interface Row {
  name: string;
  /** What the row belongs to: the terms, their sum, what the tug can do. */
  part: 'term' | 'sum' | 'tug';
  range: ForceRange;
  method: string;
  source: string;
  status: string;
}

export function rowsOf(situation: Situation): Row[] {
  const terms = situation.terms.map((term): Row => ({
    name: term.name,
    part: 'term',
    range: term.range,
    method: term.method,
    source: term.source,
    status: term.source_status,
  }));
  const sum = (name: string, range: ForceRange, method: string): Row => ({
    name, part: 'sum', range, method, source: 'sum of the terms above, each with its spread', status: 'computed',
  });
  const { tug } = situation;
  const able = (name: string, range: ForceRange, method: string): Row => ({
    name, part: 'tug', range, method, source: 'the tug on its own ground, as the plan has it', status: 'computed',
  });
  const rows = [
    ...terms,
    sum('to start it', situation.break_out, 'pulled slowly, suction included'),
    sum('to start it, pulled fast', situation.break_out_fast, 'a kinetic pull'),
    sum('to keep it moving', situation.sliding, 'once it moves'),
    able('steady pull', tug.steady_pull, `after its own grade and rolling; limited by ${tug.limited_by}`),
    able('holds as an anchor', tug.anchor_hold, 'braked; beyond it the tug slides'),
  ];
  if (tug.winch_pull_n !== null) {
    const pull = tug.winch_pull_n;
    rows.push(able('winch', { low_n: pull, median_n: pull, high_n: pull }, 'one line, on the drum layer in use'));
  }
  return rows;
}

/** Whether a row has no spread to speak of. */
export function sharp({ low_n, high_n }: ForceRange): boolean {
  return Math.abs(high_n - low_n) <= 1e-6 * Math.max(Math.abs(low_n), Math.abs(high_n));
}

/** Marks of an axis from `from` to `to`: round steps, not more than `most`. */
export function marks(from: number, to: number, most: number): { at: number[]; step: number } {
  const rough = (to - from) / Math.max(most, 1);
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((m) => m * power).find((s) => s >= rough) ?? 10 * power;
  const first = Math.ceil(from / step - 1e-9);
  const count = Math.floor(to / step + 1e-9) - first;
  return { at: Array.from({ length: count + 1 }, (_, i) => (first + i) * step), step };
}
