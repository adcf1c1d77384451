// What holds for every area: units, looks, keyboard, what is spoken, what is never asked.

import type { Page } from '@playwright/test';

import { answered, AREAS, expect, test } from './app';
import { LOOKS, scan } from './scan';

test('no violations on the plans, in Situation with everything open, and in the text', async ({ page, app }) => {
  test.setTimeout(180_000);
  await page.goto(app.url);
  await expect(page.getByRole('heading', { name: 'Demo plans' })).toBeVisible();
  await scan(page);
  await app.show(page, 'guard-deep-clay');
  await scan(page);
  for (let turn = 0; turn < 4; turn += 1) {
    await page.evaluate(() => document.querySelectorAll('details:not(.menu)').forEach((d) => ((d as HTMLDetailsElement).open = true)));
    await page.waitForTimeout(100);
  }
  await scan(page);
  // With mistakes in it, a notice and the menu open.
  app.put('wrong', 'title = "Wrong"\n[casualty]\nmass = 2600\nsits_in = "custard"\n[tug]\nmass = "2 t"\nsurface = "grass"\n');
  await page.goto(`${app.url}/#/wrong/situation`);
  await expect(page.getByRole('heading', { name: 'The plan cannot be answered yet' })).toBeVisible();
  await page.getByLabel('Plan: more').click();
  await page.getByRole('button', { name: 'Duplicate' }).click();
  await expect(page.getByText('This is the copy')).toBeVisible();
  await scan(page);
  await page.goto(`${app.url}/#/guard-deep-clay/text`);
  await expect(page.getByLabel('Text of the plan')).toBeVisible();
  await scan(page);
});

test('metric and imperial, kept on the device; the plan stays as it was typed', async ({ page, app }) => {
  await app.show(page, 'rock-held');
  await expect(page.locator('main')).toContainText('kN');
  await page.getByLabel('Units', { exact: true }).selectOption('imperial');
  await expect(page.getByText(/half of such cases take\s+[\d ]+ lbf/)).toBeVisible();
  await expect(page.getByRole('textbox', { name: /Mass of the casualty/ })).toHaveValue('5200');
  await expect(page.getByLabel(/Unit of Mass of the casualty/)).toHaveValue('lb');
  const before = app.kept('rock-held');
  await page.reload();
  await answered(page);
  await expect(page.getByText(/half of such cases take\s+[\d ]+ lbf/)).toBeVisible();
  expect(app.kept('rock-held')).toBe(before);
});

test('the page is no wider than the screen, at 360 and at 320 px, in every look', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay');
  for (const width of [1440, 820, 360, 320]) {
    await page.setViewportSize({ width, height: 740 });
    for (const look of LOOKS) {
      await page.getByLabel('Look', { exact: true }).selectOption(look);
      const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
      expect(over, `${width} px, ${look}`).toBeLessThanOrEqual(0);
    }
  }
});

test('areas: titles, the current one, and the focus on the heading', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay');
  for (const [area, name] of [['options', 'Options'], ['rig', 'Rig'], ['pull', 'Pull'], ['let-go', 'Let-go'], ['brief', 'Brief'], ['situation', 'Situation']] as const) {
    await page.getByRole('navigation', { name: 'Areas' }).getByRole('link', { name, exact: true }).click();
    await expect(page).toHaveURL(new RegExp(`#/guard-deep-clay/${area}`));
    await expect(page).toHaveTitle(`${name}: guard-deep-clay - Steadypull`);
    await expect(page.getByRole('navigation', { name: 'Areas' }).locator('[aria-current=page]')).toHaveText(name);
    await expect(page.locator('main h1')).toBeFocused();
  }
  expect(AREAS.length).toBe(6);
});

