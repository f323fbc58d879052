import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { createSimulatedGauge, jobText, procedureText, scenarioNamed } from '../../drivers/simulated/index.js';
import type { Reading } from '../../src/gauge/index.js';
import { findUnit, fromSi } from '../../src/units/index.js';

/**
 * Writes sample-logs/ again: `npx tsx tests/sample-logs/make-sample-logs.ts`. The traces come from the simulated
 * bench; what is done to them by hand (a gap, a spike, a mistyped figure) is done here, in the open.
 */
const folder = path.resolve(import.meta.dirname, '../../sample-logs');
const seed = 20;

async function trace(id: string, ports: readonly ('A' | 'B')[], hz = 2): Promise<Reading[]> {
  const scenario = scenarioNamed(id);
  const chosen = Object.fromEntries(
    Object.entries(scenario.ports).filter(([port]) => ports.some((name) => name === port)),
  );
  const gauge = createSimulatedGauge({
    ports: chosen,
    instrument: scenario.instrument,
    seed,
    ratePerS: hz,
    speed: 'as fast as possible',
  });
  await gauge.open();
  const readings: Reading[] = [];
  for await (const item of gauge.items()) if (item.kind === 'reading') readings.push(item.reading);
  await gauge.close();
  return readings;
}

const pressureIn = (unit: string, decimals: number) => (reading: Reading) => {
  const found = findUnit('pressure', unit);
  if (!found) throw new Error(`no unit ${unit}`);
  return fromSi(reading.pressurePa ?? 0, found).toFixed(decimals);
};
const seconds = (reading: Reading) => (reading.timeUs / 1e6).toFixed(2);
const celsius = (reading: Reading) => ((reading.oilK ?? 0) - 273.15).toFixed(2);
const fahrenheit = (reading: Reading) => (((reading.oilK ?? 0) - 273.15) * 1.8 + 32).toFixed(2);

function write(name: string, says: string, header: string, rows: readonly string[]): void {
  writeFileSync(path.join(folder, name), `# ${says}\n${header}\n${rows.join('\n')}\n`);
}

const rowsOf = (readings: readonly Reading[], columns: readonly ((reading: Reading) => string)[], separator = ',') =>
  readings.map((reading) => columns.map((column) => column(reading)).join(separator));

/** Index of the reading so many seconds after the start. */
const at = (readings: readonly Reading[], s: number) => readings.findIndex((reading) => reading.timeUs >= s * 1e6);

mkdirSync(folder, { recursive: true });
for (const id of ['tight', 'piston-seal', 'gland', 'air'])
  for (const [what, text] of [
    ['job', jobText(scenarioNamed(id), { procedure: `${id}.procedure.toml` })],
    ['procedure', procedureText(scenarioNamed(id))],
  ] as const)
    writeFileSync(path.join(folder, `${id}.${what}.toml`), text);

const tight = await trace('tight', ['A']);
const bar = pressureIn('bar', 1);
const tightRows = rowsOf(tight, [seconds, bar, celsius]);
write(
  'tight.csv',
  'A tight cylinder, port A, oil temperature logged: pass.',
  'time_s,pressure_bar,temperature_C',
  tightRows,
);

const both = await trace('tight', ['A', 'B']);
write(
  'both-ports.csv',
  'Port A, then port B, in one log: pass.',
  'time_s,pressure_bar,temperature_C',
  rowsOf(both, [seconds, bar, celsius]),
);

const seal = await trace('piston-seal', ['A']);
const milliseconds = (reading: Reading) => String(Math.round(reading.timeUs / 1000));
write(
  'piston-seal.csv',
  'A cut piston seal, port A, in kPa and milliseconds: fail.',
  'time_ms,pressure_kPa',
  rowsOf(seal, [milliseconds, pressureIn('kPa', 0)]),
);

const gland = await trace('gland', ['B']);
const minutes = (reading: Reading) => (reading.timeUs / 6e7).toFixed(5);
write(
  'gland.csv',
  'A slow gland leak under cooling oil, port B, in psi and degrees Fahrenheit: fail.',
  'time_min,pressure_psi,temperature_F',
  rowsOf(gland, [minutes, pressureIn('psi', 0), fahrenheit]),
);

const air = await trace('air', ['A']);
const stamp = (reading: Reading) => new Date(Date.UTC(2026, 2, 14, 9, 30) + reading.timeUs / 1000).toISOString();
write(
  'air.csv',
  'Trapped air, port A, time stamps and kgf/cm2: inconclusive.',
  'timestamp,pressure_kgfcm2',
  rowsOf(air, [stamp, pressureIn('kgf/cm2', 2)]),
);

const comma = (text: string) => text.replace('.', ',');
write(
  'decimal-comma.csv',
  'Semicolons and decimal commas, in MPa: pass.',
  'time_s;pressure_MPa;temperature_C',
  rowsOf(tight, [(r) => comma(seconds(r)), (r) => comma(pressureIn('MPa', 2)(r)), (r) => comma(celsius(r))], ';'),
);

const foreign = rowsOf(await trace('gland', ['A']), [seconds, pressureIn('psi', 0), fahrenheit, () => 'OK']);
writeFileSync(
  path.join(folder, 'foreign-header.csv'),
  `Logger 4, bay 2\nStarted 14 March\n"Elapsed","P1","Toil","State"\n${foreign.join('\n')}\n`,
);

const dwellS = 250;
const gapAt = at(tight, dwellS);
write('gap.csv', 'No readings for twelve seconds in the dwell: invalid.', 'time_s,pressure_bar,temperature_C', [
  ...tightRows.slice(0, gapAt),
  ...tightRows.slice(gapAt + 24),
]);

write(
  'duplicates.csv',
  'Every fiftieth row stands twice, and two rows are out of order: left out and noted, pass.',
  'time_s,pressure_bar,temperature_C',
  tightRows.flatMap((row, i) =>
    i === 300 ? [tightRows[301] ?? '', row] : i === 301 ? [] : i % 50 === 0 ? [row, row] : [row],
  ),
);

write(
  'spike.csv',
  'One wild reading in the dwell: flagged, left out, pass.',
  'time_s,pressure_bar,temperature_C',
  rowsOf(
    tight.map((reading, i) =>
      i === gapAt
        ? { ...reading, pressurePa: ((reading.pressurePa ?? 0) + 9e5) as NonNullable<Reading['pressurePa']> }
        : reading,
    ),
    [seconds, bar, celsius],
  ),
);

write(
  'top-up.csv',
  'Somebody gave the booster a stroke in the dwell: invalid.',
  'time_s,pressure_bar,temperature_C',
  rowsOf(
    tight.map((reading, i) =>
      i >= gapAt && (reading.pressurePa ?? 0) > 100e5
        ? { ...reading, pressurePa: ((reading.pressurePa ?? 0) + 1.6e5) as NonNullable<Reading['pressurePa']> }
        : reading,
    ),
    [seconds, bar, celsius],
  ),
);

write(
  'bad-line.csv',
  'One figure has a letter in it: refused, with line and column.',
  'time_s,pressure_bar,temperature_C',
  tightRows.map((row, i) => (i === 400 ? row.replace(/^([^,]*,\d)\d/, '$1l') : row)),
);
