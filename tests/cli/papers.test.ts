import {
  closeSync,
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  openSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openStore } from '../../src/record/index.js';
import { withoutSignature } from '../../src/signing/index.js';
import { readPdf } from '../certificate/read-pdf.js';
import { dwellmark, type Said } from './command-line.js';

const root = path.resolve(import.meta.dirname, '../..');
const logs = path.join(root, 'sample-logs');
let shop = '';
let tests: readonly string[] = [];

const inShop = (...parts: readonly string[]): string => path.join(shop, ...parts);
const certificate = (...args: readonly string[]) => dwellmark('certificate', ...args, '--shop', shop);
const json = async <Answer>(...args: readonly string[]): Promise<Answer> => {
  const said = await certificate(...args, '--json');
  expect(said.err).toBe('');
  return JSON.parse(said.out) as Answer;
};

function withStanding(test: string): string {
  const store = openStore(inShop('record.db'), { mode: 'read' });
  try {
    return store.test(test).certificates.find(({ voided }) => voided === null)?.number ?? '';
  } finally {
    store.close();
  }
}

interface Paper {
  readonly test: string;
  readonly number: string;
  readonly file: string;
  readonly sha256: string;
}

async function withPassphrase(...args: readonly string[]): Promise<Said> {
  const file = inShop('passphrase');
  writeFileSync(file, 'four grey herons waiting\n');
  const fd = openSync(file, 'r');
  try {
    return await dwellmark(...args, '--shop', shop, '--passphrase-fd', String(fd));
  } finally {
    closeSync(fd);
  }
}

beforeAll(async () => {
  shop = mkdtempSync(path.join(tmpdir(), 'dwellmark-papers-'));
  const init = ['init', '--yes', '--name', 'Harrow Fell Hydraulics', '--signer', 'Ines Okafor'];
  expect(await withPassphrase(...init)).toMatchObject({ code: 0 });
  const file = inShop('dwellmark.toml');
  writeFileSync(file, readFileSync(file, 'utf8').replace(/^required = .*$/m, 'required = []'));
  const job = path.join(logs, 'tight.job.toml');
  const made: string[] = [];
  for (let index = 0; index < 3; index++) {
    const said = await dwellmark(
      ...['import', path.join(logs, 'tight.csv'), '--job', job, '--port', 'A', '--shop', shop, '--json'],
    );
    made.push((JSON.parse(said.out) as { test: string }).test);
  }
  tests = made;
}, 30_000);

afterAll(() => rmSync(shop, { recursive: true, force: true }));

