// The test day on the screen. Its test file is the truth; readings, fits and comparisons are
// asked for by whoever shows them. Changes go one after the other, each made to the revision
// that stands; what somebody else changed meanwhile is never written over unasked.

import { DayConflict, Lost } from '../contract/backend';
import type { SetValue, StoredTestDay } from '../contract/types.gen';
import { remember, remembered } from './memory';
import { session } from './session.svelte';

const SAVE_AFTER_MS = 500;
const MOST_STEPS = 100;

const draftKey = (name: string) => `tests-draft.${name}`;

/** Whether something was typed in a day on this device that is not saved yet. */
export const isDrafted = (name: string) => remembered(draftKey(name)) !== null;

export class OpenDay {
  readonly name: string;
  /** As it is kept. */
  stored = $state.raw() as StoredTestDay;
  /** The test file as it stands on the screen. */
  text = $state('');
  saved = $state<'saved' | 'saving' | 'unsaved'>('saved');
  /** False where the device keeps nothing of what is typed. */
  onDevice = $state(true);
  /** Why the last change was not made, in words. */
  trouble = $state<string | null>(null);
  /** What stands there instead of what `text` was made from: which one stays is for people to say. */
  standing = $state.raw<StoredTestDay | null>(null);
  private past = $state.raw<{ text: string; burst: string | null }[]>([]);
  private future = $state.raw<string[]>([]);
  private timer: ReturnType<typeof setTimeout> | undefined;
  private queue: Promise<void> = Promise.resolve();

