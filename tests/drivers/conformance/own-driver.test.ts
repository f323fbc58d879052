import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import packageJson from '../../../package.json' with { type: 'json' };
import type { DriverModule } from '../../../src/gauge/index.js';
import { ownDriver } from './own-driver.js';
import { type DriverCheck, rulesFor } from './rules.js';

const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-own-driver-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** What the example imports by the package's name, by where its source stands. */
const sources: Readonly<Record<string, string>> = {
  'dwellmark/gauge': 'src/gauge/index.ts',
  'dwellmark/drivers/serial': 'drivers/serial/index.ts',
};
const root = new URL('../../../', import.meta.url);
const shown = ownDriver();
let text = `${shown.driver}${shown.check}`;
for (const [name, source] of Object.entries(sources))
  text = text.replace(`from '${name}'`, `from '${new URL(source, root).pathname}'`);
const file = path.join(folder, 'our-gauge.mjs');
writeFileSync(file, text);
const { driver, check } = (await import(pathToFileURL(file).href)) as { driver: DriverModule; check: DriverCheck };

describe("the shop's own driver that DEVELOPERS.md shows", () => {
  it('has fewer than 60 lines', () => {
    expect(shown.driver.trimEnd().split('\n').length).toBeLessThan(60);
  });

  it('imports only what the package exports', () => {
    const names = [...shown.driver.matchAll(/from '(dwellmark[^']*)'/g)].map((match) => match[1] ?? '');
    expect(names.sort()).toEqual(Object.keys(sources).sort());
    for (const name of names) expect(packageJson.exports).toHaveProperty([name.replace('dwellmark', '.')]);
  });

  it.concurrent.each(rulesFor(check))('$name', async (rule) => {
    await expect(rule.check(driver, check)).resolves.toBeUndefined();
  });
});