describe('the papers of a shop', () => {
  it('a copy comes out byte for byte as issued, though the test was signed for once more', async () => {
    const issued = await json<Paper>(tests[0] ?? '', '--label', '-o', inShop('first.pdf'));
    expect(readdirSync(shop).filter((name) => name.endsWith('.pdf') || name.endsWith('.part'))).toEqual([
      'first-label.pdf',
      'first.pdf',
    ]);
    await withPassphrase('sign', tests[0] ?? '', '--meaning', 'reviewed and released');
    const copy = await json<Paper>('--copy', issued.number, '--label', '-o', inShop('copy.pdf'));
    expect(copy).toMatchObject({ kind: 'copy', asIssued: true });
    const [first, second] = [readFileSync(inShop('first.pdf')), readFileSync(inShop('copy.pdf'))];
    expect(withoutSignature(second).equals(withoutSignature(first))).toBe(true);
    expect(readFileSync(inShop('copy-label.pdf')).equals(readFileSync(inShop('first-label.pdf')))).toBe(true);
    await certificate('--root', inShop('root.pem'));
    expect((await dwellmark('verify', inShop('copy.pdf'), '--root', inShop('root.pem'))).code).toBe(0);
  });

  it('refuses in three lines at most, writes no file and uses no number', async () => {
    const [first = '', second = ''] = tests;
    writeFileSync(inShop('taken.pdf'), 'mine');
    const held = ledgerLines();
    const cases: readonly (readonly [readonly string[], string])[] = [
      [[first], '--copy C-'],
      [[second, first, '-o', inShop('none')], '--copy C-'],
      [[second, '-o', inShop('taken.pdf')], 'not written over'],
      [[second, '-o', inShop('no', 'such', 'a.pdf')], 'no such folder'],
      [['T-1999-0001'], 'no test T-1999-0001'],
      [['--reissue', 'C-1999-0001', '--reason', 'x'], 'no certificate C-1999-0001'],
      [['--reissue', 'C-1999-0001'], 'needs a reason'],
      [['--copy', 'C-1999-0001'], 'no certificate C-1999-0001'],
      [['--copy', 'C-1999-0001', '--draft'], 'a draft'],
      [[first, '--copy', 'C-1999-0001'], 'exclude each other'],
      [[first, '--reason', 'x'], 'belongs to --reissue'],
      [['--work-order', 'WO-none'], 'no test has the work order'],
      [[], 'of which test?'],
    ];
    for (const [args, words] of cases) {
      const said = await certificate(...args);
      expect(said).toMatchObject({ code: 2, out: '' });
      expect(said.err).toContain(words);
      expect(said.err.trim().split('\n').length).toBeLessThanOrEqual(3);
    }
    expect(readFileSync(inShop('taken.pdf'), 'utf8')).toBe('mine');
    expect(existsSync(inShop('none'))).toBe(false);
    expect(ledgerLines()).toBe(held);
    rmSync(inShop('taken.pdf'));
  });

  it('a reissue has a new number and names the old one, which is void from then on and prints so', async () => {
    const [first] = await numbersOf(tests[0] ?? '');
    const wish = ['certificate', '--reissue', first ?? '', '--reason', 'customer misspelt', '-o', inShop('again.pdf')];
    expect((await dwellmark(...wish, '--signer', 'qa', '--shop', shop)).err).toContain('a passphrase is needed');
    const reissued = await withPassphrase(...wish, '--signer', 'qa', '--json');
    expect(reissued.err).toBe('');
    const said = JSON.parse(reissued.out) as Paper & { replaces: string };
    expect(said).toMatchObject({ replaces: first });
    expect(said.number).not.toBe(first);
    expect((await readPdf(readFileSync(said.file))).text).toContain(`replaces ${first}`);
    const old = await json<Paper>('--copy', first ?? '', '-o', inShop('old.pdf'));
    expect(old).toMatchObject({ kind: 'void', asIssued: true });
    const { text } = await readPdf(readFileSync(old.file));
    for (const part of ['VOID', 'customer misspelt', `Replaced by ${said.number}`]) expect(text).toContain(part);
    expect((await certificate('--reissue', first ?? '', '--reason', 'again')).err).toContain('was replaced by');
    expect((await dwellmark('verify', '--all', '--shop', shop)).code).toBe(0);
  });

  it("sets papers by the shop's own layout and words, and does not pass off a changed one as a copy", async () => {
    const own = inShop('templates', 'certificate');
    mkdirSync(own, { recursive: true });
    const words = readFileSync(path.join(root, 'templates/certificate/en.toml'), 'utf8');
    writeFileSync(path.join(own, 'en.toml'), words.replace('"Serial no."', '"Our serial no."'));
    copyFileSync(path.join(root, 'templates/certificate/layout.toml'), path.join(own, 'layout.toml'));
    const issued = await json<Paper>(tests[1] ?? '', '-o', inShop('own.pdf'));
    const { text } = await readPdf(readFileSync(issued.file));
    for (const part of ['Our serial no.', 'Worded by the issuer, not by the program: label.serial.'])
      expect(text.replace(/\s+/g, ' ')).toContain(part);
    expect((await dwellmark('verify', issued.file, '--root', inShop('root.pem'))).code).toBe(0);
    writeFileSync(path.join(own, 'en.toml'), words);
    const copy = await certificate('--copy', issued.number, '-o', inShop('not.pdf'));
    expect(copy).toMatchObject({ code: 2, out: '' });
    expect(copy.err).toContain('the language file');
    expect(existsSync(inShop('not.pdf'))).toBe(false);
    writeFileSync(path.join(own, 'layout.toml'), 'blocks = ["heading"]\n');
    const broken = await certificate(tests[2] ?? '');
    expect(broken).toMatchObject({ code: 2, out: '' });
    expect(broken.err).toContain('layout.toml');
    rmSync(own, { recursive: true });
  });

  it('names the logo that was changed since a paper was issued, and copies it again once that is put back', async () => {
    const [first = ''] = tests;
    const file = inShop('dwellmark.toml');
    const before = readFileSync(file, 'utf8');
    const logo = (colour: string): void =>
      writeFileSync(
        inShop('logo.svg'),
        `<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20"><rect width="40" height="20" fill="${colour}"/></svg>`,
      );
    const standing = withStanding(first);
    logo('#1f4e5f');
    writeFileSync(file, `logo = "logo.svg"\n${before}`);
    const args = ['certificate', '--reissue', standing, '--reason', 'new letterhead', '--signer', 'qa', '--json'];
    const said = await withPassphrase(...args, '-o', inShop('with-logo.pdf'));
    expect(said).toMatchObject({ code: 0 });
    const { number } = JSON.parse(said.out) as Paper;
    logo('#5f1f4e');
    const changed = await certificate('--copy', number, '-o', inShop('other-logo.pdf'));
    expect(changed).toMatchObject({ code: 2, out: '' });
    expect(changed.err).toContain('changed since then: the logo');
    expect(existsSync(inShop('other-logo.pdf'))).toBe(false);
    logo('#1f4e5f');
    expect(await json<Paper>('--copy', number, '-o', inShop('same-logo.pdf'))).toMatchObject({ asIssued: true });
    writeFileSync(file, before);
  });

  it('several at once go into a folder, and a void test takes its certificates with it', async () => {
    const drafts = await json<readonly Paper[]>(...tests, '--draft', '-o', inShop('drafts'));
    expect(drafts.map(({ file }) => path.basename(file))).toEqual(tests.map((test) => `${test}-draft.pdf`));
    const [workOrder] = (await listed()).map((line) => line.workOrder);
    const issued = await json<readonly Paper[]>('--work-order', workOrder ?? '', '-o', inShop('papers'));
    expect(issued.map(({ test }) => test)).toEqual([tests[2]]);
    expect(readdirSync(inShop('papers')).sort()).toEqual(issued.map(({ number }) => `${number}.pdf`).sort());
    const struck = await withPassphrase(
      ...['void', tests[2] ?? '', '--signer', 'qa', '--reason', 'wrong gauge', '--with-certificates', '--json'],
    );
    expect(JSON.parse(struck.out)).toMatchObject({ certificatesVoided: [issued[0]?.number], certificatesStanding: [] });
    const control = await dwellmark('void', tests[2] ?? '', '--reason', 'a\u0007b', '--shop', shop);
    expect(control).toMatchObject({ code: 2, out: '' });
  });
});

async function listed(): Promise<readonly { readonly workOrder: string }[]> {
  return JSON.parse((await dwellmark('list', '--shop', shop, '--json')).out) as { workOrder: string }[];
}

function ledgerLines(): number {
  const store = openStore(inShop('record.db'), { mode: 'read' });
  try {
    return store.ledgerHead().position;
  } finally {
    store.close();
  }
}

async function numbersOf(test: string): Promise<readonly string[]> {
  const said = await dwellmark('export', test, '--format', 'json', '--shop', shop);
  return (JSON.parse(said.out) as { certificates: readonly Paper[] }).certificates.map(({ number }) => number);
}
