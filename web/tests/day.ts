// What the tests of the Tests area share: the demo day, a new day, files dropped, the chart and what is drawn on it.

import { expect, type Locator, type Page } from '@playwright/test';

import type { App } from './app';

/** The demo day. */
export const DAY = 'one-strap-dry-and-wet';

export async function demoDay(page: Page, app: App, part = 'pulls'): Promise<void> {
  await page.goto(`${app.url}/#/tests`);
  await page.getByRole('button', { name: 'One strap, dry and wet' }).click();
  await expect(page.getByRole('region', { name: 'Every pull' })).toBeVisible();
  if (part !== 'pulls') await page.goto(`${app.url}/#/tests/${DAY}/${part}`);
}

export async function newDay(page: Page, app: App, title: string): Promise<void> {
  await page.goto(`${app.url}/#/tests`);
  await page.getByLabel('Title of a new test day').fill(title);
  await page.getByRole('button', { name: 'New test day' }).click();
  await expect(page.getByRole('heading', { name: 'Logs', exact: true })).toBeVisible();
}

export const chart = (page: Page): Locator => page.getByRole('group', { name: /^Chart:/ });
export const canvas = (page: Page): Locator => chart(page).locator('canvas');

/** Pixels that are drawn in the accent of the look. */
export async function drawn(page: Page): Promise<number> {
  return canvas(page).evaluate((c: HTMLCanvasElement) => {
    const { data } = c.getContext('2d')!.getImageData(0, 0, c.width, c.height);
    let count = 0;
    for (let i = 0; i < data.length; i += 4) if (data[i] === 0x0b && data[i + 1] === 0x5c && data[i + 2] === 0x8f) count += 1;
    return count;
  });
}

/** Waits for a frame with the load on it, on the chart or (`'.course'`) in the picture before it; gives its time by the
 *  page's clock, ms since the page was asked for. */
export async function whenDrawn(page: Page, on: '.plot' | '.course' | ':is(.plot, .course)'): Promise<number> {
  return page.evaluate(async (on) => {
    const there = () => {
      const canvas = document.querySelector<HTMLCanvasElement>(`${on} canvas`);
      if (!canvas?.width) return false;
      const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
      let count = 0;
      for (let i = 0; i < data.length && count <= 500; i += 4) if (data[i] === 0x0b && data[i + 1] === 0x5c && data[i + 2] === 0x8f) count += 1;
      return count > 500;
    };
    while (!there()) await new Promise(requestAnimationFrame);
    return performance.now();
  }, on);
}
