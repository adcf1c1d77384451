// The plan on the screen. Its text is the truth; everything shown is worked out from it by
// the back end. A change goes: draft on the device -> text and form (edit) -> kept plan
// (save), quick answer, whole answer. While something is dragged only `live` is asked, always for the
// last place, never for those that are overtaken.

import { Lost, Refused } from '../contract/backend';
import type { Answer, Edit, Edited, Field, Live, PlanRequest, ReadUnits, StoredPlan } from '../contract/types.gen';
import { dropDraft, type Content } from './draft';
import { withPending } from './form';
import { History } from './history.svelte';
import { Keeping } from './keeping.svelte';
import { session } from './session.svelte';
import { settings } from './settings.svelte';
import { takeUp } from './take_up';
import { sameValue, valueOf } from './typed';
import { WINDOW } from './windows';

const ANSWER_AFTER_MS = 150;

export class OpenPlan {
  readonly name: string;
  text = $state('');
  edited = $state.raw<Edited | null>(null);
  /** The whole answer; of an older text while `stale`. */
  answer = $state.raw<Answer | null>(null);
  /** The quick answer to what is dragged or was just changed; null once the whole one is there. */
  live = $state.raw<Live | null>(null);
  /** What stands in fields that have not been left yet, by key. */
  typing = $state.raw<Record<string, string>>({});
  /** Keys that something was typed at when the page went down, not in the plan yet. */
  left = $state.raw<string[]>([]);
  private refused = $state<string | null>(null);
  private unanswered = $state<string | null>(null);
  private pending = $state.raw<Edit[]>([]);
  private drag = $state.raw<Edit[] | null>(null);
  /** The units of `edited`. */
  private formed: ReadUnits | null = null;
  /** The text that `answer` answers, and the units of its sentences. */
  private answered = $state.raw<PlanRequest | null>(null);

  private readonly kept: Keeping;
  private readonly history = new History();
  /** Counts texts put in place of what stood: an answer to an older one is of no use. */
  private turn = 0;
  private busy = false;
  private editing: Promise<void> = Promise.resolve();
  /** One change of several was refused: they go one by one, so that the others stay. */
  private oneByOne = false;
  private answerTimer: ReturnType<typeof setTimeout> | undefined;
  private answering: AbortController | null = null;
  /** The last drag, now a change: its quick answer still holds until the whole one is there. */
  private dropped: Edit[] | null = null;
  private dragging = false;

  readonly fields = $derived<Map<string, Field>>(withPending(this.edited?.form.fields ?? [], this.pending));
  /** Changes that wait for the engine. */
  readonly waiting = $derived(this.pending.length);
  /** Whether the numbers of `answer` are those of another text than the one on the screen. */
  readonly stale = $derived(!this.isAnswered || this.pending.length > 0 || this.drag !== null);

  private constructor(stored: StoredPlan) {
    this.name = stored.name;
    this.text = stored.plan;
    this.kept = new Keeping(this, stored.revision);
  }

  /** Opens a kept plan, with what was typed and not saved the last time. */
  static async open(name: string): Promise<OpenPlan> {
    const { stored, draft, saved, windows } = await takeUp(name);
    const plan = new OpenPlan(stored);
    if (draft) {
      plan.text = draft.text;
      plan.pending = draft.pending;
      plan.typing = draft.typing;
      plan.left = Object.keys(draft.typing);
      plan.kept.sent = draft.sent;
      plan.kept.state = saved ? 'saved' : 'unsaved';
      plan.kept.draft();
    }
    // Only now is what they held kept under this window.
    if (plan.onDevice) windows.filter((window) => window !== WINDOW).forEach((window) => dropDraft(name, window));
    plan.edit();
    if (plan.saved === 'unsaved') plan.kept.soon();
    return plan;
  }

  get saved(): 'saved' | 'saving' | 'unsaved' {
    return this.kept.state;
  }

