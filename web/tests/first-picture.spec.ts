// How long somebody waits for the first picture of a long log. TESTS_LOG names one, as
// `validation/independent/measure/whole_log.py make` writes it with its test file; without it the demo's is drawn.

import { execFileSync } from 'node:child_process';
import { copyFileSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';

import type { Page } from '@playwright/test';

import { BIN, expect, test, type App } from './app';
import { chart, DAY, demoDay, whenDrawn } from './day';

const LONG = process.env.TESTS_LOG;
/** A busy machine makes anybody wait: the bound holds where PICTURE_MS says that it is quiet. */
const BOUND_MS = process.env.PICTURE_MS ? Number(process.env.PICTURE_MS) : Infinity;

/** A day with the long log taken up, as somebody would put it there by hand. */
function longDay(app: App, log: string): string {
  const folder = join(app.days, 'long');
  mkdirSync(folder);
  copyFileSync(log, join(folder, basename(log)));
  copyFileSync(log.replace(/\.csv$/, '.toml'), join(folder, 'tests.toml'));
  execFileSync(BIN, ['tests', 'look', log, '-o', join(folder, 'recipe.toml')]);
  return 'long/pulls/p3';
}

interface Waited {
  /** Of the log as it came, or of the chart where that was faster, ms. */
  picture: number;
  chart: number;
}

async function waited(page: Page, app: App, place: string): Promise<Waited> {
  await page.goto('about:blank');
  await page.goto(`${app.url}/#/tests/${place}`, { waitUntil: 'commit' });
  return { picture: await whenDrawn(page, ':is(.plot, .course)'), chart: await whenDrawn(page, '.plot') };
}

test('first picture of a pull: of a server that has read nothing, and again', async ({ page, app }) => {
  test.setTimeout(300_000);
  if (!LONG) await demoDay(page, app);
  const place = LONG ? longDay(app, LONG) : `${DAY}/pulls/dry-1`;
  for (const of of ['nothing read yet', 'read before']) {
    if (of === 'nothing read yet') {
      await app.kill();
      await app.start();
    }
    const { picture, chart } = await waited(page, app, place);
    console.log(`${of}: first picture ${picture.toFixed(0)} ms after the page was asked for, the chart ${chart.toFixed(0)} ms`);
    expect(chart).toBeGreaterThanOrEqual(picture);
    expect(picture).toBeLessThan(BOUND_MS);
  }
});

test('the log as it came is seen while its readings are worked out, and gives way to the chart', async ({ page, app }) => {
  await demoDay(page, app);
  await app.kill();
  await app.start();
  let go: () => void = () => {};
  const held = new Promise<void>((resolve) => (go = resolve));
  await page.route('**/read', async (route) => {
    await held;
    await route.continue();
  });
  await page.goto(`${app.url}/#/tests/${DAY}/pulls/dry-1`);
  const log = page.getByRole('figure', { name: 'Log of dry-1' });
  await expect(log).toContainText('The whole log as it came: zero not taken off, nothing filtered');
  await expect(log.getByRole('img', { name: /as it came/ })).toBeVisible();
  await whenDrawn(page, '.course');
  await expect(chart(page)).toHaveCount(0);
  go();
  await expect(chart(page)).toBeVisible();
  await expect(log).toHaveCount(0);
});

test('first picture of a log: dropped, looked at, taken up', async ({ page, app }) => {
  test.skip(!LONG, 'no long log to drop');
  test.setTimeout(300_000);
  // The log is in mV: its cell makes loads of them.
  const text = readFileSync(LONG!.replace(/\.csv$/, '.toml'), 'utf8');
  mkdirSync(join(app.days, 'long'));
  writeFileSync(join(app.days, 'long/tests.toml'), text.slice(0, text.indexOf('[pull.')));
  await page.goto(`${app.url}/#/tests/long/logs`);
  const clock = () => page.evaluate(() => performance.now());
  const dropped = await clock();
  await page.getByLabel('Choose files').setInputFiles(LONG!);
  await expect(page.getByRole('list', { name: 'Files coming in' }).getByText('There', { exact: true })).toBeVisible({ timeout: 120_000 });
  const there = await clock();
  const picture = await whenDrawn(page, '.course');
  await page.getByLabel('Load cell').selectOption('main');
  await page.getByLabel(/I have looked at/).check({ timeout: 500 }).catch(() => undefined);
  const clicked = await clock();
  await page.getByRole('button', { name: 'Take it up', exact: true }).click();
  await expect(chart(page)).toBeVisible({ timeout: 120_000 });
  const taken = (await whenDrawn(page, '.plot')) - clicked;
  console.log(`in after ${(there - dropped).toFixed(0)} ms, its picture ${(picture - there).toFixed(0)} ms later; taken up to the chart ${taken.toFixed(0)} ms`);
  expect(picture - there).toBeLessThan(BOUND_MS);
  expect(taken).toBeLessThan(BOUND_MS);
});
