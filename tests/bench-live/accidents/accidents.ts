import { randomBytes } from 'node:crypto';
import { closeSync, openSync, rmSync, writeSync } from 'node:fs';
import path from 'node:path';
import { sleep } from '../../drivers/pty.js';
import { runProgram, until, withStore } from '../bench-process.js';
import type { GaugeTrouble } from '../faults/talking-gauge.js';
import type { Accident, AccidentBench, Phase } from './accident-bench.js';

type Happens = Accident['happens'];

/** The plug is pulled for a second and put back, in a phase; then the test goes on to its end. */
const plugPulled =
  (phase: Phase, says: RegExp): Happens =>
  async (at) => {
    await at.to(phase);
    at.gauge.trouble = { silent: true };
    await sleep(200);
    await at.cable.unplug();
    await at.says(/The cylinder may still be under pressure\. No reading: open nothing\./);
    await at.cable.plugIn();
    await at.says(says);
    at.gauge.startsAgain();
    await goOn(at, phase);
  };

/** From where the accident left it to the end. */
async function goOn(at: AccidentBench, phase: Phase): Promise<void> {
  if (phase === 'ready') at.gauge.pump();
  await at.finish();
}

/** Trouble with the gauge in the dwell for so long, or until the screen has said it. */
const inDwell =
  (trouble: GaugeTrouble, says: RegExp, ms = 0): Happens =>
  async (at) => {
    await at.to('dwell');
    at.gauge.trouble = trouble;
    if (ms > 0) await sleep(ms);
    else await at.says(says);
    at.gauge.trouble = {};
    if (ms > 0) await at.says(says);
    await at.finish();
  };

/** Keys pressed in the dwell, one by one as a hand does; then to the end. */
async function press(at: AccidentBench, ...keys: readonly string[]): Promise<void> {
  for (const key of keys) {
    at.screen.keys(key);
    await sleep(120);
  }
}

/** Writes until nothing more goes onto the disk of a folder. */
function fillDisk(folder: string): string {
  const file = path.join(folder, 'something-else');
  const open = openSync(file, 'w');
  try {
    for (let size = 65_536; size >= 1; size /= 2) for (;;) if (!wrote(open, Buffer.alloc(size))) break;
  } finally {
    closeSync(open);
  }
  return file;
}

function wrote(file: number, bytes: Uint8Array): boolean {
  try {
    return writeSync(file, bytes) > 0;
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code !== 'ENOSPC') throw cause;
    return false;
  }
}

/** A whole test with nothing wrong but the terminal; the caution of a missing reading must stand on it whole. */
const onTerminal: Happens = async (at) => {
  await at.to('dwell');
  await at.says(/Touch no valve\. Look at every point, then confirm the inspection\./);
  at.gauge.trouble = { silent: true };
  await at.says(/The cylinder may still be under pressure\. No reading: open nothing\./);
  at.gauge.trouble = {};
  await at.finish();
};

const spoilt = /The dwell counts for nothing: no reading/;
const spiked = /the reading rose by [\d.]+ bar within [^:]*: faster than oil can move/;
const back = /its zero may have moved/;
const pass = /^pass/;