  /** Whether the device keeps what is not saved. */
  get onDevice(): boolean {
    return this.kept.onDevice;
  }

  /** Why the last change, answer or save did not come, in words. */
  get trouble(): string | null {
    return this.refused ?? this.kept.trouble ?? this.unanswered;
  }

  private get isAnswered(): boolean {
    return this.answered?.plan === this.text && this.answered.units === settings.units;
  }

  get canUndo(): boolean {
    return this.history.canUndo;
  }

  get canRedo(): boolean {
    return this.history.canRedo;
  }

  field(key: string): Field | undefined {
    return this.fields.get(key);
  }

  content(): Content {
    return { text: this.text, pending: this.pending };
  }

  /** Changes the plan. Edits with the same `group` one after the other are undone together. */
  apply(edits: Edit[], group: string | null = null): void {
    this.history.step(this.content(), group);
    this.pending = [...this.pending, ...edits];
    this.changed();
  }

  /** Another text altogether: typed as text, or given by an operation. */
  replace(text: string, group: string | null = null): void {
    if (text === this.text && this.pending.length === 0) return;
    this.history.step(this.content(), group);
    this.put({ text, pending: [] });
  }

  /** A key stroke in a field; null where nothing is typed there any more. */
  type(key: string, text: string | null): void {
    const { [key]: _before, ...rest } = this.typing;
    this.typing = text === null ? rest : { ...rest, [key]: text };
    this.left = this.left.filter((k) => k !== key);
    this.kept.draft();
  }

  /** A field was left: what was typed there goes into the plan. */
  enter(key: string): void {
    const text = this.typing[key];
    const field = this.field(key);
    if (text === undefined || !field) return;
    const value = valueOf(field, text);
    if (!sameValue(value, field.written)) this.apply([{ path: field.path, value }]);
    this.type(key, null);
  }

  undo(): void {
    const before = this.history.undo(this.content());
    if (before) this.put(before);
  }

  redo(): void {
    const after = this.history.redo(this.content());
    if (after) this.put(after);
  }

  /** What it would be with these edits; nothing is changed yet. Call often: the last counts. */
  dragTo(edits: Edit[]): void {
    this.drag = edits;
    void this.askLive();
  }

  /** The end of a drag: `edits` become a change, or nothing where there are none. */
  drop(edits: Edit[]): void {
    const { live, drag } = this;
    this.drag = null;
    if (edits.length > 0) this.apply(edits);
    // Its numbers stand until the whole answer is there.
    this.live = edits.length > 0 ? live : null;
    this.dropped = edits.length > 0 ? drag : null;
  }

  /** Takes up what is left to do when a lost server is back. */
  resume(): void {
    this.edit();
    if (this.saved === 'unsaved') this.kept.soon();
    if (this.stale) this.answerSoon();
  }

  /** Takes over what another window saved, where nothing here is unsaved. */
  async refresh(): Promise<void> {
    if (this.saved !== 'saved' || this.drag !== null) return;
    const { turn } = this;
    const stored = await session.asking(() => session.backend.open(this.name)).catch(() => null);
    if (!stored || stored.revision === this.kept.revision || turn !== this.turn || this.saved !== 'saved') return;
    this.kept.revision = stored.revision;
    if (stored.plan === this.text) return;
    this.history.step(this.content(), null);
    this.turn += 1;
    this.text = stored.plan;
    this.live = null;
    this.edit();
  }

  /** Asks for form and answer anew where they are told in other units than people read. */
  retell(): void {
    if (this.formed !== null && this.formed !== settings.units) this.edit();
    if (!this.isAnswered) this.answerSoon();
  }

  /** Stops asking: the plan is no longer on the screen. Ends when it is saved, if it can be. */
  async close(): Promise<void> {
    clearTimeout(this.answerTimer);
    this.answering?.abort();
    await this.editing;
    await this.kept.save();
  }

