// Brief: the pages that will be printed, the PDF, and what holds them back.
import { readFile } from 'node:fs/promises';

import { demo, expect, test } from './app';
import { scan } from './scan';

/** Pages of a PDF: its page objects are not packed into streams. */
const pagesOf = (pdf: Buffer) => pdf.toString('latin1').match(/\/Type\s*\/Page[^s]/g)?.length ?? 0;

test('shows the pages that are printed, as many as come out of the printer', async ({ page, app, context }) => {
  await app.show(page, 'guard-deep-clay', 'brief');
  const frame = page.frameLocator('iframe');
  await expect(frame.getByRole('heading', { level: 1 })).toHaveText('Guard-deep in clay');
  await expect(frame.locator('.verdict')).toContainText('WITHIN POLICY');
  const told = page.getByText(/pages of A4 when printed/);
  await expect(told).toBeVisible();
  const count = Number(/^\d+/.exec(await told.innerText())![0]);

  const download = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Download as a page' }).click();
  const printed = await context.newPage();
  await printed.setContent(await readFile((await (await download).path())!, 'utf8'));
  expect(pagesOf(await printed.pdf({ preferCSSPageSize: true }))).toBe(count);
});

test('a PDF comes, whole', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay', 'brief');
  const coming = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Download as PDF' }).click();
  const download = await coming;
  expect(download.suggestedFilename()).toBe('guard-deep-clay-brief.pdf');
  const pdf = await readFile((await download.path())!);
  expect(pdf.subarray(0, 5).toString()).toBe('%PDF-');
  expect(pdf.toString('latin1').trimEnd().endsWith('%%EOF')).toBe(true);
  expect(pagesOf(pdf)).toBe(2);
});

test('print prints the brief alone', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay', 'brief');
  await expect(page.frameLocator('iframe').locator('.verdict')).toBeVisible();
  await page.locator('iframe').evaluate((frame: HTMLIFrameElement) => {
    frame.contentWindow!.print = () => document.body.setAttribute('data-printed', frame.title);
  });
  await page.getByRole('button', { name: 'Print', exact: true }).click();
  await expect(page.locator('body')).toHaveAttribute('data-printed', 'Brief for guard-deep-clay');
});

test('reads as one sheet where there is no room for pages', async ({ page, app }) => {
  await page.setViewportSize({ width: 360, height: 740 });
  await app.show(page, 'guard-deep-clay', 'brief');
  const frame = page.frameLocator('iframe');
  await expect(frame.locator('.verdict')).toBeVisible();
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360);
  // All of it: the frame is as high as what it shows.
  await expect
    .poll(async () => {
      const shown = (await page.locator('iframe').boundingBox())!.height;
      const whole = await frame.locator('html').evaluate((e) => e.getBoundingClientRect().height);
      return shown - whole;
    })
    .toBeGreaterThanOrEqual(0);
  await page.getByRole('button', { name: 'As printed' }).click();
  await expect(page.getByText(/pages of A4 when printed/)).toBeVisible();
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360);
});

test('is made anew in imperial units', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay', 'brief');
  const frame = page.frameLocator('iframe');
  await expect(frame.locator('main')).toContainText('17.1 kN');
  await page.locator('select', { has: page.locator('option[value=imperial]') }).selectOption('imperial');
  await expect(frame.locator('main')).toContainText('3850 lbf');
});

test('a plan with mistakes has no brief, and says so', async ({ page, app }) => {
  app.put('broken', demo('guard-deep-clay').replace('mass = "2.6 t"', 'mass = "a lot"'));
  await page.goto(`${app.url}/#/broken/brief`);
  await expect(page.getByText('There is no brief until they are mended.')).toBeVisible();
  await expect(page.locator('iframe')).toHaveCount(0);
  await expect(page.getByRole('button', { name: 'Download as PDF' })).toBeDisabled();
  await expect(page.getByRole('button', { name: 'Print', exact: true })).toBeDisabled();
});

test('a brief of an older text is marked and cannot be printed', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay', 'options');
  await page.locator('li[data-method=steady-tow]').getByLabel(/Tried without success/).check();
  await page.goto(`${app.url}/#/guard-deep-clay/brief`);
  await expect(page.frameLocator('iframe').locator('.verdict')).toBeVisible();
  await page.route('**/api/brief', () => {});
  await page.getByRole('button', { name: 'Undo' }).click();
  await expect(page.getByText('This brief is of an older text of the plan.')).toBeVisible();
  await expect(page.getByRole('button', { name: 'Print', exact: true })).toBeDisabled();
});

test('accessibility in every look', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay', 'brief');
  await expect(page.frameLocator('iframe').locator('.verdict')).toBeVisible();
  await scan(page);
});
