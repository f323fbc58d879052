import {
  createSimulatedGauge,
  type OperatorScript,
  type SimulatedBench,
  type SimulatedGauge,
  type SimulatedGaugeOptions,
  type SimulatedInstrument,
  type TruthSample,
} from '../../../drivers/simulated/index.js';
import type { Reading } from '../../../src/gauge/index.js';

/** An instrument that adds nothing of its own: for tests of the bench behind it. */
export const quietInstrument: SimulatedInstrument = {
  pressure: { unit: 'bar', resolution: 0.001, rangeLowPa: -1e5, rangeHighPa: 1000e5, lagS: 0, whitePa: 0 },
};

/** One pump stage to a pressure and a hold. */
export const pumpAndHold = (targetPa: number, holdS: number): OperatorScript => ({
  stages: [{ targetPa, overshoot: 0, pauseS: 0, holdS }],
  ventedS: 2,
  bleedS: 20,
});

export interface Ran {
  readonly gauge: SimulatedGauge;
  readonly readings: readonly Reading[];
}

/** Runs a gauge as fast as it goes, to its end. */
export async function run(
  options: Partial<SimulatedGaugeOptions> & Pick<SimulatedGaugeOptions, 'ports'>,
): Promise<Ran> {
  const gauge = createSimulatedGauge({
    instrument: quietInstrument,
    seed: 1,
    ratePerS: 10,
    speed: 'as fast as possible',
    ...options,
  });
  await gauge.open();
  const readings: Reading[] = [];
  for await (const item of gauge.items()) if (item.kind === 'reading') readings.push(item.reading);
  await gauge.close();
  return { gauge, readings };
}

/** The noise-free hold of one port, twice a second: its first and its last sample, and all between. */
export async function hold(
  bench: SimulatedBench,
): Promise<{ readonly first: TruthSample; readonly last: TruthSample; readonly all: readonly TruthSample[] }> {
  const { gauge } = await run({ ports: { [bench.port]: bench }, ratePerS: 2 });
  const all = gauge.truth().during(bench.port, 'hold');
  const [first, last] = [all[0], all.at(-1)];
  if (!first || !last) throw new Error('the simulation never held');
  return { first, last, all };
}
