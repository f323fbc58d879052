import { rmSync } from 'node:fs';
import path from 'node:path';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { openStore, type StatementSignature, type Store } from '../../src/record/index.js';
import { person } from '../audit/sample-store.js';
import { copied, inShop, made, makeShop, type Shop, words } from './shop.js';

let shop: Shop;
let here: Shop;
beforeAll(async () => {
  shop = await makeShop();
}, 60_000);
afterAll(() => rmSync(shop.folder, { recursive: true, force: true }));
beforeEach(() => {
  here = copied(shop);
});
afterEach(() => rmSync(here.folder, { recursive: true }));

const store = (work: (store: Store) => void): void => {
  const opened = openStore(path.join(here.folder, 'record.db'), { mode: 'write' });
  try {
    work(opened);
  } finally {
    opened.close();
  }
};

/** Acts that a person's key must stand behind, each as a stranger at the keyboard would try it. */
const acts = (): readonly (readonly string[])[] => [
  ['signer', 'add', 'spy', '--name', 'Spy', '--role', 'qa'],
  ['signer', 'revoke', 'qa', '--reason', 'left'],
  ['void', here.failed, '--reason', 'wrong cylinder', '--signer', 'qa'],
  ['void', here.certificate, '--reason', 'wrong cylinder', '--signer', 'admin'],
  ['certificate', '--reissue', here.certificate, '--reason', 'misspelt', '--signer', 'qa'],
];

