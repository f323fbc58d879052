import { type LiveStart, type RunNews, type StartedLive, startLive } from '../../bench/index.js';
import type { UnitSystem } from '../../units/index.js';
import { remark } from '../output.js';
import type { RunOutcome } from '../report/live-report.js';
import { eventLines, statusLine } from './plain-report.js';

/** A gauge that gives nothing for so long ends a test at which nobody stands, s. */
const giveUpAfterS = 60;

/** Runs a test with nobody to ask: one line an event and one a second on stderr. */
export async function runPlain(
  start: Omit<LiveStart, 'tell' | 'endWhenDone' | 'giveUpAfterS'>,
  system: UnitSystem,
): Promise<RunOutcome> {
  const tell = (news: RunNews): void => {
    for (const line of eventLines(news, system)) remark(line);
  };
  const started = await startLive({ ...start, tell, endWhenDone: true, giveUpAfterS });
  try {
    return await watched(started, start.prepared.plan, system);
  } finally {
    started.close();
  }
}

async function watched(
  { header, hold, live, seal }: StartedLive,
  plan: LiveStart['prepared']['plan'],
  system: UnitSystem,
): Promise<RunOutcome> {
  remark(`${header.test}: ${header.gauge.source}. Ctrl-C ends it; what was recorded stands.`);
  const status = setInterval(() => remark(statusLine(plan, { state: hold.state, early: hold.early() }, system)), 1000);
  const cutOff = (): void => live.end('interrupted');
  const signals = ['SIGINT', 'SIGTERM'] as const;
  for (const signal of [...signals, 'SIGHUP']) process.on(signal, cutOff);
  // A terminal that was closed must not end the test before its record is sealed, and it hangs up to the very end.
  process.stderr.on('error', () => {});
  try {
    const end = await live.run();
    const mark = seal();
    return { test: header.test, mark, result: hold.result(), end };
  } finally {
    clearInterval(status);
    for (const signal of signals) process.off(signal, cutOff);
  }
}
