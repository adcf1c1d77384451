// Opening a plan: the kept text, and what was typed on this device and is not in it yet.

import { Lost, Missing } from '../contract/backend';
import type { StoredPlan } from '../contract/types.gen';
import { draftsLeft, dropDraft, type Draft } from './draft';
import { keepBeside, same } from './keeping.svelte';
import { session } from './session.svelte';

export interface TakenUp {
  stored: StoredPlan;
  /** What goes on top of it. */
  draft: Draft | null;
  /** Whether the text on the screen is known to be the kept one. */
  saved: boolean;
  /** Windows whose drafts it is made of: to be dropped once it is kept anew. */
  windows: string[];
}

/**
 * One draft that was made from the kept text goes on; any other is kept as a plan of its own.
 * While the server is lost the draft alone is opened.
 */
export async function takeUp(name: string): Promise<TakenUp> {
  const found = await draftsLeft(name);
  const newest = found[0]?.draft;
  let stored: StoredPlan;
  try {
    stored = await session.asking(() => session.backend.open(name));
  } catch (error) {
    if (!newest) throw error;
    if (error instanceof Lost) {
      stored = { contract_version: 0, name, revision: newest.revision, plan: newest.text };
      return { stored, draft: newest, saved: newest.saved, windows: found.slice(0, 1).map((f) => f.window) };
    }
    if (!(error instanceof Missing)) throw error;
    // It is kept no more, but something was typed in it here.
    stored = await session.asking(() => session.backend.create({ name, plan: newest.text }));
    session.say(`"${name}" was no longer kept; it is kept again as "${stored.name}", with what was typed here.`);
  }
  let goesOn = null as Draft | null;
  const windows: string[] = [];
  for (const { window, draft } of found) {
    // Nothing but what stands in fields is not kept.
    const bare = draft.saved || (draft.text === stored.plan && draft.pending.length === 0);
    if (bare && Object.keys(draft.typing).length === 0) {
      windows.push(window);
    } else if (bare) {
      goesOn ??= { ...draft, text: stored.plan, pending: [], typing: {} };
      goesOn = { ...goesOn, typing: { ...draft.typing, ...goesOn.typing } };
      windows.push(window);
    } else if (madeFrom(draft, stored) && (goesOn === null || same(goesOn, { text: stored.plan, pending: [] }))) {
      goesOn = { ...draft, typing: { ...draft.typing, ...goesOn?.typing } };
      windows.push(window);
    } else {
      const beside = await keepBeside(name, draft);
      session.say(`"${name}" was changed in another place. What you had typed here is kept as "${beside.name}".`);
      dropDraft(name, window);
    }
  }
  const saved = goesOn === null || (goesOn.text === stored.plan && goesOn.pending.length === 0);
  return { stored, draft: goesOn, saved, windows };
}

/** Whether nobody else changed the kept plan since. */
function madeFrom(draft: Draft, stored: StoredPlan): boolean {
  return draft.revision === stored.revision || draft.text === stored.plan || draft.sent.includes(stored.plan);
}
