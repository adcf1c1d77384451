// Moving and turning what stands on the ground, by pointer or by key: follows at once, snaps,
// and becomes one change of the plan at the end.

import type { Edit } from '../../contract/types.gen';
import type { OpenPlan } from '../../state/plan.svelte';
import { written } from './kit';
import { angleText, lengthText, turned } from './quantity';
import type { Body, Moved } from './scene';
import type { Pos } from './view.svelte';

const GRID_M = 0.5;
const TURN_DEG = 5;
/** A line is snapped to from this near, in pixels, and never from farther than this on the ground. */
const NEAR_PX = 10;
const NEAR_M = 1;

/** A line that things are brought into line with. */
export interface Guide {
  through: Pos;
  /** Direction in degrees. */
  along: number;
  word: string;
  /** The body whose own line it is. */
  of: string;
}

export class Mover {
  snaps = $state(true);
  /** What is being moved, where it is now. */
  now = $state.raw<Moved | null>(null);
  /** The line that it is in line with. */
  guide = $state.raw<Guide | null>(null);
  /** What was just put down: the plan does not say so yet. */
  private put = $state.raw<Moved | null>(null);
  private body: Body | null = null;
  private plan: OpenPlan;
  readonly shown = $derived(this.now ?? this.put);

  constructor(plan: OpenPlan) {
    this.plan = plan;
  }

  get moving(): boolean {
    return this.now !== null;
  }

  begin(body: Body): void {
    this.body = body;
    this.now = { id: body.id, at: body.at, facing: body.facing };
    this.put = null;
  }

  moveTo(at: Pos, scale: number, guides: Guide[], free: boolean): void {
    const body = this.body;
    if (!this.now || !body) return;
    const snapped = this.snaps && !free ? snap(at, scale, guides.filter((g) => g.of !== body.id)) : { at, guide: null };
    this.guide = snapped.guide;
    this.follow({ ...this.now, at: snapped.at });
  }

  turnTo(towards: Pos, free: boolean): void {
    if (!this.now) return;
    const angle = (Math.atan2(towards.y - this.now.at.y, towards.x - this.now.at.x) * 180) / Math.PI;
    const step = this.snaps && !free ? TURN_DEG : 0.1;
    this.follow({ ...this.now, facing: turned(Math.round(angle / step) * step) });
  }

  /** A step by key. */
  step(dx: number, dy: number, turn: number): void {
    if (!this.now) return;
    const { at, facing } = this.now;
    this.follow({ ...this.now, at: { x: at.x + dx, y: at.y + dy }, facing: facing === null ? null : turned(facing + turn) });
  }

  /** Puts it down; true where that changes the plan. */
  end(): boolean {
    const edits = this.edits();
    if (edits.length > 0) this.put = this.now;
    this.now = null;
    this.guide = null;
    this.plan.drop(edits);
    return edits.length > 0;
  }

  cancel(): void {
    this.now = null;
    this.guide = null;
    this.plan.drop([]);
  }

  /** The plan says it now, or has refused it. */
  settled(): void {
    this.put = null;
  }

  private follow(now: Moved): void {
    this.now = now;
    this.plan.dragTo(this.edits());
  }

  private edits(): Edit[] {
    const [body, now] = [this.body, this.now];
    if (!body || !now) return [];
    const before: unknown = written(this.plan.fields, `${body.table.join('.')}.at`);
    const was = Array.isArray(before) ? before : [];
    const edits: Edit[] = [];
    [now.at.x, now.at.y].forEach((value, i) => {
      const text = lengthText(value, was[i]);
      if (text !== lengthText([body.at.x, body.at.y][i] ?? 0, was[i])) {
        edits.push({ path: [...body.table, 'at', String(i)], value: text });
      }
    });
    if (now.facing !== null && now.facing !== body.facing) {
      edits.push({ path: [...body.table, 'facing'], value: angleText(now.facing) });
    }
    return edits;
  }
}

function snap(at: Pos, scale: number, guides: Guide[]): { at: Pos; guide: Guide | null } {
  const grid = (v: number) => Math.round(v / GRID_M) * GRID_M;
  const near = Math.min(NEAR_PX / scale, NEAR_M);
  let best: { guide: Guide; off: number; at: Pos } | null = null;
  for (const guide of guides) {
    const [c, s] = [Math.cos((guide.along * Math.PI) / 180), Math.sin((guide.along * Math.PI) / 180)];
    const [dx, dy] = [at.x - guide.through.x, at.y - guide.through.y];
    const off = Math.abs(dy * c - dx * s);
    if (off > near || (best && best.off <= off)) continue;
    const along = grid(dx * c + dy * s);
    best = { guide, off, at: { x: guide.through.x + along * c, y: guide.through.y + along * s } };
  }
  return best ? { at: best.at, guide: best.guide } : { at: { x: grid(at.x), y: grid(at.y) }, guide: null };
}
