import path from 'node:path';
import { announce, type Shop } from '../../bench/index.js';
import { type Language, renderLabel } from '../../certificate/index.js';
import { isoWithOffset, type Store, sha256Hex } from '../../record/index.js';
import { signPdf, type UnlockedSigner } from '../../signing/index.js';
import { DwellmarkError, type UnitSystemName } from '../../units/index.js';
import { signedAct } from '../authority.js';
import { unitsOf } from '../customer-units.js';
import { issuableTest, kindFor, type SealedTest, sealedTest, stands } from './issuable.js';
import type { Press } from './press.js';
import { demandFreePlace, type WaitingFile, waitingFiles } from './put-file.js';
import { paperOf, type Setting } from './set-paper.js';

export interface PaperOptions {
  /** File, or with `folder` the folder that takes `NUMBER.pdf`. */
  readonly output?: string | undefined;
  readonly folder?: boolean | undefined;
  readonly units?: UnitSystemName | undefined;
  readonly beside?: UnitSystemName | undefined;
  readonly language?: Language | undefined;
  /** Words of conformity that QA types, e.g. the type of an inspection document. */
  readonly declare?: string | undefined;
  /** Also the label for the cylinder. */
  readonly label?: boolean | undefined;
}

/** The certificate that a new one takes the place of. */
export interface Reissue {
  readonly number: string;
  readonly reason: string;
  readonly by: UnlockedSigner;
}

/** A paper that was handed out. */
export interface Issued {
  readonly number: string;
  readonly test: string;
  readonly kind: 'certificate' | 'test report' | 'draft';
  readonly file: string;
  readonly sha256: string;
  readonly label?: string;
  readonly replaces?: string;
}

/**
 * Issues the certificate of a test, or its report when it did not pass. The PDF lies whole on the disk before its
 * number stands in the ledger, and takes its name after: whatever fails, no number is used without its file.
 * @throws DwellmarkError (`refused`) when no certificate may be issued, (`input`) when it can't be set or written.
 */
export async function issue(
  store: Store,
  press: Press,
  test: string,
  options: PaperOptions,
  reissue: Reissue | null = null,
): Promise<Issued> {
  for (;;) {
    const issued = await issueUnderNext(store, press, test, options, reissue);
    if (issued !== null) return issued;
  }
}

/** Null when another program took the number, or issued for this test, while the paper was set. */
async function issueUnderNext(
  store: Store,
  press: Press,
  test: string,
  options: PaperOptions,
  reissue: Reissue | null,
): Promise<Issued | null> {
  const { shop } = press;
  const sealed = issuableTest(store, shop, test, reissue?.number ?? null);
  const now = new Date();
  const series = `${shop.series}-${now.getFullYear()}`;
  const number = store.certificateNumber(series);
  const file = placeOf(options, number);
  const label = options.label ? labelPlace(file) : null;
  for (const place of [file, ...(label === null ? [] : [label])]) demandFreePlace(place);
  const setting = settingOf(shop, sealed, options, now);
  const kind = kindFor(sealed, shop);
  const ledger = store.ledgerHead();
  const { content, unsigned } = await paperOf(
    store,
    sealed,
    { number, kind, ledger, reissueOf: reissue?.number, reason: reissue?.reason },
    setting,
    press,
  );
  const pdf = await signPdf(unsigned, press.identity);
  const sha256 = sha256Hex(pdf);
  const waiting = waitingFiles(
    new Map([[file, pdf], ...(label === null ? [] : [[label, await renderLabel(content)] as const])]),
  );
  try {
    const certificate = {
      number,
      test,
      head: sealed.head,
      pdfSha256: sha256,
      issuedBy: reissue?.by.signer.name ?? shop.name,
      ledger,
      ...(reissue === null ? {} : { replaces: reissue.number, reason: reissue.reason }),
      rendering: {
        kind,
        units: setting.units,
        beside: setting.beside ?? 'none',
        language: setting.language,
        paper: setting.paper,
        accent: setting.accent ?? 'none',
        declaration: setting.declaration ?? 'none',
        issuedAt: setting.issuedAt,
        ...press.stationery(setting.language).fingerprints,
        unsignedSha256: sha256Hex(unsigned),
      },
    };
    const signature = reissue ? signedAct(reissue.by, 'reissue', { test, subject: number }, certificate) : null;
    const isFree = (): boolean =>
      store.certificateNumber(series) === number &&
      store.test(test).certificates.every((one) => one.number === reissue?.number || !stands(one));
    const done = store.together(() => {
      if (!isFree()) return false;
      store.issueCertificate({ ...certificate, ...(signature ? { signature } : {}) });
      return true;
    });
    if (!done) {
      for (const one of waiting) one.discard();
      return null;
    }
  } catch (error) {
    for (const one of waiting) one.discard();
    throw error;
  }
  placeAll(waiting, number);
  announce(shop, 'issued', number);
  return {
    number,
    test,
    kind,
    file,
    sha256,
    ...(label === null ? {} : { label }),
    ...(reissue === null ? {} : { replaces: reissue.number }),
  };
}

/** A paper that says on every page that it is none: no number, no signature, no line in the ledger. */
export async function draft(store: Store, press: Press, test: string, options: PaperOptions): Promise<Issued> {
  const sealed = sealedTest(store, test);
  const setting = settingOf(press.shop, sealed, options, new Date());
  const facts = { number: 'DRAFT', kind: 'draft', ledger: store.ledgerHead() } as const;
  const { content, unsigned } = await paperOf(store, sealed, facts, setting, press);
  const file = placeOf(options, `${test}-draft`);
  const label = options.label ? labelPlace(file) : null;
  const files = new Map([[file, unsigned], ...(label === null ? [] : [[label, await renderLabel(content)] as const])]);
  for (const one of waitingFiles(files)) one.place();
  return {
    number: 'DRAFT',
    test,
    kind: 'draft',
    file,
    sha256: sha256Hex(unsigned),
    ...(label === null ? {} : { label }),
  };
}

/** Where a paper goes: the file named, or `NAME.pdf` in the folder named or the current one. */
export const placeOf = ({ output, folder }: PaperOptions, name: string): string =>
  folder || output === undefined ? path.resolve(output ?? '', `${name}.pdf`) : path.resolve(output);

function settingOf(shop: Shop, { stored }: SealedTest, options: PaperOptions, now: Date): Setting {
  return {
    units: options.units ?? unitsOf(stored.header),
    beside: options.beside ?? null,
    language: options.language ?? shop.language,
    paper: shop.paper,
    accent: shop.accent,
    declaration: options.declare?.trim() || null,
    issuedAt: isoWithOffset(now),
  };
}

export const labelPlace = (certificate: string): string => `${certificate.replace(/\.pdf$/i, '')}-label.pdf`;

function placeAll(waiting: readonly WaitingFile[], number: string): void {
  try {
    for (const one of waiting) one.place();
  } catch (cause) {
    throw new DwellmarkError('input', `${number} is issued, but its file could not be put in its place`, {
      ...(waiting[0] === undefined ? {} : { place: { file: waiting[0].file } }),
      advice: `Print it with \`dwellmark certificate --copy ${number}\`.`,
      cause,
    });
  }
}