test('by keyboard alone: skip link, a card chosen by arrow, a field typed, undone', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay');
  await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
  await page.keyboard.press('Tab');
  await expect(page.getByRole('link', { name: 'Skip to the content' })).toBeFocused();
  await page.keyboard.press('Enter');
  await expect(page.locator('main')).toBeFocused();
  const guard = page.getByRole('radio', { name: /^Guard/ });
  for (let step = 0; step < 40 && !(await guard.evaluate((e) => e === document.activeElement)); step += 1) await page.keyboard.press('Tab');
  await expect(guard).toBeFocused();
  await page.keyboard.press('ArrowRight');
  await expect(page.getByRole('radio', { name: /^Body/ })).toBeChecked();
  await answered(page);
  await page.keyboard.press('Control+z');
  await expect(guard).toBeChecked();
  await page.keyboard.press('Control+y');
  await expect(page.getByRole('radio', { name: /^Body/ })).toBeChecked();
});

/** What a screen reader comes past with the Tab key, in order: role and name. */
async function tabOrder(page: Page, most: number): Promise<string[]> {
  const said: string[] = [];
  const client = await page.context().newCDPSession(page);
  await page.evaluate(() => {
    (document.activeElement as HTMLElement | null)?.blur();
    scrollTo(0, 0);
  });
  for (let step = 0; step < most; step += 1) {
    await page.keyboard.press('Tab');
    const { result } = await client.send('Runtime.evaluate', { expression: 'document.activeElement' });
    const { nodes } = await client.send('Accessibility.getPartialAXTree', { objectId: result.objectId ?? '', fetchRelatives: false });
    const node = nodes[0];
    said.push(`${String(node?.role?.value)}: ${String(node?.name?.value)}`);
  }
  return said;
}

test('the order in which the page is spoken', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay');
  const expected = [
    'link: Skip to the content',
    'link: Steadypull all plans',
    'DisclosureTriangle: Plan: more',
    'combobox: Units',
    'combobox: Look',
    'link: Situation',
    'link: Options',
    'link: Rig',
    'link: Pull',
    'link: Let-go',
    'link: Brief',
    'textbox: Mass of the casualty, load and people included (needed)',
    'combobox: Unit of Mass of the casualty, load and people included',
    'radio: clay',
    'radio: Guard down to the guards',
    'textbox: Slope along the pull',
    'combobox: Unit of Slope along the pull',
    'textbox: Stuck for',
    'combobox: Unit of Stuck for',
    'radio: nothing found',
    'textbox: Mass of the tug, load and people included (needed)',
    'combobox: Unit of Mass of the tug, load and people included',
    'radio: gravel',
    'textbox: Crew, drivers included',
    'textbox: Bystanders',
    'textbox: Bystanders stand no closer to the line than',
    'combobox: Unit of Bystanders stand no closer to the line than',
    'DisclosureTriangle: As a table, with models and sources',
  ];
  expect(await tabOrder(page, expected.length)).toEqual(expected);
});

test('headings, in the order in which they are heard', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay');
  const heard = await page.getByRole('heading').evaluateAll((all) => all.map((h) => `${h.tagName} ${h.textContent?.trim()}`));
  expect(heard).toEqual([
    'H1 Situation',
    'H2 What was noticed',
    'H2 The stuck vehicle',
    'H2 The tug',
    'H2 The people',
    'H2 How hard it is stuck',
    'H2 Everything else',
  ]);
  for (const name of ['Verdict', 'The stuck vehicle', 'The tug', 'The people', 'How hard it is stuck', 'Everything else']) {
    await expect(page.getByRole('region', { name, exact: true })).toBeVisible();
  }
});

test('what takes the focus is never hidden behind the areas on top', async ({ page, app }) => {
  await page.setViewportSize({ width: 820, height: 600 });
  await app.show(page, 'guard-deep-clay');
  for (const back of [false, true]) {
    for (let step = 0; step < 45; step += 1) {
      await page.keyboard.press(back ? 'Shift+Tab' : 'Tab');
      const hidden = await page.evaluate(() => {
        const at = document.activeElement;
        const nav = document.querySelector('nav');
        if (!at || !nav || at === document.body || nav.contains(at) || at.closest('.top') || at.classList.contains('skip')) return null;
        const box = at.getBoundingClientRect();
        return box.bottom <= nav.getBoundingClientRect().bottom ? at.outerHTML.slice(0, 120) : null;
      });
      expect(hidden).toBeNull();
    }
  }
});

