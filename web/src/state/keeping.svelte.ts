// Keeping the open plan: a draft on the device with every change, the server's copy soon
// after, and what happens when somebody else changed that copy meanwhile: both stay.

import { Conflict, Lost, Missing } from '../contract/backend';
import type { StoredPlan } from '../contract/types.gen';
import { dropDraft, keepDraft, type Content } from './draft';
import { go, route } from './route.svelte';
import { session } from './session.svelte';
import { settings } from './settings.svelte';
import { tellSaved } from './windows';

const SAVE_AFTER_MS = 300;
/** Most texts that are remembered as sent. */
const MOST_SENT = 3;

/** What is kept. */
export interface Kept {
  readonly name: string;
  content(): Content;
  readonly typing: Record<string, string>;
}

export class Keeping {
  state = $state<'saved' | 'saving' | 'unsaved'>('saved');
  /** False where the device keeps no draft. */
  onDevice = $state(true);
  /** Why it was not saved, in words; null while the server is only lost. */
  trouble = $state<string | null>(null);
  revision: string;
  /** Texts that were sent to be saved and whose answer did not come: any may stand there. */
  sent: string[] = [];
  private readonly plan: Kept;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private saving: Promise<void> | null = null;
  /** It goes on under another name: nothing is kept under this one any more. */
  private parted = false;

  constructor(plan: Kept, revision: string) {
    this.plan = plan;
    this.revision = revision;
  }

  /** The plan was changed: on the device at once, on the server soon. */
  changed(): void {
    this.state = 'unsaved';
    this.draft();
    this.soon();
  }

  /** Writes what stands on the screen to the device. */
  draft(): void {
    if (this.parted) return;
    const { typing } = this.plan;
    const saved = this.state === 'saved';
    if (saved && Object.keys(typing).length === 0) dropDraft(this.plan.name);
    else {
      const draft = { ...this.plan.content(), typing, saved, revision: this.revision, sent: this.sent };
      this.onDevice = keepDraft(this.plan.name, draft);
    }
  }

  soon(): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.save(), SAVE_AFTER_MS);
  }

  /** Saves now what is not saved. */
  async save(): Promise<void> {
    clearTimeout(this.timer);
    while (this.saving) await this.saving;
    // A lost server is not tried with every change: the page saves when it is back.
    if (this.state === 'saved' || this.parted || session.server === 'lost') return;
    this.saving = this.send();
    await this.saving;
  }

  private async send(): Promise<void> {
    const { text } = this.plan.content();
    this.state = 'saving';
    this.sent = [...this.sent, text].slice(-MOST_SENT);
    this.draft();
    try {
      const stored = await session.asking(() =>
        session.backend.save(this.plan.name, { plan: text, revision: this.revision }),
      );
      this.taken(stored, text);
      tellSaved(this.plan.name);
    } catch (error) {
      this.state = 'unsaved';
      if (error instanceof Conflict) await this.part(error.standing);
      else if (!(error instanceof Lost) && !(await this.again(error, text))) this.trouble = said(error);
    } finally {
      this.saving = null;
    }
  }

  /** The plan may have been removed meanwhile: what is on the screen is kept again. */
  private async again(error: unknown, text: string): Promise<boolean> {
    if (!(error instanceof Missing)) return false;
    const { name } = this.plan;
    const stored = await session.asking(() => session.backend.create({ name, plan: text })).catch(() => null);
    if (stored?.name !== name) return false;
    session.say(`"${name}" was removed in another place; it is kept again, because it is open here.`);
    this.taken(stored, text);
    return true;
  }

  /** `text` is known to be kept as `stored`. */
  private taken(stored: StoredPlan, text: string): void {
    this.revision = stored.revision;
    this.sent = [];
    this.trouble = null;
    const now = this.plan.content();
    if (now.text === text && now.pending.length === 0) {
      this.state = 'saved';
      this.draft();
    } else {
      // Changes that wait for the engine are saved once they are in the text.
      this.state = 'unsaved';
      this.draft();
      if (now.text !== text) this.soon();
    }
  }

  /** Another text stands there: an own one whose answer was lost, or somebody else's. */
  private async part(standing: StoredPlan): Promise<void> {
    const { text } = this.plan.content();
    if (standing.plan === text || this.sent.includes(standing.plan)) return this.taken(standing, standing.plan);
    try {
      const kept = this.plan.content();
      const own = await keepBeside(this.plan.name, kept);
      const now = this.plan.content();
      this.parted = true;
      dropDraft(this.plan.name);
      // What was typed while it was being kept goes along.
      if (!same(now, kept) || Object.keys(this.plan.typing).length > 0) {
        keepDraft(own.name, { ...now, typing: this.plan.typing, saved: same(now, { text: own.plan, pending: [] }), revision: own.revision, sent: [] });
      }
      session.say(`"${this.plan.name}" was changed in another place at the same time. Both are kept: the other as "${this.plan.name}", what you typed here as "${own.name}".`);
      if (route.plan === this.plan.name) go(own.name, route.area);
    } catch (error) {
      if (!(error instanceof Lost)) this.trouble = said(error);
    }
  }
}

export function same(a: Content, b: Content): boolean {
  return a.text === b.text && JSON.stringify(a.pending) === JSON.stringify(b.pending);
}

/** Keeps a text, with changes that are not in it yet, as a plan of its own. */
export async function keepBeside(name: string, { text, pending }: Content): Promise<StoredPlan> {
  let plan = text;
  if (pending.length > 0) {
    plan = (await session.asking(() => session.backend.edit({ plan: text, edits: pending, units: settings.units }))).plan;
  }
  return session.asking(() => session.backend.create({ name, plan }));
}

function said(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
