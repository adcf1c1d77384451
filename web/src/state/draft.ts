// What was typed and is not yet known to be saved: kept on the device with every change, so
// that neither a reload nor a crash of the page or the server loses it.

import type { Edit } from '../contract/types.gen';
import { remember, remembered } from './memory';

export interface Draft {
  /** Text of the plan as last worked out. */
  text: string;
  /** Changes that are not in the text yet. */
  pending: Edit[];
  /** The revision of the kept plan that it was made from. */
  revision: string;
}

const key = (name: string) => `draft.${name}`;

export function keepDraft(name: string, draft: Draft): boolean {
  return remember(key(name), JSON.stringify(draft));
}

export function dropDraft(name: string): void {
  remember(key(name), null);
}

export function draftOf(name: string): Draft | null {
  const text = remembered(key(name));
  if (text === null) return null;
  try {
    const draft = JSON.parse(text) as Draft;
    const whole = typeof draft.text === 'string' && typeof draft.revision === 'string' && Array.isArray(draft.pending);
    return whole ? draft : null;
  } catch {
    return null;
  }
}
