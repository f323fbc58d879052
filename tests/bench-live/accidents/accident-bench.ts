import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { verifyStore } from '../../../src/audit/index.js';
import { judgeStored } from '../../../src/bench/index.js';
import type { GaugeFaultCode, Reading } from '../../../src/gauge/index.js';
import { spell, unitSystems } from '../../../src/units/index.js';
import { Cable, sleep } from '../../drivers/pty.js';
import { atTheBench } from '../at-the-bench.js';
import { runProgram, type TmuxTerminal, until, withStore } from '../bench-process.js';
import { writeFaultyShop } from '../faults/faulty-bench.js';
import { TalkingGauge } from '../faults/talking-gauge.js';

/** A technician's bench in a real terminal: the gauge, its cable, the keys. */
export interface AccidentBench {
  readonly gauge: TalkingGauge;
  readonly cable: Cable;
  readonly screen: TmuxTerminal;
  readonly folder: string;
  readonly job: string;
  /** Up to the phase of that name, by keys and pump, and a second into it. */
  to(phase: Phase): Promise<void>;
  /** From wherever it stands: inspected, bled down, finished. */
  finish(): Promise<void>;
  /** Waits until the screen says it; what it said goes into the book. */
  says(what: RegExp): Promise<void>;
  /** The same for what does not. */
  shows(what: RegExp): Promise<string>;
}

export type Phase = 'ready' | 'ramp' | 'settle' | 'dwell' | 'bleed-down' | 'done';

export interface Accident {
  readonly name: string;
  readonly size?: readonly [columns: number, rows: number];
  readonly env?: string;
  /** What happens, from a terminal that asks to connect the port. */
  readonly happens: (at: AccidentBench) => Promise<void>;
  /** Exit codes that are right; null: the terminal was gone, or the program killed. */
  readonly exit: number | null;
  /** The verdict that must stand in the record, and its reason. */
  readonly record: RegExp;
  /** Faults of the gauge that must stand there. */
  readonly faults?: readonly GaugeFaultCode[];
}

/** What was seen of an accident. */
export interface Seen {
  readonly said: readonly string[];
  /** Verdict and reason, in the words of the record. */
  readonly record: string;
  /** Faults of the gauge in the record, each once. */
  readonly faults: readonly GaugeFaultCode[];
  readonly exit: number | null;
  /** Readings in the record that the gauge never sent, and those that were on disk before and are missing. */
  readonly invented: number;
  readonly lost: number;
  readonly problems: readonly string[];
}

const flat = (screen: string): string => screen.replace(/\s+/g, ' ');

