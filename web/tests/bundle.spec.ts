// What a phone has to fetch, and what the content-security policy forbids.

import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';

import { expect, test } from '@playwright/test';

const DIST = join(import.meta.dirname, '../dist');
const files = readdirSync(DIST, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile());
const read = (entry: (typeof files)[number]) => readFileSync(join(entry.parentPath, entry.name));

test('the page is under 300 kB compressed', () => {
  const bytes = files.map((entry) => gzipSync(read(entry)).length).reduce((a, b) => a + b, 0);
  expect(files.length).toBeGreaterThan(2);
  expect(bytes).toBeGreaterThan(10_000);
  expect(bytes).toBeLessThan(300_000);
});

test('the page holds no inline script or style', () => {
  const html = readFileSync(join(DIST, 'index.html'), 'utf8');
  expect(html).toMatch(/<script type="module"[^>]* src="\/assets\//);
  expect(html).not.toMatch(/<script(?![^>]*\ssrc=)/);
  expect(html).not.toMatch(/<style|\sstyle=|\son\w+=/);
});
