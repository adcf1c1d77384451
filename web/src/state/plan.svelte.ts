// The plan on the screen. Its text is the truth; everything shown is worked out from it by
// the back end. A change goes: draft on the device -> text and form (edit) -> kept plan
// (save) and whole answer. While something is dragged only `live` is asked, always for the
// last place, never for those that are overtaken.

import { Conflict, Lost, Refused } from '../contract/backend';
import type { Answer, Edit, Edited, Field, Live, StoredPlan } from '../contract/types.gen';
import { dropDraft, draftOf, keepDraft } from './draft';
import { go, route } from './route.svelte';
import { session } from './session.svelte';

const SAVE_AFTER_MS = 300;
const ANSWER_AFTER_MS = 150;
/** Most steps that can be taken back. */
const MOST_STEPS = 200;

interface Step {
  text: string;
  /** Changes of one group one after the other are one step: a drag, typing in one field. */
  group: string | null;
}

export class OpenPlan {
  readonly name: string;
  text = $state('');
  edited = $state.raw<Edited | null>(null);
  /** The whole answer; of an older text while `stale`. */
  answer = $state.raw<Answer | null>(null);
  /** The quick answer to what is dragged or was just dropped; null once the whole one is there. */
  live = $state.raw<Live | null>(null);
  stale = $state(true);
  saved = $state<'saved' | 'saving' | 'unsaved'>('saved');
  /** Why the last change or answer did not come, in words. */
  trouble = $state<string | null>(null);
  private undoable = $state.raw<Step[]>([]);
  private redoable = $state.raw<string[]>([]);

  private revision: string;
  private pending: Edit[] = [];
  private editing = false;
  private saving = false;
  private saveTimer: ReturnType<typeof setTimeout> | undefined;
  private answerTimer: ReturnType<typeof setTimeout> | undefined;
  private answering: AbortController | null = null;
  private drag: Edit[] | null = null;
  private dragging = false;

  readonly fields = $derived(new Map<string, Field>(this.edited?.form.fields.map((f) => [f.key, f]) ?? []));
  readonly canUndo = $derived(this.undoable.length > 0);
  readonly canRedo = $derived(this.redoable.length > 0);

  private constructor(stored: StoredPlan) {
    this.name = stored.name;
    this.revision = stored.revision;
    this.text = stored.plan;
  }

  /** Opens a kept plan, with what was typed and not saved the last time. */
  static async open(name: string): Promise<OpenPlan> {
    const stored = await session.asking(() => session.backend.open(name));
    const plan = new OpenPlan(stored);
    const draft = draftOf(name);
    if (draft && (draft.text !== stored.plan || draft.pending.length > 0)) {
      if (draft.revision === stored.revision) {
        plan.text = draft.text;
        plan.pending = draft.pending;
        plan.saved = 'unsaved';
      } else {
        await keepBeside(name, draft.text, draft.pending);
        plan.trouble = beside(name);
        dropDraft(name);
      }
    }
    plan.resume(true);
    return plan;
  }

  field(key: string): Field | undefined {
    return this.fields.get(key);
  }

  /** Changes the plan. Edits with the same `group` one after the other are undone together. */
  apply(edits: Edit[], group: string | null = null): void {
    this.step(group);
    this.pending.push(...edits);
    this.changed();
    void this.edit();
  }

  /** Another text altogether: a step back, a text that an operation gave. */
  replace(text: string): void {
    this.step(null);
    this.put(text);
  }

  undo(): void {
    const step = this.undoable.at(-1);
    if (!step || this.pending.length > 0) return;
    this.redoable = [...this.redoable, this.text];
    this.undoable = this.undoable.slice(0, -1);
    this.put(step.text);
  }

  redo(): void {
    const text = this.redoable.at(-1);
    if (text === undefined || this.pending.length > 0) return;
    this.undoable = [...this.undoable, { text: this.text, group: null }];
    this.redoable = this.redoable.slice(0, -1);
    this.put(text);
  }

  /** What it would be with these edits; nothing is changed yet. Call often: the last counts. */
  dragTo(edits: Edit[]): void {
    this.drag = edits;
    this.stale = true;
    void this.askLive();
  }

  /** The end of a drag: `edits` become a change, or nothing where there are none. */
  drop(edits: Edit[]): void {
    this.drag = null;
    if (edits.length > 0) this.apply(edits);
    else {
      this.live = null;
      this.stale = this.answer === null;
      if (this.stale) this.answerSoon();
    }
  }

  /** Takes up what is left to do: after opening, and when a lost server is back. */
  resume(first = false): void {
    if (first || this.pending.length > 0 || this.edited === null) void this.edit();
    if (this.saved === 'unsaved') this.saveSoon();
    if (this.stale && !first) this.answerSoon();
  }

  /** Stops asking: the plan is no longer on the screen. */
  close(): void {
    clearTimeout(this.answerTimer);
    this.answering?.abort();
    if (this.saved === 'unsaved') void this.save();
  }

