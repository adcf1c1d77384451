// The open plan and who answers for it: one for the whole page.

import type { Backend } from '../contract/backend';
import { Lost } from '../contract/backend';
import type { OpenPlan } from './plan.svelte';
import { followAddress } from './route.svelte';
import type { OpenDay } from './test_day.svelte';
import { onSaved } from './windows';

/** How often a lost server is looked for. */
const LOOK_AGAIN_MS = 1000;
/** How often a page that stands still asks whether the server is there. */
const ASK_MS = 10_000;

class Session {
  private answering: Backend | null = null;
  /** The plan on the screen; null while plans are listed or one is being opened. */
  plan = $state<OpenPlan | null>(null);
  /** The test day on the screen, in the same way. */
  day = $state<OpenDay | null>(null);
  server = $state<'there' | 'lost'>('there');
  /** What happened and stays told until it is put away. */
  notices = $state<string[]>([]);
  /** Key of the field that somebody asked to be brought to. */
  wanted = $state<string | null>(null);
  private looking = false;

  get backend(): Backend {
    if (!this.answering) throw new Error('nobody was named to answer');
    return this.answering;
  }

  start(backend: Backend): void {
    this.answering = backend;
    setInterval(() => void this.lookRound(), ASK_MS);
    document.addEventListener('visibilitychange', () => {
      void this.lookRound();
      if (document.visibilityState === 'visible') void this.plan?.refresh();
    });
    onSaved((name) => {
      if (this.plan?.name === name) void this.plan.refresh();
    });
  }

  say(notice: string): void {
    if (!this.notices.includes(notice)) this.notices.push(notice);
  }

  putAway(notice: string): void {
    this.notices = this.notices.filter((n) => n !== notice);
  }

  /** Runs `work`; if nobody answers the page says so, and goes on when somebody does. */
  async asking<T>(work: () => Promise<T>): Promise<T> {
    try {
      const result = await work();
      this.server = 'there';
      return result;
    } catch (error) {
      if (error instanceof Lost) this.lost();
      throw error;
    }
  }

  private async lookRound(): Promise<void> {
    if (document.visibilityState !== 'visible' || this.looking) return;
    await this.asking(() => this.backend.health()).catch(() => undefined);
  }

  private lost(): void {
    this.server = 'lost';
    if (this.looking) return;
    this.looking = true;
    const look = async () => {
      try {
        await this.backend.health();
      } catch {
        setTimeout(look, LOOK_AGAIN_MS);
        return;
      }
      this.looking = false;
      this.server = 'there';
      this.plan?.resume();
      this.day?.resume();
    };
    setTimeout(look, LOOK_AGAIN_MS);
  }
}

export const session = new Session();

export function start(backend: Backend): void {
  session.start(backend);
  followAddress();
}
