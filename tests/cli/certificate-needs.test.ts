import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { suspicions } from '../../src/audit/suspicions/index.js';
import { openStore } from '../../src/record/index.js';
import { readPdf } from '../certificate/read-pdf.js';
import { inShop, made, makeShop, type Shop, words } from '../forgeries/shop.js';

let shop: Shop;
const place = (name: string): string => path.join(shop.folder, name);
const textOf = (name: string): string => readPdf(readFileSync(place(name))).text.replace(/\s+/g, ' ');
const sign = (test: string, meaning: string) =>
  inShop(shop.folder, ['sign', test, '--signer', 'qa', '--meaning', meaning], [words]);

beforeAll(async () => {
  shop = await makeShop();
  await made(shop.folder, ['certificate', '--root', place('root.pem')]);
}, 60_000);
afterAll(() => rmSync(shop.folder, { recursive: true, force: true }));

describe('what a certificate needs beside a pass', () => {
  it('a pass without a calibration and without an inspection is a report, and says so as deviations', async () => {
    const paper = textOf('paper.pdf');
    for (const part of [
      'Hold test report',
      'Port A: no inspection for oil outside is on record.',
      'Gauge HF-40117: no calibration is stated.',
      'This is a report and not a certificate',
    ])
      expect(paper).toContain(part);
    for (const part of ['Hold test certificate', 'No deviations']) expect(paper).not.toContain(part);
    const verified = await inShop(shop.folder, ['verify', place('paper.pdf'), '--root', place('root.pem')]);
    expect(verified).toMatchObject({ code: 0 });
    expect(verified.out).toMatch(/^Test report C-\d{4}-0001\n/);
  });

  it('a shop that demands neither gets its certificate, with the deviations all the same', async () => {
    const file = place('dwellmark.toml');
    const before = readFileSync(file, 'utf8');
    writeFileSync(file, before.replace(/^(calibration|inspection)_required = true/gm, '$1_required = false'));
    await sign(shop.waiting, 'reviewed and released');
    const issued = JSON.parse(await made(shop.folder, ['certificate', shop.waiting, '-o', place('second.pdf')]));
    expect(issued).toMatchObject({ kind: 'certificate' });
    const paper = textOf('second.pdf');
    for (const part of ['Hold test certificate', 'no inspection for oil outside', 'no calibration is stated'])
      expect(paper).toContain(part);
    expect(paper).not.toContain('No deviations');
    writeFileSync(file, before);
    const copy = await made(shop.folder, ['certificate', '--copy', issued.number, '-o', place('copy.pdf')]);
    expect(JSON.parse(copy)).toMatchObject({ asIssued: true });
  });
});

describe('an inspection of a recorded log', () => {
  const log = path.resolve(import.meta.dirname, '../../sample-logs/tight.csv');
  it('is put down for whoever looked, and a calibrated gauge then makes the pass a certificate', async () => {
    const logs = path.dirname(log);
    const text = readFileSync(log.replace('.csv', '.job.toml'), 'utf8');
    const calibration =
      '[gauge.calibration]\ncertificate = "K-881"\nlaboratory = "Ullock Calibration"\ndate = 2025-11-02\ndue = 2035-11-02\n';
    writeFileSync(
      place('calibrated.toml'),
      text
        .replace('[cylinder]', `${calibration}\n[cylinder]`)
        .replace('"tight.procedure.toml"', `"${logs}/tight.procedure.toml"`),
    );
    const args = ['import', log, '--job', place('calibrated.toml'), '--port', 'A', '--inspected'];
    const nobody = await inShop(shop.folder, args);
    expect(nobody).toMatchObject({ code: 2, out: '' });
    expect(nobody.err).toContain('--technician');
    const imported = await made(shop.folder, [...args, '--technician', 'Marek Dunn']);
    const { test } = JSON.parse(imported) as { test: string };
    await sign(test, 'reviewed and released');
    const issued = JSON.parse(await made(shop.folder, ['certificate', test, '-o', place('inspected.pdf')]));
    expect(issued).toMatchObject({ kind: 'certificate' });
    expect(textOf('inspected.pdf')).not.toContain('no inspection for oil outside');
    expect((await inShop(shop.folder, ['verify', '--all'])).code).toBe(0);
  });
});

describe('a rejection', () => {
  it('after the issue is told to whoever signs it, by audit, and by verify of the paper', async () => {
    const said = await sign(shop.waiting, 'rejected');
    expect(said.out).toMatch(/C-\d{4}-0002 still stands on it: dwellmark void C-\d{4}-0002/);
    const store = openStore(place('record.db'), { mode: 'read' });
    const kinds = suspicions(store).map(({ kind }) => kind);
    store.close();
    expect(kinds).toContain('certificate on a rejected test');
    const verified = await inShop(shop.folder, ['verify', place('second.pdf'), '--root', place('root.pem')]);
    expect(verified).toMatchObject({ code: 6 });
    expect(verified.out).toMatch(/was rejected on .* by\s+Ines\s+Okafor/);
  });

  it('of a released pass leaves no certificate to be had, and is not followed by a release', async () => {
    const log = path.resolve(import.meta.dirname, '../../sample-logs/tight.csv');
    const job = log.replace('.csv', '.job.toml');
    const imported = await made(shop.folder, ['import', log, '--job', job, '--port', 'A']);
    const { test } = JSON.parse(imported) as { test: string };
    for (const meaning of ['reviewed and released', 'rejected'])
      expect(await sign(test, meaning)).toMatchObject({ code: 0 });
    const refused = await inShop(shop.folder, ['certificate', test, '-o', place('third.pdf')]);
    expect(refused).toMatchObject({ code: 2, out: '' });
    expect(refused.err).toContain('Ines Okafor rejected test');
    await made(shop.folder, ['sign', shop.failed, '--signer', 'qa', '--meaning', 'rejected'], [words]);
    const late = await sign(shop.failed, 'reviewed and released');
    expect(late.err).toContain("can't be released any more");
    const report = await made(shop.folder, ['certificate', shop.failed, '-o', place('fail.pdf')]);
    expect(JSON.parse(report)).toMatchObject({ kind: 'test report' });
  });
});
