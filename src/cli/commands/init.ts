import { randomBytes } from 'node:crypto';
import path from 'node:path';
import { unitSystems } from '../../units/index.js';
import { ask, choose } from '../ask.js';
import type { CommonOptions } from '../common-options.js';
import { commandName, remark, say, sayJson } from '../output.js';
import { layExampleJob, makeShop, refuseTaken, type ShopFacts } from '../shop/found-shop.js';
import { acceptablePassphrase } from '../shop/new-passphrase.js';

export interface InitOptions extends CommonOptions {
  readonly name?: string;
  readonly address?: string;
  readonly units?: string;
  readonly paper?: string;
  readonly signer?: string;
  readonly administrator?: string;
  readonly passphraseFd?: number;
  readonly yes?: boolean;
}

/** `dwellmark init`: the shop file, the record, the shop's certificate, the first administrator and the first signer. */
export async function run(options: InitOptions): Promise<void> {
  const folder = path.resolve(options.shop ?? process.cwd());
  const asking = options.yes !== true;
  const answer = async (given: string | undefined, question: string, option: string, preset: string) =>
    given ?? (asking ? await ask(question, option, preset) : preset);
  refuseTaken(folder);
  const name = await answer(options.name, 'Name of the shop', '--name or --yes', 'Hydraulic cylinder shop');
  const address = await answer(options.address, 'Address, as printed on certificates', '--address or --yes', '');
  const units =
    options.units ?? (asking ? await choose('Units', Object.keys(unitSystems), '--units or --yes', 'bar') : 'bar');
  const usualPaper = units === 'psi' ? 'Letter' : 'A4';
  const facts: ShopFacts = {
    name,
    address,
    units,
    paper:
      options.paper ?? (asking ? await choose('Paper', ['A4', 'Letter'], '--paper or --yes', usualPaper) : usualPaper),
    series: 'C',
  };
  const signerName = await answer(
    options.signer,
    'Printed name of the first signer (role QA)',
    '--signer or --yes',
    'QA inspector',
  );
  const made = asking || options.passphraseFd !== undefined ? null : randomBytes(12).toString('base64url');
  const { passphraseFd } = options;
  const passphrase =
    made ?? (await acceptablePassphrase(`Passphrase of ${signerName}: `, { id: 'qa', name: signerName }, passphraseFd));
  const administrator = await answer(
    options.administrator,
    'Printed name of the administrator, who enrols people',
    '--administrator or --yes',
    signerName,
  );
  const adminPassphrase =
    made !== null || (administrator === signerName && passphraseFd === undefined)
      ? passphrase
      : await acceptablePassphrase(
          `Passphrase of ${administrator}: `,
          { id: 'admin', name: administrator },
          passphraseFd,
          passphrase,
        );
  const shop = await makeShop(folder, facts, {
    administrator: { name: administrator, passphrase: adminPassphrase },
    inspector: { name: signerName, passphrase },
  });
  const job = layExampleJob(shop);
  if (options.json)
    sayJson({
      shop: shop.file,
      database: shop.database,
      signer: 'qa',
      administrator: 'admin',
      ...(made === null ? {} : { passphrase: made }),
    });
  else {
    say(`${shop.file}: the shop file; read it through, it is yours to edit.`);
    say(`${shop.database}: the record.`);
    say(`${shop.keys}: keys. "qa" (${signerName}) may sign as QA; "admin" (${administrator}) enrols people.`);
    if (made !== null) remark(`Passphrase of "qa" and of "admin", shown this once: ${made}`);
    else if (adminPassphrase === passphrase)
      say('One passphrase opens both keys; `dwellmark signer passphrase admin` gives the other its own.');
    say(`${job}: an example of a job, to copy.`);
    say(`Next: ${commandName} gauge add, plan JOB, test JOB.`);
    say(`No gauge at hand: ${commandName} gauge simulate makes a practice bench.`);
  }
}
