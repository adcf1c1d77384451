// A run being threaded, by tapping on the drawing or by its list: both change the same path.

import type { OpenPlan } from '../../state/plan.svelte';
import type { Run } from './kit';

export class Threading {
  /** Name of the run that taps go to; null while nothing is threaded. */
  run = $state<string | null>(null);
  private plan: OpenPlan;
  private runs: () => Run[];
  /** Paths that were changed and that the plan does not show yet, so that no quick tap is lost. */
  private ahead = $state.raw<Record<string, string[]>>({});

  constructor(plan: OpenPlan, runs: () => Run[]) {
    this.plan = plan;
    this.runs = runs;
    $effect(() => this.caughtUp());
  }

  /** The path of a run as it will be once every change is in. */
  path(run: Run): string[] {
    return this.ahead[run.key.join('.')] ?? run.path;
  }

  /** Starts or goes on with a run; a new one is made by the first step. */
  start(name: string): void {
    this.run = name;
  }

  stop(): void {
    this.run = null;
  }

  /** The run that is threaded; one without a first step is not in the plan yet. */
  private threaded(): Run | null {
    const name = this.run;
    if (name === null) return null;
    return this.runs().find((r) => r.name === name) ?? { name, key: ['rig', 'run', name, 'path'], path: [] };
  }

  /** Its steps so far. */
  get begun(): string[] {
    const run = this.threaded();
    return run ? this.path(run) : [];
  }

  add(step: string): void {
    const run = this.threaded();
    if (run) this.put(run, [...this.path(run), step]);
  }

  /** Takes the last step back, and a run without steps out. */
  takeBack(): string | null {
    const run = this.threaded();
    const path = this.begun;
    if (!run || path.length === 0) return null;
    if (path.length > 1) this.put(run, path.slice(0, -1));
    else {
      const { [run.key.join('.')]: _, ...others } = this.ahead;
      this.ahead = others;
      this.plan.apply([{ path: ['rig', 'run', run.name ?? ''], value: null }]);
    }
    return path.at(-1) ?? null;
  }

  put(run: Run, path: string[]): void {
    this.ahead = { ...this.ahead, [run.key.join('.')]: path };
    this.plan.apply([{ path: run.key, value: path }]);
  }

  /** Takes a whole run out. */
  remove(run: Run): void {
    if (this.run === run.name) this.run = null;
    this.plan.apply([{ path: run.name === null ? ['rig', 'path'] : ['rig', 'run', run.name], value: null }]);
  }

  private caughtUp(): void {
    const runs = this.runs();
    const refused = this.plan.trouble !== null;
    const left = Object.entries(this.ahead).filter(([key, path]) => {
      const run = runs.find((r) => r.key.join('.') === key);
      return !refused && run?.path.join('\n') !== path.join('\n');
    });
    if (left.length !== Object.keys(this.ahead).length) this.ahead = Object.fromEntries(left);
  }
}
