// Situation: from an empty plan to an answer, fields that keep what was typed, kit, undo.

import type { Page } from '@playwright/test';

import { answered, demo, expect, test } from './app';

const field = (page: Page, name: string) => page.getByRole('textbox', { name, exact: true });
const MASS = 'Mass of the casualty, load and people included (needed)';
const TUG = 'Mass of the tug, load and people included (needed)';

async function saved(page: Page): Promise<void> {
  await expect(page.locator('.saved')).toHaveText('saved');
}

async function group(page: Page, name: string): Promise<void> {
  await page.locator('details.group > summary').filter({ has: page.getByText(name, { exact: true }) }).click();
}

test('from an empty plan to an answered situation', async ({ page, app }) => {
  await page.goto(app.url);
  await page.getByRole('button', { name: 'New plan' }).click();
  await expect(page.getByRole('heading', { level: 1, name: 'Situation' })).toBeVisible();
  await expect(page.getByText('Still to say')).toBeVisible();

  await field(page, MASS).fill('2.2 to 2.6');
  await field(page, MASS).press('Tab');
  await page.getByRole('group', { name: 'It sits in' }).getByLabel('clay').check();
  await page.getByRole('radio', { name: /^Guard/ }).check();
  await field(page, 'Slope along the pull').fill('1 in 20');
  await field(page, 'Stuck for').fill('40');
  await page.getByLabel('Unit of Stuck for').selectOption('min');
  await field(page, TUG).fill('2.9');
  await page.getByRole('group', { name: 'The tug stands on' }).getByLabel('grass').check();

  await answered(page);
  await expect(page.getByText('Still to say')).toBeHidden();
  await expect(page.getByText(/within your policy|outside your policy/i)).toBeVisible();
  await saved(page);
  const kept = app.kept('new-plan');
  for (const line of ['mass = "2.2 to 2.6 t"', 'sits_in = "clay"', 'sunk_to = "guard"', 'slope_along = "1 in 20"', 'stuck_for = "40 min"', 'mass = "2.9 t"', 'surface = "grass"']) {
    expect(kept).toContain(line);
  }
  expect(kept).toContain('# A plan for one recovery.');
});

test('resistance as a drawing and as a table that says the same', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay');
  await expect(page.getByRole('img', { name: /Resistance and what the tug can do/ })).toBeVisible();
  await page.getByText('As a table, with models and sources').click();
  const table = page.getByRole('region', { name: 'Resistance as a table' });
  const answer = await page.request.post(`${app.url}/api/answer`, { data: { plan: demo('guard-deep-clay') } });
  const { situation } = (await answer.json()) as {
    situation: { terms: { name: string; range: { median_n: number }; source: string }[] };
  };
  expect(situation.terms.length).toBeGreaterThan(2);
  for (const term of situation.terms) {
    const row = table.getByRole('row').filter({ has: page.getByRole('rowheader', { name: term.name, exact: true }) });
    await expect(row).toContainText(term.source);
    const shown = await row.getByRole('cell').nth(1).innerText();
    expect(Number(shown.replace(/ kN$/, ''))).toBeCloseTo(term.range.median_n / 1000, 0);
  }
  await expect(page.getByText(/A rig is designed for\s+78\.3 kN/)).toBeVisible();
});

test('a mistake stands beside its field, and the plan stays editable', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay');
  await field(page, MASS).fill('26 t, likely');
  await field(page, MASS).press('Enter');
  await expect(field(page, MASS)).toHaveAttribute('aria-invalid', 'true');
  await expect(page.locator('main')).toHaveAttribute('data-answer', 'mistakes');
  const said = await field(page, MASS).getAttribute('aria-describedby');
  const problem = page.locator(`#${said?.split(' ')[0]} .problem`);
  await expect(problem).not.toBeEmpty();
  await expect(page.getByText('Numbers below are those of the plan before it.')).toBeVisible();
  await saved(page);
  expect(app.kept('guard-deep-clay')).toContain('mass = "26 t, likely"');
  await page.getByRole('button', { name: 'Undo' }).click();
  await answered(page);
  await expect(field(page, MASS)).toHaveValue('2.6');
  await expect(problem).toHaveCount(0);
});

