// Pull: linked charts with one cursor, sliders that change the plan, the run-up window.
import type { Locator, Page } from '@playwright/test';

import { answered, expect, test } from './app';
import { scan } from './scan';

const chart = (page: Page, label: string): Locator => page.getByRole('figure', { name: label, exact: true });
const value = (figure: Locator, title: string): Locator =>
  figure.locator('.head', { has: figure.page().locator('.title', { hasText: title }) }).locator('.value .number');
const cursor = (figure: Locator): Locator => figure.locator('input[type=range]');

test('one cursor runs through all charts, by key', async ({ page, app }) => {
  await app.show(page, 'uphill-sand', 'pull');
  const figure = chart(page, 'Kinetic pull in time');
  await expect(value(figure, 'Force in the line')).toHaveText('34.8 kN');
  await expect(value(figure, 'Stretch')).toHaveText('1.13 m');
  await cursor(figure).focus();
  await page.keyboard.press('Home');
  await expect(value(figure, 'Force in the line')).toHaveText('0 kN');
  await expect(value(figure, 'Speed').first()).toHaveText('11.5 km/h');
  const before = await cursor(figure).getAttribute('aria-valuetext');
  expect(before).toContain('Force in the line 0 kN');
  await page.keyboard.press('PageUp');
  await page.keyboard.press('ArrowRight');
  const after = await cursor(figure).getAttribute('aria-valuetext');
  expect(after).not.toBe(before);
  await page.keyboard.press('End');
  await expect(figure.locator('.at')).toHaveText('at 0.993 s');
  await page.keyboard.press('PageDown');
  await expect(figure.locator('.at')).not.toHaveText('at 0.993 s');
});

test('the cursor follows the pointer, and what happens can be gone to', async ({ page, app }) => {
  await app.show(page, 'uphill-sand', 'pull');
  const figure = chart(page, 'Kinetic pull in time');
  const plot = figure.locator('.plot').nth(2);
  await plot.scrollIntoViewIfNeeded();
  const box = (await plot.boundingBox())!;
  await page.mouse.move(box.x + box.width * 0.9, box.y + box.height / 2);
  const time = Number(/([\d.]+) s/.exec(await figure.locator('.at').innerText())![1]);
  expect(time).toBeGreaterThan(0.8);
  const lines = await figure.locator('line.cursor').evaluateAll((all) => all.map((e) => e.getAttribute('x1')));
  expect(new Set(lines).size).toBe(1);
  await figure.getByRole('button', { name: /casualty breaks out/ }).click();
  await expect(figure.locator('.at')).toHaveText('at 0.197 s');
});

test('the run-up typed becomes the plan, and one step back takes it out', async ({ page, app }) => {
  await app.show(page, 'uphill-sand', 'pull');
  const typed = page.getByLabel('Run-up speed, km/h');
  await typed.fill('15');
  await typed.press('Enter');
  await expect(page.locator('[data-shown=run-up]')).toHaveText('15.0 km/h, as planned');
  await expect.poll(() => app.kept('uphill-sand')).toContain('run_up_speed = "15 km/h"');
  await expect(page.getByText('TOO FAST', { exact: true }).first()).toBeVisible();
  await page.getByRole('button', { name: 'Undo' }).click();
  await expect(page.locator('[data-shown=run-up]')).toHaveText('11.5 km/h, as planned');
});

test('one move of the slider is one step back; the old curve is marked until the new one comes', async ({ page, app }) => {
  await app.show(page, 'uphill-sand', 'pull');
  const kept = app.kept('uphill-sand');
  let hold: () => void = () => {};
  const held = new Promise<void>((resolve) => (hold = resolve));
  await page.route('**/api/answer', async (route) => {
    await held;
    await route.continue().catch(() => {});
  });
  const slider = page.getByLabel('Run-up speed', { exact: true });
  await slider.focus();
  for (let i = 0; i < 4; i++) await page.keyboard.press('ArrowRight');
  await expect(page.getByLabel('Run-up speed, km/h')).toHaveValue('13.5');
  const figure = chart(page, 'Kinetic pull in time');
  await expect(figure).toHaveClass(/old/);
  await expect(figure).toContainText('These are the curves of the plan before');
  await expect(value(figure, 'Force in the line')).toHaveText('34.8 kN');
  hold();
  await expect(page.locator('[data-shown=run-up]')).toHaveText('13.5 km/h, as planned');
  await expect(figure).not.toHaveClass(/old/);
  await page.getByRole('button', { name: 'Undo' }).click();
  await expect(page.locator('[data-shown=run-up]')).toHaveText('11.5 km/h, as planned');
  await expect.poll(() => app.kept('uphill-sand')).toBe(kept);
});

