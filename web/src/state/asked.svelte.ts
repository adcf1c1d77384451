// Something that is asked for and shown: the answer that is there stays, marked as older,
// until the next one comes; what is overtaken is given up.

import { Lost, Refused } from '../contract/backend';
import type { InputError } from '../contract/types.gen';
import { session } from './session.svelte';

export class Asked<T> {
  value = $state.raw<T | null>(null);
  /** Whether `value` answers something older than what was asked last. */
  stale = $state(false);
  /** Why the last question was not answered. */
  trouble = $state.raw<InputError[]>([]);
  private key: string | null = null;
  private asking: AbortController | null = null;

  /** Asks, unless this is what was asked last. */
  ask(key: string, work: (signal: AbortSignal) => Promise<T>): void {
    if (key === this.key) return;
    this.key = key;
    this.stale = true;
    this.asking?.abort();
    const asking = new AbortController();
    this.asking = asking;
    session.asking(() => work(asking.signal)).then(
      (value) => {
        if (asking.signal.aborted) return;
        this.value = value;
        this.trouble = [];
        this.stale = false;
      },
      (error: unknown) => {
        if (asking.signal.aborted) return;
        // Asked again by whoever sees the server come back.
        if (error instanceof Lost) this.key = null;
        else {
          // What was answered before stays, so that it can be put right from there.
          this.stale = this.value !== null;
          this.trouble = told(error);
        }
      },
    );
  }

  stop(): void {
    this.asking?.abort();
    this.key = null;
  }
}

/** What went wrong, one by one. */
export function told(error: unknown): InputError[] {
  if (error instanceof Refused) return error.errors.errors;
  const message = error instanceof Error ? error.message : String(error);
  return [{ file: null, line: null, column: null, end_column: null, key: null, found: null, message, expected: null, hint: null }];
}
