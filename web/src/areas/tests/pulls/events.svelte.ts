// The events of a pull as they stand, are found and are moved. What a hand sets is an edit of
// the test file; while one is moved nothing is written.

import type { PullRead, SetValue, TestDayPull, TestEvent, TestEventKind } from '../../../contract/types.gen';
import type { OpenDay } from '../../../state/test_day.svelte';
import { EVENTS } from '../words';

export interface Moving {
  kind: TestEventKind;
  time_s: number;
}

export class Events {
  moving = $state.raw<Moving | null>(null);
  /** Where an event was put, until the readings follow. */
  put = $state.raw<Moving[]>([]);
  private readonly day: OpenDay;
  private readonly name: string;

  constructor(day: OpenDay, name: string) {
    this.day = day;
    this.name = name;
  }

  get pull(): TestDayPull | undefined {
    return this.day.stored.pulls.find((p) => p.name === this.name);
  }

  /** As they are shown: as read, as put since, as being moved. */
  shown(read: PullRead): TestEvent[] {
    const at = (event: TestEvent): TestEvent => {
      const moved = this.moving?.kind === event.kind ? this.moving : this.put.find((p) => p.kind === event.kind);
      return moved ? { ...event, time_s: moved.time_s, set_by: 'hand' } : event;
    };
    return read.events.map(at);
  }

  /** Between which times an event may lie: in their order, in the record. */
  bounds(kind: TestEventKind, events: TestEvent[], read: PullRead, step_s: number): [number, number] {
    const times = (kinds: TestEventKind[]) => events.filter((e) => kinds.includes(e.kind)).map((e) => e.time_s);
    const middle: TestEventKind[] = ['peak', 'break-out', 'parting'];
    const [first, last] = read.record_s;
    if (kind === 'taut') return [first, Math.min(...times([...middle, 'end']), last) - step_s];
    if (kind === 'end') return [Math.max(...times([...middle, 'taut']), first) + step_s, last];
    return [Math.max(...times(['taut']), first) + step_s, Math.min(...times(['end']), last) - step_s];
  }

  /** Sets an event by hand. `doubt_s` is how well it can be placed, one standard deviation: the
   *  pull has one for all of them, the greatest. */
  async set(kind: TestEventKind, time_s: number, doubt_s: number): Promise<void> {
    const standing = this.pull?.by_hand.uncertainty_s ?? 0;
    const doubt = twoFigures(doubt_s);
    const edits = [this.to(EVENTS[kind].key, `${time_s.toFixed(6)} s`)];
    if (doubt > standing) edits.push(this.to('uncertainty', written(doubt)));
    this.moving = null;
    this.put = [...this.put.filter((p) => p.kind !== kind), { kind, time_s }];
    await this.edit(edits);
  }

  setDoubt(doubt_s: number): Promise<void> {
    return this.edit([this.to('uncertainty', written(doubt_s))]);
  }

  /** Back to what the log shows. */
  async toFound(kind: TestEventKind): Promise<void> {
    this.put = this.put.filter((p) => p.kind !== kind);
    const by = this.pull?.by_hand;
    const left = by ? [by.taut_s, by.peak_s, by.break_out_s, by.parting_s, by.end_s].filter((t) => t !== null).length : 0;
    const taken = Number(by?.no_break_out ?? false) + Number(by?.no_parting ?? false);
    // The last one takes its doubt with it.
    if (left + taken <= 1) await this.edit([{ path: ['pull', this.name, 'events'], value: null }]);
    else if (left <= 1) await this.edit([this.to(EVENTS[kind].key, null), this.to('uncertainty', null)]);
    else await this.edit([this.to(EVENTS[kind].key, null)]);
  }

  /** Says that there was no break-out, or no parting; or takes that back. */
  async takeAway(kind: 'break-out' | 'parting', away: boolean): Promise<void> {
    const by = this.pull?.by_hand;
    const set = kind === 'break-out' ? by?.break_out_s : by?.parting_s;
    if (away && set !== null && set !== undefined) await this.toFound(kind);
    await this.edit([this.to(kind === 'break-out' ? 'no_break_out' : 'no_parting', away ? true : null)]);
  }

  private async edit(edits: SetValue[]): Promise<void> {
    if (!(await this.day.edit(edits))) this.put = [];
  }

  private to(key: string, value: unknown): SetValue {
    return { path: ['pull', this.name, 'events', key], value };
  }
}

/** Taken up to two figures: a doubt is never told smaller than it is. */
function twoFigures(value: number): number {
  const step = 10 ** (Math.floor(Math.log10(Math.max(value, 1e-9))) - 1);
  return Math.ceil(value / step - 1e-9) * step;
}

function written(seconds: number): string {
  return `${Number((seconds * 1e3).toPrecision(6))} ms`;
}
