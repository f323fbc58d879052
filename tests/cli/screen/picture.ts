/**
 * Pictures of the screen at the bench, from a simulated test as fast as it goes:
 *
 *     npx tsx tests/cli/screen/picture.ts FOLDER [columns] [rows]
 *
 * writes ready.svg, ramp.svg, stabilise.svg, dwell.svg, alarm.svg, bleed-down.svg and done.svg.
 */
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { benchScreen } from '../../../src/cli/screen/bench-screen.js';
import type { BenchView } from '../../../src/cli/screen/bench-view.js';
import { frameSvg } from './frame-svg.js';
import { showTest } from './shown.js';

const [folder = '.', columns = '100', rows = '30'] = process.argv.slice(2);
const size = { columns: Number(columns), rows: Number(rows) };
const count = new Map<string, number>();

function write(name: string, view: BenchView): void {
  writeFileSync(path.join(folder, `${name}.svg`), frameSvg(benchScreen(view, size, { colour: true, unicode: true })));
}

/** Readings into each phase at which its picture is taken. */
const moment: Readonly<Record<string, number>> = { ready: 20, ramp: 120, stabilise: 25, dwell: 260, 'bleed-down': 81 };

const end = await showTest({ dwellS: 40, leakMlPerMin: 0.03 }, ({ phase, view, act }) => {
  const seen = (count.get(phase) ?? 0) + 1;
  count.set(phase, seen);
  if (seen === moment[phase]) write(phase, view());
  if (phase !== 'dwell') return;
  if (seen === 300) act({ kind: 'observation', observation: { point: 'gland O-ring', amount: 'weep' } });
  if (seen === 301) write('alarm', view());
  if (seen === 310) act({ kind: 'acknowledge' });
});
write('done', end);
