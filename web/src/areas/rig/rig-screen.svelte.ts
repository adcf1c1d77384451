// What the Rig area shows and does: which numbers hold, what stands where, what is chosen,
// which run is being threaded.

import type { OpenPlan } from '../../state/plan.svelte';
import { settings } from '../../state/settings.svelte';
import { isLaidOut, runs, shape } from './kit';
import { Hanging } from './hanging.svelte';
import { Mover } from './move.svelte';
import { loadWordsAfter, placeWords, type Item } from './say';
import { scene, type Answered } from './scene';
import { Threading } from './threading.svelte';
import { around, View } from './view.svelte';

export class RigScreen {
  readonly plan: OpenPlan;
  readonly view = new View();
  readonly mover: Mover;
  readonly hanging: Hanging;
  readonly thread: Threading;
  /** Name of the thing whose details are open. */
  chosen = $state<string | null>(null);
  /** Name of the part that was opened in the strip: marked on the drawing. */
  marked = $state<string | null>(null);
  /** The thing on the drawing whose details were opened by key: the focus goes back to it. */
  openedFrom = $state.raw<string | null>(null);
  /** What screen readers hear next. */
  heard = $state('');
  /** A change by hand whose loads are still to be told. */
  private untold = $state.raw<string | null>(null);
  private last: Answered | null = null;

  /** The plan has no mistakes, as far as it was looked at. */
  readonly sound = $derived.by((): boolean => (this.plan.live ? this.plan.live.errors.length === 0 : (this.plan.edited?.errors.length ?? 0) === 0));
  /** The newest loads there are. */
  readonly answer = $derived.by((): Answered | null => {
    const { live, answer } = this.plan;
    if (live && live.errors.length === 0 && live.load_path) this.last = { path: live.load_path, rig: live.rig, standoff: live.standoff ?? answer?.standoff ?? null };
    else if (!live && answer) this.last = { path: answer.load_path, rig: answer.rig, standoff: answer.standoff };
    return this.last;
  });
  /** Whether they hold for what is on the screen, or are of the plan before a mistake. */
  readonly fresh = $derived(this.sound && this.answer !== null);
  readonly shape = $derived.by(() => shape(this.plan.fields));
  readonly runs = $derived.by(() => runs(this.plan.fields));
  readonly scene = $derived.by(() => scene(this.plan.fields, this.answer, this.fresh && !this.waits, this.mover.shown));
  /** The answer is of a rig of another make than the plan has now. */
  private readonly waits = $derived.by(() => isLaidOut(this.plan.fields) !== ((this.answer?.rig ?? null) !== null));
  /** Where people stand, in the frame of the drawing. */
  readonly standoff = $derived.by(() => (this.waits ? null : (this.answer?.standoff ?? null)));
  /** What the loads on the screen leave out as yet, in words. */
  readonly quick = $derived.by(() => (this.fresh ? (this.plan.live?.quick ?? []) : []));
  readonly errors = $derived.by(() => (this.plan.live?.errors.length ? this.plan.live.errors : (this.plan.edited?.errors ?? [])));

  constructor(plan: OpenPlan) {
    this.plan = plan;
    this.mover = new Mover(plan);
    this.hanging = new Hanging(plan);
    this.thread = new Threading(plan, () => this.runs);
    $effect(() => {
      if (plan.waiting === 0) this.mover.settled();
    });
    $effect(() => this.tell());
  }

  get threading(): string | null {
    return this.thread.run;
  }

  /** A thing was tapped; by key its details get the focus. */
  tapped(item: Item | null, byKey: boolean): void {
    if (this.thread.run !== null) {
      if (item) this.threadStep(item.name);
      return;
    }
    this.marked = null;
    this.openedFrom = byKey ? (item?.id ?? null) : null;
    this.chosen = item && (byKey || item.name !== this.chosen) ? item.name : null;
  }

  startThreading(name: string): void {
    this.chosen = null;
    this.thread.start(name);
    this.heard = `Threading run ${name}: tap what it is made fast to and what it passes, in order.`;
  }

  threadStep(step: string): void {
    this.thread.add(step);
    this.heard = `${step} added to run ${this.thread.run}`;
  }

  unthread(): void {
    const gone = this.thread.takeBack();
    if (gone) this.heard = `${gone} taken back`;
  }

  /** A name for the next run. */
  freeRun(): string {
    const taken = new Set(this.runs.map((r) => r.name));
    if (!taken.has('main')) return 'main';
    let i = 2;
    while (taken.has(`run-${i}`)) i += 1;
    return `run-${i}`;
  }

  putDown(item: Item, changed: boolean): void {
    const body = item.body;
    if (!body) return;
    if (!changed) {
      this.heard = `${body.title} stays where it was.`;
      return;
    }
    const moved = this.mover.shown;
    if (!moved) return;
    this.untold = `${body.title} at ${placeWords(settings.read, moved)}.`;
    if (!this.view.shows(this.view.onScreen(moved.at))) this.fitRig();
  }

  /** A block or ring was let go. */
  hung(item: Item, on: string | null): void {
    if (on === null) this.heard = `${item.name} hangs where it hung.`;
    else this.untold = `${item.name} hangs on ${on}.`;
  }

  /** Something is in the hand. */
  get carries(): boolean {
    return this.mover.moving || this.hanging.moving;
  }

  /** What is wrong in a table of the plan and below it, in words. */
  mistakes(table: string[]): string[] {
    const wanted = table.join('.');
    return this.errors
      .filter((error) => {
        const key = error.key ?? this.heading(error.line);
        return key === wanted || key?.startsWith(`${wanted}.`);
      })
      .map((e) => [e.message, e.hint].filter(Boolean).join('; '));
  }

  /** The table whose heading stands at a line: a mistake about the whole of it points there. */
  private heading(line: number | null): string | null {
    const text = this.plan.live?.plan ?? this.plan.text;
    return line === null ? null : (/^\s*\[\s*([^\]]+?)\s*\]/.exec(text.split('\n')[line - 1] ?? '')?.[1] ?? null);
  }

  fitRig(): void {
    const { bodies, nodes, strands } = this.scene;
    const corners = bodies.flatMap((b) => {
      const r = Math.hypot(b.length, b.width) / 2;
      return [{ x: b.at.x - r, y: b.at.y - r }, { x: b.at.x + r, y: b.at.y + r }];
    });
    this.view.fit(around([...corners, ...nodes.map((n) => n.at), ...strands.flatMap((s) => [s.a, s.b])]));
  }

  fitZone(): void {
    this.view.moved = true;
    const zone = this.standoff?.zone.map((p) => ({ x: p.x_m, y: p.y_m })) ?? [];
    this.view.fit(around(zone));
  }

  /** After a move: where it is now, and the weakest link, once its load is known. */
  private tell(): void {
    const untold = this.untold;
    if (untold === null || this.carries) return;
    const wrong = this.errors[0];
    if (this.plan.stale && !this.plan.live && !wrong) return;
    this.heard = untold + (wrong ? ` This cannot be rigged: ${wrong.message}` : loadWordsAfter(settings.read, this.answer));
    this.untold = null;
  }
}
