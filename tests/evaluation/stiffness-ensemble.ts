import {
  createSimulatedGauge,
  cylinderOnBench,
  laminarLeak,
  type SimulatedBench,
} from '../../drivers/simulated/index.js';
import { judge, type PortResult } from '../../src/evaluation/index.js';
import type { Reading } from '../../src/gauge/index.js';
import type { HoldInput, OperatorAct } from '../../src/holdtest/index.js';
import { planned } from '../procedure/sample-job.js';
import { type Chance, chance } from '../procedure/seeded.js';

/** What stands on the bench. */
export type OnBench =
  | 'good'
  | 'shut valve at the cylinder'
  | 'shut valve at the bench'
  | 'no cylinder'
  | '0.5 % air'
  | '1 % air'
  | 'seal removed, blocked'
  | 'seal removed, gauge'
  | 'good, gauge';

/** What brings the pressure up. */
export type Supply = 'pump' | 'pump then booster' | 'booster';

/** What the check is told beside the pressure. */
export type Known = 'pressure' | 'flow' | 'strokes' | 'size of a stroke' | 'oil';

export interface StiffnessRun {
  readonly readings: readonly Reading[];
  /** The port's result when the check knows so much. */
  judged(known: Known): PortResult;
}

/** Bores 50 to 160 mm, strokes 200 to 1000 mm, either port, rise 1 to 9 bar/s, gauges in bar and in psi. */
function drawn({ between, uniform, normal }: Chance, supply: Supply | undefined) {
  const off = (relU: number): number => 1 + relU * normal();
  const boreMm = Math.round(between(50, 160));
  const rated = Math.round(between(100, 230));
  const lineMl = Math.round(between(60, 400));
  const lineGpa = between(1, 10);
  const by = supply ?? (uniform() < 0.5 ? 'pump' : 'pump then booster');
  return {
    boreMm,
    rodMm: Math.round(boreMm * between(0.4, 0.65)),
    strokeMm: Math.round(between(200, 1000)),
    outsideMm: Math.round(boreMm * between(1.15, 1.35)),
    rated,
    targetBar: Math.round(1.5 * rated),
    lineMl,
    lineGpa,
    port: uniform() < 0.5 ? ('A' as const) : ('B' as const),
    psi: uniform() < 0.5,
    riseBarPerS: between(1, 9),
    pumpShare: { pump: 2, 'pump then booster': between(0.4, 0.7), booster: 0 }[by],
    pauseS: between(3, 20),
    deadMl: between(20, 60),
    whitePa: between(1e3, 8e3),
    offsetPa: between(-1e4, 1e4),
    lagS: between(0.02, 0.1),
    ratePerS: [5, 10, 20][Math.floor(uniform() * 3)] ?? 10,
    creepShare: between(0, 0.02),
    creepS: between(10, 60),
    oilToWallS: between(40, 200),
    flowOff: off(0.03),
    // As uncertain as the plan says: oil 8 %, chamber 1 %, line 10 %, hose 20 %.
    real: { oil: 1.5e9 * off(0.08), stroke: off(0.01), line: off(0.1), hose: off(0.2) },
  };
}

type Drawn = ReturnType<typeof drawn>;

const oppositeOf = (what: OnBench) =>
  what === 'seal removed, blocked' ? 'blocked' : what.endsWith('gauge') ? 'gauge' : 'open';

function planOf(d: Drawn, what: OnBench, known: Known) {
  const position = d.port === 'A' ? 'extended' : 'retracted';
  const bench = [
    ...(known === 'flow' ? [`pump_flow = "${(flowM3PerS(d) * 6e7).toPrecision(6)} mL/min"`] : []),
    ...(known === 'strokes' || known === 'size of a stroke'
      ? [`booster_stroke = "${(strokeM3(d) * 1e6).toPrecision(6)} mL"`]
      : []),
  ].join('\n');
  const range = Math.ceil((2 * d.targetBar) / 100) * 100;
  return planned({
    job: [
      ['bore = "100 mm"', `bore = "${d.boreMm} mm"`],
      ['rod = "56 mm"', `rod = "${d.rodMm} mm"`],
      ['stroke = "500 mm"', `stroke = "${d.strokeMm} mm"`],
      ['barrel_outside = "120 mm"', `barrel_outside = "${d.outsideMm} mm"`],
      ['rated_pressure = "160 bar"', `rated_pressure = "${d.rated} bar"`],
      ['0..400 bar', d.psi ? `0..${range * 15} psi` : `0..${range} bar`],
      ['resolution = "0.1 bar"', d.psi ? 'resolution = "1 psi"' : 'resolution = "0.1 bar"'],
      ['relief = "250 bar"', bench],
      ['"0.4 L"', `"${d.lineMl} mL"\nline_stiffness = "${d.lineGpa.toFixed(3)} GPa"`],
      ['name = "A"\nposition = "extended"', `name = "${d.port}"\nposition = "${position}"`],
      ['opposite = "open"', `opposite = "${oppositeOf(what)}"`],
    ],
    procedure: [
      ['"1.5 x rated"', `"${d.targetBar} bar"`],
      ['rate = "1.5 bar/min", for = "30 s"', 'rate = "600 bar/min", for = "3 s"'],
      ['dwell    = "5 min"', 'dwell    = "15 s"'],
    ],
    demand: { attendance: 'unattended' },
  }).plan;
}

