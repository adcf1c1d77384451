// A server of its own for each test, with empty folders of plans and test days, and the page opened on it.
// STEADYPULL_BIN names the binary; without it the one that cargo built last is taken.

import { spawn, type ChildProcess } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';

import { expect, test as base, type Page } from '@playwright/test';

export { expect };

export const DEMOS = [
  'guard-deep-clay',
  'rock-held',
  'side-slope-bridle',
  'steep-bank-lowering',
  'tree-double-line',
  'uphill-sand',
] as const;

export const AREAS = ['situation', 'options', 'rig', 'pull', 'let-go', 'brief'] as const;

/** The binary under test. */
export const BIN = binary();

function binary(): string {
  const named = process.env.STEADYPULL_BIN;
  const target = process.env.CARGO_TARGET_DIR ?? join(import.meta.dirname, '../../target');
  const bin = named ?? join(target, 'release/steadypull');
  if (!existsSync(bin)) throw new Error(`no binary to test at ${bin}: build it, or set STEADYPULL_BIN`);
  return bin;
}

/** The text of a demo plan. */
export function demo(name: string): string {
  return readFileSync(join(import.meta.dirname, `../../examples/${name}.toml`), 'utf8');
}

export class App {
  readonly folder = mkdtempSync(join(tmpdir(), 'steadypull-test-'));
  /** Where test days are kept. */
  readonly days = mkdtempSync(join(tmpdir(), 'steadypull-days-'));
  url = '';
  private server: ChildProcess | null = null;

  /** Starts the server: on any free port, or on the one that it had. */
  async start(): Promise<void> {
    const port = this.url === '' ? '0' : new URL(this.url).port;
    const server = spawn(BIN, ['serve', '--port', port, '--plans', this.folder, '--tests', this.days, '--json'], {
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    this.server = server;
    const line = await new Promise<string>((resolve, reject) => {
      createInterface({ input: server.stdout }).once('line', resolve);
      server.once('exit', (code) => reject(new Error(`the server ended with ${code}`)));
    });
    this.url = (JSON.parse(line) as { address: string }).address.replace(/\/$/, '');
  }

  /** Kills the server as a crash would. */
  async kill(): Promise<void> {
    const server = this.server;
    if (!server || server.exitCode !== null) return;
    const gone = new Promise((resolve) => server.once('exit', resolve));
    server.kill('SIGKILL');
    await gone;
    this.server = null;
  }

  async end(): Promise<void> {
    await this.kill();
    for (const folder of [this.folder, this.days]) rmSync(folder, { recursive: true, force: true });
  }

  /** Puts a plan into the folder as its user would. */
  put(name: string, text: string): void {
    writeFileSync(join(this.folder, `${name}.toml`), text);
  }

  /** The kept text of a plan. */
  kept(name: string): string {
    return readFileSync(join(this.folder, `${name}.toml`), 'utf8');
  }

  /** The test file of a test day. */
  testFile(day: string): string {
    return readFileSync(join(this.days, day, 'tests.toml'), 'utf8');
  }

  /** Shows an area of a demo plan, or of a plan that was put there, and waits for its answer. */
  async show(page: Page, name: string, area: (typeof AREAS)[number] = 'situation'): Promise<void> {
    if (!existsSync(join(this.folder, `${name}.toml`))) this.put(name, demo(name));
    await page.goto(`${this.url}/#/${name}/${area}`);
    await answered(page);
  }
}

/** Waits until the whole answer to the plan as it stands is on the screen. */
export async function answered(page: Page): Promise<void> {
  await expect(page.locator('main')).toHaveAttribute('data-answer', 'whole');
}

/** Hosts that were asked beyond the server: must stay empty. */
export function strangers(page: Page, app: App): string[] {
  const asked: string[] = [];
  page.on('request', (request) => {
    const url = new URL(request.url());
    if (/^(data|blob|about)/.test(url.protocol)) return;
    if (url.origin !== app.url) asked.push(request.url());
  });
  return asked;
}

export const test = base.extend<{ app: App; quiet: void }>({
  app: async ({}, use) => {
    const app = new App();
    await app.start();
    await use(app);
    await app.end();
  },
  /** No page may ask a stranger, throw, or break the content-security policy. */
  quiet: [
    async ({ page, app }, use) => {
      const asked = strangers(page, app);
      const wrong: string[] = [];
      page.on('pageerror', (error) => wrong.push(error.message));
      page.on('console', (message) => {
        if (/Content.Security.Policy/i.test(message.text())) wrong.push(message.text());
      });
      await use();
      expect(asked, 'requests that left the machine').toEqual([]);
      expect(wrong, 'errors in the page').toEqual([]);
    },
    { auto: true },
  ],
});
