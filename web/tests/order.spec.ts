// The running order of a test day: planned by form before there is a pull, changed field by field, what it can show,
// when to stop, the record sheet on paper.

import type { Page } from '@playwright/test';

import { expect, test, type App } from './app';
import { demoDay, newDay } from './day';
import { scan } from './scan';

const WANTED = { 'Wanted resolution': '4 kN', 'Spread from pull to pull': '1.2 kN', Standoff: '25 m', 'Load limit': '45 kN' };

const sheet = (page: Page) => page.getByRole('region', { name: 'Order and record sheet' }).first();
const field = (page: Page, name: string) => page.getByRole('textbox', { name, exact: true });

/** A day without a pull, planned: two run-up speeds. */
async function planned(page: Page, app: App): Promise<void> {
  await newDay(page, app, 'Yard');
  await page.getByRole('navigation', { name: 'Parts of the test day' }).getByRole('link', { name: 'Order' }).click();
  await expect(page.getByRole('heading', { name: 'Running order', level: 1 })).toBeFocused();
  for (const [name, value] of Object.entries(WANTED)) await field(page, name).fill(value);
  await field(page, 'Vary').fill('run-up');
  await field(page, 'Its levels, one a line').fill('8 km/h\n11 km/h');
  await page.getByRole('button', { name: 'Plan the day' }).click();
  await expect(sheet(page)).toBeVisible();
}

test('a day is planned before its first pull, into the test file; each change plans it anew', async ({ page, app }) => {
  await planned(page, app);
  const text = app.testFile('yard');
  expect(text).toContain('[order]');
  expect(text).toContain('difference = "4 kN"');
  expect(text).toMatch(/\[order\.factor\.run-up\]\nlevels = \["8 km\/h", "11 km\/h"\]/);
  const shows = page.getByRole('region', { name: 'What it can show' });
  await expect(shows).toContainText(/pulls of each of 2 set-ups, \d+ in all, show a difference of peaks of\s+4\.00 kN/);
  // Three against three: 2 of 20 deals is 10 %, which no permutation test passes at 5 %.
  await expect(shows).toContainText('3 pulls of each');
  await expect(shows).toContainText('too few for the permutation test');
  await expect(shows).toContainText('guessed');
  await expect(page.getByRole('region', { name: 'Stop for' })).toContainText('anyone or anything inside 25.0 m');
  await expect(page.getByRole('region', { name: 'Stop for' })).toContainText('a load of 45.0 kN or more');
  const rows = await sheet(page).getByRole('row').count();
  expect(rows).toBeGreaterThan(4);

  // Measured on five pulls its upper limit is planned with: more pulls, and no guess.
  await field(page, 'Measured on so many pulls').fill('5');
  await field(page, 'Measured on so many pulls').blur();
  await expect(shows).not.toContainText('guessed');
  expect(app.testFile('yard')).toContain('spread_pulls = 5');
  await expect.poll(() => sheet(page).getByRole('row').count()).toBeGreaterThan(rows);
  await page.getByRole('button', { name: 'Undo' }).click();
  await expect(shows).toContainText('guessed');

  // Another thing that is varied: its levels one a line; twice the same is told and changes nothing.
  await field(page, 'Vary another thing').fill('damper');
  await field(page, 'Its levels, one a line').fill('none\nnone');
  await page.getByRole('button', { name: 'Vary it too' }).click();
  await expect(page.getByRole('alert').filter({ hasText: 'two levels at least' })).toBeVisible();
  await field(page, 'Its levels, one a line').fill('none\n5 kg at the middle');
  await page.getByRole('button', { name: 'Vary it too' }).click();
  await expect(shows).toContainText('of each of 4 set-ups');
  await expect(sheet(page).getByRole('columnheader', { name: 'damper' })).toBeVisible();
  await page.getByRole('button', { name: /Vary it no more.*damper/ }).click();
  await expect(shows).toContainText('of each of 2 set-ups');
  await expect(page.getByRole('button', { name: /Vary it no more.*run-up/ })).toBeDisabled();
});

