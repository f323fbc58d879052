import type { ResultJson } from '../../../src/cli/report/result-json.js';
import type { Reading } from '../../../src/gauge/index.js';
import type { Cable } from '../../drivers/pty.js';
import { runProgram, startProgram, until, withStore } from '../bench-process.js';
import type { FaultCase } from './fault-cases.js';
import { atFaultyBench, gaugeOn, writeFaultyShop } from './faulty-bench.js';
import { codesIn, inDwell, leftInRecord, type SpoiltTest } from './spoilt-test.js';

/** The same of a test that the program ran as a process of its own. */
export interface SpoiltRun extends SpoiltTest {
  readonly exit: number | null;
  /** What another process read in the record just before the fault. */
  readonly acknowledged: readonly Reading[];
  /** `show --json` afterwards. */
  readonly shown: ResultJson;
}

/** `dwellmark test JOB --unattended` as a process, its stderr as a person reads it. */
function startTest(job: string, folder: string) {
  const { child } = startProgram(['test', job, '--unattended', '--json', '--technician', 'R. Sand', '--shop', folder]);
  let [said, answered] = ['', false];
  child.stderr?.on('data', (piece: Buffer) => {
    said += piece.toString();
  });
  // The answer comes once the test has ended.
  child.stdout?.on('data', () => {
    answered = true;
  });
  const left = new Promise<number | null>((resolve) => child.on('close', resolve));
  void left.then(() => {
    answered = true;
  });
  return { said: () => said, answered: () => answered, left };
}

/** The phase that the last line on stderr names. */
const phaseIn = (said: string): string =>
  [...said.matchAll(/port A {2}(?:proof, )?(ready|ramp|stabilise|dwell|bleed-down|done)/g)].at(-1)?.[1] ?? '';

/** A whole test by the program over a pseudo-terminal; the fault comes in its dwell, then the pressure is let go. */
export const runSpoiltProgram = (faultCase: Pick<FaultCase, 'noZero' | 'spoil'>): Promise<SpoiltRun> =>
  atFaultyBench(async (folder: string, cable: Cable) => {
    const { said, answered, left } = startTest(writeFaultyShop(folder, cable), folder);
    const begun = /^(T-\d{4}-\d{4}): /m;
    await until('the test has begun', () => begun.test(said()) || answered());
    const test = begun.exec(said())?.[1];
    if (test === undefined) throw new Error(`the test did not begin: ${said()}`);
    const gauge = gaugeOn(cable, faultCase);
    const talking = gauge.talk();
    const faults = () => withStore(folder, (store) => codesIn(store, test));
    const timeOver = () => said().includes('The demanded time is over.');
    const at = { gauge, cable, phase: () => phaseIn(said()), timeOver, faults };
    await inDwell(at);
    const acknowledged = withStore(folder, (store) => [...store.trace(test)]);
    await faultCase.spoil(at).catch((cause: unknown) => {
      throw new Error(`${String(cause)}\n${said()}`);
    });
    gauge.release();
    await until('the end of the test', () => answered() || said().includes('has stayed below its limit'), 120_000);
    gauge.stop();
    await talking;
    const exit = await left;
    const { said: json } = await runProgram(['show', test, '--json', '--shop', folder]);
    return {
      ...leftInRecord(folder, test),
      said: said().split('\n'),
      sent: gauge.sent,
      gaugePausedS: gauge.longestPauseS,
      exit,
      acknowledged,
      shown: JSON.parse(json) as ResultJson,
    };
  });
