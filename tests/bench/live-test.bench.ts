import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { spawn } from '@lydell/node-pty';
import { atTheBench } from '../bench-live/at-the-bench.js';
import { runProgram } from '../bench-live/bench-process.js';
import { writeFaultyShop } from '../bench-live/faults/faulty-bench.js';
import { TalkingGauge } from '../bench-live/faults/talking-gauge.js';
import { openQuickBench } from '../bench-live/quick-bench.js';
import { Cable, sleep } from '../drivers/pty.js';

/*
 * An attended test in a terminal of 80 x 24, by the built program: processor time and memory in a dwell with a gauge at
 * 10 Hz (a minute; with DWELLMARK_BENCH=full ten), and the time from an alarming line to the alarm on the screen.
 */
const minutes = process.env.DWELLMARK_BENCH === 'full' ? 10 : 1;
const alarms = 200;

const print = (text: string): boolean => process.stdout.write(`${text}\n`);
const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-bench-'));

/** CPU time of a process so far, s. */
function cpuS(pid: number): number {
  const fields = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1]?.split(' ') ?? [];
  return (Number(fields[11]) + Number(fields[12])) / 100;
}

/** What a process holds in memory, MB. */
const heldMb = (pid: number): number =>
  Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1] ?? Number.NaN) / 1024;

async function dwellAtTenHertz(): Promise<void> {
  const bench = await openQuickBench(path.join(folder, 'dwell'), { dwellS: 3600, attended: true, ports: ['A'] });
  const terminal = await atTheBench({ job: bench.job, folder: path.join(folder, 'dwell') });
  terminal.keys('Enter');
  await terminal.shows('Raise the pressure to 60.0 bar');
  bench.gauge.operate({ kind: 'begin', port: 'A' });
  await terminal.shows(' DWELL ');
  const [pid = 0] = terminal.processes();
  await sleep(5000);
  const held = [heldMb(pid)];
  const [cpu, ms] = [cpuS(pid), performance.now()];
  for (let minute = 0; minute < minutes; minute += 1) {
    await sleep(60_000);
    held.push(heldMb(pid));
  }
  const share = (cpuS(pid) - cpu) / ((performance.now() - ms) / 1000);
  print(
    `a live test at 10 Hz: ${(100 * share).toFixed(1)} % of a core in ${minutes} min of dwell (wanted: at most 5 %)`,
  );
  print(`memory, MB, minute by minute: ${held.map((mb) => mb.toFixed(0)).join(' ')}`);
  terminal.close();
  await bench.close();
}

async function lineToAlarm(): Promise<void> {
  const cable = await Cable.lay();
  const shop = path.join(folder, 'alarms');
  const job = writeFaultyShop(shop, cable, 3600);
  const gauge = new TalkingGauge(cable, { waits: true });
  const talking = gauge.talk();
  const main = path.resolve(import.meta.dirname, '../../dist/src/cli/main.js');
  const program = spawn(process.execPath, [main, 'test', job, '--shop', shop, '--technician', 'R. Sand', '--mute'], {
    cols: 80,
    rows: 24,
  });
  let shown = '';
  let seen = (_: string): void => {};
  program.onData((piece) => {
    shown = (shown + piece).slice(-20_000);
    seen(shown);
  });
  const shows = (what: RegExp): Promise<void> =>
    new Promise((resolve) => {
      seen = (text) => {
        if (!what.test(text)) return;
        seen = () => {};
        resolve();
      };
      seen(shown);
    });
  for (let page = 0; !shown.includes('Connect port A') && page < 20; page += 1) {
    await sleep(1500);
    program.write('\r');
  }
  await shows(/Raise.the.pressure/);
  const times: number[] = [];
  for (let count = 0; count < alarms; count += 1) {
    await sleep(150 + 100 * Math.random());
    shown = '';
    const alarm = shows(/ALARM/);
    const fromMs = performance.now();
    gauge.trouble = { mark: 'OL', readings: 1 };
    await gauge.sayNow();
    await alarm;
    times.push(performance.now() - fromMs);
    program.write('a');
  }
  times.sort((a, b) => a - b);
  const at = (share: number): string => (times[Math.floor(share * times.length)] ?? Number.NaN).toFixed(1);
  print(
    `from an alarming line to the alarm on the screen: median ${at(0.5)} ms, p99 ${at(0.99)} ms (wanted: under 100)`,
  );
  gauge.stop();
  program.kill();
  await cable.unplug();
  await talking.catch(() => {});
}

const { code } = await runProgram(['--version']);
if (code !== 0) throw new Error('build it first: npm run build');
await lineToAlarm();
await dwellAtTenHertz();
rmSync(folder, { recursive: true, force: true });
process.exit(0);
