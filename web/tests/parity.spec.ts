// What the page shows equals what the command line prints for the same plan, for every demo.
import { spawnSync } from 'node:child_process';

import type { Locator, Page } from '@playwright/test';

import { BIN, DEMOS, demo, expect, test } from './app';

type System = 'metric' | 'imperial';

/** A report of the command line, its lines joined. */
function report(command: string, plan: string, units: System): string {
  const run = spawnSync(BIN, [command, '-', '--units', units], { input: demo(plan), encoding: 'utf8' });
  // 3: worked, and something in the plan says do not pull.
  expect([0, 3], `${command} of ${plan}: ${run.stderr}`).toContain(run.status);
  return run.stdout;
}

const flat = (text: string) => text.replace(/\s+/g, ' ');

/** One area's text of a report, between its heading and the next. */
function part(text: string, heading: string): string {
  const lines = text.split('\n');
  const from = lines.findIndex((line) => line.startsWith(heading) && /^[A-Z-]/.test(line));
  if (from < 0) return '';
  const length = lines.slice(from + 2).findIndex((line, i, all) => /^[A-Z]/.test(line) && (all[i + 1] ?? '').startsWith('-----'));
  return lines.slice(from + 2, length < 0 ? undefined : from + 2 + length).join('\n');
}

const UNIT = '(?:kN|kJ|J|%|km/h|m/s|m/min|mph|ft/min|ft/s|ft lbf|lbf|lb|ft|g|V|A|C|bar|min|m|s|t)';
const NUMBER = new RegExp(`(?<![\\d.,-])-?(?:\\d{1,3}(?: \\d{3})+|\\d+)(?:\\.\\d+)? ${UNIT}(?![\\w/])`, 'g');

/** Every number with its unit in a text. */
function numbers(text: string): string[] {
  return [...new Set(flat(text).match(NUMBER) ?? [])];
}

/** The text of an area, drawings too. */
async function shown(page: Page): Promise<string> {
  return flat((await page.locator('main').textContent()) ?? '');
}

/** The text of what is on the screen, with a space between its parts. */
async function read(place: Locator): Promise<string> {
  return flat((await place.allInnerTexts()).join(' '));
}

async function choose(page: Page, units: System): Promise<void> {
  await page.locator('select', { has: page.locator('option[value=imperial]') }).selectOption(units);
}

