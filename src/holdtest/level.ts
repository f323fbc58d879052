import { correctedPa, type Reading, ReadingColumns } from '../gauge/index.js';
import { type Correction, type GaugeSpec, gaugeAt, type PortPlan, type TestPlan } from '../procedure/index.js';
import { pressurePa } from '../units/index.js';

const none: readonly Correction[] = [];

/**
 * The table by which a gauge's levels are corrected in a test; empty where its calibration states none, or where the
 * plan is of the time when tables were only listed.
 */
export const correctionsOf = (plan: TestPlan, gauge: GaugeSpec | undefined): readonly Correction[] =>
  plan.corrections === 'applied' ? (gauge?.calibration?.corrections ?? none) : none;

/**
 * A reading as a level: each pressure corrected as the calibration of its gauge states. For targets, bands, limits,
 * peaks and zeros. The record keeps the reading as the gauge gave it, and so does the fit of a drop, in which offset
 * and gain of one gauge cancel and neighbouring corrections differ by less than they are known.
 */
export function asLevel(plan: TestPlan, port: PortPlan | null, reading: Reading): Reading {
  const [main, other] = tablesOf(plan, port);
  if (main.length === 0 && other.length === 0) return reading;
  const { pressurePa, oppositePa } = reading;
  return {
    ...reading,
    pressurePa: pressurePa === null ? null : correctedPa(main, pressurePa),
    oppositePa: oppositePa === null ? null : correctedPa(other, oppositePa),
  };
}

/** The same for many readings at once. */
export function asLevels(plan: TestPlan, port: PortPlan | null, readings: ReadingColumns): ReadingColumns {
  const [main, other] = tablesOf(plan, port);
  if (main.length === 0 && other.length === 0) return readings;
  const corrected = (table: readonly Correction[], column: Float64Array): Float64Array =>
    column.map((pascals) => (Number.isNaN(pascals) ? pascals : correctedPa(table, pressurePa(pascals))));
  const { timeUs, oilMilliK, flags } = readings;
  const pressures = corrected(main, readings.pressurePa);
  return new ReadingColumns(timeUs, pressures, corrected(other, readings.oppositePa), oilMilliK, flags);
}

/** The tables of the port's own gauge and of the one at the other port. */
function tablesOf(plan: TestPlan, port: PortPlan | null): readonly [readonly Correction[], readonly Correction[]] {
  const main = correctionsOf(plan, gaugeAt(plan, port));
  // One gauge for both ports is corrected by its one table.
  const other = port?.oppositeGauge ? correctionsOf(plan, port.oppositeGauge) : main;
  return [main, other];
}
