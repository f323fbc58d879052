import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readPdf } from '../certificate/read-pdf.js';
import { inShop, made, makeShop, type Shop } from '../forgeries/shop.js';

const logs = path.resolve(import.meta.dirname, '../../sample-logs');
let shop: Shop;
const place = (name: string): string => path.join(shop.folder, name);
const imported = (log: string, job: string, ...more: readonly string[]) =>
  inShop(shop.folder, ['import', log, '--job', path.join(logs, `${job}.job.toml`), ...more, '--json']);

beforeAll(async () => {
  shop = await makeShop();
}, 60_000);
afterAll(() => rmSync(shop.folder, { recursive: true, force: true }));

describe('an imported log', () => {
  it('is not made a pass by reading its seconds as minutes', async () => {
    const log = readFileSync(path.join(logs, 'piston-seal.csv'), 'utf8');
    expect(log).toContain('time_ms,pressure_kPa');
    const wrong = 'time_min=time_ms,pressure_kPa=pressure_kPa';
    const said = await imported(path.join(logs, 'piston-seal.csv'), 'piston-seal', '--port', 'A', '--columns', wrong);
    expect(said).toMatchObject({ code: 2, out: '' });
    expect(said.err).toContain('is in ms by its own words, and time_min would read it otherwise');
  });

  it('is dated by its own stamps, and its record and paper say how it was read', async () => {
    const said = await imported(path.join(logs, 'air.csv'), 'air', '--port', 'A');
    const { test } = JSON.parse(said.out) as { test: string };
    const file = place(`${test}.json`);
    await inShop(shop.folder, ['export', test, '--format', 'json', '-o', file]);
    const { header } = JSON.parse(readFileSync(file, 'utf8')) as { header: Record<string, unknown> };
    expect(header.startedAt).toBe('2026-03-14T09:30:00.500Z');
    expect(header.clock).toMatch(/^the log's own stamps; imported \d{4}-/);
    const draft = place('draft.pdf');
    await made(shop.folder, ['certificate', test, '--draft', '-o', draft]);
    const text = readPdf(readFileSync(draft)).text.replace(/\s+/g, ' ');
    for (const part of [
      '14 Mar 2026, 09:30',
      'Columns: timestamp from "timestamp"; pressure_kgfcm2 from "pressure_kgfcm2"',
    ])
      expect(text).toContain(part);
    expect(text).toMatch(
      /Imported log air\.csv, SHA-256 of the file: [0-9a-f ]{64,80}\. .*Lines without readings left out: 1\./,
    );
    expect(text).not.toContain('The log carries no date');
  });

  it('without a date says that the date is that of its import, and tells of a line put out of use', async () => {
    const rows = readFileSync(path.join(logs, 'tight.csv'), 'utf8').split('\n');
    const log = place('edited.csv');
    writeFileSync(log, rows.map((row, index) => (index === 40 ? `# ${row}` : row)).join('\n'));
    const { test } = JSON.parse((await imported(log, 'tight', '--port', 'A')).out) as { test: string };
    await made(shop.folder, ['certificate', test, '--draft', '-o', place('undated.pdf')]);
    const text = readPdf(readFileSync(place('undated.pdf'))).text.replace(/\s+/g, ' ');
    expect(text).toContain('The log carries no date: the date of the test is that of its import.');
    expect(text).toContain('Lines without readings left out: 2.');
  });
});
