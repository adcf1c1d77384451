// Windows of this page on one device: which of them live, and what they saved. Drafts are
// kept for each window apart, so that two that show one plan never write over each other; a
// draft whose window is gone is taken up by the next that opens the plan.

/** This window, from load to reload. */
export const WINDOW = Array.from(crypto.getRandomValues(new Uint8Array(8)), (b) => b.toString(16).padStart(2, '0')).join('');

/** A window that lives answers within this. */
const ANSWER_MS = 150;

type Said = { say: 'who' } | { say: 'here'; window: string } | { say: 'saved'; plan: string };

const channel = 'BroadcastChannel' in globalThis ? new BroadcastChannel('steadypull') : null;
const saved = new Set<(plan: string) => void>();
const here = new Set<(window: string) => void>();

channel?.addEventListener('message', (event: MessageEvent<Said>) => {
  const said = event.data;
  if (said.say === 'who') tell({ say: 'here', window: WINDOW });
  else if (said.say === 'here') here.forEach((listen) => listen(said.window));
  else saved.forEach((listen) => listen(said.plan));
});

function tell(said: Said): void {
  channel?.postMessage(said);
}

export function tellSaved(plan: string): void {
  tell({ say: 'saved', plan });
}

/** Calls `listen` when another window saved a plan; returns how to stop it. */
export function onSaved(listen: (plan: string) => void): () => void {
  saved.add(listen);
  return () => void saved.delete(listen);
}

/** The other windows that live. */
export async function living(): Promise<Set<string>> {
  const found = new Set<string>();
  const listen = (window: string) => void found.add(window);
  here.add(listen);
  tell({ say: 'who' });
  await new Promise((resolve) => setTimeout(resolve, ANSWER_MS));
  here.delete(listen);
  return found;
}
