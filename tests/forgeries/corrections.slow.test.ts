import { execFileSync } from 'node:child_process';
import { readFileSync, rmSync } from 'node:fs';
import path from 'node:path';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { judgeStored, signedByKnown, statementOf, verifyBundle } from '../../src/audit/index.js';
import {
  bundleLines,
  type Change,
  canonicalJson,
  type LedgerLine,
  ledgerHead,
  openStore,
  type Store,
  sha256Hex,
} from '../../src/record/index.js';
import { makeSigner, type StatementKind, signStatement, unlockSigner } from '../../src/signing/index.js';
import { copied, inShop, made, makeShop, type Shop, words } from './shop.js';

let shop: Shop;
let here: Shop;
beforeAll(async () => {
  shop = await makeShop();
  await made(shop.folder, ['signer', 'add', 'mo', '--name', 'Mo Arden', '--role', 'technician'], [words, words]);
}, 60_000);
afterAll(() => rmSync(shop.folder, { recursive: true, force: true }));
beforeEach(() => {
  here = copied(shop);
});
afterEach(() => rmSync(here.folder, { recursive: true }));

const at = (name: string): string => path.join(here.folder, name);
const paperText = (name: string): string =>
  execFileSync('pdftotext', ['-layout', at(name), '-'], { encoding: 'utf8' }).replace(/\s+/g, ' ');
const oneLine = (text: string): string => text.replace(/\s+/g, ' ');

const correct = (...texts: string[]) =>
  inShop(
    here.folder,
    ['correct', here.certified, ...texts, '--reason', 'misspelt in the job', '--signer', 'qa'],
    [words],
  );

describe('a correction', () => {
  it('is signed, told, printed on the reissued paper and checked with it; the record stays as it was sealed', async () => {
    const before = JSON.parse(await made(here.folder, ['show', here.certified])) as { record: { head: string } };
    const said = await correct(
      '--customer',
      'Tarn Quarry Plant Ltd',
      '--work-order',
      'WO-2270',
      '--address',
      '7 Mill Lane',
    );
    expect(said).toMatchObject({ code: 0, err: '' });
    expect(said.out).toContain('"Tarn Quarry Plant Ltd" in place of "Tarn Quarry Plant"');
    expect(said.out).toContain(`certificate --reissue ${here.certificate}`);
    const standing = oneLine((await inShop(here.folder, ['verify', at('paper.pdf')])).out);
    expect(standing).toContain(`after ${here.certificate} was issued: customer corrected`);
    const audit = oneLine((await inShop(here.folder, ['audit'])).out);
    expect(audit).toContain('certificate not corrected');
    expect(audit).toMatch(/test corrected T-\S+ Ines Okafor \(key .*\): "Tarn Quarry Plant Ltd" in place of/);

    const reissue = ['certificate', '--reissue', here.certificate, '--reason', 'customer misspelt', '--signer', 'qa'];
    await made(here.folder, [...reissue, '-o', at('new.pdf')], [words]);
    await made(here.folder, ['certificate', '--root', at('root.pem')]);
    const paper = paperText('new.pdf');
    expect(paper).toContain(
      'Customer corrected: "Tarn Quarry Plant Ltd" in place of "Tarn Quarry Plant" (Ines Okafor,',
    );
    expect(paper).toContain('Work order corrected: "WO-2270" in place of "WO-2207"');
    expect(paper).toContain('7 Mill Lane');
    expect(paper).not.toContain('No deviations');
    const verified = await inShop(here.folder, ['verify', at('new.pdf'), '--root', at('root.pem')]);
    expect(verified).toMatchObject({ code: 0 });
    expect(oneLine(verified.out)).toContain('customer Tarn Quarry Plant Ltd, work order WO-2270');
    expect(oneLine(verified.out)).toContain('corrected customer corrected on');

    expect(await inShop(here.folder, ['verify', '--all'])).toMatchObject({ code: 0 });
    const shown = JSON.parse(await made(here.folder, ['show', here.certified])) as typeof before;
    expect(shown.record.head).toBe(before.record.head);
    expect((await inShop(here.folder, ['show', here.certified])).out).toContain(
      'Tarn Quarry Plant Ltd, work order WO-2270',
    );
    const trail = JSON.parse(await made(here.folder, ['ledger', '--kind', 'corrected'])) as Record<string, string>[];
    expect(trail).toMatchObject([{ act: 'test corrected', who: 'Ines Okafor', test: here.certified }]);
    expect(trail[0]?.why).toContain('misspelt in the job');

    await inShop(here.folder, ['export', here.certified, '--format', 'html', '-o', at('page.html')]);
    expect(readFileSync(at('page.html'), 'utf8')).toContain('Customer corrected: &quot;Tarn Quarry Plant Ltd&quot;');
    expect((await inShop(here.folder, ['verify', at('page.html')])).out).not.toContain('ALTERED');
    const old = await inShop(here.folder, ['certificate', '--copy', here.certificate, '-o', at('old.pdf')]);
    expect(oneLine(old.out)).toContain('it comes out as issued');
    expect(paperText('old.pdf')).not.toContain('Tarn Quarry Plant Ltd');
  });

  it('may follow another, and is refused where it changes nothing, on a void test and for any other role', async () => {
    expect(await correct('--customer', 'Tarn Plant')).toMatchObject({ code: 0 });
    expect(await correct('--customer', 'Tarn Quarry')).toMatchObject({ code: 0 });
    expect((await correct('--customer', 'Tarn Quarry')).err).toContain('nothing to correct');
    expect((await correct()).err).toContain('what is to be corrected?');
    expect((await correct('--customer', ' ')).err).toContain('--customer is empty');
    const byMo = ['correct', here.certified, '--customer', 'X', '--reason', 'x', '--signer', 'mo'];
    expect((await inShop(here.folder, byMo, [words])).err).toContain(
      'a correction is for the role qa or administrator',
    );
    await made(
      here.folder,
      ['void', here.certified, '--reason', 'x', '--signer', 'qa', '--with-certificates'],
      [words],
    );
    expect((await correct('--customer', 'Y')).err).toContain('was voided');
    expect(await inShop(here.folder, ['verify', '--all'])).toMatchObject({ code: 0 });
  });
});

