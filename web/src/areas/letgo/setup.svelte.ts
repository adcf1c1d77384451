// One set-up of dampers to look at: what it asks, and the recoil that it gets.

import type { Answer, Replay, ReplayDamper } from '../../contract/types.gen';
import { session } from '../../state/session.svelte';
import { settings } from '../../state/settings.svelte';
import { rigOf, type Choice } from './choices';

/** What holds for all set-ups on the screen. */
export interface Asked {
  plan: string;
  answer: Answer;
  choice: Choice;
  /** The load at which it parts; null for that of the answer. */
  load: number | null;
}

export class SetUp {
  readonly name: string;
  /** Dampers by hand; null for those of the plan. */
  dampers = $state.raw<ReplayDamper[] | null>(null);
  replay = $state.raw<Replay | null>(null);
  /** The choice that `replay` is of. */
  shows = $state<string | null>(null);
  /** Why there is none. */
  trouble = $state<string | null>(null);
  /** Whether `replay` is of something else than what is asked for. */
  waiting = $state(false);
  private asking: AbortController | null = null;

  constructor(name: string, dampers: ReplayDamper[] | null = null) {
    this.name = name;
    this.dampers = dampers;
  }

  async ask({ plan, answer, choice, load }: Asked): Promise<void> {
    this.asking?.abort();
    const asking = new AbortController();
    this.asking = asking;
    this.waiting = true;
    const request = { plan, rig: rigOf(answer), case: choice.case, flight: choice.flight, dampers: this.dampers, load_n: load, units: settings.units };
    try {
      const replay = await session.asking(() => session.backend.replay(request, asking.signal));
      if (asking.signal.aborted) return;
      this.replay = replay;
      this.shows = choice.id;
      this.trouble = null;
      this.waiting = false;
    } catch (error) {
      if (asking.signal.aborted) return;
      this.replay = null;
      this.trouble = error instanceof Error ? error.message : String(error);
      this.waiting = false;
    }
  }

  stop(): void {
    this.asking?.abort();
  }
}
