import { execFileSync } from 'node:child_process';
import {
  closeSync,
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  openSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { statementOf } from '../../src/audit/index.js';
import {
  canonicalJson,
  type LedgerLine,
  ledgerHead,
  type Role,
  type StatementSignature,
} from '../../src/record/index.js';
import { makeSigner, signStatement, unlockSigner } from '../../src/signing/index.js';
import { honestShop } from '../forgeries/honest-shop.js';
import { pdfForgeries } from '../forgeries/pdf-forgeries.js';
import { withByte } from '../signing/sample-document.js';
import { dwellmark } from './command-line.js';

const root = path.resolve(import.meta.dirname, '../..');
const logs = path.join(root, 'sample-logs');
/** The commands of the document, word for word. */
const commands = [
  ...readFileSync(path.join(root, 'templates/certificate/check-by-hand.md'), 'utf8').matchAll(/```sh\n([\s\S]*?)```/g),
]
  .map(([, block = '']) => block)
  .join('\n');
const passphrase = 'four grey herons waiting';
let shop = '';

interface Outcome {
  readonly code: number;
  readonly lines: readonly string[];
}

/** Goes through the document's steps in an empty folder with the two files. */
function byHand(name: string, pdf: Buffer, rootPem: Buffer): Outcome {
  const folder = path.join(shop, name);
  mkdirSync(folder);
  writeFileSync(path.join(folder, 'certificate.pdf'), pdf);
  writeFileSync(path.join(folder, 'shop-root.pem'), rootPem);
  return stepsIn(folder, commands);
}

/** The steps after the signature and the extraction: what is looked at lies in the folder. */
function later(folder: string): Outcome {
  const rest = commands.slice(commands.indexOf('pdfdetach')).replace(/^pdfdetach.*$/m, '');
  return stepsIn(folder, `${commands.slice(0, commands.indexOf('range='))}\n${rest}`);
}

/** A person's signature on a correction; `stranger` is enrolled nowhere. */
function signedBy(id: string, { test, subject, body }: LedgerLine, role?: Role): StatementSignature {
  const dir = path.join(shop, 'keys');
  if (id === 'stranger' && !existsSync(path.join(dir, 'stranger.person.json')))
    makeSigner({ dir, id, name: 'Ines Okafor', role: 'qa', organisation: 'x', passphrase });
  const unlocked = unlockSigner(dir, id, passphrase);
  const signer = { ...unlocked.signer, role: role ?? unlocked.signer.role };
  const statement = statementOf({ test, subject, body });
  return signStatement({ ...unlocked, signer }, 'correction', statement, '2026-03-03T10:00:00+01:00');
}

function stepsIn(folder: string, steps: string): Outcome {
  writeFileSync(path.join(folder, 'steps.sh'), steps);
  try {
    const out = execFileSync('bash', ['steps.sh'], {
      cwd: folder,
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    return { code: 0, lines: out.trim().split('\n') };
  } catch (error) {
    const { status, stdout } = error as { status: number; stdout: string };
    return { code: status, lines: stdout.trim().split('\n').filter(Boolean) };
  }
}

async function inShop(...args: readonly string[]) {
  const fd = openSync(path.join(shop, 'passphrase'), 'r');
  try {
    const said = await dwellmark(
      ...args,
      '--shop',
      shop,
      ...(needs.has(args[0]) || args.includes('--reissue') ? ['--passphrase-fd', `${fd}`] : []),
    );
    expect(said).toMatchObject({ code: 0 });
    return said.out;
  } finally {
    closeSync(fd);
  }
}
const needs = new Set<string | undefined>(['init', 'sign', 'signer', 'correct']);

let pdf = Buffer.alloc(0);
let rootPem = Buffer.alloc(0);
let anchor = '';

beforeAll(async () => {
  shop = mkdtempSync(path.join(tmpdir(), 'dwellmark-by-hand-'));
  writeFileSync(path.join(shop, 'passphrase'), `${passphrase}\n`);
  await inShop('init', '--yes', '--name', 'Harrow & Söhne Hydraulik', '--signer', 'Ines Okafor');
  await inShop('signer', 'add', 'rolf', '--name', 'Rolf Ångström', '--role', 'witness', '--organisation', 'Class 7');
  await inShop('import', path.join(logs, 'both-ports.csv'), '--job', path.join(logs, 'tight.job.toml'));
  const [{ test = '' } = {}] = JSON.parse(await inShop('list', '--json')) as { test: string }[];
  await inShop('sign', test, '--signer', 'qa', '--meaning', 'reviewed and released', '--remark', 'said "twice": \\ ok');
  await inShop('sign', test, '--signer', 'rolf', '--meaning', 'witnessed');
  await inShop('certificate', test, '-o', path.join(shop, 'paper.pdf'));
  await inShop('certificate', '--root', path.join(shop, 'root.pem'));
  pdf = readFileSync(path.join(shop, 'paper.pdf'));
  rootPem = readFileSync(path.join(shop, 'root.pem'));
}, 120_000);

afterAll(() => rmSync(shop, { recursive: true, force: true }));

describe('the check by hand, its commands taken from the document', () => {
  it('finds a certificate as it was issued in order, signatures and all', () => {
    const { code, lines } = byHand('good', pdf, rootPem);
    expect(lines.map((line) => line.split(',')[0]?.replace(/ [0-9a-f]{64}.*| \d+:.*| \d+ links/, ''))).toEqual([
      'ok: signed by the shop',
      'ok: the record attached is the record printed',
      'ok: verdict pass',
      'ok: the header and all lead to the seal',
      'ok: trace.csv is of this record',
      'ok: reviewed and released',
      'ok: witnessed',
      'ok: ask the shop for this line of its ledger:',
    ]);
    expect(lines[5]).toMatch(/^ok: reviewed and released, Ines Okafor, key [0-9a-f]{16}$/);
    expect(lines[6]).toContain('Rolf Ångström');
    expect(code).toBe(0);
    anchor = lines.at(-1)?.split(': ').at(-1) ?? '';
  });

  it('finds a paper of a corrected customer in order, by its new name and by no other', async () => {
    const [{ test = '', certificates: [number = ''] = [] } = {}] = JSON.parse(await inShop('list', '--json')) as {
      test: string;
      certificates: string[];
    }[];
    for (const customer of ['Tarn Quarry', 'Söhne & Töchter "Tarn"'])
      await inShop('correct', test, '--customer', customer, '--reason', 'misspelt', '--signer', 'qa');
    const file = path.join(shop, 'corrected.pdf');
    await inShop('certificate', '--reissue', number, '--reason', 'misspelt', '--signer', 'qa', '-o', file);
    const { code, lines } = byHand('corrected', readFileSync(file), rootPem);
    expect(lines[2]).toMatch(/^ok: verdict pass, cylinder \S+, customer Söhne & Töchter/);
    expect(lines.filter((line) => /^ok: corrected, Ines Okafor, qa, key [0-9a-f]{16}$/.test(line))).toHaveLength(2);
    expect(code).toBe(0);
  });

  it.each<[string, (line: LedgerLine) => LedgerLine['body']]>([
    ['that nobody signed', ({ body: { signature: _, ...body } }) => body],
    ['changed after it was signed', ({ body }) => ({ ...body, reason: 'other' })],
    ['with the signature of another', (line) => ({ ...line.body, signature: signedBy('rolf', line, 'administrator') })],
    ['by somebody who may not', (line) => ({ ...line.body, signature: signedBy('rolf', line) })],
    ['by a key that nobody enrolled', (line) => ({ ...line.body, signature: signedBy('stranger', line) })],
  ])('says NOT OK of a correction %s, all sums beside it made to fit', (name, forged) => {
    const record = readFileSync(path.join(shop, 'corrected/record.json'), 'utf8');
    const changed = record.replace(
      /^(\{"act":)(\{.*"kind\\":\\"test corrected\\".*\})\}(,?)$/m,
      (_all, start, act, comma) => {
        const { line, before } = JSON.parse(act) as { line: string; before: string };
        const parsed = JSON.parse(line) as LedgerLine;
        const text = canonicalJson({ ...parsed, body: forged(parsed) });
        const head = ledgerHead(Buffer.from(before, 'hex'), Buffer.from(text)).toString('hex');
        return `${start}${canonicalJson({ line: text, before, head })}}${comma}`;
      },
    );
    expect(changed).not.toBe(record);
    const own = path.join(shop, name.replaceAll(' ', '-'));
    mkdirSync(own);
    for (const file of ['certificate.pdf', 'trace.csv'])
      copyFileSync(path.join(shop, 'corrected', file), path.join(own, file));
    writeFileSync(path.join(own, 'record.json'), changed);
    const { code, lines } = later(own);
    expect(code).not.toBe(0);
    expect(lines.at(-1)).toMatch(/^NOT OK: a signature, or a line of the ledger beside it, does not hold/);
  });

  it('gives an anchor that the shop can answer for', async () => {
    expect(anchor).toMatch(/^\d+:[0-9a-f]{64}$/);
    expect((await dwellmark('verify', '--all', '--shop', shop, '--anchor', anchor)).code).toBe(0);
    expect((await dwellmark('verify', '--all', '--shop', shop, '--anchor', `1:${anchor.split(':')[1]}`)).code).toBe(4);
  });

  it.each([
    ['a changed byte', () => withByte(pdf, pdf.indexOf('stream') + 100, (pdf[pdf.indexOf('stream') + 100] ?? 0) ^ 1)],
    ['an appended update', () => Buffer.concat([pdf, Buffer.from('\n%an update\n')])],
  ])('stops at the first step for %s', (name, made) => {
    const { code, lines } = byHand(name.replaceAll(' ', '-'), made(), rootPem);
    expect(code).not.toBe(0);
    expect(lines).toEqual([expect.stringMatching(/^NOT OK: it is not signed by the shop/)]);
  });

  it('stops at the first step for the root of another shop', async () => {
    const other = path.join(shop, 'other');
    expect((await dwellmark('init', '--yes', '--shop', other, '--name', 'Somebody else')).code).toBe(0);
    expect((await dwellmark('certificate', '--root', `${other}.pem`, '--shop', other)).code).toBe(0);
    const { code, lines } = byHand('foreign', pdf, readFileSync(`${other}.pem`));
    expect(code).not.toBe(0);
    expect(lines).toEqual([expect.stringMatching(/^NOT OK: it is not signed by the shop/)]);
  });

  it('stops at the step that a record changed behind the signature would fail', () => {
    const folder = path.join(shop, 'good');
    const record = readFileSync(path.join(folder, 'record.json'), 'utf8');
    const changes: readonly (readonly [string | RegExp, string, number])[] = [
      [/(\\"customer\\":\\")T/, '$1S', 1],
      [/("link":\{"kind":6,"payload":")./, '$1A', 1],
      [/(\\"verdict\\":\\")pass/, '$1fail', 0],
      [/(\\"meaning\\":\\")witnessed/, '$1performed', 3],
    ];
    for (const [index, [from, to, passed]] of changes.entries()) {
      const own = path.join(shop, `changed-${index}`);
      mkdirSync(own);
      for (const name of ['certificate.pdf', 'trace.csv']) copyFileSync(path.join(folder, name), path.join(own, name));
      const changed = record.replace(from, to);
      expect(changed).not.toBe(record);
      writeFileSync(path.join(own, 'record.json'), changed);
      const { code, lines } = later(own);
      expect(code, `change ${index}`).not.toBe(0);
      expect(lines.filter((line) => line.startsWith('ok')).length).toBeGreaterThanOrEqual(passed);
      expect(lines.at(-1)).toMatch(/^NOT OK: /);
    }
  });

  it('ends in a plain "NOT OK" for each of twelve altered papers, those that the shop’s own key signed too', async () => {
    const honest = await honestShop();
    const strangers = path.join(shop, 'strangers');
    mkdirSync(strangers);
    const forgeries = await pdfForgeries(honest, strangers);
    const own: readonly (readonly [string, RegExp])[] = [
      ['a pass of one cylinder with the record of another that failed', /record attached is not the one/],
      ['Fail worded as Pass', /does not print what its record says: verdict fail/],
      ['another customer', /does not print what its record says/],
      ['another serial number', /does not print what its record says/],
      ['another record hash printed', /record attached is not the one/],
      ['the record of another test attached', /record attached is not the one/],
      ['a fail whose pages are those of the pass', /record attached is not the one/],
      ['the trace of another test attached', /trace\.csv is not of this record/],
      ['no record attached', /record attached is not the one/],
      ['another root under the same name', /not signed by the shop/],
      ['not signed', /not signed by the shop/],
      ['an update appended', /not signed by the shop/],
    ];
    for (const [index, [name, why]] of own.entries()) {
      const file = await forgeries.find((one) => one.name === name)?.file;
      if (!file) throw new Error(`nobody forged "${name}"`);
      const { code, lines } = byHand(`forged-${index}`, file, Buffer.from(honest.rootPem));
      expect(code, name).not.toBe(0);
      expect(lines.at(-1), name).toMatch(/^NOT OK: .* Do not rely on this paper\.$/);
      expect(lines.at(-1), name).toMatch(why);
    }
    for (const [index, { pdf: paper }] of [honest.pass, honest.fail].entries()) {
      const { code, lines } = byHand(`honest-${index}`, paper, Buffer.from(honest.rootPem));
      expect(lines.at(-1)).toMatch(/^ok: ask the shop/);
      expect(code).toBe(0);
    }
    honest.remove();
  }, 120_000);
});
