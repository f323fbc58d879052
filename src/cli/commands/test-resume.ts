import { type CutOff, closeCutOff, cutOffTests, findShop, type Shop } from '../../bench/index.js';
import { systemOf } from '../../quality/index.js';
import { openStore } from '../../record/index.js';
import { DwellmarkError, spellDuration } from '../../units/index.js';
import { choose } from '../ask.js';
import { exitCodes } from '../exit-codes.js';
import { say, sayJson } from '../output.js';
import { reportOutcome } from '../report/live-report.js';
import { verdictWord } from '../report/verdict-words.js';
import type { TestOptions } from './test.js';

/** `dwellmark test --resume [TEST]`: says what was cut off, and takes it up again or closes it. */
export async function run(only: string | undefined, options: TestOptions): Promise<void> {
  const shop = findShop(options.shop);
  const found = listCutOff(shop, only);
  if (found.length === 0) {
    if (options.json) sayJson([]);
    else say('No test was cut off.');
    return;
  }
  const nobody = options.unattended || options.json || !process.stdin.isTTY;
  if (nobody && !options.unattended)
    throw new DwellmarkError('usage', 'there is no terminal to ask what is to be done', {
      advice: 'Add --unattended: then every test that was cut off is closed as interrupted.',
    });
  if (!options.json) for (const test of found) say(described(test));
  if (nobody) return closeAll(shop, found, options.json === true);
  for (const test of found) await oneByOne(test, shop, options.mute === true);
}

function listCutOff(shop: Shop, only: string | undefined): CutOff[] {
  const store = openStore(shop.database, { mode: 'write' });
  try {
    return cutOffTests(store).filter(({ header }) => only === undefined || header.test === only);
  } finally {
    store.close();
  }
}

function described({ header, state, recordedS, readings, mayGoOn }: CutOff): string {
  const { phase } = state;
  const port = header.plan.ports[state.portIndex]?.port;
  const where = phase.name === 'done' ? 'after its last port' : `at port ${port}, in ${phase.name}`;
  const what = mayGoOn ? 'It can go on, or be closed.' : 'It can only be closed: a dwell can be judged only whole.';
  return `The cylinder may still be under pressure: vent both ports before anything is connected or loosened.
${header.test}  ${header.startedAt}  cylinder ${header.cylinder.serial}: cut off ${where}.
  ${readings} readings over ${spellDuration(recordedS)} stand. ${what}`;
}

function closeAll(shop: Shop, found: readonly CutOff[], json: boolean): void {
  const store = openStore(shop.database, { mode: 'write' });
  try {
    const closed = found.map(({ header: { test } }) => ({ test, verdict: closeCutOff(store, shop, test).verdict }));
    if (json) sayJson(closed);
    else for (const { test, verdict } of closed) say(`${test} closed as interrupted: ${verdictWord(verdict)}`);
  } finally {
    store.close();
  }
  process.exitCode = exitCodes.undecided;
}

async function oneByOne(cutOff: CutOff, shop: Shop, mute: boolean): Promise<void> {
  const { test } = cutOff.header;
  const goOn = 'go on with it';
  const close = 'close it as interrupted';
  const leave = 'leave it as it is';
  const what = await choose(test, cutOff.mayGoOn ? [goOn, close, leave] : [close, leave], '--unattended');
  if (what === leave) return;
  if (what === close) return closeAll(shop, [cutOff], false);
  const outcome = await (await import('../screen/run-on-screen.js')).resumeOnScreen(test, shop, mute);
  reportOutcome(outcome, {
    findings: cutOff.header.findings,
    system: systemOf(cutOff.header),
    json: false,
  });
}