export const accidents: readonly Accident[] = [
  {
    name: 'Plug pulled before the pressure rises, put back',
    happens: plugPulled('ready', back),
    exit: 0,
    record: pass,
  },
  { name: 'Plug pulled in the ramp, put back', happens: plugPulled('ramp', back), exit: 0, record: pass },
  {
    name: 'Plug pulled while the pressure settles, put back',
    happens: plugPulled('settle', back),
    exit: 0,
    record: pass,
  },
  { name: 'Plug pulled in the dwell, put back', happens: plugPulled('dwell', back), exit: 0, record: /^pass/ },
  { name: 'Plug pulled in the bleed-down, put back', happens: plugPulled('bleed-down', back), exit: 0, record: pass },
  {
    name: 'Plug pulled in the dwell and not put back: stopped and ended',
    happens: async (at) => {
      await at.to('dwell');
      await at.cable.unplug();
      await at.says(
        /The cylinder may still be under pressure\. No reading: open nothing\. Look at the dial of the bench/,
      );
      await press(at, 's', '9', 'y');
      await sleep(500);
      await press(at, 's', 'y');
    },
    exit: 3,
    record: /^invalid/,
    faults: ['unplugged'],
  },
  {
    name: 'Gauge without power for four seconds in the dwell',
    happens: inDwell({ silent: true }, spoilt, 4000),
    exit: 0,
    record: pass,
    faults: ['silent', 'restarted'],
  },
  {
    name: 'Gauge restarted within the dwell, in a second',
    happens: async (at) => {
      await at.to('dwell');
      at.gauge.trouble = { silent: true };
      await sleep(1200);
      await at.gauge.says('BL-1001 FW 2.4 READY\r\n');
      at.gauge.trouble = {};
      await at.says(/the gauge has started again after [\d.]+ s: its zero may have moved/);
      await at.finish();
    },
    exit: 0,
    record: pass,
    faults: ['restarted'],
  },
  {
    name: 'Unit key pressed',
    happens: inDwell({ unit: 'psi' }, /the gauge sends psi, but bar is set/),
    exit: 0,
    record: pass,
    faults: ['unit-changed'],
  },
  {
    name: 'Zero key pressed, the gauge says nothing',
    happens: async (at) => {
      await at.to('dwell');
      at.gauge.trouble = { offBar: -61 };
      await at.says(/the pressure fell to [^:]*: it was let go, or something gave way/);
      at.gauge.release();
      await sleep(1500);
      at.gauge.trouble = {};
      await at.finish();
    },
    exit: 3,
    record: /^invalid/,
  },
  {
    name: 'Value frozen',
    happens: inDwell({ frozen: true }, /the reading has stood at [^:]*: noise alone would have moved it/),
    exit: 0,
    record: pass,
    faults: ['frozen'],
  },
  {
    name: 'Over-range marks instead of readings',
    happens: inDwell({ mark: 'OL' }, /the gauge is over its range/),
    exit: 0,
    record: pass,
    faults: ['over-range'],
  },
  {
    name: 'Every fourth checksum wrong',
    happens: inDwell({ spoilOneIn: 4 }, /lines could not be read: look at cable, shield/),
    exit: 0,
    record: pass,
    faults: ['checksum'],
  },
  {
    name: 'Half the readings missing',
    happens: inDwell({ oneIn: 2 }, /readings come at [\d.]+ a second, [\d.]+ are expected/),
    exit: 0,
    record: pass,
    faults: ['rate-fallen'],
  },
  {
    name: 'Foot switch trodden twenty times in the dwell',
    happens: async (at) => {
      await at.to('dwell');
      for (let count = 0; count < 20; count += 1) await press(at, 'Enter');
      await at.says(/Look at every point, then confirm the inspection/);
      await at.finish();
    },
    exit: 0,
    record: pass,
  },
  {
    name: 'Esc where the drops are asked for',
    happens: async (at) => {
      await at.to('dwell');
      await press(at, 'o', '2', '4', 'Escape');
      await at.says(/Oil outside at the gland O-ring: drops/);
      await press(at, 'a');
      await at.finish();
    },
    exit: 1,
    record: /^fail: oil was seen outside at the gland O-ring/,
  },
  {
    name: 'Stop pressed by mistake, Enter, then n',
    happens: async (at) => {
      await at.to('dwell');
      await press(at, 's', 'Enter');
      await at.says(/Pick one first: its number, or the arrows\./);
      await press(at, '9', 'Enter', 'n');
      await at.finish();
    },
    exit: 0,
    record: pass,
  },
  ...[
    ['Pressure jumps', '2', /S T O P P U M P \. S T A N D C L E A R \. W A I T \./],
    ['Relief valve lifts', '3', /S T O P P U M P \. S T A N D W E L L C L E A R \./],
    ['Rod moves in the hold', '4', /S T A N D C L E A R \. T O U C H N O T H I N G \. W A I T \./],
    ['Oil jets out', '5', /S T A N D B A C K \. N E V E R F E E L \. S T O P \./],
  ].map(
    ([name, key, words]): Accident => ({
      name: `${String(name)}: key s and its number`,
      happens: async (at) => {
        await at.to('dwell');
        await press(at, 's', String(key));
        await at.says(words as RegExp);
        await press(at, 'y');
        at.gauge.release();
        await at.shows(/left with/);
      },
      exit: 3,
      record: /stopped/,
    }),
  ),
  {
    name: 'Terminal closed in the dwell',
    happens: async (at) => {
      await at.to('dwell');
      await at.says(/Touch no valve\./);
      at.screen.close();
      await until('sealed', () => withStore(at.folder, (store) => store.tests()[0]?.verdict != null), 30_000);
    },
    exit: 3,
    record: /^(inconclusive|invalid)/,
  },
  {
    name: 'SIGTERM in the dwell, as at shutdown',
    happens: async (at) => {
      await at.to('dwell');
      await at.says(/Touch no valve\./);
      process.kill(at.screen.processes()[0] ?? 0, 'SIGTERM');
    },
    exit: 3,
    record: /^(inconclusive|invalid)/,
  },
  {
    name: 'kill -9 in the dwell, then test --resume --unattended',
    happens: async (at) => {
      await at.to('dwell');
      await at.says(/Touch no valve\./);
      process.kill(at.screen.processes()[0] ?? 0, 'SIGKILL');
      await at.shows(/left with/);
      await runProgram(['test', '--resume', '--unattended', '--shop', at.folder]);
    },
    exit: 137,
    record: /^(inconclusive|invalid)/,
  },
  {
    name: 'Zero key pressed, the gauge says so',
    happens: inDwell({ status: 'ZERO' }, /The dwell counts for nothing: the gauge was zeroed/),
    exit: 0,
    record: pass,
    faults: ['zero-shift'],
  },
  {
    name: 'Spike: one wild reading',
    happens: async (at) => {
      await at.to('dwell');
      // A gauge that was late itself gives its next line so long after that oil could have risen as far.
      const spike = async (): Promise<void> => {
        at.gauge.trouble = { offBar: 20, readings: 1 };
        await at.says(spiked, 10_000);
      };
      await spike().catch(spike).catch(spike).catch(spike);
      await at.finish();
    },
    exit: [0, 3],
    record: /^(pass|inconclusive)/,
    faults: ['jump'],
  },
  {
    name: 'Topped up in the dwell',
    happens: async (at) => {
      await at.to('dwell');
      at.gauge.topUp(1.2);
      await at.says(/The dwell counts for nothing: the pressure rose by [\d.]+ bar faster than oil/);
      await at.finish();
    },
    exit: [0, 3],
    record: /^(pass|inconclusive)/,
  },
  {
    name: 'Valve knocked open in the dwell',
    happens: async (at) => {
      await at.to('dwell');
      at.gauge.release();
      await at.says(/the pressure fell to [^:]*: it was let go, or something gave way/);
      await at.finish();
    },
    exit: 3,
    record: /^invalid/,
  },
  {
    name: 'Another instrument on the same plug, then the right one again',
    happens: inDwell({ serial: 'BL-2002' }, /The dwell counts for nothing: the gauge says it is BL-2002, not BL-1001/),
    exit: 0,
    record: pass,
    faults: ['other-device'],
  },
  {
    name: 'Flood of digits without a line end',
    happens: async (at) => {
      await at.to('dwell');
      at.gauge.trouble = { silent: true };
      await sleep(200);
      await at.gauge.says('7'.repeat(200_000));
      await at.says(/The dwell counts for nothing: no reading for/);
      await at.gauge.says('\r\n');
      at.gauge.trouble = {};
      await at.finish();
    },
    exit: 0,
    record: pass,
    faults: ['bad-line'],
  },
  {
    name: 'Noise on the cable in place of lines',
    happens: async (at) => {
      await at.to('dwell');
      at.gauge.trouble = { silent: true };
      await sleep(200);
      for (let count = 0; count < 60; count += 1) {
        await at.gauge.says(`${randomBytes(12).toString('latin1').replaceAll('\n', '?')}\r\n`);
        await sleep(50);
      }
      await at.says(/The dwell counts for nothing: no reading for/);
      at.gauge.trouble = {};
      await at.finish();
    },
    exit: 0,
    record: pass,
    faults: ['bad-line'],
  },
  {
    name: 'Clock of the computer set back by an hour in the dwell',
    happens: async (at) => {
      await at.to('dwell');
      at.computer('clock set back');
      await at.says(/Touch no valve\./);
      await at.finish();
    },
    exit: 0,
    record: pass,
  },
  {
    name: 'Computer asleep for ten minutes in the dwell',
    happens: async (at) => {
      await at.to('dwell');
      await at.whileStopped(async () => {
        at.computer('slept');
        await sleep(1000);
      });
      await at.says(/The dwell counts for nothing: no reading for 10 min/);
      await at.finish();
    },
    exit: 0,
    record: pass,
    faults: ['silent'],
  },
  {
    name: 'Computer too busy for the program for eight seconds of the dwell',
    happens: async (at) => {
      await at.to('dwell');
      await at.whileStopped(() => sleep(8000));
      await at.says(/Look at every point, then confirm the inspection\./);
      await at.finish();
    },
    exit: 0,
    record: pass,
    without: ['silent', 'restarted', 'rate-fallen', 'jump'],
  },
  {
    name: 'Another dwellmark started on the same gauge in the dwell',
    happens: async (at) => {
      await at.to('dwell');
      const { said, code } = await runProgram(['test', at.job, '--unattended', '--shop', at.folder]);
      if (code !== 5) throw new Error(`it left with ${code}: ${said}`);
      at.said(/is in use by another program[^/]*try again\./, said);
      await at.finish();
    },
    exit: 0,
    record: pass,
  },
  {
    name: 'Disk full in the dwell; then room is made, and test --resume --unattended',
    disk: '3m',
    happens: async (at) => {
      await at.to('dwell');
      const file = fillDisk(at.folder);
      await at.says(/the disk is full: the last readings are not stored/);
      await at.shows(/left with/);
      rmSync(file);
      await runProgram(['test', '--resume', '--unattended', '--shop', at.folder]);
    },
    exit: 2,
    record: /^(inconclusive|invalid)/,
  },
  {
    name: 'Window made small and large again in the dwell',
    happens: async (at) => {
      await at.to('dwell');
      at.screen.resize(40, 12);
      await at.says(/Touch no valve\. Look at every point, then confirm the inspection\./);
      at.screen.resize(80, 24);
      await at.finish();
    },
    exit: 0,
    record: pass,
  },
  { name: 'Terminal of 40 x 12', size: [40, 12], happens: onTerminal, exit: 0, record: pass, faults: ['silent'] },
  {
    name: 'Dumb terminal, plain lines',
    env: 'TERM=dumb',
    happens: onTerminal,
    exit: 0,
    record: pass,
    faults: ['silent'],
  },
  {
    name: 'Locale C, no colours, a far time zone',
    env: 'LC_ALL=C LANG=de_DE NO_COLOR=1 TZ=Asia/Kathmandu',
    happens: onTerminal,
    exit: 0,
    record: pass,
    faults: ['silent'],
  },
];
