// Pictures of every area at phone, tablet and desktop width, to be looked at. They are made
// by `cargo xtask screens` (SCREENS names the folder), and are no part of the tests.

import { AREAS, test } from './app';
import { LOOKS } from './scan';

const folder = process.env.SCREENS;
const PLANS = (process.env.SCREENS_PLANS ?? 'guard-deep-clay,tree-double-line').split(',');
const SIZES = [
  { width: 360, height: 740 },
  { width: 820, height: 1180 },
  { width: 1440, height: 900 },
];

test.describe('pictures', () => {
  test.skip(folder === undefined, 'made by `cargo xtask screens` alone');
  for (const plan of PLANS) {
    for (const area of AREAS) {
      test(`${plan} ${area}`, async ({ page, app }) => {
        test.setTimeout(180_000);
        await app.show(page, plan, area);
        for (const size of SIZES) {
          await page.setViewportSize(size);
          for (const look of LOOKS) {
            await page.getByRole('combobox', { name: 'Look' }).selectOption(look);
            await page.screenshot({ path: `${folder}/${plan}-${area}-${size.width}-${look}.png`, fullPage: true });
          }
        }
      });
    }
  }
  test('tests', async ({ page, app }) => {
    test.setTimeout(180_000);
    await page.goto(`${app.url}/#/tests`);
    await page.getByRole('button', { name: 'One strap, dry and wet' }).click();
    const day = '#/tests/one-strap-dry-and-wet';
    for (const place of ['#/tests', `${day}/logs/dry-1.csv`, `${day}/pulls`, `${day}/pulls/dry-1`, `${day}/line`, `${day}/compare`, `${day}/text`]) {
      await page.goto(`${app.url}/${place}`);
      await page.waitForTimeout(1500);
      for (const size of SIZES) {
        await page.setViewportSize(size);
        for (const look of LOOKS) {
          await page.getByRole('combobox', { name: 'Look' }).selectOption(look);
          await page.waitForTimeout(150);
          await page.screenshot({ path: `${folder}/${place.slice(2).replaceAll('/', '-')}-${size.width}-${look}.png`, fullPage: true });
        }
      }
    }
  });
  test('plans', async ({ page, app }) => {
    await page.goto(app.url);
    for (const size of SIZES) {
      await page.setViewportSize(size);
      await page.screenshot({ path: `${folder}/plans-${size.width}-light.png`, fullPage: true });
    }
  });
});