test('a sweep of the slider asks for its end alone, and what comes is drawn at once', async ({ page, app }) => {
  await app.show(page, 'uphill-sand', 'pull');
  // In the page itself: from the last byte of the answer to the new number on the screen.
  const { asked, drawn } = await page.evaluate(async () => {
    performance.clearResourceTimings();
    const slider = document.querySelector<HTMLInputElement>('.slide input[type=range]')!;
    const fact = document.querySelector('[data-shown=run-up]')!;
    const there = new Promise<number>((resolve) => {
      new MutationObserver(() => {
        if (fact.textContent === '16.5 km/h, as planned') resolve(performance.now());
      }).observe(document.body, { subtree: true, characterData: true, childList: true });
    });
    for (let speed = 12; speed <= 16.5; speed += 0.5) {
      slider.value = String(speed);
      slider.dispatchEvent(new Event('input', { bubbles: true }));
      await new Promise((resolve) => setTimeout(resolve, 16));
    }
    const at = await there;
    const answers = performance.getEntriesByType('resource').filter((e) => e.name.endsWith('/api/answer')) as PerformanceResourceTiming[];
    return { asked: answers.length, drawn: at - answers.at(-1)!.responseEnd };
  });
  console.log(`answer to redrawn: ${drawn.toFixed(0)} ms, ${asked} asked`);
  expect(asked).toBeLessThanOrEqual(3);
  expect(drawn).toBeLessThan(300);
});

test('slack, wet and wear change the plan', async ({ page, app }) => {
  await app.show(page, 'uphill-sand', 'pull');
  const peak = await page.locator('[data-shown=peak]').innerText();
  await page.getByLabel('kinetic-8t is wet through').check();
  await expect.poll(() => app.kept('uphill-sand')).toContain('wet = true');
  await answered(page);
  await page.getByLabel('Wear of kinetic-8t, %').fill('60');
  await page.getByLabel('Wear of kinetic-8t, %').press('Enter');
  await expect.poll(() => app.kept('uphill-sand')).toContain('wear = "60 %"');
  const line = /\[line\.kinetic-8t\][^[]*/.exec(app.kept('uphill-sand'))![0];
  expect(line).not.toContain('condition');
  await page.getByLabel('Slack laid out, m').fill('3');
  await page.getByLabel('Slack laid out, m').press('Enter');
  await expect.poll(() => app.kept('uphill-sand')).toContain('slack = "3 m"');
  await answered(page);
  await expect(page.locator('[data-shown=peak]')).not.toHaveText(peak);
});

test('a figure out of its range is told beside the field, and the curves stay those of the plan before', async ({ page, app }) => {
  await app.show(page, 'uphill-sand', 'pull');
  await page.getByLabel('Run-up speed, km/h').fill('90');
  await page.getByLabel('Run-up speed, km/h').press('Enter');
  await expect(page.getByLabel('Run-up speed, km/h')).toHaveAttribute('aria-invalid', 'true');
  await expect(page.locator('.slide .problem')).toContainText('60');
  await expect(chart(page, 'Kinetic pull in time')).toHaveClass(/old/);
});

test('the window on the speed axis: as found, sure, possible, and what limits it', async ({ page, app }) => {
  await app.show(page, 'uphill-sand', 'pull');
  const figure = chart(page, 'Chances, peak load and movement against run-up speed');
  await expect(figure.getByRole('img', { name: /window: 9.82 km\/h to 12.5 km\/h.*sure: 11.4 km\/h to 11.8 km\/h.*possible/ })).toBeVisible();
  await expect(page.locator('main')).toContainText('The greatest speed is set by casualty.front-right');
  await expect(value(figure, 'Chance').first()).toHaveText('86.7 %');
});

test('an empty window says do not', async ({ page, app }) => {
  await app.show(page, 'rock-held', 'pull');
  await expect(page.locator('[data-shown=window]')).toHaveText(/DO NOT.*the casualty is held fast/);
  await expect(page.locator('main')).toContainText('It would open with what holds the casualty fast cleared away.');
});

test('a rig that is not kinetic: what it would do, and a way to make it one', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay', 'pull');
  await expect(page.locator('main')).toContainText('The rig in this plan is not for it (steady tow)');
  await expect(page.getByLabel('Run-up speed', { exact: true })).toHaveCount(0);
  await page.getByRole('button', { name: 'Make the kinetic pull the rig of this plan' }).click();
  await expect(page.getByLabel('Run-up speed', { exact: true })).toBeVisible();
  await expect.poll(() => app.kept('guard-deep-clay')).toContain('method = "kinetic"');
});

