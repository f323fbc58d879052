import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { exportCsv, paperRecord } from '../../audit/index.js';
import { findShop, type Shop } from '../../bench/index.js';
import {
  type CertificateInput,
  certificateContent,
  type Language,
  renderCertificate,
} from '../../certificate/index.js';
import { isoWithOffset, openStore, type Store, type StoredTest, sha256Hex } from '../../record/index.js';
import { loadShopIdentity, missingSignatures, signPdf } from '../../signing/index.js';
import { DwellmarkError, type UnitSystemName } from '../../units/index.js';
import { unitsOf } from '../customer-units.js';
import { say, sayJson } from '../output.js';
import type { CommonOptions } from '../program.js';

export interface CertificateOptions extends CommonOptions {
  readonly output?: string;
  readonly draft?: boolean;
  readonly units?: UnitSystemName;
  readonly language?: Language;
}

export interface Issued {
  readonly number: string;
  readonly file: string;
  readonly sha256: string;
}

/** `dwellmark certificate`: renders, signs and enters the certificate; a fail gets a test report. */
export async function run(test: string, options: CertificateOptions): Promise<void> {
  const shop = findShop(options.shop);
  const store = openStore(shop.database, { mode: options.draft ? 'read' : 'write' });
  try {
    const issued = await issue(store, shop, test, options);
    if (options.json) sayJson(issued);
    else if (options.draft) say(`${issued.file}: a draft, marked as such on every page.`);
    else
      say(`${issued.file}: ${issued.number}\nsha256 ${issued.sha256}\nCheck it with: dwellmark verify ${issued.file}`);
  } finally {
    store.close();
  }
}

/**
 * Issues a certificate for a sealed and signed test.
 * @throws DwellmarkError (`refused`) when signatures are missing, or the test was never sealed or is void.
 */
export async function issue(
  store: Store,
  shop: Shop,
  test: string,
  options: Pick<CertificateOptions, 'output' | 'draft' | 'units' | 'language'>,
): Promise<Issued> {
  const stored = store.test(test);
  const { head, result } = stored;
  if (head === null || !result)
    throw new DwellmarkError('refused', `test ${test} is not sealed: no certificate can stand on it`);
  if (stored.voided) throw new DwellmarkError('refused', `test ${test} was voided: ${stored.voided.reason}`);
  if (!options.draft) demandSignatures(stored, shop);
  const now = new Date();
  const number = options.draft ? 'DRAFT' : store.certificateNumber(`${shop.series}-${now.getFullYear()}`);
  const ledger = store.ledgerHead();
  const input: CertificateInput = {
    number,
    kind: options.draft ? 'draft' : 'certificate',
    header: stored.header,
    result,
    seal: { head, ledgerPosition: ledger.position, ledgerHead: ledger.head },
    signatures: stored.signatures,
    trace: store.trace(test),
    paper: shop.paper,
    units: options.units ?? unitsOf(stored.header),
    language: options.language ?? shop.language,
    issuedAt: isoWithOffset(now),
    recordJson: paperRecord(store, test),
    traceCsv: [...exportCsv(store, test)].join(''),
    ...(shop.logo === null ? {} : { logo: logoOf(shop.logo) }),
    ...(shop.accent === null ? {} : { accent: shop.accent }),
  };
  const unsigned = await renderCertificate(certificateContent(input), { signatureField: !options.draft });
  const pdf = options.draft ? unsigned : await signPdf(unsigned, loadShopIdentity(shop.keys));
  const file = path.resolve(options.output ?? `${number === 'DRAFT' ? `${test}-draft` : number}.pdf`);
  const sha256 = sha256Hex(pdf);
  writeFileSync(file, pdf);
  if (!options.draft) store.issueCertificate({ number, test, head, pdfSha256: sha256, issuedBy: shop.name, ledger });
  return { number, file, sha256 };
}

/** Whoever the shop file asks for must have signed this very record. */
function demandSignatures(stored: StoredTest, shop: Shop): void {
  const { header, head, result, signatures } = stored;
  if (head === null || result === null) return;
  const { test } = header;
  const given = signatures.map(({ position: _position, ...signature }) => signature);
  const missing = missingSignatures(shop.signatures.required, {
    test,
    head,
    verdict: result.verdict,
    signatures: given,
  });
  if (missing.length === 0) return;
  throw new DwellmarkError('refused', `test ${test} still needs the signature "${missing.join('", "')}"`, {
    advice: `Run \`dwellmark sign ${test}\`, or print a draft with --draft.`,
  });
}

function logoOf(file: string): Buffer {
  try {
    return readFileSync(file);
  } catch (cause) {
    throw new DwellmarkError('input', "the logo can't be read", {
      place: { file, key: 'logo' },
      advice: 'Correct `logo` in the shop file, or take it out.',
      cause,
    });
  }
}
