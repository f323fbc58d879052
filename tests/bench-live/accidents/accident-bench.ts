import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
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
  says(what: RegExp, withinMs?: number): Promise<void>;
  /** The same for what does not. */
  shows(what: RegExp): Promise<string>;
  /** What another program said about it goes into the book, where it says this. */
  said(what: RegExp, text: string): void;
  /** Something happens to the computer on which the program runs. */
  computer(happens: 'clock set back' | 'slept'): void;
  /** The program gets no time while this goes on. */
  whileStopped(work: () => Promise<void>): Promise<void>;
}

export type Phase = 'ready' | 'ramp' | 'settle' | 'dwell' | 'bleed-down' | 'done';

export interface Accident {
  readonly name: string;
  readonly size?: readonly [columns: number, rows: number];
  readonly env?: string;
  /** The shop is kept on a disk of its own of this size. */
  readonly disk?: string;
  /** What happens, from a terminal that asks to connect the port. */
  readonly happens: (at: AccidentBench) => Promise<void>;
  /** Exit codes that are right; null: the terminal was gone, or the program killed. */
  readonly exit: number | null | readonly number[];
  /** The verdict that must stand in the record, and its reason. */
  readonly record: RegExp;
  /** Faults of the gauge that must stand there. */
  readonly faults?: readonly GaugeFaultCode[];
  /** Faults that must not: the gauge had none, where it kept its beat. */
  readonly without?: readonly GaugeFaultCode[];
}

/** What was seen of an accident. */
export interface Seen {
  readonly said: readonly string[];
  /** Verdict and reason, in the words of the record. */
  readonly record: string;
  /** Faults of the gauge in the record, each once. */
  readonly faults: readonly GaugeFaultCode[];
  readonly exit: number | null;
  /** The longest pause that the gauge made, s: on a busy computer more than it should. */
  readonly gaugePausedS: number;
  /** Readings in the record that the gauge never sent, and those that were on disk before and are missing. */
  readonly invented: number;
  readonly lost: number;
  readonly problems: readonly string[];
}

/** Short, and several times what the drop needs to be seen. */
const dwellS = 6;
const computerProgram = fileURLToPath(new URL('./computer.cjs', import.meta.url));

const flat = (screen: string): string => screen.replace(/\s+/g, ' ');

/** Runs one accident in a terminal of its own, from `dwellmark test` to the end. */
export async function runAccident(accident: Accident): Promise<Seen> {
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-accident-'));
  const { disk } = accident;
  if (disk !== undefined) execFileSync('mount', ['-t', 'tmpfs', '-o', `size=${disk}`, 'tmpfs', folder]);
  const cable = await Cable.lay();
  const job = writeFaultyShop(folder, cable, dwellS);
  const gauge = new TalkingGauge(cable, { waits: true });
  const talking = gauge.talk();
  const exitFile = path.join(folder, 'exit');
  const computerFile = path.join(folder, 'computer');
  const [columns, rows] = accident.size ?? [80, 24];
  const screen = await atTheBench({
    job,
    folder,
    size: { columns, rows },
    exitFile,
    env: `${accident.env ?? 'LC_ALL=C.UTF-8'} NODE_OPTIONS='--require ${computerProgram}' COMPUTER_FILE='${computerFile}'`,
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
      await sleep(400);
    }
  };
  const says = async (what: RegExp, withinMs?: number): Promise<void> => {
    said.push(await shows(what, withinMs));
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
  /** Presses what the screen asks for until it shows something: a dwell that is spoilt meanwhile closes its question. */
  const onTo = async (what: RegExp): Promise<void> => {
    const endMs = performance.now() + 90_000;
    for (;;) {
      const page = flat(await screen.look().catch(() => ''));
      if (what.test(page)) return;
      if (performance.now() > endMs) throw new Error(`did not come to ${what}\n${page}`);
      if (page.includes('y or 1: yes')) screen.type('y');
      else if (page.includes(' i inspected')) screen.type('i');
      else if (page.includes('Every port is done')) screen.keys('Enter');
      await sleep(400);
    }
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
        await onTo(shown['bleed-down']);
        if (phase === 'done') {
          gauge.release();
          await reached('done');
        }
      }
      await sleep(1000);
      acknowledged = withStore(folder, (store) => [...store.trace(store.tests()[0]?.test ?? '')]);
    },
    finish: async () => {
      await onTo(/BLEED-DOWN|Every port is done/);
      gauge.release();
      await onTo(/left with/);
    },
    shows,
    said: (what, text) => {
      said.push(what.exec(flat(text))?.[0] ?? `not said: ${text}`);
    },
    computer: (happens) => writeFileSync(computerFile, happens),
    whileStopped: async (work) => {
      const [pid = 0] = screen.processes();
      process.kill(pid, 'SIGSTOP');
      await work();
      process.kill(pid, 'SIGCONT');
    },
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
    if (disk !== undefined) execFileSync('umount', ['--lazy', folder]);
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
      gaugePausedS: gauge.longestPauseS,
      invented: 0,
      lost: 0,
      problems: [],
    };
  const sent = new Set(gauge.sent.flatMap(({ pressurePa }) => (pressurePa == null ? [] : [pressurePa])));
  const { trace, result, codes } = withStore(folder, (store) => {
    const stored = store.test(test);
    return {
      trace: [...store.trace(test)],
      result: stored.result,
      codes: [...store.inputs(test)].flatMap((input) => (input.kind === 'fault' ? [input.fault.code] : [])),
    };
  });
  // In a process of its own: the gauges of other accidents talk in this one.
  const verified = result ? await runProgram(['verify', '--all', '--shop', folder]) : { code: 0, said: '' };
  const port = result?.ports[0];
  const reason = spell(port?.reason ?? 'not sealed', unitSystems.bar).replaceAll('\u00a0', ' ');
  return {
    said,
    record: `${port?.verdict ?? 'open'}: ${reason.replace(/^proof: /, '').replace(/ at \/\S+/, '')}`,
    faults: [...new Set(codes)],
    exit: exit === '' ? null : Number(exit),
    gaugePausedS: gauge.longestPauseS,
    invented: trace.filter(({ pressurePa }) => pressurePa !== null && !sent.has(pressurePa)).length,
    lost: acknowledged.filter(
      ({ timeUs, pressurePa }, at) => trace[at]?.timeUs !== timeUs || trace[at]?.pressurePa !== pressurePa,
    ).length,
    problems: verified.code === 0 ? [] : [verified.said],
  };
}