test('a winch haul: force, speed, current, heat, battery, layers; against design and median', async ({ page, app }) => {
  await app.show(page, 'tree-double-line', 'pull');
  const figure = chart(page, 'Winch haul in time');
  await expect(figure.locator('.title')).toHaveText([
    'Line pull, kN', 'Line speed, m/min', 'Current, A', 'Winding, C', 'Battery charge, %', 'Movement of the casualty, m', 'Drum layer, no.',
  ]);
  await expect(value(figure, 'Line pull').first()).toHaveText('15.8 kN');
  await expect(figure.getByRole('button', { name: /winding at its limit: rest/ })).toBeVisible();
  await page.getByRole('button', { name: 'Against the median' }).click();
  await expect(value(figure, 'Line pull').first()).toHaveText('9.97 kN');
  await expect(page.locator('[data-shown=missing]')).toContainText('There is no kinetic line in the kit.');
});

test('a lowering: the holding force along the way, the run-away and the catch', async ({ page, app }) => {
  await app.show(page, 'steep-bank-lowering', 'pull');
  const figure = chart(page, 'Lowering, along the way');
  await expect(value(figure, 'Holding force').first()).toHaveText('10.0 kN');
  await expect(figure.locator('.at')).toHaveText('at 6.40 m');
  await expect(page.locator('[data-shown=hold-design]')).toHaveText('11.2 kN');
  await expect(chart(page, 'Run-away in time')).toBeVisible();
  await expect(chart(page, "The belay's worst catch in time")).toBeVisible();
});

test('the numbers behind a chart come as a table on request', async ({ page, app }) => {
  await app.show(page, 'uphill-sand', 'pull');
  const figure = chart(page, 'Kinetic pull in time');
  await expect(figure.locator('table')).toHaveCount(0);
  await figure.getByText('The same as a table').click();
  await expect(figure.getByRole('columnheader')).toHaveText([
    'Time from the start of the run', 'Force in the line', 'Stretch', 'Speed, tug', 'Speed, casualty', 'Movement of the casualty',
  ]);
  await expect(figure.getByRole('row').nth(1)).toContainText('11.5 km/h');
});

test('units switch, sliders and axes with them', async ({ page, app }) => {
  await app.show(page, 'uphill-sand', 'pull');
  await page.locator('select', { has: page.locator('option[value=imperial]') }).selectOption('imperial');
  await expect(chart(page, 'Kinetic pull in time').locator('.title').first()).toHaveText('Force in the line, lbf');
  await expect(page.getByLabel('Run-up speed, mph')).toHaveValue('7.1');
  await page.getByLabel('Run-up speed, mph').fill('8');
  await page.getByLabel('Run-up speed, mph').press('Enter');
  await expect.poll(() => app.kept('uphill-sand')).toContain('run_up_speed = "8 mph"');
  await expect(page.locator('[data-shown=run-up]')).toHaveText('8.00 mph, as planned');
});

for (const plan of ['uphill-sand', 'tree-double-line', 'steep-bank-lowering']) {
  test(`no scroll sideways on a phone: ${plan}`, async ({ page, app }) => {
    await page.setViewportSize({ width: 360, height: 740 });
    await app.show(page, plan, 'pull');
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360);
  });
  test(`accessibility in every look: ${plan}`, async ({ page, app }) => {
    await app.show(page, plan, 'pull');
    await page.getByText('The same as a table').first().click();
    await scan(page);
  });
}