interface Forged {
  readonly changes: readonly Change[];
  readonly by?: string;
  readonly signer?: string;
  readonly kind?: StatementKind;
  /** Signed as this, and written as `changes`. */
  readonly signedAs?: readonly Change[];
  readonly unsigned?: true;
}

const customer = (to: string, from = 'Tarn Quarry Plant'): readonly Change[] => [{ what: 'customer', from, to }];

/** Corrections that a program without this one's checks would write. */
const forgeries: readonly (readonly [string, Forged, RegExp])[] = [
  ['one that nobody signed', { changes: customer('Weir Farm'), unsigned: true }, /no signature/],
  ['one signed by a technician', { changes: customer('Weir Farm'), signer: 'mo', by: 'Mo Arden' }, /who is technician/],
  [
    'one changed after it was signed',
    { changes: customer('Weir Farm'), signedAs: customer('Tarn') },
    /does not fit what it signs/,
  ],
  ['one with the signature of a void', { changes: customer('Weir Farm'), kind: 'void' }, /does not fit what it signs/],
  ['one in the name of somebody else', { changes: customer('Weir Farm'), by: 'Marek Dunn' }, /Ines Okafor signed it/],
  [
    'one of a customer who was another',
    { changes: customer('Weir Farm', 'Calder Mill') },
    /which was "Tarn Quarry Plant"/,
  ],
  ['one to the same', { changes: customer('Tarn Quarry Plant') }, /already/],
  ['one to nothing', { changes: customer(' ') }, /must be a line of text/],
  ['one with an escape sequence', { changes: customer('\u001b[2JWeir Farm') }, /must be a line of text/],
  [
    'one of what was measured',
    { changes: [{ what: 'condition' as 'customer', from: '', to: 'as new' }] },
    /nothing that can be corrected/,
  ],
  ['one of nothing', { changes: [] }, /nothing that can be corrected/],
];

function forge(
  store: Store,
  { changes, by = 'Ines Okafor', signer = 'qa', kind = 'correction', ...how }: Forged,
): void {
  const about = { test: here.certified, subject: here.certified };
  const why = { by, reason: 'misspelt' };
  const person = unlockSigner(at('keys'), signer, words);
  const statement = statementOf({ ...about, body: { changes: how.signedAs ?? changes, ...why } });
  const signature = signStatement(person, kind, statement, '2026-03-03T10:00:00+01:00');
  store.act('test corrected', { changes, ...why, ...(how.unsigned ? {} : { signature }) }, about);
}

