import path from 'node:path';
import { checkedTest, judgeStored } from '../../audit/index.js';
import { findShop, type HookEvent, type Shop } from '../../bench/index.js';
import { systemOf } from '../../quality/index.js';
import { corrected, openStore, type Store } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { handOver } from '../hand-over.js';
import { say, sayJson } from '../output.js';
import { recordJson, resultJson } from '../report/result-json.js';

/** `dwellmark hook`: hands a sealed test or an issued paper over to the hook of the shop file, and waits for it. */
export async function run(number: string, options: CommonOptions): Promise<void> {
  const shop = findShop(options.shop);
  const { event, message } = messageOf(shop, number);
  const hook = shop.hooks[event];
  if (hook === undefined)
    throw new DwellmarkError('input', `no hook for ${event === 'sealed' ? 'sealed tests' : 'issued papers'}`, {
      place: { file: shop.file, key: `hooks.${event}` },
      advice: 'Write a command or an https address there.',
    });
  const log = path.join(shop.folder, 'hooks.log');
  const why = await handOver(hook, `${event} ${number}`, `${JSON.stringify(message)}\n`, log);
  if (why !== null)
    throw new DwellmarkError('input', `${number} was not handed over: ${why}`, {
      place: { file: shop.file, key: `hooks.${event}` },
      advice: `Every try is in ${log}. Try again with \`dwellmark hook ${number}\`.`,
    });
  if (options.json) sayJson({ number, event, taken: true });
  else say(`${number} was handed over.`);
}

interface Message {
  readonly event: HookEvent;
  readonly message: object;
}

/** What a hook gets: facts and result of the test, as `show --json` says them; of a paper its number and hash too. */
function messageOf(shop: Shop, number: string): Message {
  const store = openStore(shop.database, { mode: 'read' });
  try {
    const paper = store.certificates().find((each) => each.number === number);
    const about = { at: new Date().toISOString(), shop: shop.name, bench: shop.bench };
    if (paper === undefined)
      return { event: 'sealed', message: { event: 'sealed', ...about, ...testMessage(store, number) } };
    const { test, pdfSha256, replaces = null } = paper;
    const facts = { number, kind: paper.rendering?.kind ?? null, pdfSha256, replaces };
    return { event: 'issued', message: { event: 'issued', ...about, paper: facts, ...testMessage(store, test) } };
  } finally {
    store.close();
  }
}

function testMessage(store: Store, test: string): object {
  const stored = checkedTest(store, test, judgeStored);
  const { result, corrections } = stored;
  if (!result) throw new DwellmarkError('refused', `test ${test} is not sealed`);
  const { workOrder, customer, cylinder, technician, startedAt } = corrected(stored.header, corrections);
  const { origin } = stored.header;
  const facts = { workOrder, customer, cylinder, technician, startedAt, origin };
  return { ...facts, ...resultJson(test, result, recordJson(stored), systemOf(stored.header)) };
}
