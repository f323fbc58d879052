import { randomBytes } from 'node:crypto';
import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { readShop, type Shop, shopFileName } from '../../bench/index.js';
import { openStore } from '../../record/index.js';
import { createShopIdentity, createSigner, readNewPassphrase } from '../../signing/index.js';
import { DwellmarkError } from '../../units/index.js';
import { ask } from '../ask.js';
import { remark, say, sayJson } from '../output.js';
import type { CommonOptions } from '../program.js';

export interface InitOptions extends CommonOptions {
  readonly name?: string;
  readonly address?: string;
  readonly units?: string;
  readonly paper?: string;
  readonly signer?: string;
  readonly passphraseFd?: number;
  readonly yes?: boolean;
}

/** What a shop file is made from. */
export interface ShopFacts {
  readonly name: string;
  readonly address: string;
  readonly units: string;
  readonly paper: string;
  readonly series: string;
}

/** `dwellmark init`: the shop file, the record, the shop's certificate and the first signer. */
export async function run(options: InitOptions): Promise<void> {
  const folder = path.resolve(options.shop ?? process.cwd());
  const asking = options.yes !== true;
  const answer = async (given: string | undefined, question: string, option: string, preset: string) =>
    given ?? (asking ? await ask(question, option, preset) : preset);
  if (existsSync(path.join(folder, shopFileName))) throw taken(folder);
  const name = await answer(options.name, 'Name of the shop', '--name or --yes', 'Hydraulic cylinder shop');
  const facts: ShopFacts = {
    name,
    address: await answer(options.address, 'Address, as printed on certificates', '--address or --yes', ''),
    units: await answer(options.units, 'Units: bar, psi, MPa, kPa', '--units or --yes', 'bar'),
    paper: await answer(
      options.paper,
      'Paper: A4 or Letter',
      '--paper or --yes',
      options.units === 'psi' ? 'Letter' : 'A4',
    ),
    series: 'C',
  };
  const signerName = await answer(
    options.signer,
    'Printed name of the first signer (role QA)',
    '--signer or --yes',
    'QA inspector',
  );
  const made = asking || options.passphraseFd !== undefined ? null : randomBytes(12).toString('base64url');
  const passphrase =
    made ?? (await readNewPassphrase({ prompt: `Passphrase of ${signerName}: `, fd: options.passphraseFd }));
  const shop = await makeShop(folder, facts);
  const signer = enrol(shop, { id: 'qa', name: signerName, role: 'qa', passphrase });
  if (options.json)
    sayJson({
      shop: shop.file,
      database: shop.database,
      signer: signer.id,
      ...(made === null ? {} : { passphrase: made }),
    });
  else {
    say(`${shop.file}: the shop file; read it through, it is yours to edit.`);
    say(`${shop.database}: the record.`);
    say(`${shop.keys}: keys. "${signer.id}" (${signerName}) may sign as QA.`);
    if (made !== null) remark(`Passphrase of "${signer.id}", shown this once: ${made}`);
    say('Next: write a job file, then `dwellmark plan JOB` and `dwellmark test JOB`.');
  }
}

/** Makes a shop's folder: shop file, empty record, the certificate that signs its PDFs. */
export async function makeShop(folder: string, facts: ShopFacts): Promise<Shop> {
  const file = path.join(folder, shopFileName);
  if (existsSync(file)) throw taken(folder);
  mkdirSync(folder, { recursive: true });
  writeFileSync(file, shopFileText(facts), { flag: 'wx' });
  const shop = readShop(file);
  openStore(shop.database, { mode: 'write' }).close();
  await createShopIdentity({ dir: shop.keys, shopName: shop.name, now: new Date() });
  return shop;
}

/** Makes a person's key and puts the person into the ledger. */
export function enrol(
  shop: Shop,
  person: {
    readonly id: string;
    readonly name: string;
    readonly role: 'technician' | 'qa' | 'administrator' | 'witness';
    readonly passphrase: string;
    readonly organisation?: string;
  },
): { readonly id: string } {
  const store = openStore(shop.database, { mode: 'write' });
  try {
    const signer = createSigner({ dir: shop.keys, organisation: shop.name, ...person });
    store.addSigner(signer);
    return signer;
  } finally {
    store.close();
  }
}

const taken = (folder: string) =>
  new DwellmarkError('refused', 'there is a shop here already', {
    place: { file: path.join(folder, shopFileName) },
    advice: 'Edit that file, or name another folder with --shop DIR.',
  });

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
database = "record.db"   # the record; keep copies of it (never of a file in use: see README, "Keeping copies")
keys = "keys"            # signers' keys and the shop's certificate; keep it private
series = ${quoted(facts.series)}             # certificate numbers: ${facts.series}-2026-0001
# logo = "logo.png"
# accent = "#1f4e5f"

[signatures]
required = ["reviewed and released"]   # what a certificate needs; also "performed", "witnessed"
self_review = false                    # may whoever ran the test also review it?
release_only_pass = false

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
