import {
  createSimulatedGauge,
  cylinderOnBench,
  laminarLeak,
  type SimulatedBench,
  type SimulatedHeat,
  type TruthSample,
} from '../../drivers/simulated/index.js';
import type { Reading } from '../../src/gauge/index.js';
import type { PortFigures } from '../../src/procedure/plan/figures.js';
import { planned } from './sample-job.js';
import { chance } from './seeded.js';

/** A job drawn by chance, its plan, and the same cylinder on the simulated bench as it really is. */
export interface RandomJob {
  readonly figures: PortFigures;
  bench(holdS: number, heat: Partial<SimulatedHeat>, leakM3PerS?: number): SimulatedBench;
}

/**
 * Draws a job. What the plan knows only within an uncertainty (oil, dimensions, line, wall, air) is on the bench
 * somewhere else within that uncertainty: the standard uncertainties are those that src/hydraulics states.
 */
export function randomJob(seed: number, readingsPerS: number): RandomJob {
  const { between, normal, uniform } = chance(seed);
  const boreMm = Math.round(between(40, 200));
  const rodMm = Math.round(boreMm * between(0.4, 0.7));
  const strokeMm = Math.round(between(150, 1500));
  const outsideMm = Math.round(boreMm * between(1.15, 1.35));
  const ratedBar = Math.round(between(100, 250));
  const lineMl = Math.round(between(50, 600));
  const lineGpa = between(1, 10);
  const airPercent = uniform() < 0.5 ? 0 : Number(between(0.1, 1).toFixed(2));
  const port = uniform() < 0.5 ? 'A' : 'B';
  const testBar = Math.round(ratedBar * 1.5);
  const { figures } = planned({
    job: [
      ['bore = "100 mm"', `bore = "${boreMm} mm"`],
      ['rod = "56 mm"', `rod = "${rodMm} mm"`],
      ['stroke = "500 mm"', `stroke = "${strokeMm} mm"`],
      ['barrel_outside = "120 mm"', `barrel_outside = "${outsideMm} mm"`],
      ['rated_pressure = "160 bar"', `rated_pressure = "${ratedBar} bar"`],
      ['0..400', `0..${2 * testBar}`],
      ['kind = "ISO VG 46"', `kind = "ISO VG 46"\nair = "${airPercent} %"`],
      ['"0.4 L"', `"${lineMl} mL"\nline_stiffness = "${lineGpa.toFixed(3)} GPa"`],
      ...(port === 'B' ? ([['name = "A"\nposition = "extended"', 'name = "B"\nposition = "retracted"']] as const) : []),
    ],
    procedure: [['"1.5 x rated"', `"${testBar} bar"`]],
    demand: { readingsPerS },
  });
  const [port0] = figures.ports;
  if (!port0) throw new Error('the plan has no port');
  const off = (relU: number): number => 1 + relU * normal();
  const lineM3 = lineMl * 1e-6 * off(0.1);
  const real = {
    // The chamber's volume is uncertain by 1 %: put it all on the stroke.
    strokeM: (strokeMm / 1000) * off(0.01),
    lineM3,
    hoseM3PerPa: ((lineMl * 1e-6) / (lineGpa * 1e9)) * off(0.2),
    bulkModulusPa: 1.5e9 * off(0.08),
    expansionPerK: 7e-4 * off(0.05),
    airFraction: (airPercent / 100) * Math.max(0, off(0.3)),
  };
  const bench: RandomJob['bench'] = (holdS, heat, leakM3PerS) =>
    cylinderOnBench(
      port,
      {
        boreM: boreMm / 1000,
        rodM: rodMm / 1000,
        strokeM: real.strokeM,
        barrelOutsideM: outsideMm / 1000,
        lineM3: real.lineM3,
        hoseM3PerPa: real.hoseM3PerPa,
      },
      { stages: [{ targetPa: testBar * 1e5, overshoot: 0, pauseS: 0, holdS }], ventedS: 1, bleedS: 1 },
      {
        oil: {
          bulkModulusPa: real.bulkModulusPa,
          expansionPerK: real.expansionPerK,
          airFraction: real.airFraction,
        },
        heat,
        ...(leakM3PerS === undefined ? {} : { leaks: { external: laminarLeak(leakM3PerS, testBar * 1e5) } }),
      },
    );
  return { figures: port0, bench };
}

/** Runs a bench through a gauge of 0.1 bar steps and 0.1 bar noise; the truth and the readings of its hold. */
export async function held(
  bench: SimulatedBench,
  ratePerS: number,
  seed: number,
): Promise<{ readonly truth: readonly TruthSample[]; readonly readings: readonly Reading[] }> {
  const gauge = createSimulatedGauge({
    ports: { [bench.port]: bench },
    instrument: {
      pressure: { unit: 'bar', resolution: 0.1, rangeLowPa: -1e5, rangeHighPa: 1000e5, lagS: 0, whitePa: 1e4 },
    },
    seed,
    ratePerS,
    speed: 'as fast as possible',
  });
  await gauge.open();
  const all: Reading[] = [];
  for await (const item of gauge.items()) if (item.kind === 'reading') all.push(item.reading);
  await gauge.close();
  const truth = gauge.truth().during(bench.port, 'hold');
  const [from, to] = [truth[0]?.timeUs ?? 0, truth.at(-1)?.timeUs ?? 0];
  return { truth, readings: all.filter(({ timeUs }) => timeUs >= from && timeUs <= to) };
}

/** Fall over the readings by least squares, Pa, positive for a fall. */
export function fittedFallPa(readings: readonly Reading[]): number {
  const points = readings.flatMap(({ timeUs, pressurePa }) =>
    pressurePa === null ? [] : [[timeUs / 1e6, pressurePa]],
  );
  const mean = (pick: 0 | 1): number => points.reduce((sum, point) => sum + (point[pick] ?? 0), 0) / points.length;
  const [meanS, meanPa] = [mean(0), mean(1)];
  let [cross, square] = [0, 0];
  for (const [timeS = 0, pressurePa = 0] of points) {
    cross += (timeS - meanS) * (pressurePa - meanPa);
    square += (timeS - meanS) ** 2;
  }
  const overS = (points.at(-1)?.[0] ?? 0) - (points[0]?.[0] ?? 0);
  return (-cross / square) * overS;
}
