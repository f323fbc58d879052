import { fileURLToPath } from 'node:url';
import { sleep } from '../../drivers/pty.js';
import { runProgram, until, withStore } from '../bench-process.js';
import type { GaugeTrouble } from '../faults/talking-gauge.js';
import type { Accident, AccidentBench, Phase } from './accident-bench.js';

const _here = fileURLToPath(new URL('.', import.meta.url));

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

const spoilt = /The dwell counts for nothing: no reading/;
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
      await at.says(/Dwell void: the pressure fell to [^:]*: it was let go, or something gave way/);
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
      await at.says(/Touch no valve\. Look at every point, then confirm the inspection\./);
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
];