test('a value that is none is told at its field and in the list; the order before stays, marked', async ({ page, app }) => {
  await planned(page, app);
  await field(page, 'Load limit').fill('45');
  await field(page, 'Load limit').blur();
  await expect(field(page, 'Load limit')).toHaveAttribute('aria-invalid', 'true');
  await expect(field(page, 'Load limit')).toHaveAccessibleDescription(/order\.limit/);
  await expect(page.getByText('What follows is of the test file before its last change.')).toBeVisible();
  await expect(page.getByRole('button', { name: 'Print the record sheet' })).toBeDisabled();
  await field(page, 'Load limit').fill('50 kN');
  await field(page, 'Load limit').blur();
  await expect(page.getByRole('region', { name: 'Stop for' })).toContainText('a load of 50.0 kN or more');
  await expect(field(page, 'Load limit')).not.toHaveAttribute('aria-invalid', 'true');
});

test('in feet and pounds; what is typed in other units stays as typed', async ({ page, app }) => {
  await demoDay(page, app, 'order');
  const rules = page.getByRole('region', { name: 'Stop for' });
  await expect(rules).toContainText('Stand back 120 m; no load from 34.0 kN up; the lowest rating is 44.0 kN');
  await page.getByLabel('Units').selectOption('imperial');
  await expect(rules).toContainText(/Stand back 39\d ft/);
  await expect(rules).toContainText(/a load of 7640 lbf or more/);
  await expect(rules).not.toContainText('kN');
  await expect(page.getByText(/room for time; zero before \(lbf\)/)).toBeVisible();
  await expect(field(page, 'Load limit')).toHaveValue('44 kN');
});

test('on paper it is the record sheet: every pull with room to write, the rules, and nothing to press', async ({ page, app }) => {
  await demoDay(page, app, 'order');
  await expect(sheet(page)).toBeVisible();
  await expect(page.getByRole('columnheader', { name: /^peak/ })).toBeHidden();
  await page.emulateMedia({ media: 'print' });
  await expect(page.getByRole('columnheader', { name: /^peak/ })).toBeVisible();
  await expect(page.getByRole('columnheader', { name: 'wet, wear, what happened' })).toBeVisible();
  await expect(page.getByText('One strap, dry and wet, 2031-05-14, Emu Flat test yard.')).toBeVisible();
  await expect(page.getByRole('region', { name: 'Stop for' })).toBeVisible();
  await expect(page.getByText(/certif(y|ies) nothing/).first()).toBeVisible();
  await expect(page.getByRole('button')).toHaveCount(0);
  const pdf = await page.pdf({ format: 'A4', landscape: true });
  expect(pdf.length).toBeGreaterThan(10_000);
});

test('no violations in any look, also with a mistake in it and before it is planned', async ({ page, app }) => {
  test.setTimeout(120_000);
  await demoDay(page, app, 'order');
  await expect(sheet(page)).toBeVisible();
  await page.evaluate(() => document.querySelectorAll('main details').forEach((d) => ((d as HTMLDetailsElement).open = true)));
  await scan(page);
  await field(page, 'Load limit').fill('45');
  await field(page, 'Load limit').blur();
  await expect(field(page, 'Load limit')).toHaveAttribute('aria-invalid', 'true');
  await scan(page);
  await newDay(page, app, 'Yard');
  await page.goto(`${app.url}/#/tests/yard/order`);
  await expect(page.getByRole('button', { name: 'Plan the day' })).toBeVisible();
  await scan(page);
});

test('by keys alone: from field to field, planned by Enter', async ({ page, app }) => {
  await newDay(page, app, 'Yard');
  await page.goto(`${app.url}/#/tests/yard/order`);
  await field(page, 'Wanted resolution').focus();
  for (const value of ['4 kN', '1.2 kN', '', '', '', '', '', '', '25 m', '45 kN', 'line']) {
    await page.keyboard.type(value);
    await page.keyboard.press('Tab');
  }
  await page.keyboard.type('strap');
  await page.keyboard.press('Enter');
  await page.keyboard.type('rope');
  await page.keyboard.press('Tab');
  await page.keyboard.press('Enter');
  await expect(sheet(page)).toBeVisible();
  expect(app.testFile('yard')).toContain('levels = ["strap", "rope"]');
});