  private step(group: string | null): void {
    this.redoable = [];
    const last = this.undoable.at(-1);
    if (group !== null && last?.group === group) return;
    this.undoable = [...this.undoable.slice(1 - MOST_STEPS), { text: this.text, group }];
  }

  private put(text: string): void {
    this.text = text;
    this.pending = [];
    this.changed();
    void this.edit();
  }

  private changed(): void {
    this.stale = true;
    this.saved = 'unsaved';
    if (!keepDraft(this.name, { text: this.text, pending: this.pending, revision: this.revision })) {
      this.trouble = 'this device keeps no copy: wait for "saved" before you close the page';
    }
  }

  /** Brings the pending changes into the text, and the form up to date. */
  private async edit(): Promise<void> {
    if (this.editing) return;
    this.editing = true;
    try {
      do {
        const taken = this.pending.length;
        const request = { plan: this.text, edits: this.pending.slice(0, taken) };
        const edited = await session.asking(() => session.backend.edit(request));
        // Another text was put there meanwhile: this answer is of the old one.
        if (this.text !== request.plan) continue;
        this.pending.splice(0, taken);
        this.text = edited.plan;
        this.edited = edited;
        this.trouble = null;
        if (taken > 0) this.changed();
      } while (this.pending.length > 0 || this.edited?.plan !== this.text);
      if (this.saved === 'unsaved') this.saveSoon();
      this.answerSoon();
    } catch (error) {
      this.failed(error);
      // A change that is refused is dropped, not tried for ever.
      if (error instanceof Refused) this.pending = [];
    } finally {
      this.editing = false;
    }
  }

  private saveSoon(): void {
    clearTimeout(this.saveTimer);
    this.saveTimer = setTimeout(() => void this.save(), SAVE_AFTER_MS);
  }

  private async save(): Promise<void> {
    if (this.saving) return this.saveSoon();
    this.saving = true;
    this.saved = 'saving';
    const text = this.text;
    try {
      const stored = await session.asking(() =>
        session.backend.save(this.name, { plan: text, revision: this.revision }),
      );
      this.revision = stored.revision;
      const all = this.text === text && this.pending.length === 0;
      this.saved = all ? 'saved' : 'unsaved';
      if (all) dropDraft(this.name);
      else {
        this.changed();
        this.saveSoon();
      }
    } catch (error) {
      this.saved = 'unsaved';
      if (error instanceof Conflict) await this.part(error.standing);
      else this.failed(error);
    } finally {
      this.saving = false;
    }
  }

  /** Somebody else changed the kept plan: both stay, this one under a name beside it. */
  private async part(standing: StoredPlan): Promise<void> {
    if (standing.plan === this.text) {
      this.revision = standing.revision;
      this.saved = 'saved';
      return;
    }
    const own = await keepBeside(this.name, this.text, this.pending);
    dropDraft(this.name);
    if (route.plan === this.name) go(own.name, route.area);
  }

  private answerSoon(): void {
    clearTimeout(this.answerTimer);
    this.answerTimer = setTimeout(() => void this.askAnswer(), ANSWER_AFTER_MS);
  }

  private async askAnswer(): Promise<void> {
    if ((this.edited?.errors.length ?? 0) > 0) return;
    this.answering?.abort();
    const asking = new AbortController();
    this.answering = asking;
    const text = this.text;
    try {
      const answer = await session.asking(() => session.backend.answer(text, asking.signal));
      if (asking.signal.aborted || this.text !== text) return;
      this.answer = answer;
      this.stale = this.drag !== null;
      if (this.drag === null) this.live = null;
      this.trouble = null;
    } catch (error) {
      if (!asking.signal.aborted) this.failed(error);
    }
  }

  private async askLive(): Promise<void> {
    if (this.dragging) return;
    this.dragging = true;
    try {
      while (this.drag !== null) {
        const edits = this.drag;
        const live = await session.asking(() => session.backend.live({ plan: this.text, edits }));
        if (this.drag !== null) this.live = live;
        if (this.drag === edits) break;
      }
    } catch (error) {
      this.failed(error);
    } finally {
      this.dragging = false;
    }
  }

  private failed(error: unknown): void {
    // A lost server is said once, for the whole page.
    if (error instanceof Lost) return;
    this.trouble = error instanceof Error ? error.message : String(error);
  }
}

function beside(name: string): string {
  return `"${name}" was changed elsewhere since; what you had typed here is kept beside it, under a name of its own`;
}

async function keepBeside(name: string, text: string, pending: Edit[]): Promise<StoredPlan> {
  let plan = text;
  if (pending.length > 0) {
    plan = (await session.asking(() => session.backend.edit({ plan: text, edits: pending }))).plan;
  }
  return session.asking(() => session.backend.create({ name, plan }));
}