test('targets are large enough for a gloved finger', async ({ page, app }) => {
  await page.setViewportSize({ width: 360, height: 740 });
  await app.show(page, 'guard-deep-clay');
  const small = await page.evaluate(() =>
    [...document.querySelectorAll('button, select, summary, input:not([type=radio], [type=checkbox], [type=file]), label:has(input[type=radio]), nav a')]
      .filter((e) => (e as HTMLElement).checkVisibility())
      .map((e) => ({ text: e.textContent?.trim().slice(0, 40), box: e.getBoundingClientRect() }))
      .filter(({ box }) => box.height > 0 && box.height < 43.5)
      .map(({ text, box }) => `${text}: ${box.height}`),
  );
  expect(small).toEqual([]);
});

test('contrast of every colour that text or lines have, in every look', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay');
  for (const look of LOOKS) {
    await page.getByLabel('Look', { exact: true }).selectOption(look);
    const thin = await page.evaluate(() => {
      const style = getComputedStyle(document.documentElement);
      const colour = (name: string) => style.getPropertyValue(`--${name}`).trim().replace(/^#(.)(.)(.)$/, '#$1$1$2$2$3$3');
      const luminance = (hex: string) => {
        const [r, g, b] = [1, 3, 5].map((i) => parseInt(hex.slice(i, i + 2), 16) / 255).map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
        return 0.2126 * (r ?? 0) + 0.7152 * (g ?? 0) + 0.0722 * (b ?? 0);
      };
      const ratio = (a: string, b: string) => {
        const [low, high] = [luminance(colour(a)), luminance(colour(b))].sort((x, y) => x - y);
        return ((high ?? 0) + 0.05) / ((low ?? 0) + 0.05);
      };
      const grounds = ['ground', 'sheet', 'accent-wash', 'critical-wash', 'warning-wash'];
      const pairs = [
        ...['ink', 'ink-soft', 'accent', 'critical', 'warning', 'good'].flatMap((ink) => grounds.map((on) => [ink, on, 4.5] as const)),
        ['on-accent', 'accent', 4.5] as const,
        ...['line-strong', 'focus', 'zone'].flatMap((line) => ['ground', 'sheet'].map((on) => [line, on, 3] as const)),
      ];
      return pairs.filter(([a, b, least]) => !(ratio(a, b) >= least)).map(([a, b]) => `${a} on ${b}: ${ratio(a, b).toFixed(2)}`);
    });
    expect(thin, look).toEqual([]);
  }
});

test('a lost server shows itself while nobody types, and the page goes on by itself', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay');
  await app.kill();
  await expect(page.getByText('The server does not answer.')).toBeVisible({ timeout: 20_000 });
  await page.goto(`${page.url().split('#')[0]}#/another/situation`).catch(() => undefined);
  await expect(page.getByText('The plan is opened as soon as the server answers.')).toBeVisible();
  app.put('another', 'title = "Another"\n');
  await app.start();
  await expect(page.getByText('Still to say')).toBeVisible();
  await expect(page.getByText('The server does not answer.')).toBeHidden();
});

test('on paper it is black on white, without the bar', async ({ page, app }) => {
  await app.show(page, 'guard-deep-clay');
  await page.getByLabel('Look', { exact: true }).selectOption('dark');
  await page.emulateMedia({ media: 'print' });
  await expect(page.getByRole('navigation', { name: 'Areas' })).toBeHidden();
  const colours = await page.evaluate(() => {
    const style = getComputedStyle(document.documentElement);
    return [style.backgroundColor, style.color];
  });
  expect(colours).toEqual(['rgb(255, 255, 255)', 'rgb(0, 0, 0)']);
});
