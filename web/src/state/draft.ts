// What was typed and is not yet known to be saved: kept on the device with every key stroke,
// so that neither a reload nor a crash of the page or the server loses it.

import type { Edit } from '../contract/types.gen';
import { remember, remembered, rememberedUnder } from './memory';
import { living, WINDOW } from './windows';

/** A plan as it stands on the screen. */
export interface Content {
  /** Text of the plan as last worked out. */
  text: string;
  /** Changes that are not in the text yet. */
  pending: Edit[];
}

export interface Draft extends Content {
  /** What stands in fields that have not been left yet, by key. */
  typing: Record<string, string>;
  /** The revision of the kept plan that it was made from. */
  revision: string;
  /** Whether the text is kept: then only what is being typed is not. */
  saved: boolean;
  /** Texts that were sent to be saved and whose answer never came. */
  sent: string[];
  /** When it was last changed, ms since 1970. */
  at: number;
}

export interface FoundDraft {
  window: string;
  draft: Draft;
}

const key = (plan: string, window: string) => `draft.${plan}.${window}`;

/** False where the device keeps nothing. */
export function keepDraft(plan: string, draft: Omit<Draft, 'at'>): boolean {
  return remember(key(plan, WINDOW), JSON.stringify({ ...draft, at: Date.now() }));
}

export function dropDraft(plan: string, window = WINDOW): void {
  remember(key(plan, window), null);
}

/** Drafts of a plan that no other living window holds, the last changed first. */
export async function draftsLeft(plan: string): Promise<FoundDraft[]> {
  const windows = rememberedUnder(key(plan, '')).filter((window) => !window.includes('.'));
  const others = windows.some((window) => window !== WINDOW) ? await living() : new Set<string>();
  return windows
    .filter((window) => !others.has(window))
    .map((window) => ({ window, draft: read(remembered(key(plan, window))) }))
    .filter((found): found is FoundDraft => found.draft !== null)
    .sort((a, b) => b.draft.at - a.draft.at);
}

/** Names of the plans that drafts are left of. */
export function plansWithDrafts(): string[] {
  return [...new Set(rememberedUnder('draft.').map((rest) => rest.replace(/\.[^.]*$/, '')))].sort();
}

function read(text: string | null): Draft | null {
  if (text === null) return null;
  try {
    const draft = JSON.parse(text) as Draft;
    const whole =
      typeof draft.text === 'string' &&
      typeof draft.revision === 'string' &&
      typeof draft.at === 'number' &&
      typeof draft.typing === 'object' &&
      Array.isArray(draft.pending) &&
      Array.isArray(draft.sent);
    return whole ? draft : null;
  } catch {
    return null;
  }
}
