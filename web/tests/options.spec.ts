// Options: the ladder, the order to use it in, what can be done with a rung.
import type { Locator, Page } from '@playwright/test';

import { answered, expect, test } from './app';
import { scan } from './scan';

const rung = (page: Page, method: string): Locator => page.locator(`li[data-method=${method}]`);

test('the ladder stands least hazardous first, each rung with verdict, reason and who can stop it', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay', 'options');
  const methods = await page.locator('li[data-method]').evaluateAll((all) => all.map((e) => (e as HTMLElement).dataset.method));
  expect(methods).toEqual(['clear-and-dig', 'air-down-and-boards', 'steady-tow', 'winch-single', 'winch-multi', 'kinetic']);
  await expect(page.locator('[data-shown=sequence] li')).toHaveText(['Clear and dig', 'Air down and boards', 'Steady tow']);
  await expect(rung(page, 'steady-tow').locator('[data-shown=verdict]')).toHaveText('FIRST');
  await expect(rung(page, 'steady-tow')).toContainText('The least hazardous method that works after digging.');
  await expect(rung(page, 'kinetic')).toContainText('CANNOT BE STOPPED once under way.');
  await expect(rung(page, 'winch-single')).toContainText('the winch operator lets go of the control');
});

test('a rung reads well aloud: name, verdict, reason, chance, loads, who can stop it', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay', 'options');
  const spoken = await rung(page, 'steady-tow').ariaSnapshot();
  const order = ['3 Steady tow', 'FIRST', 'least hazardous', 'Shifts it', 'as found', 'needs', 'can bring', 'Peak in the line', 'Energy stored', 'Who can stop it', 'Loads, chances, model'];
  const places = order.map((words) => spoken.indexOf(words));
  expect(places.every((place) => place >= 0), `${places} in\n${spoken}`).toBe(true);
  expect(places).toEqual([...places].sort((a, b) => a - b));
});

test('loads in each link and the risks open by key', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay', 'options');
  const more = rung(page, 'kinetic').getByRole('button', { name: /Loads, chances, model/ });
  await more.focus();
  await page.keyboard.press('Enter');
  await expect(rung(page, 'kinetic').locator('tr[data-link]')).toHaveCount(5);
  await expect(rung(page, 'kinetic')).toContainText('A part lets go');
  await page.keyboard.press('Enter');
  await expect(rung(page, 'kinetic').locator('tr[data-link]')).toHaveCount(0);
});

test('a method tried without success changes the ladder, and one step back undoes it', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay', 'options');
  await rung(page, 'clear-and-dig').getByLabel(/Tried without success/).check();
  await expect(rung(page, 'clear-and-dig').locator('[data-shown=verdict]')).toHaveText('TOO WEAK');
  await expect(rung(page, 'clear-and-dig')).toContainText('It has been tried and did not shift the casualty.');
  await expect(rung(page, 'kinetic').locator('[data-shown=verdict]')).toHaveText('RULED OUT');
  await expect.poll(() => app.kept('guard-deep-clay')).toContain('tried = ["clear-and-dig"]');
  await page.getByRole('button', { name: 'Undo' }).click();
  await expect(rung(page, 'clear-and-dig').locator('[data-shown=verdict]')).toHaveText('STEP');
  await expect.poll(() => app.kept('guard-deep-clay')).not.toContain('tried =');
});

test('taking the mark off leaves the other methods marked', async ({ page, app }) => {
  await app.show(page, 'tree-double-line', 'options');
  await expect(rung(page, 'clear-and-dig').getByLabel(/Tried without success/)).toBeChecked();
  await rung(page, 'steady-tow').getByLabel(/Tried without success/).uncheck();
  await expect.poll(() => app.kept('tree-double-line')).toMatch(/tried = \["clear-and-dig"\]/);
  expect(app.kept('tree-double-line')).toContain('# dug once, then towed: it did not move');
});

test('a method opens as the rig of the plan', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay', 'options');
  await rung(page, 'kinetic').getByRole('button', { name: /Open as a rig/ }).click();
  await expect(page).toHaveURL(/\/rig$/);
  await answered(page);
  await expect.poll(() => app.kept('guard-deep-clay')).toContain('method = "kinetic"');
  expect(app.kept('guard-deep-clay')).toContain('# A wagon down to its guards in clay');
  await app.show(page, 'guard-deep-clay', 'options');
  await expect(rung(page, 'kinetic')).toContainText('The rig in this plan.');
});

test('a refusal to open a rig is told in words beside the rung', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay', 'options');
  await page.route('**/api/open-as-rig', (route) =>
    route.fulfill({
      status: 422,
      json: { contract_version: 1, errors: [{ message: 'there is no rig for this method', hint: 'describe a block' }], more: 0 },
    }),
  );
  await rung(page, 'winch-multi').getByRole('button', { name: /Open as a rig/ }).click();
  await expect(rung(page, 'winch-multi').getByRole('alert')).toHaveText('No rig: there is no rig for this method (describe a block)');
  await expect(page).toHaveURL(/\/options$/);
});

test('units switch', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay', 'options');
  await expect(rung(page, 'steady-tow').locator('[data-shown=needed]')).toHaveText(/ kN$/);
  await page.locator('select', { has: page.locator('option[value=imperial]') }).selectOption('imperial');
  await expect(rung(page, 'steady-tow').locator('[data-shown=needed]')).toHaveText(/ lbf$/);
  await expect(rung(page, 'steady-tow').locator('[data-shown=stored]')).toHaveText(/ ft lbf$/);
});

test('no scroll sideways on a phone, and targets are large enough', async ({ page, app }) => {
  await page.setViewportSize({ width: 360, height: 740 });
  await app.show(page, 'tree-double-line', 'options');
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360);
  for (const button of await page.locator('main button:visible, main label:visible').all()) {
    expect((await button.boundingBox())?.height).toBeGreaterThanOrEqual(44);
  }
});

test('accessibility in every look', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay', 'options');
  await rung(page, 'kinetic').getByRole('button', { name: /Loads, chances, model/ }).click();
  await scan(page);
});