const airOf = (what: OnBench): number => (what === '0.5 % air' ? 0.005 : what === '1 % air' ? 0.01 : 0);

/** The pump's delivery raises the cylinder of the drawing at the drawn rate. */
const flowM3PerS = (d: Drawn): number => d.riseBarPerS * 1e5 * (chamberM3(d) / 1.5e9);
const strokeM3 = (d: Drawn): number => 3e5 * (chamberM3(d) / 1.5e9);
const chamberM3 = (d: Drawn): number =>
  (Math.PI / 4) * ((d.boreMm / 1e3) ** 2 - (d.port === 'B' ? (d.rodMm / 1e3) ** 2 : 0)) * (d.strokeMm / 1e3);

function benchOf(d: Drawn, what: OnBench): SimulatedBench {
  const stub = what === 'shut valve at the bench' ? 0.1 : 1;
  const lineM3 = d.lineMl * 1e-6;
  const targetPa = d.targetBar * 1e5;
  const removed = what.startsWith('seal removed');
  const bench = cylinderOnBench(
    d.port,
    {
      boreM: d.boreMm / 1e3,
      rodM: d.rodMm / 1e3,
      strokeM: (d.strokeMm / 1e3) * d.real.stroke,
      barrelOutsideM: d.outsideMm / 1e3,
      lineM3: lineM3 * d.real.line * stub,
      hoseM3PerPa: (lineM3 / (d.lineGpa * 1e9)) * d.real.hose * stub,
    },
    {
      stages: [{ targetPa, overshoot: 0.01, pumpToPa: d.pumpShare * targetPa, pauseS: d.pauseS, holdS: 30 }],
      ventedS: 6,
      bleedS: 0.1,
      boosterRampPaPerS: Math.min(3.5, d.riseBarPerS) * 1e5,
    },
    {
      connected: what.startsWith('shut valve') ? 'valve shut' : what === 'no cylinder' ? 'no cylinder' : 'cylinder',
      // A share of all the oil shut in, as a job states it; on the bench it is all in the chamber.
      oil: { bulkModulusPa: d.real.oil, airFraction: airOf(what) * (1 + lineM3 / chamberM3(d)) },
      heat: { oilToWallS: d.oilToWallS },
      creep: [{ m3PerPa: (d.creepShare * chamberM3(d)) / 1.5e9, timeS: d.creepS }],
      ...(oppositeOf(what) === 'open'
        ? {}
        : { opposite: { kind: oppositeOf(what) as 'blocked' | 'gauge', deadVolumeM3: d.deadMl * 1e-6 } }),
      ...(removed ? { leaks: { pistonSeal: laminarLeak(1e-4, 250e5) } } : {}),
    },
  );
  const { pump, booster } = bench.supply;
  return {
    ...bench,
    supply: {
      ...bench.supply,
      pump: { ...pump, flowM3PerS: flowM3PerS(d) * d.flowOff },
      booster: { ...booster, strokeM3: strokeM3(d) },
    },
  };
}

/** One cylinder drawn by its seed, pressed up and held on the simulated bench. */
export async function stiffnessRun(what: OnBench, seed: number, supply?: Supply): Promise<StiffnessRun> {
  const d = drawn(chance(seed), supply);
  const bench = benchOf(d, what);
  const gauge = createSimulatedGauge({
    ports: { [d.port]: bench },
    instrument: {
      pressure: {
        unit: d.psi ? 'psi' : 'bar',
        resolution: d.psi ? 1 : 0.1,
        rangeLowPa: -1e5,
        rangeHighPa: 1200e5,
        lagS: d.lagS,
        whitePa: d.whitePa,
        offsetPa: d.offsetPa,
      },
    },
    seed,
    ratePerS: d.ratePerS,
    jitter: 0.05,
    speed: 'as fast as possible',
  });
  await gauge.open();
  const readings: Reading[] = [];
  for await (const item of gauge.items()) if (item.kind === 'reading') readings.push(item.reading);
  await gauge.close();
  const held = gauge.truth().during(d.port, 'hold')[0];
  const endUs = readings.at(-1)?.timeUs ?? 0;
  return {
    readings,
    judged(known) {
      const inputs: HoldInput[] = readings.map((reading) => ({ kind: 'reading', reading }));
      const act: OperatorAct | null =
        known === 'strokes'
          ? { kind: 'strokes', count: Math.round(held?.strokes ?? 0) }
          : known === 'oil'
            ? { kind: 'oil-pumped', volumeM3: held?.pumpedM3 ?? 0 }
            : null;
      if (act) inputs.push({ kind: 'operator', timeUs: endUs, act });
      inputs.push({ kind: 'end', timeUs: endUs, why: 'end of trace' });
      const [port] = judge(planOf(d, what, known), inputs).ports;
      if (!port) throw new Error('the plan has no port');
      return port;
    },
  };
}