describe('authority is a key', () => {
  it('nothing of it is done without a passphrase, or with a wrong one, or by the wrong role', async () => {
    await made(
      here.folder,
      ['signer', 'add', 'mo', '--name', 'Mo Arden', '--role', 'technician'],
      [words, 'a passphrase of mine'],
    );
    let before = 0;
    store((opened) => {
      before = opened.ledgerHead().position;
    });
    for (const act of acts()) {
      for (const [args, typed] of [
        [act, undefined],
        [act, ['some other long words']],
        [
          [...act.filter((part) => !['--signer', 'qa', 'admin'].includes(part)), '--signer', 'mo'],
          ['a passphrase of mine'],
        ],
      ] as const) {
        const said = await inShop(here.folder, args, typed);
        expect(said, args.join(' ')).toMatchObject({ code: 2, out: '' });
      }
    }
    store((opened) => expect(opened.ledgerHead().position).toBe(before));
  });

  it('by an entitled key each is done, signed, and verify finds it in order', async () => {
    for (const act of acts()) {
      const args = act[1] === 'revoke' ? ['signer', 'revoke', 'spy', '--reason', 'left'] : act;
      const paper = act[0] === 'certificate' ? ['-o', path.join(here.folder, 'new.pdf')] : [];
      if (act[1] === here.certificate) continue;
      const said = await inShop(here.folder, [...args, ...paper], [words]);
      expect(said, args.join(' ')).toMatchObject({ code: 0 });
    }
    const verified = JSON.parse(await made(here.folder, ['verify', '--all'])) as { checked: string[] };
    expect(verified.checked.join()).toContain('signed by somebody entitled then');
  });

  it('a new certificate for papers is made by the administrator alone, under the same root', async () => {
    const root = path.join(here.folder, 'root.pem');
    await made(here.folder, ['certificate', '--root', root]);
    for (const [signer, typed] of [
      ['qa', words],
      ['admin', 'some other long words'],
    ] as const)
      expect(await inShop(here.folder, ['certificate', '--renew', '--signer', signer], [typed])).toMatchObject({
        code: 2,
        out: '',
      });
    const renewed = await inShop(here.folder, ['certificate', '--renew', '--signer', 'admin', '--json'], [words]);
    expect(renewed).toMatchObject({ code: 0 });
    await made(here.folder, ['sign', here.waiting, '--signer', 'qa', '--meaning', 'reviewed and released'], [words]);
    await made(here.folder, ['certificate', here.waiting, '-o', path.join(here.folder, 'after.pdf')]);
    for (const paper of ['paper.pdf', 'after.pdf'])
      expect(await inShop(here.folder, ['verify', path.join(here.folder, paper), '--root', root])).toMatchObject({
        code: 0,
      });
    const trail = JSON.parse(await made(here.folder, ['ledger', '--kind', 'renewed'])) as {
      who: string;
      key: string;
    }[];
    expect(trail).toMatchObject([{ who: 'Ines Okafor', key: expect.stringMatching(/^[0-9a-f]{4}/) }]);
    expect(await inShop(here.folder, ['verify', '--all'])).toMatchObject({ code: 0 });
  });

  it('the only administrator is not revoked', async () => {
    const said = await inShop(here.folder, ['signer', 'revoke', 'admin', '--reason', 'left'], [words]);
    expect(said).toMatchObject({ code: 2, out: '' });
    expect(said.err).toContain('only administrator');
  });

  it('a key enrolled to sign, and a name on two keys, are named by audit; ledger tells who enrolled them', async () => {
    const own = 'a passphrase of mine';
    await inShop(here.folder, ['signer', 'add', 'ines', '--name', 'Ines Okafor', '--role', 'witness'], [words, own]);
    const sign = ['sign', here.waiting, '--signer', 'ines', '--meaning', 'witnessed'];
    expect(await inShop(here.folder, sign, [own])).toMatchObject({ code: 0 });
    const audit = JSON.parse((await inShop(here.folder, ['audit', '--json'])).out) as {
      suspicions: { kind: string }[];
    };
    const kinds = audit.suspicions.map(({ kind }) => kind);
    expect(kinds).toContain('one name on two keys');
    expect(kinds.filter((kind) => kind === 'enrolled to sign')).toHaveLength(1);
    const trail = JSON.parse(await made(here.folder, ['ledger', '--about', 'ines'])) as Record<string, string>[];
    expect(trail.map(({ act, who }) => [act, who])).toEqual([
      ['signer enrolled', 'Ines Okafor'],
      ['signed', 'Ines Okafor'],
    ]);
    expect(trail.every(({ key }) => /^([0-9a-f]{4} ?){4}$/.test(key ?? ''))).toBe(true);
    const text = await inShop(here.folder, ['ledger', '--kind', 'enrolled']);
    expect(text.out.trim().split('\n')).toHaveLength(3);
  });

  it('a second key for a name in the same role is refused; in another role it is named', async () => {
    const add = (id: string, role: string) =>
      inShop(here.folder, ['signer', 'add', id, '--name', 'ines  okafor', '--role', role], [words]);
    expect((await add('qa2', 'qa')).err).toContain('Ines Okafor is enrolled as qa already, under "qa"');
    expect(await add('ines', 'technician')).toMatchObject({ code: 0 });
  });

  it.each<[string, (opened: Store) => void, RegExp]>([
    [
      'an enrolment that nobody signed',
      (opened) => opened.addSigner(person('spy', 'Ines Okafor', 'qa').record),
      /signer enrolled spy: bears no signature/,
    ],
    [
      'a revocation that nobody signed',
      (opened) => opened.revokeSigner('qa', { by: 'Ines Okafor', reason: 'x' }),
      /signer revoked qa: bears no signature/,
    ],
    [
      'a void that nobody signed',
      (opened) => opened.voidTest(here.failed, { by: 'Ines Okafor', reason: 'x' }),
      /test voided .*: bears no signature/,
    ],
    [
      'a renewal that nobody signed',
      (opened) => {
        opened.act('shop certificate renewed', { by: 'Ines Okafor', sha256: 'ab', until: '2046' });
      },
      /shop certificate renewed: bears no signature/,
    ],
    [
      'a void with the signature of another void',
      (opened) => {
        const [line] = opened.acts('test voided');
        if (!line) throw new Error('nothing is void');
        opened.voidTest(here.failed, line.body as unknown as Parameters<Store['voidTest']>[1]);
      },
      /does not fit what it signs/,
    ],
    [
      'a certificate voided as if it were reissued',
      (opened) => {
        const why = { by: 'Ines Okafor', reason: 'replaced by C-9', replacedBy: 'C-9' };
        opened.voidCertificate(here.certificate, why);
      },
      /certificate voided .*: bears no signature/,
    ],
    [
      'a second first administrator',
      (opened) => {
        const own = person('boss', 'Boss', 'administrator');
        const [line] = opened.acts('signer enrolled');
        opened.addSigner(own.record, {
          ...(line?.body.signature as StatementSignature),
          publicKey: own.record.publicKey,
        });
      },
      /does not fit what it signs|was not enrolled then/,
    ],
  ])('%s is found, and nothing is signed on top of it', async (_name, forge, told) => {
    if (_name.includes('another void'))
      await made(here.folder, ['void', here.waiting, '--reason', 'x', '--signer', 'qa'], [words]);
    store(forge);
    const verified = await inShop(here.folder, ['verify', '--all']);
    expect(verified.code).toBe(4);
    expect(verified.out.replace(/\s+/g, ' ')).toMatch(told);
    const signed = await inShop(
      here.folder,
      ['sign', here.certified, '--signer', 'qa', '--meaning', 'rejected'],
      [words],
    );
    expect(signed).toMatchObject({ code: 4, out: '' });
    // Nobody is enrolled, revoked or given a new certificate by such a ledger either.
    for (const act of [
      ['signer', 'add', 'mo', '--name', 'Mo Arden', '--role', 'technician', '--signer', 'admin'],
      ['signer', 'revoke', 'qa', '--reason', 'left', '--signer', 'admin'],
      ['certificate', '--renew', '--signer', 'admin'],
    ])
      expect(await inShop(here.folder, act, [words, words]), act.join(' ')).toMatchObject({ code: 4, out: '' });
  });
});