  private put(content: Content): void {
    this.turn += 1;
    this.text = content.text;
    this.pending = content.pending;
    this.changed();
  }

  private changed(): void {
    this.refused = null;
    this.live = null;
    this.dropped = null;
    this.kept.changed();
    this.edit();
  }

  /** Brings the pending changes into the text, and the form up to date. */
  private edit(): void {
    if (!this.busy) this.editing = this.editAll();
  }

  private async editAll(): Promise<void> {
    this.busy = true;
    try {
      while (this.pending.length > 0 || this.edited?.plan !== this.text || this.formed !== settings.units) await this.editOnce();
      this.answerSoon();
      void this.askQuick();
    } catch (error) {
      this.failed(error);
    } finally {
      this.busy = false;
    }
  }

  private async editOnce(): Promise<void> {
    const { turn } = this;
    const { units } = settings;
    if (this.pending.length === 0) this.oneByOne = false;
    const edits = this.oneByOne ? this.pending.slice(0, 1) : this.pending;
    const taken = edits.length;
    let edited: Edited;
    try {
      edited = await session.asking(() => session.backend.edit({ plan: this.text, edits, units }));
    } catch (error) {
      if (!(error instanceof Refused) || taken === 0) throw error;
      if (turn !== this.turn) return;
      if (taken > 1) {
        this.oneByOne = true;
        return;
      }
      // A change that is refused is told and dropped, not tried for ever.
      this.refused = error.message;
      this.pending = this.pending.slice(taken);
      this.kept.changed();
      return;
    }
    if (turn !== this.turn) return;
    const changed = edited.plan !== this.text;
    this.pending = this.pending.slice(taken);
    this.text = edited.plan;
    this.edited = edited;
    this.formed = units;
    if (changed || taken > 0) this.kept.changed();
  }

  /** What can be told at once of the text as it stands, until the whole answer is there. */
  private async askQuick(): Promise<void> {
    const { text } = this;
    if (!this.stale || this.drag !== null || (this.edited?.errors.length ?? 1) > 0) return;
    // Only a courtesy: whatever is wrong is told by the whole answer.
    const live = await session.asking(() => session.backend.live({ plan: text, edits: [], units: settings.units })).catch(() => null);
    if (live && this.text === text && this.stale && this.drag === null && this.pending.length === 0) this.live = live;
  }

  private answerSoon(): void {
    clearTimeout(this.answerTimer);
    this.answerTimer = setTimeout(() => void this.askAnswer(), ANSWER_AFTER_MS);
  }

  private async askAnswer(): Promise<void> {
    this.answering?.abort();
    if (this.edited === null || this.edited.errors.length > 0 || this.isAnswered) return;
    const asking = new AbortController();
    this.answering = asking;
    const request = { plan: this.text, units: settings.units };
    try {
      const answer = await session.asking(() => session.backend.answer(request, asking.signal));
      if (asking.signal.aborted || this.text !== request.plan) return;
      this.answer = answer;
      this.answered = request;
      if (this.drag === null) this.live = null;
      this.unanswered = null;
    } catch (error) {
      if (asking.signal.aborted || error instanceof Lost) return;
      this.unanswered = said(error);
    }
  }

  private async askLive(): Promise<void> {
    if (this.dragging) return;
    this.dragging = true;
    try {
      while (this.drag !== null) {
        const dragged = this.drag;
        const edits = [...this.pending, ...dragged];
        const live = await session.asking(() => session.backend.live({ plan: this.text, edits, units: settings.units }));
        if (this.drag !== null || (this.dropped === dragged && this.stale)) this.live = live;
        if (this.drag === dragged) break;
      }
    } catch (error) {
      this.failed(error);
    } finally {
      this.dragging = false;
    }
  }

  private failed(error: unknown): void {
    // A lost server is said once, for the whole page.
    if (!(error instanceof Lost)) this.refused = said(error);
  }
}

function said(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
