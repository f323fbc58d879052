import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { changePassphrase, keyFingerprint, listSigners, UnlockRefused, unlockSigner } from '../../src/signing/index.js';
import { makeSigner } from '../../src/signing/people/signer.js';
import type { SignerPublic } from '../../src/signing/signer-form.js';
import { DwellmarkError } from '../../src/units/index.js';

const passphrase = 'seven wet gaskets on a shelf';
const wrong = 'eight wet gaskets on a shelf';
let dir: string;
let ada: SignerPublic;

beforeAll(() => {
  dir = join(mkdtempSync(join(tmpdir(), 'signers-')), 'people');
  ada = makeSigner({
    dir,
    id: 'ada',
    name: 'Ada Ortmann',
    role: 'technician',
    organisation: 'Harrow Lane',
    passphrase,
  }).signer;
});
afterAll(() => rmSync(join(dir, '..'), { recursive: true }));

function refusalOf(act: () => unknown): DwellmarkError {
  try {
    act();
  } catch (error) {
    if (error instanceof DwellmarkError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

describe('a key file', () => {
  test('is readable by its owner only, in a folder that only the owner enters, and nothing else is left there', () => {
    expect(statSync(dir).mode & 0o777).toBe(0o700);
    expect(statSync(join(dir, 'ada.person.json')).mode & 0o777).toBe(0o600);
    expect(readdirSync(dir)).toEqual(['ada.person.json']);
  });

  test('holds the private key under scrypt N 65536 and AES-256-GCM, and the passphrase nowhere', () => {
    const text = readFileSync(join(dir, 'ada.person.json'), 'utf8');
    expect(JSON.parse(text).privateKey).toMatchObject({ kdf: 'scrypt', N: 65536, r: 8, p: 1, cipher: 'aes-256-gcm' });
    expect(text).not.toContain(passphrase);
    expect(text).not.toContain('PRIVATE');
  });

  test('lists its person, whose fingerprint is 16 hex digits in fours', () => {
    expect(listSigners(dir)).toEqual([ada]);
    expect(keyFingerprint(ada.publicKey)).toMatch(/^([0-9a-f]{4} ){3}[0-9a-f]{4}$/);
  });

  test('opens with an umlaut typed as two characters, and not once the role in it was edited', () => {
    const person = { dir, id: 'jorg', name: 'Jörg Weiß', role: 'technician', organisation: 'Harrow Lane' } as const;
    makeSigner({ ...person, passphrase: 'übel riechendes Öl'.normalize('NFC') });
    expect(unlockSigner(dir, 'jorg', 'übel riechendes Öl'.normalize('NFD')).signer.name).toBe('Jörg Weiß');
    const file = join(dir, 'jorg.person.json');
    writeFileSync(file, readFileSync(file, 'utf8').replace('"technician"', '"qa"'));
    expect(refusalOf(() => unlockSigner(dir, 'jorg', 'übel riechendes Öl'))).toBeInstanceOf(UnlockRefused);
    rmSync(file);
    rmSync(join(dir, 'jorg.attempts.json'));
  });

  test('with a cheaper scrypt, an unknown key, or no JSON at all is refused as altered', () => {
    const whole = readFileSync(join(dir, 'ada.person.json'), 'utf8');
    const broken = [whole.replace('65536', '1024'), whole.replace('"format"', '"fromat"'), whole.slice(0, 40)];
    for (const text of broken) {
      writeFileSync(join(dir, 'ada.person.json'), text);
      expect(refusalOf(() => unlockSigner(dir, 'ada', passphrase)).code).toBe('altered');
    }
    writeFileSync(join(dir, 'ada.person.json'), whole);
    expect(listSigners(dir)).toEqual([ada]);
  });
});

describe('enrolling', () => {
  const person = { id: 'new', name: 'Nils Ewald', role: 'witness', organisation: 'Class Bureau', passphrase } as const;

  test.each([
    [{ id: '../ada' }, /can't be a signer's id/],
    [{ id: 'Ada' }, /can't be a signer's id/],
    [{ name: 'Nils\nEwald' }, /control characters/],
    [{ name: 'Nils \u202Edlawe' }, /control characters/],
    [{ name: '  ' }, /name/],
    [{ passphrase: 'short' }, /has 5 characters; at least 12/],
    [{ passphrase: 'aaaaaaaaaaaaaaaaaa' }, /different characters/],
    [{ name: 'Nils Ewald Brenkeld', passphrase: 'nils ewald brenkeld' }, /only the person's own name/],
  ])('%j is refused and nothing is written', (change, message) => {
    const refusal = refusalOf(() => makeSigner({ dir, ...person, ...change }));
    expect(refusal.code).toBe('input');
    expect(refusal.message).toMatch(message);
    expect(readdirSync(dir)).toEqual(['ada.person.json']);
  });

  test('a folder that can not be made is named, with the reason', () => {
    const inFile = join(dir, 'ada.person.json', 'people');
    const refusal = refusalOf(() => makeSigner({ dir: inFile, ...person }));
    expect(refusal).toMatchObject({
      code: 'input',
      message: "this can't be written (ENOTDIR)",
      place: { file: inFile },
    });
  });

  test('a taken id is refused and the key that is there stays', () => {
    const before = readFileSync(join(dir, 'ada.person.json'), 'utf8');
    expect(refusalOf(() => makeSigner({ dir, ...person, id: 'ada' })).message).toMatch(/enrolled already/);
    expect(readFileSync(join(dir, 'ada.person.json'), 'utf8')).toBe(before);
    expect(readdirSync(dir)).toEqual(['ada.person.json']);
  });
});

describe('unlocking', () => {
  const eight = new Date('2026-03-02T08:00:00Z');
  const later = (seconds: number): Date => new Date(eight.getTime() + seconds * 1000);
  const failOnce = (now: Date): UnlockRefused => refusalOf(() => unlockSigner(dir, 'ada', wrong, now)) as UnlockRefused;

  test('someone who is not enrolled is refused', () => {
    expect(refusalOf(() => unlockSigner(dir, 'nobody', passphrase)).message).toMatch(/nobody with the id 'nobody'/);
  });

  test('four wrong passphrases are counted, the fifth locks for five minutes, even against the right one', () => {
    expect(failOnce(eight)).toMatchObject({ code: 'refused', reason: 'passphrase', failures: 1, lockedUntil: null });
    writeFileSync(join(dir, 'ada.attempts.json'), JSON.stringify({ failures: 3, lockedUntil: null }));
    expect(failOnce(eight)).toMatchObject({ failures: 4, lockedUntil: null });
    expect(failOnce(eight)).toMatchObject({ failures: 5, lockedUntil: later(300) });
    const locked = refusalOf(() => unlockSigner(dir, 'ada', passphrase, later(299)));
    expect(locked).toBeInstanceOf(UnlockRefused);
    expect(locked).toMatchObject({ reason: 'locked', failures: 5, lockedUntil: later(300) });
  });

  test('the sixth locks for ten; the right one after that opens, tells of the six, and clears the count', () => {
    expect(failOnce(later(301))).toMatchObject({ failures: 6, lockedUntil: later(901) });
    expect(unlockSigner(dir, 'ada', passphrase, later(902)).failuresBefore).toBe(6);
    expect(unlockSigner(dir, 'ada', passphrase, later(903)).failuresBefore).toBe(0);
    expect(readdirSync(dir)).toEqual(['ada.person.json']);
  });

  test('a lock that a wrong clock set years ahead ends a day after it is seen', () => {
    const attempts = { failures: 5, lockedUntil: '2046-01-01T00:00:00.000Z' };
    writeFileSync(join(dir, 'ada.attempts.json'), JSON.stringify(attempts));
    expect(refusalOf(() => unlockSigner(dir, 'ada', passphrase, eight))).toMatchObject({ lockedUntil: later(86_400) });
    rmSync(join(dir, 'ada.attempts.json'));
  });

  test('a counter file that can not be read leaves one try before the lock', () => {
    writeFileSync(join(dir, 'ada.attempts.json'), '{"failures":-3}');
    expect(failOnce(eight)).toMatchObject({ failures: 5, lockedUntil: later(300) });
    rmSync(join(dir, 'ada.attempts.json'));
  });

  test('a changed passphrase opens the same key, the old one opens nothing', () => {
    changePassphrase(dir, 'ada', { old: passphrase, new: 'nine dry gaskets in a drawer' });
    expect(unlockSigner(dir, 'ada', 'nine dry gaskets in a drawer').signer).toEqual(ada);
    expect(refusalOf(() => unlockSigner(dir, 'ada', passphrase)).code).toBe('refused');
  });
});