  /** As the test file has it; its name where it has none. */
  readonly title = $derived.by(() => {
    const found = /^\s*title\s*=\s*("(?:[^"\\]|\\.)*")/m.exec(this.text)?.[1];
    try {
      return found ? String(JSON.parse(found)) : this.name;
    } catch {
      return this.name;
    }
  });
  /** What is wrong in the test file as it is kept. That it has no pull yet is how every day begins. */
  readonly mistakes = $derived(this.stored.mistakes);
  /** Whether it can be asked for readings. */
  readonly readable = $derived(this.stored.mistakes.length === 0 && this.stored.pulls.length > 0);
  readonly cells = $derived(this.named('cell', this.stored.cells));
  readonly setups = $derived(this.named('setup', this.stored.setups));

  readonly canUndo = $derived(this.past.length > 0 && this.standing === null);
  readonly canRedo = $derived(this.future.length > 0 && this.standing === null);

  private constructor(stored: StoredTestDay) {
    this.name = stored.name;
    this.stored = stored;
    this.text = stored.text;
  }

  /** Opens a test day, with what was typed here and not saved the last time. */
  static async open(name: string): Promise<OpenDay> {
    const day = new OpenDay(await session.asking(() => session.backend.tests.open(name)));
    day.takeUpDraft();
    return day;
  }

  /** Makes changes to values of the test file. */
  edit(edits: SetValue[]): Promise<boolean> {
    return this.change((revision) => session.backend.tests.edit(this.name, { edits, revision }));
  }

  /** Takes a log into the test file. */
  takeUp(log: { file: string; recipe: string; force: string | null; displacement: string | null; cell: string | null; setup: string | null }): Promise<boolean> {
    return this.change((revision) => session.backend.tests.takeUp(this.name, { ...log, revision }), true);
  }

  /** Another text on the screen, saved soon. Changes with one `burst` are one step back. */
  replace(text: string, burst: string | null = null): void {
    if (text === this.text) return;
    this.step(burst);
    this.put(text);
  }

  undo(): void {
    const last = this.past.at(-1);
    if (!last || !this.canUndo) return;
    this.past = this.past.slice(0, -1);
    this.future = [...this.future, this.text];
    this.put(last.text);
  }

  redo(): void {
    const next = this.future.at(-1);
    if (next === undefined || !this.canRedo) return;
    this.past = [...this.past, { text: this.text, burst: null }];
    this.future = this.future.slice(0, -1);
    this.put(next);
  }

  /** Of two texts that stand against each other, the one on the screen stays. */
  keepMine(): void {
    if (!this.standing) return;
    this.stored = this.standing;
    this.standing = null;
    this.put(this.text);
  }

  /** The other one stays; a step back brings this one again. */
  takeTheirs(): void {
    if (!this.standing) return;
    const theirs = this.standing;
    this.standing = null;
    this.step(null);
    this.taken(theirs);
  }

  /** Looks at what is kept, as after a file was put there. */
  async refresh(): Promise<void> {
    await this.inTurn(async () => {
      const stored = await session.asking(() => session.backend.tests.open(this.name));
      if (this.saved === 'saved') this.taken(stored);
      else this.stored = { ...stored, revision: this.stored.revision };
    }).catch((error: unknown) => this.tell(error));
  }

  /** Saves now what is not saved. */
  async save(): Promise<void> {
    clearTimeout(this.timer);
    await this.inTurn(async () => {
      if (this.saved === 'saved' || this.standing || session.server === 'lost') return;
      const { text } = this;
      this.saved = 'saving';
      try {
        const stored = await session.asking(() => session.backend.tests.save(this.name, { text, revision: this.stored.revision }));
        this.trouble = null;
        if (this.text === text) this.taken(stored);
        else {
          this.stored = stored;
          this.saved = 'unsaved';
          this.draft();
          this.soon();
        }
      } catch (error) {
        this.saved = 'unsaved';
        if (error instanceof DayConflict) this.against(error.standing);
        else this.tell(error);
      }
    });
  }

  /** The server is back. */
  resume(): void {
    if (this.saved !== 'saved') void this.save();
    else void this.refresh();
  }

  close(): Promise<void> {
    return this.save();
  }

  /** Does `work` with the revision that stands; false, and why in `trouble`, where it was not made. */
  private async change(work: (revision: string) => Promise<StoredTestDay>, throws = false): Promise<boolean> {
    await this.save();
    if (this.saved !== 'saved') {
      this.trouble ??= 'what was typed in the test file is not saved yet: look at "Test file" first';
      return false;
    }
    return this.inTurn(async () => {
      try {
        const stored = await session.asking(() => work(this.stored.revision));
        if (stored.text !== this.text) this.step(null);
        this.taken(stored);
        this.trouble = null;
        return true;
      } catch (error) {
        if (error instanceof DayConflict) {
          this.taken(error.standing);
          this.trouble = 'the test file was changed in another place meanwhile: it is shown as it stands there now, without your last change; make it again';
        } else if (throws) throw error;
        else this.tell(error);
        return false;
      }
    });
  }

  /** Names of tables, also where the test file does not read as a whole. */
  private named(table: string, read: string[]): string[] {
    if (this.stored.mistakes.length === 0) return read;
    const headings = this.stored.text.matchAll(new RegExp(`^\\s*\\[\\s*${table}\\s*\\.\\s*"?([\\w-]+)"?\\s*\\]`, 'gm'));
    return [...new Set([...headings].map((m) => m[1]!))];
  }

  private inTurn<T>(work: () => Promise<T>): Promise<T> {
    const done = this.queue.then(work);
    this.queue = done.then(
      () => undefined,
      () => undefined,
    );
    return done;
  }

  private step(burst: string | null): void {
    this.future = [];
    if (burst !== null && this.past.at(-1)?.burst === burst) return;
    this.past = [...this.past.slice(1 - MOST_STEPS), { text: this.text, burst }];
  }

  private put(text: string): void {
    this.text = text;
    this.saved = 'unsaved';
    this.draft();
    if (!this.standing) this.soon();
  }

  private soon(): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.save(), SAVE_AFTER_MS);
  }

  private taken(stored: StoredTestDay): void {
    this.stored = stored;
    this.text = stored.text;
    this.saved = 'saved';
    remember(draftKey(this.name), null);
  }

  private against(standing: StoredTestDay): void {
    if (standing.text === this.text) this.taken(standing);
    else this.standing = standing;
  }

  private draft(): void {
    this.onDevice = remember(draftKey(this.name), JSON.stringify({ text: this.text, revision: this.stored.revision }));
  }

  private takeUpDraft(): void {
    const draft = draftOf(remembered(draftKey(this.name)));
    if (!draft || draft.text === this.text) return;
    const moved = draft.revision !== this.stored.revision;
    this.step(null);
    this.text = draft.text;
    this.saved = 'unsaved';
    if (moved) this.standing = this.stored;
    else this.soon();
  }

  private tell(error: unknown): void {
    if (!(error instanceof Lost)) this.trouble = error instanceof Error ? error.message : String(error);
  }
}

function draftOf(kept: string | null): { text: string; revision: string } | null {
  if (kept === null) return null;
  try {
    const draft = JSON.parse(kept) as { text?: unknown; revision?: unknown };
    return typeof draft.text === 'string' && typeof draft.revision === 'string' ? { text: draft.text, revision: draft.revision } : null;
  } catch {
    return null;
  }
}
