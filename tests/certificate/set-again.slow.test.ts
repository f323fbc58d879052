import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { judgeStored, verifyPdf } from '../../src/audit/index.js';
import { languages } from '../../src/certificate/input.js';
import { inShop, made, words } from '../forgeries/shop.js';

const logs = path.resolve(import.meta.dirname, '../../sample-logs');
/** The logs of the table in their README that give a verdict: name, job, options. */
const samples = [
  ...readFileSync(path.join(logs, 'README.md'), 'utf8').matchAll(/^\| (\S+)\.csv \| (\S+) \|([^|]*)\| \w+ \|/gm),
].map(([, name = '', job = '', options = '']) => ({
  name,
  job,
  options: options.replaceAll('`', '').trim().split(/\s+/).filter(Boolean),
}));
let shop = '';
let rootPem = '';

beforeAll(async () => {
  shop = mkdtempSync(path.join(tmpdir(), 'dwellmark-set-again-'));
  await made(shop, ['init', '--yes', '--name', 'Harrow & Söhne Hydraulik', '--signer', 'Ines Okafor'], [words]);
  const file = path.join(shop, 'dwellmark.toml');
  writeFileSync(file, readFileSync(file, 'utf8').replace(/^required = .*$/m, 'required = []'));
  await made(shop, ['certificate', '--root', path.join(shop, 'root.pem')]);
  rootPem = readFileSync(path.join(shop, 'root.pem'), 'utf8');
}, 60_000);
afterAll(() => rmSync(shop, { recursive: true, force: true }));

const verdicts = new Set<string>();

describe('the pages of a paper, set again from its record', () => {
  it.each(samples)(
    '$name: are the same in every language, as issued, in other units, void and as a draft',
    async ({ name, job, options }) => {
      const imported = await inShop(shop, [
        'import',
        path.join(logs, `${name}.csv`),
        '--job',
        path.join(logs, `${job}.job.toml`),
        ...options,
        '--json',
      ]);
      const { test, verdict } = JSON.parse(imported.out) as { test: string; verdict: string };
      verdicts.add(verdict);
      let before: string | undefined;
      for (const [index, language] of languages.entries()) {
        const file = path.join(shop, `${name}-${language}.pdf`);
        const how = ['--language', language, ...(index === 0 ? [] : ['--units', 'psi', '--beside', 'bar'])];
        const what =
          before === undefined ? [test] : ['--reissue', before, '--reason', 'other language', '--signer', 'qa'];
        const said = await inShop(
          shop,
          ['certificate', ...what, ...how, '-o', file, '--json'],
          before === undefined ? undefined : [words],
        );
        expect(said.err).toBe('');
        before = (JSON.parse(said.out) as { number: string }).number;
        const report = await verifyPdf(readFileSync(file), judgeStored, rootPem);
        expect(report.problems, `${name}, ${language}`).toEqual([]);
        expect(report.unproven, `${name}, ${language}`).toEqual([]);
        expect(report.checked.join()).toContain('every page: set again from the record, and the same');
        const draft = path.join(shop, `${name}-${language}-draft.pdf`);
        await made(shop, ['certificate', test, '--draft', '--language', language, '-o', draft]);
        const drafted = await verifyPdf(readFileSync(draft), judgeStored);
        expect(drafted.about?.what).toBe('draft');
      }
      await made(shop, ['void', before ?? '', '--reason', 'x', '--signer', 'qa'], [words]);
      const copy = path.join(shop, `${name}-void.pdf`);
      await made(shop, ['certificate', '--copy', before ?? '', '-o', copy]);
      const voided = await verifyPdf(readFileSync(copy), judgeStored, rootPem);
      expect(voided.problems).toEqual([]);
      expect(voided.checked.join()).toContain('every page: set again');
      expect(voided.unproven.join()).toContain('it is void');
    },
  );

  it('they are papers of every verdict', () => {
    expect(samples).toHaveLength(11);
    expect([...verdicts].toSorted()).toEqual(['fail', 'inconclusive', 'invalid', 'pass']);
  });
});
