// The demo plans, each with what it shows: the first words of its own file say so.

import type { Backend } from '../contract/backend';

export interface Demo {
  name: string;
  title: string;
  shows: string;
}

export async function demos(backend: Backend): Promise<Demo[]> {
  const { examples } = await backend.examples();
  return Promise.all(
    examples.map(async ({ name, about }) => ({ name, title: about, shows: firstComment(await backend.example(name)) })),
  );
}

/** The comment that a file begins with, up to its first empty line. */
function firstComment(text: string): string {
  const lines = text.split('\n').map((line) => line.trim());
  const end = lines.findIndex((line) => !/^#\s*\S/.test(line));
  return lines.slice(0, Math.max(end, 0)).map((line) => line.replace(/^#\s*/, '')).join(' ');
}
