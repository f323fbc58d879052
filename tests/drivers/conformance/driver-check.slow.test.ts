import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { ownDriver } from './own-driver.js';

const root = path.resolve(import.meta.dirname, '../../..');
/** Within the package, so that its own name is found from there; needs `npm run build`. */
const folder = mkdtempSync(path.join(root, 'tests/drivers/conformance/own-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const check = (text: string): Promise<{ code: number | string; out: string }> => {
  const file = path.join(folder, 'our-gauge.mjs');
  writeFileSync(file, text);
  return new Promise((resolve) =>
    execFile('npm', ['run', '--silent', 'driver-check', file], { cwd: root }, (error, stdout) =>
      resolve({ code: error?.code ?? 0, out: stdout }),
    ),
  );
};

it('npm run driver-check finds that the driver of DEVELOPERS.md keeps the contract', async () => {
  const { driver, check: how } = ownDriver();
  const said = await check(`${driver}${how}`);
  expect(said.out).toMatch(/our-gauge keeps the contract/);
  expect(said.out).not.toMatch(/broken/);
  expect(said.code).toBe(0);
}, 60_000);

it('and that one which makes a number of a missing value does not', async () => {
  const { driver, check: how } = ownDriver();
  const said = await check(`${driver.replace('millibar !== noValue', 'true')}${how}`);
  expect(said.out).toMatch(/broken .*read \[25000000,24990000,-21/);
  expect(said.code).toBe(1);
}, 60_000);
