import { checkStiffness } from '../../src/evaluation/stiffness/check-stiffness.js';
import { RiseReadingsWatch, RiseWatch } from '../../src/evaluation/stiffness/rise-watch.js';
import { freshFacts } from '../../src/holdtest/state.js';
import { pressurePa } from '../../src/units/index.js';
import { samplePort, sampleStage, sampleTrapped } from '../holdtest/sample-plan.js';
import { type BoosterTrace, boosterTrace, type Pressed, type Supply } from './booster-traces.js';

/** What the program makes of a rise when it is told of the booster's stroke and of nothing that anybody counted. */
export function boosterCheck(trace: BoosterTrace, resolutionPa = 0.5e5) {
  const { readings, targetPa, strokeM3, volumeM3 } = trace;
  const vented = readings.filter(({ s }) => s < 5.5);
  const zeroPa = vented.reduce((sum, { pa }) => sum + pa, 0) / vented.length;
  const [rise, steps] = [new RiseWatch(resolutionPa), new RiseReadingsWatch(resolutionPa)];
  for (const { s, pa } of readings) {
    rise.add(s * 1e6, pa, zeroPa);
    steps.add(s * 1e6, pa - zeroPa);
  }
  const oilM3 = (volumeM3 / 1.5e9) * targetPa;
  const port = samplePort({
    trapped: { ...sampleTrapped, volumeM3, volumeUM3: 0.01 * volumeM3 },
    stages: [sampleStage({ targetPa: pressurePa(targetPa) })],
    stiffness: {
      strokeM3,
      oilM3,
      oilUM3: 0.09 * oilM3,
      line: { oilM3: trace.lineM3PerPa * targetPa, oilUM3: 0.15 * trace.lineM3PerPa * targetPa },
    },
  });
  const peakPa = pressurePa(Math.max(...readings.map(({ pa }) => pa)));
  return checkStiffness(
    port,
    { rise: rise.seen(), steps: steps.seen(), opposite: null, resolutionPa },
    { ...freshFacts, peakPa, zeroBeforePa: pressurePa(zeroPa) },
  );
}

/** The share of traces in which every stroke is counted and none more. */
export function exactShare(base: number, traces: number, supply: Supply): number {
  const exact = Array.from({ length: traces }, (_, k) => {
    const trace = boosterTrace(base + k, 'cylinder', supply);
    const counted = boosterCheck(trace).strokesSeen?.count ?? 0;
    return counted === trace.strokes || (trace.lastAtHalf && Math.abs(counted - trace.strokes) === 1);
  });
  return exact.filter(Boolean).length / traces;
}

/** How often each verdict and finding comes of it. */
export function findings(
  base: number,
  traces: number,
  pressed: Pressed,
  supply: Supply,
  airShare = 0,
): Map<string, number> {
  const counts = new Map<string, number>();
  for (let k = 0; k < traces; k++) {
    const { verdict, finding } = boosterCheck(boosterTrace(base + k, pressed, supply, undefined, airShare));
    counts.set(`${verdict} ${finding}`, (counts.get(`${verdict} ${finding}`) ?? 0) + 1);
  }
  return counts;
}