for (const units of ['metric', 'imperial'] as const) {
  for (const name of DEMOS) {
    test(`${name}, ${units}`, async ({ page, app }) => {
      test.setTimeout(120_000);
      const check = report('check', name, units);
      const all = flat(check);
      await app.show(page, name, 'situation');
      await choose(page, units);

      await test.step('situation', async () => {
        const text = await shown(page);
        const situation = part(check, 'SITUATION');
        // Of a plan that lowers, the report has no such part.
        if (situation === '') return;
        const breakOut = numbers(/= to start it, slowly(.*)/.exec(situation)?.[1] ?? '');
        expect(breakOut.length).toBeGreaterThan(0);
        for (const number of breakOut) expect(text).toContain(number);
        const design = /Plan the rig for\s+(\S[^,]*),/.exec(situation)?.[1];
        expect(design).toBeTruthy();
        expect(text).toContain(flat(design!));
      });

      await test.step('options', async () => {
        await app.show(page, name, 'options');
        const own = report('options', name, units);
        const ladder = part(own, 'OPTIONS');
        await expect(page.locator('[data-shown=headline]')).toHaveText(/./);
        expect(all).toContain(flat(await page.locator('[data-shown=headline]').innerText()));
        const rungs = page.locator('li[data-method]');
        expect(await rungs.count()).toBeGreaterThan(4);
        for (const rung of await rungs.all()) {
          const title = flat((await rung.locator('h3').innerText()).replace(/^\d+\s*/, ''));
          // A row that is too long goes on in the next line, further in.
          const row = new RegExp(`^  ${title}[^\\n]*(\\n {4,}[^\\n]*)*`, 'm').exec(ladder)?.[0];
          expect(row, title).toBeTruthy();
          expect(flat(row!)).toContain(await rung.locator('[data-shown=verdict]').innerText());
          for (const chance of await rung.locator('[data-shown=found], [data-shown=dug], [data-shown=stored]').all()) {
            expect(flat(row!)).toContain(flat(await chance.innerText()));
          }
          const more = rung.getByRole('button', { name: /Loads, chances, model/ });
          if (await more.count()) await more.click();
          for (const link of await rung.locator('tr[data-link]').all()) {
            const [part, load, wll, mbs] = await link.locator('th, td').allInnerTexts();
            const of = (share: string, what: string) =>
              share === 'none' ? `no ${what} known` : `${share.replace(/\s*OVER$/, '')} of ${what}`;
            expect(flat(ladder)).toContain(`${part}: ${load}, ${of(wll!, 'WLL')}, ${of(mbs!, 'MBS')}`);
          }
        }
        // Nothing but intervals is told here that the report does not have.
        await page.locator('.between').evaluateAll((all) => all.forEach((e) => e.remove()));
        const said = flat(own);
        const strange = numbers(await read(rungs)).filter((number) => !said.includes(number));
        expect(strange, 'numbers of the ladder that the report does not have').toEqual([]);
      });

      await test.step('load path', async () => {
        await app.show(page, name, 'rig');
        const text = await shown(page);
        const links = [...part(check, 'LOAD PATH').matchAll(
          /^ *\d+ (\S+)[^\n]*\n(?: {6}[a-z][^\n]*\n)*\s+(\S[^%\n]*?(?:kN|lbf))\s+(?:(\S+ %) WLL|no WLL)\s+(?:(\S+ %) (?:MBS|HOLD)|no MBS)/gm,
        )];
        expect(links.length).toBe(part(check, 'LOAD PATH').match(/^ {2,3}\d+ [a-z]/gm)?.length);
        expect(links.length).toBeGreaterThan(4);
        for (const [, link, load, wll, mbs] of links) {
          for (const words of [link, load, wll, mbs]) if (words) expect(text, `${link}`).toContain(words);
        }
      });

      await test.step('standoff', async () => {
        const text = await shown(page);
        const governs = /(?:Behind the casualty|Beside the line)\s+(\S+ \S+)/.exec(part(check, 'STANDOFF'))?.[1];
        expect(governs).toBeTruthy();
        expect(text).toContain(governs!);
      });

      await test.step('pull', async () => {
        await app.show(page, name, 'pull');
        const own = flat(report('pull', name, units) + report('lowering', name, units));
        let told = 0;
        for (const id of ['run-up', 'peak', 'peak-fixed', 'stored', 'moves', 'shifts', 'passes-wll', 'lets-go', 'hold', 'hold-design', 'speed']) {
          const place = page.locator(`[data-shown=${id}]`);
          if ((await place.count()) === 0) continue;
          expect(own, id).toContain(flat(await place.first().innerText()));
          told += 1;
        }
        const kind = (await page.locator('#kinetic-head').count()) > 0 ? 'kinetic' : 'none';
        expect(told).toBeGreaterThanOrEqual(kind === 'kinetic' ? 8 : 0);
        const win = page.locator('[data-shown=window]');
        if (await win.count()) {
          const words = flat((await win.innerText()).replace(/^DO NOT/, '')).trim().replace(/\.$/, '');
          expect(own).toContain(words[0]!.toLowerCase() + words.slice(1));
        }
        const missing = page.locator('[data-shown=missing] p').first();
        if (await missing.count()) {
          const words = (await missing.innerText()).replace(/\.$/, '');
          expect(own.toLowerCase()).toContain(words.toLowerCase());
        }
        // The charts draw what the report has in its JSON alone, and the controls what the plan says.
        await page.locator('main details').evaluateAll((all) => all.forEach((e) => e.setAttribute('open', '')));
        await page.locator('figure, .controls').evaluateAll((all) => all.forEach((e) => e.remove()));
        const strange = numbers(await read(page.locator('main section'))).filter((number) => !own.includes(number) && !all.includes(number));
        expect(strange, 'numbers of the pull that the report does not have').toEqual([]);
      });

      await test.step('let-go', async () => {
        const letGo = part(check, 'LET-GO');
        await app.show(page, name, 'let-go');
        const worst = flat(/Worst\s+(\S[^\n]*)/.exec(letGo)?.[1] ?? '').trim();
        expect(worst).not.toBe('');
        const options = page.getByLabel('What lets go, from casualty to tug').locator('option');
        const parts = (await options.allTextContents()).map(flat);
        expect(parts.some((part) => part.startsWith(worst)), `${worst} in ${parts}`).toBe(true);
        // Energy over the criterion, where it is over it: the last figure of a row.
        const rows = letGo.split('\n').flatMap((line) => /^ {2,}.*(?:J|ft lbf) +<? ?(\d+(?:\.\d+)?)$/.exec(line)?.[1] ?? []);
        expect(rows.length).toBeGreaterThan(2);
        const told = parts.flatMap((part) => /([\d.]+) times/.exec(part)?.[1] ?? []);
        expect(told.filter((times) => !rows.includes(times)), 'shares that the report does not have').toEqual([]);
        const most = rows.reduce((high, row) => (Number(row) > Number(high) ? row : high));
        if (Number(most) > 1) expect(told).toContain(most);
        else expect(told).toEqual([]);
        // Every thing that flies from every part: how fast it leaves, and, where it strikes, when, how
        // fast and with what energy. Where it would pass the far point is told here alone. Of a rig
        // laid out the report has the end or body itself, and of no rig what has no energy to speak of.
        const own = flat(report('let-go', name, units));
        const laidOut = part(check, 'RIG') !== '';
        const table = page.getByRole('region', { name: 'what flies, table' });
        const flies = table.locator('tbody tr');
        let [sides, figures] = [0, 0];
        for (const group of await options.evaluateAll((all) => all.map((option) => (option as HTMLOptionElement).value))) {
          await page.getByLabel('What lets go, from casualty to tug').selectOption(group);
          for (const side of await page.getByRole('group', { name: 'What flies of it' }).locator('input:enabled').all()) {
            sides += 1;
            await side.check();
            await expect(page.locator('section[data-choice]')).toHaveAttribute('data-choice', (await side.getAttribute('value'))!);
            for (const row of laidOut ? [flies.first()] : await flies.all()) {
              const [thing, energy, , fastest, ...strike] = await row.locator('th, td').allInnerTexts();
              if (Number.parseFloat(energy!) < 1) continue;
              const struck = / strikes /.test(flat(thing!)) && !laidOut ? [energy!.split('\n')[0]!, ...strike] : [];
              const told = [fastest!, ...struck].flatMap(numbers);
              figures += told.length;
              expect(told.filter((number) => !own.includes(number)), `${group}: ${flat(thing!)}`).toEqual([]);
            }
          }
        }
        expect(sides).toBeGreaterThan(2);
        expect(figures).toBeGreaterThanOrEqual(sides);
      });

      await test.step('brief', async () => {
        await app.show(page, name, 'brief');
        const frame = page.frameLocator('iframe');
        await expect(frame.locator('.verdict')).toBeVisible();
        expect(all).toContain(flat(await frame.locator('h1').innerText()));
        expect(all).toContain(flat(await frame.locator('.verdict .headline').innerText()));
        const reasons = await frame.locator('.verdict li').allInnerTexts();
        expect(reasons.length).toBeGreaterThan(0);
        for (const reason of reasons.filter((r) => !r.startsWith('Order to try'))) expect(all).toContain(flat(reason));
      });
    });
  }
}

/** An amount in a metric unit. What is quoted keeps its own: sources of a line's curve, and what the plan says. */
const METRIC = /(?<![\d.,-])\d[\d .]* (?:kN|kJ|J|kg|mm|m|km\/h|m\/s|m\/min|kPa|bar|C)(?![\w/])/g;
const QUOTED = /TF-02: [^;]*;/g;

for (const name of DEMOS) {
  test(`${name}: in imperial units no sentence keeps a metric amount`, async ({ page, app }) => {
    await app.show(page, name, 'options');
    await choose(page, 'imperial');
    for (const area of ['options', 'pull', 'let-go'] as const) {
      await app.show(page, name, area);
      const text = (await shown(page)).replace(QUOTED, '');
      expect(text.length).toBeGreaterThan(200);
      expect(text.match(METRIC) ?? [], area).toEqual([]);
    }
  });
}