describe('a forged correction', () => {
  it.each(forgeries)(
    '%s is found in the store and in the record, and nothing is done on top of it',
    async (_name, forged, told) => {
      const store = openStore(at('record.db'), { mode: 'write' });
      forge(store, forged);
      const bundle = [...bundleLines(store, here.certified)].join('');
      store.close();
      const verified = await inShop(here.folder, ['verify', '--all']);
      expect(verified.code).toBe(4);
      expect(oneLine(verified.out)).toMatch(told);
      const alone = verifyBundle(bundle, judgeStored);
      expect(alone.problems.map(({ what }) => what).join()).toMatch(told);
      const reissue = [
        'certificate',
        '--reissue',
        here.certificate,
        '--reason',
        'x',
        '--signer',
        'qa',
        '-o',
        at('x.pdf'),
      ];
      for (const act of [reissue, ['show', here.certified]])
        expect(await inShop(here.folder, act, act === reissue ? [words] : undefined), act[0]).toMatchObject({
          code: 4,
          out: '',
        });
    },
  );

  it('by a key that only the file brings, or once the signer is revoked, is found', async () => {
    const store = openStore(at('record.db'), { mode: 'write' });
    store.revokeSigner('qa', { by: 'x', reason: 'left' });
    forge(store, { changes: customer('Weir Farm') });
    const bundle = [...bundleLines(store, here.certified)].join('');
    store.close();
    expect(
      verifyBundle(bundle, judgeStored)
        .problems.map(({ what }) => what)
        .join(),
    ).toContain('after the key was revoked');
    expect((await inShop(here.folder, ['verify', '--all'])).out).toMatch(/not enrolled\s+then/);
    const strange = withLines(honestBundle(), [
      ['test corrected', here.certified, { changes: customer('Weir Farm'), by: 'Eve', reason: 'x' }],
    ]);
    expect(
      verifyBundle(strange, judgeStored)
        .problems.map(({ what }) => what)
        .join(),
    ).toContain('no signature of anybody enrolled');
  });

  it('by a key that the file enrols itself is not proven by the keys of those who signed the record', () => {
    const stranger = { id: 'adm', name: 'Ines Okafor', role: 'administrator', organisation: 'Harrow Fell' } as const;
    const eve = makeSigner({ ...stranger, dir: at('stranger'), passphrase: words });
    const said = { changes: customer('Weir Farm'), by: 'Ines Okafor', reason: 'misspelt' };
    const statement = statementOf({ test: here.certified, subject: here.certified, body: said });
    const signature = signStatement(eve, 'correction', statement, '2026-03-03T10:00:00+01:00');
    const honest = verifyBundle(honestBundle(), judgeStored);
    const keys = honest.about?.signatures.map(({ key }) => key) ?? [];
    expect(signedByKnown(honest, keys)).toMatchObject({ problems: [], unproven: [] });
    const forged = withLines(honestBundle(), [
      ['signer enrolled', 'adm', { ...eve.signer }],
      ['test corrected', here.certified, { ...said, signature }],
    ]);
    expect(signedByKnown(verifyBundle(forged, judgeStored), keys)).toMatchObject({
      problems: [],
      unproven: [expect.stringContaining('who signed is not known')],
    });
  });
});

function honestBundle(): string {
  const store = openStore(path.join(shop.folder, 'record.db'), { mode: 'read' });
  try {
    return [...bundleLines(store, shop.certified)].join('');
  } finally {
    store.close();
  }
}

/** Ledger lines of one's own put into a bundle, every sum made to fit. */
function withLines(
  bundle: string,
  added: readonly (readonly [kind: LedgerLine['kind'], subject: string, body: LedgerLine['body']])[],
): string {
  const lines = bundle.trimEnd().split('\n').slice(0, -1);
  const about = { at: '2026-03-03T10:00:00+01:00', monotonicMs: 1, session: 'x' };
  for (const [index, [kind, subject, body]] of added.entries()) {
    const test = subject === shop.certified ? subject : null;
    const line = canonicalJson({ ...about, position: 99 + index, kind, test, subject, body });
    const before = 'ab'.repeat(32);
    const head = ledgerHead(Buffer.from(before, 'hex'), Buffer.from(line)).toString('hex');
    lines.push(canonicalJson({ act: { line, before, head } }));
  }
  const text = `${lines.join('\n')}\n`;
  return `${text}${canonicalJson({ end: sha256Hex(Buffer.from(text)) })}\n`;
}
