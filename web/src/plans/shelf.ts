// What is done with kept plans as a whole; nothing is ever lost by it.

import type { StoredPlan } from '../contract/types.gen';
import { session } from '../state/session.svelte';

/** The plan under another name; the old file goes to the removed ones. */
export async function rename(from: string, to: string): Promise<StoredPlan> {
  const { plan } = await session.asking(() => session.backend.open(from));
  const stored = await session.asking(() => session.backend.create({ name: to, plan }));
  await session.asking(() => session.backend.remove(from));
  return stored;
}