test('measured depth and class of depth never stand together', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay');
  await page.getByRole('radio', { name: /^Measured/ }).check();
  await field(page, 'Measured depth').fill('0.5 m');
  await field(page, 'Measured depth').press('Enter');
  await answered(page);
  await saved(page);
  expect(app.kept('guard-deep-clay')).toContain('depth = "0.5 m"');
  expect(app.kept('guard-deep-clay')).not.toMatch(/^sunk_to/m);
  // Back to the class that stood there, in one step each.
  await page.getByRole('button', { name: 'Undo' }).click();
  await page.getByRole('button', { name: 'Undo' }).click();
  await expect(page.getByRole('radio', { name: /^Guard/ })).toBeChecked();
  await page.getByRole('button', { name: 'Redo' }).click();
  await page.getByRole('button', { name: 'Redo' }).click();
  await expect(field(page, 'Measured depth')).toHaveValue('0.5');
  await page.getByRole('radio', { name: /^Body/ }).check();
  await answered(page);
  await saved(page);
  expect(app.kept('guard-deep-clay')).toContain('sunk_to = "body"');
  expect(app.kept('guard-deep-clay')).not.toMatch(/^depth/m);
});

test('every key of the form can be reached', async ({ page, app }) => {
  for (const name of ['guard-deep-clay', 'tree-double-line', 'steep-bank-lowering'] as const) {
    await app.show(page, name);
    const response = await page.request.post(`${app.url}/api/edit`, { data: { plan: demo(name), edits: [] } });
    const { form } = (await response.json()) as { form: { fields: { key: string }[] } };
    await page.locator('#the-rest').scrollIntoViewIfNeeded();
    // Opened one within the other until none is shut.
    for (let turn = 0; turn < 5; turn += 1) {
      await page.evaluate(() => document.querySelectorAll('details:not(.menu)').forEach((d) => ((d as HTMLDetailsElement).open = true)));
      await page.waitForTimeout(100);
    }
    const shown = new Set(await page.locator('[data-key]').evaluateAll((all) => all.map((e) => e.getAttribute('data-key'))));
    expect(form.fields.length).toBeGreaterThan(80);
    expect(form.fields.map((f) => f.key).filter((key) => !shown.has(key)), name).toEqual([]);
  }
});

test('kit: add, describe, rename with its references, remove, undo', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay');
  await group(page, 'Kit');
  await page.getByRole('button', { name: 'Add a shackle' }).click();
  const kind = page.getByLabel('Kind (needed)');
  await expect(kind).toBeFocused();
  await kind.selectOption('bow');
  const fresh = page.locator('details', { has: page.locator('summary', { hasText: 'shackle-1' }) }).last();
  await fresh.getByRole('textbox', { name: 'Working load limit (WLL)', exact: true }).fill('4.75 t');
  await fresh.getByRole('textbox', { name: 'Working load limit (WLL)', exact: true }).press('Enter');
  await answered(page);
  await saved(page);
  expect(app.kept('guard-deep-clay')).toMatch(/\[shackle\.shackle-1\]\s+kind = "bow"\s+wll = "4\.75 t"/);

  await page.locator('summary', { hasText: 'tow-strap' }).click();
  await page.getByRole('button', { name: 'Rename line tow-strap' }).click();
  await page.getByLabel('New name of line tow-strap').fill('long strap');
  await page.keyboard.press('Enter');
  await answered(page);
  await saved(page);
  expect(app.kept('guard-deep-clay')).toContain('[line.long-strap]');
  expect(app.kept('guard-deep-clay')).toContain('"soft-1", "long-strap", "soft-2"');

  await fresh.getByRole('button', { name: 'Remove shackle-1' }).click();
  await expect(page.locator('summary', { hasText: 'shackle-1' })).toHaveCount(0);
  await page.getByRole('button', { name: 'Undo' }).click();
  await expect(page.locator('summary', { hasText: 'shackle-1' })).toHaveCount(1);
});

test('resistance follows a change at once, long before the whole answer', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay');
  await page.route('**/api/answer', async (route) => {
    await new Promise((resolve) => setTimeout(resolve, 4000));
    await route.continue();
  });
  await page.getByRole('group', { name: 'It sits in' }).getByLabel('firm').check();
  await page.getByRole('radio', { name: /^Not sunk/ }).check();
  await expect(page.getByText(/A rig is designed for\s+78\.3 kN/)).toBeHidden({ timeout: 2000 });
  await expect(page.locator('main')).toHaveAttribute('data-answer', 'older');
  await expect(page.getByText('of the plan before your last change')).toBeVisible();
  await expect(page.getByRole('row', { name: /^mire/ })).toHaveCount(0);
  await answered(page);
});
