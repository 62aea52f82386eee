// SPDX-License-Identifier: MIT
// What the browser tests stand on: the command, one browser, and checks that count.
import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';

export const command = resolve(process.argv[2] ?? 'build/gcc/cli/hallreach');
export const root = resolve(import.meta.dirname, '../..');
export const work = mkdtempSync(join(tmpdir(), 'hallreach-browser-'));
export const paths = ['/usr/bin/chromium', '/usr/bin/chromium-browser'];

let checks = 0;
const failures = [];

export function check(good, words) {
  checks++;
  if (!good) {
    failures.push(words);
    console.log(`not ok - ${words}`);
  }
}
export function equal(got, expected, words) {
  check(JSON.stringify(got) === JSON.stringify(expected), `${words}: got ${JSON.stringify(got)}, expected ${JSON.stringify(expected)}`);
}
export function near(got, expected, tolerance, words) {
  check(Math.abs(got - expected) <= tolerance, `${words}: got ${got}, expected ${expected}`);
}

/** Runs the command; its exit status may be 0 or 1 (some device is not served). */
export function run(...words) {
  try {
    return execFileSync(command, words, { encoding: 'utf8', maxBuffer: 1 << 28, stdio: ['ignore', 'pipe', 'pipe'] });
  } catch (error) {
    if (error.status !== 1) {
      throw new Error(`hallreach ${words.join(' ')}: status ${error.status}\n${error.stderr}`);
    }
    return error.stdout;
  }
}

/** The page and the JSON of one run of the command. */
export function answer(name, verb, property, ...more) {
  const file = join(work, `${name}.html`);
  const json = JSON.parse(run(verb, '--quiet', '--json', '--date', '2026-03-31', '--page', file, ...more, property));
  return { name, file, url: pathToFileURL(file).href, html: readFileSync(file, 'utf8'), json };
}

let browser;
export async function open(page, { width = 1280, height = 900, dark = false, script = true, touch = false } = {}) {
  browser ??= await chromium.launch({ executablePath: paths.find(existsSync), args: ['--no-sandbox', '--disable-gpu'] });
  const context = await browser.newContext({
    viewport: { width, height }, colorScheme: dark ? 'dark' : 'light', javaScriptEnabled: script, hasTouch: touch,
  });
  const tab = await context.newPage();
  const seen = { requests: [], errors: [] };
  tab.on('request', (request) => { if (request.url() !== page.url) { seen.requests.push(request.url()); } });
  tab.on('console', (message) => { if (['error', 'warning'].includes(message.type())) { seen.errors.push(message.text()); } });
  tab.on('pageerror', (error) => seen.errors.push(error.message));
  tab.on('dialog', (dialog) => { seen.errors.push(`dialog: ${dialog.message()}`); dialog.dismiss(); });
  await tab.goto(page.url);
  return { tab, seen, close: () => context.close() };
}
export function quiet(page, seen, words) {
  equal(seen.requests, [], `${page.name}, ${words}: requests`);
  equal(seen.errors, [], `${page.name}, ${words}: console`);
}

export async function end() {
  await browser?.close();
  rmSync(work, { recursive: true, force: true });
  console.log(`${checks - failures.length} checks passed, ${failures.length} failed`);
  process.exitCode = failures.length === 0 && checks > 100 ? 0 : 1;
}
