import { type Prepared, resumeLive, type Shop, type StartedLive, startLive } from '../../bench/index.js';
import { systemOf } from '../../quality/index.js';
import type { UnitSystem } from '../../units/index.js';
import type { RunOutcome } from '../report/live-report.js';
import { traceChart } from '../report/trace-chart.js';
import { BenchSession } from './bench-session.js';
import { type KeyMap, keyMapOf } from './key-words.js';
import { prepareAtBench } from './preparation.js';
import { keepShift, shiftGoingOn } from './shift.js';
import { Terminal } from './terminal.js';

export interface OnScreenAsk {
  readonly prepared: Prepared;
  readonly shop: Shop;
  readonly system: UnitSystem;
  readonly technician: string | null;
  readonly overrule: string | null;
  /** No sound from the start. */
  readonly mute: boolean;
}

/** An attended test on a full screen, from who tests to the end. Null when it was left before it began. */
export async function runOnScreen(ask: OnScreenAsk): Promise<RunOutcome | null> {
  const { prepared, shop, system, overrule, mute } = ask;
  const keys = keyMapOf(shop);
  const terminal = new Terminal();
  try {
    const shift = shiftGoingOn(shop.folder, Date.now());
    const technician = ask.technician ?? shift?.technician ?? null;
    const person = await prepareAtBench({ terminal, prepared, system, technician, overrule, shift });
    if (person === 'left') return null;
    keepShift(shop.folder, person.technician, person.read, Date.now());
    const session = new BenchSession();
    const started = await startLive({
      ...ask,
      ...person,
      tell: session.tell,
      endWhenDone: false,
      giveUpAfterS: null,
    });
    return await onScreen(terminal, session, started, { system, keys, mute });
  } finally {
    terminal.close();
  }
}

/** Goes on with a test that was cut off; who tests, the job and the cautions were read when it began. */
export async function resumeOnScreen(test: string, shop: Shop, mute: boolean): Promise<RunOutcome> {
  const keys = keyMapOf(shop);
  const terminal = new Terminal();
  try {
    const session = new BenchSession();
    const started = await resumeLive(test, shop, { tell: session.tell, endWhenDone: false, giveUpAfterS: null });
    return await onScreen(terminal, session, started, { system: systemOf(started.header), keys, mute });
  } finally {
    terminal.close();
  }
}

async function onScreen(
  terminal: Terminal,
  session: BenchSession,
  started: StartedLive,
  how: { readonly system: UnitSystem; readonly keys: KeyMap; readonly mute: boolean },
): Promise<RunOutcome> {
  const { header, hold, live } = started;
  // A terminal that closes hangs up more than once, to the very end: no such signal may end the program by itself.
  const held = (): void => {};
  const signals = ['SIGINT', 'SIGTERM'] as const;
  for (const signal of [...signals, 'SIGHUP']) process.on(signal, held);
  try {
    const end = await session.run({ terminal, header, plan: header.plan, ...how, hold, live });
    const mark = started.seal();
    const result = hold.result();
    const chart = traceChart(started.trace(), result, how.system, Math.min(100, terminal.size.columns));
    return { test: header.test, mark, result, end, chart };
  } finally {
    started.close();
    for (const signal of signals) process.off(signal, held);
  }
}