/** Runs one accident in a terminal of its own, from `dwellmark test` to the end. */
export async function runAccident(accident: Accident): Promise<Seen> {
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-accident-'));
  const cable = await Cable.lay();
  const job = writeFaultyShop(folder, cable);
  const gauge = new TalkingGauge(cable, { waits: true });
  const talking = gauge.talk();
  const exitFile = path.join(folder, 'exit');
  const [columns, rows] = accident.size ?? [80, 24];
  const screen = await atTheBench({
    job,
    folder,
    size: { columns, rows },
    exitFile,
    ...(accident.env === undefined ? {} : { env: accident.env }),
  });
  const said: string[] = [];
  /** What stood on disk when the phase was reached. */
  let acknowledged: readonly Reading[] = [];
  /** Waits for something on the screen, and returns what matched. */
  const shows = async (what: RegExp, withinMs = 90_000): Promise<string> => {
    const endMs = performance.now() + withinMs;
    for (;;) {
      const page = await screen.look().catch(() => '');
      const found = what.exec(flat(page))?.[0];
      if (found !== undefined) return found;
      if (performance.now() > endMs) throw new Error(`waited in vain for ${what}\n${page}`);
      await sleep(150);
    }
  };
  const says = async (what: RegExp): Promise<void> => {
    said.push(await shows(what));
  };
  const shown: Readonly<Record<Phase, RegExp>> = {
    ready: /Raise the pressure to 60\.0 bar, no faster/,
    ramp: /RAMP/,
    settle: /SETTLE/,
    dwell: /DWELL/,
    'bleed-down': /BLEED-DOWN/,
    done: /Every port is done/,
  };
  const reached = (phase: Phase): Promise<string> => shows(shown[phase]);
  const inspect = async (): Promise<void> => {
    await shows(/ i inspected/);
    screen.type('i');
    await shows(/y or 1: yes/);
    screen.type('y');
  };
  const bench: AccidentBench = {
    gauge,
    cable,
    screen,
    folder,
    job,
    says,
    to: async (phase) => {
      screen.keys('Enter');
      await reached('ready');
      if (phase === 'ready') return;
      gauge.pump();
      await reached(phase === 'done' || phase === 'bleed-down' ? 'dwell' : phase);
      if (phase === 'bleed-down' || phase === 'done') {
        await inspect();
        await reached('bleed-down');
        if (phase === 'done') {
          gauge.release();
          await reached('done');
        }
      }
      await sleep(1000);
      acknowledged = withStore(folder, (store) => [...store.trace(store.tests()[0]?.test ?? '')]);
    },
    finish: async () => {
      const now = await shows(/DWELL|BLEED-DOWN|Every port is done/);
      if (now === 'DWELL') {
        if (/ i inspected/.test(await screen.look())) await inspect();
        await reached('bleed-down');
      }
      gauge.release();
      await reached('done');
      screen.keys('Enter');
      await shows(/y or 1: yes/);
      screen.type('y');
      await shows(/left with/);
    },
    shows,
  };
  try {
    await accident.happens(bench);
    await until('exit code', () => accident.exit === null || readText(exitFile) !== '', 60_000);
    screen.close();
    gauge.stop();
    // A gauge that nobody reads any more can't finish its line.
    await cable.unplug();
    await talking;
    return await whatIsLeft(folder, { gauge, said, acknowledged }, readText(exitFile));
  } finally {
    screen.close();
    gauge.stop();
    await cable.unplug();
    await talking.catch(() => undefined);
    rmSync(folder, { recursive: true, force: true });
  }
}

const readText = (file: string): string => {
  try {
    return readFileSync(file, 'utf8').trim();
  } catch {
    return '';
  }
};

async function whatIsLeft(
  folder: string,
  { gauge, said, acknowledged }: { gauge: TalkingGauge; said: readonly string[]; acknowledged: readonly Reading[] },
  exit: string,
): Promise<Seen> {
  // Closing a terminal seals a moment later.
  await sleep(500);
  const tests = withStore(folder, (store) => store.tests());
  const test = tests[0]?.test;
  if (test === undefined)
    return {
      said,
      record: 'no test',
      faults: [],
      exit: exit === '' ? null : Number(exit),
      invented: 0,
      lost: 0,
      problems: [],
    };
  const sent = new Set(gauge.sent.flatMap(({ pressurePa }) => (pressurePa == null ? [] : [pressurePa])));
  const { trace, result, codes, problems } = withStore(folder, (store) => {
    const stored = store.test(test);
    return {
      trace: [...store.trace(test)],
      result: stored.result,
      codes: [...store.inputs(test)].flatMap((input) => (input.kind === 'fault' ? [input.fault.code] : [])),
      problems: stored.result ? verifyStore(store, judgeStored).problems.map((one) => JSON.stringify(one)) : [],
    };
  });
  const { code } = result ? await runProgram(['verify', '--all', '--shop', folder]) : { code: 0 };
  const port = result?.ports[0];
  const reason = spell(port?.reason ?? 'not sealed', unitSystems.bar).replaceAll('\u00a0', ' ');
  return {
    said,
    record: `${port?.verdict ?? 'open'}: ${reason.replace(/^proof: /, '').replace(/ at \/\S+/, '')}`,
    faults: [...new Set(codes)],
    exit: exit === '' ? null : Number(exit),
    invented: trace.filter(({ pressurePa }) => pressurePa !== null && !sent.has(pressurePa)).length,
    lost: acknowledged.filter(
      ({ timeUs, pressurePa }, at) => trace[at]?.timeUs !== timeUs || trace[at]?.pressurePa !== pressurePa,
    ).length,
    problems: code === 0 ? problems : [...problems, `verify left with ${code}`],
  };
}
