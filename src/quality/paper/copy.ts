import { type CertificateKind, type Language, renderLabel } from '../../certificate/index.js';
import { type IssuedCertificate, type Store, sha256Hex } from '../../record/index.js';
import { signPdf } from '../../signing/index.js';
import { DwellmarkError, type UnitSystemName } from '../../units/index.js';
import { certificateUnder, sealedTest } from './issuable.js';
import { labelPlace, type PaperOptions, placeOf } from './issue.js';
import type { Press } from './press.js';
import { demandFreePlace, waitingFiles } from './put-file.js';
import { paperOf, type Setting } from './set-paper.js';
import type { Fingerprints, Stationery } from './stationery.js';

/** A certificate that was set again from the record. */
export interface Copied {
  readonly number: string;
  readonly test: string;
  readonly file: string;
  readonly kind: 'copy' | 'void';
  /** Before its signature the paper comes out as it was issued, byte for byte; null when that was never written down. */
  readonly asIssued: boolean | null;
  /** SHA-256 of the paper as issued, before its signature. */
  readonly unsignedSha256: string | null;
  /** SHA-256 of this file. */
  readonly sha256: string;
  /** The label for the cylinder, where one was asked for. */
  readonly label?: string;
}

/**
 * Sets a certificate again from the record as it was when it was issued, compares, and writes it: as it was, or, when
 * it or its test is void by now, marked as void on every page.
 * @throws DwellmarkError (`refused`) when it stands and does not come out as issued because a file it was set with has
 *   changed, (`altered`) when nothing explains that.
 */
export async function copyOf(store: Store, press: Press, number: string, options: PaperOptions): Promise<Copied> {
  const certificate = certificateUnder(store, number);
  const sealed = sealedTest(store, certificate.test);
  const mark = certificate.voided ?? sealed.stored.voided;
  const kind = mark ? 'void' : 'copy';
  const file = placeOf(options, `${number}-${kind}`);
  const label = options.label ? labelPlace(file) : null;
  for (const place of [file, ...(label === null ? [] : [label])]) demandFreePlace(place);
  const setting = settingOf(certificate);
  const { ledger } = certificate;
  const facts = { number, ledger, reissueOf: certificate.replaces, reason: certificate.reason };
  const set = (as: CertificateKind, more = {}) =>
    paperOf(store, sealed, { ...facts, kind: as, ...more }, setting, press);
  const issued = await set(certificate.rendering?.kind === 'test report' ? 'test report' : 'certificate');
  const unsignedSha256 = certificate.rendering?.unsignedSha256 ?? null;
  const asIssued = unsignedSha256 === null ? null : sha256Hex(issued.unsigned) === unsignedSha256;
  if (asIssued === false && !mark) throw different(certificate, press.stationery(setting.language));
  const { content, unsigned } = mark
    ? await set('void', { reason: mark.reason, replacedBy: certificate.replacedBy ?? undefined })
    : issued;
  const pdf = await signPdf(unsigned, press.identity);
  const files = new Map([[file, pdf], ...(label === null ? [] : [[label, await renderLabel(content)] as const])]);
  for (const one of waitingFiles(files)) one.place();
  const made = {
    number,
    test: certificate.test,
    file,
    kind,
    asIssued,
    unsignedSha256,
    sha256: sha256Hex(pdf),
  } as const;
  return { ...made, ...(label === null ? {} : { label }) };
}

function settingOf({ number, rendering }: IssuedCertificate): Setting {
  if (rendering?.issuedAt === undefined)
    throw new DwellmarkError('refused', `the ledger does not say how ${number} was set: it can't be set again`, {
      advice: 'Issue it anew with --reissue.',
    });
  const given = (key: string): string | null => (rendering[key] === 'none' ? null : (rendering[key] ?? null));
  return {
    units: (given('units') ?? 'bar') as UnitSystemName,
    beside: given('beside') as UnitSystemName | null,
    language: (given('language') ?? 'en') as Language,
    paper: given('paper') === 'Letter' ? 'Letter' : 'A4',
    accent: given('accent'),
    declaration: given('declaration'),
    issuedAt: rendering.issuedAt,
  };
}

function different({ number, rendering }: IssuedCertificate, { fingerprints }: Stationery): DwellmarkError {
  const names: Readonly<Record<Exclude<keyof Fingerprints, 'ownWords'>, string>> = {
    layout: 'the layout file',
    words: 'the language file',
    logo: 'the logo',
    program: 'the program',
  };
  const changed = (Object.keys(names) as (keyof typeof names)[]).filter(
    (key) => rendering?.[key] !== undefined && rendering[key] !== fingerprints[key],
  );
  if (changed.length === 0)
    return new DwellmarkError('altered', `${number} does not come out as it was issued`, {
      advice: 'Run `dwellmark verify --all`, and compare with the file that was handed out.',
    });
  return new DwellmarkError(
    'refused',
    `${number} does not come out as it was issued: changed since then: ${changed.map((key) => names[key]).join(', ')}`,
    { advice: 'Put that back for the copy, or issue it anew with --reissue.' },
  );
}
