import { copyFileSync, existsSync, mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { readShop, type Shop, shippedTemplates, shopFileName } from '../../bench/index.js';
import { enrolPerson } from '../../quality/index.js';
import { openStore } from '../../record/index.js';
import { createShopIdentity } from '../../signing/index.js';
import { DwellmarkError } from '../../units/index.js';

/** What a shop file is made from. */
export interface ShopFacts {
  readonly name: string;
  readonly address: string;
  readonly units: string;
  readonly paper: string;
  readonly series: string;
}

/** Who is enrolled first: the administrator, who enrols everybody else, and the QA inspector. */
export interface FirstPeople {
  readonly administrator: { readonly name: string; readonly passphrase: string };
  readonly inspector: { readonly name: string; readonly passphrase: string };
}

/** Makes a shop's folder: shop file, record with its first two people, the certificate that signs its PDFs. */
export async function makeShop(
  folder: string,
  facts: ShopFacts,
  { administrator, inspector }: FirstPeople,
): Promise<Shop> {
  const file = path.join(folder, shopFileName);
  refuseTaken(folder);
  mkdirSync(folder, { recursive: true });
  writeFileSync(file, shopFileText(facts), { flag: 'wx' });
  const shop = readShop(file);
  const store = openStore(shop.database, { mode: 'write' });
  try {
    const first = enrolPerson(store, shop, { id: 'admin', role: 'administrator', ...administrator }, null);
    enrolPerson(store, shop, { id: 'qa', role: 'qa', ...inspector }, first);
  } finally {
    store.close();
  }
  const { passphrase } = administrator;
  await createShopIdentity({ dir: shop.keys, shopName: shop.name, now: new Date(), passphrase });
  return shop;
}

/** Lays an example job into the shop's `jobs/`, unless one is there. Returns its path. */
export function layExampleJob(shop: Shop): string {
  const file = path.join(shop.folder, 'jobs', 'example.toml');
  mkdirSync(path.dirname(file), { recursive: true });
  if (!existsSync(file)) copyFileSync(path.join(shippedTemplates, 'jobs', 'example.toml'), file);
  return file;
}

/** @throws DwellmarkError (`refused`) when the folder has a shop already. */
export function refuseTaken(folder: string): void {
  const file = path.join(folder, shopFileName);
  if (!existsSync(file)) return;
  throw new DwellmarkError('refused', 'there is a shop here already', {
    place: { file },
    advice: 'Edit that file, or name another folder with --shop DIR.',
  });
}

/** TOML basic string. */
const quoted = (text: string): string => JSON.stringify(text);

const shopFileText = (
  facts: ShopFacts,
): string => `# This shop. Every dwellmark command below this folder finds it here.
name = ${quoted(facts.name)}
address = ${quoted(facts.address)}
bench = "Bench 1"
units = ${quoted(facts.units)}            # bar, psi, MPa, kPa or kgf/cm2: what the screen and the certificate show
paper = ${quoted(facts.paper)}             # A4 or Letter
language = "en"          # en or de
database = "record.db"   # the record; keep copies of it (never of a file in use: dwellmark help files)
keys = "keys"            # signers' keys and the shop's certificate; keep it private
series = ${quoted(facts.series)}             # certificate numbers: ${facts.series}-2026-0001
# logo = "logo.png"
# accent = "#1f4e5f"

[signatures]
required = ["reviewed and released"]   # what a certificate needs; also "performed", "witnessed"
self_review = false                    # may whoever ran the test also review it?
release_only_pass = false

[certificate]                          # without these a pass gets a test report that says what is missing
calibration_required = true            # of every gauge
inspection_required = true             # of every port, for oil outside

# [hooks]                              # who gets the JSON; a command or an https address (dwellmark help files)
# sealed = "https://erp.example/hold-tests"
# issued = "python3 paper-issued.py"

# Gauges: \`dwellmark gauge add\` writes such a table after listening to the instrument.
# [[gauge]]
# serial = "SN 40117"
# range = "0..400 bar"
# resolution = "0.1 bar"
# accuracy = "0.25 %FS"
# driver = "ascii-stream"
# [gauge.line]
# path = "/dev/ttyUSB0"
# baud_rate = 9600
# pattern = "{pressure} {unit}"
# unit = "bar"
`;
