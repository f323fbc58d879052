import { startDwell } from '../../src/evaluation/dwell.js';
import { holdContext } from '../evaluation/holds.js';

/** A day at 100 readings a second. */
const readings = 8_640_000;
const stepUs = 10_000;
const durationS = (readings * stepUs) / 1e6;
const fallPa = 3e5;

/** Pressure of a reading: a slow fall and a cheap repeating noise, so that making it costs next to nothing. */
const noise = Float64Array.from({ length: 4096 }, (_, i) => 4000 * Math.sin(i * i * 0.7));
const pressureAt = (i: number): number => Math.round(240e5 - (fallPa * i) / readings + (noise[i & 4095] ?? 0));

const cpuSeconds = (work: () => void): number => {
  const before = process.cpuUsage();
  work();
  const used = process.cpuUsage(before);
  return (used.user + used.system) / 1e6;
};

/** What a bare least-squares loop costs: plain sums, no protection of any kind. */
function bareLoop(): number {
  let [sx, sy, sxx, sxy] = [0, 0, 0, 0];
  for (let i = 0; i < readings; i++) {
    const x = (i * stepUs) / 1e6;
    const y = pressureAt(i) - 240e5;
    sx += x;
    sy += y;
    sxx += x * x;
    sxy += x * y;
  }
  return (readings * sxy - sx * sy) / (readings * sxx - sx * sx);
}

const dwell = startDwell(holdContext({ dwellS: durationS }));
let bareSlope = 0;
const bareS = cpuSeconds(() => {
  bareSlope = bareLoop();
});
const heapBefore = process.memoryUsage();
const addS = cpuSeconds(() => {
  for (let i = 0; i < readings; i++) dwell.add(i * stepUs, pressureAt(i), null, 0);
});
const heapAfter = process.memoryUsage();
const early = 100;
const earlyS = cpuSeconds(() => {
  for (let i = 0; i < early; i++) dwell.early(readings * stepUs);
});
let result = startDwell(holdContext()).finish({ endUs: 0, cutShort: true, voided: null });
const finishS = cpuSeconds(() => {
  result = dwell.finish({ endUs: (readings - 1) * stepUs, cutShort: false, voided: null });
});
const megabytes = (bytes: number): string => `${(bytes / 2 ** 20).toFixed(1)} MB`;
const grown = heapAfter.heapUsed + heapAfter.arrayBuffers - heapBefore.heapUsed - heapBefore.arrayBuffers;

const rows: readonly (readonly [string, string])[] = [
  ['readings', readings.toLocaleString('en')],
  ['bare least-squares loop, CPU', `${bareS.toFixed(2)} s`],
  ['dwell: taking the readings, CPU', `${addS.toFixed(2)} s  (${(addS / bareS).toFixed(1)} x the bare loop)`],
  ['dwell: result, CPU', `${finishS.toFixed(3)} s`],
  ['dwell: one early word after all readings, CPU', `${((earlyS / early) * 1e3).toFixed(2)} ms`],
  ['heap grown while taking the readings', megabytes(grown)],
  ['drop found', `${((result.dropPa ?? 0) / 1e5).toFixed(5)} bar, true ${(fallPa / 1e5).toFixed(5)}`],
];
for (const [what, figure] of rows) process.stdout.write(`${what.padEnd(48)}${figure}\n`);

const bareDrop = -bareSlope * durationS;
const wrong = Math.abs((result.dropPa ?? 0) - fallPa) > 100 || Math.abs(bareDrop - fallPa) > 100;
if (wrong) process.stdout.write('WRONG: the drop is not the one that was made\n');
if (addS + finishS > 2) process.stdout.write('SLOW: more than 2 s of CPU\n');
process.exitCode = wrong ? 1 : 0;
