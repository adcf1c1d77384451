// The automated accessibility check: WCAG 2.2 A and AA, in every look.

import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

import type { Page } from '@playwright/test';

import { expect } from './app';

const SOURCE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];
export const LOOKS = ['light', 'dark', 'sunlight'] as const;

interface Violation {
  id: string;
  help: string;
  nodes: { target: string[]; failureSummary: string }[];
}

/** Fails on any violation of the page as it stands, in every look. */
export async function scan(page: Page): Promise<void> {
  for (const look of LOOKS) {
    await page.getByRole('combobox', { name: 'Look' }).selectOption(look);
    // What stands half behind the areas on top would count as too small.
    await page.evaluate(() => scrollTo(0, 0));
    await page.evaluate(SOURCE);
    const found = await page.evaluate(
      (rules) =>
        (globalThis as unknown as { axe: { run(on: Document, how: unknown): Promise<{ violations: Violation[] }> } }).axe
          .run(document, { runOnly: rules })
          .then((result) => result.violations),
      RULES,
    );
    const told = found.map((v) => `${v.id}: ${v.help}\n  ${v.nodes.map((n) => `${n.target.join(' ')}: ${n.failureSummary}`).join('\n  ')}`);
    expect(told, `accessibility in the ${look} look`).toEqual([]);
  }
}
