import {
  createSimulatedGauge,
  cylinderOnBench,
  type SimulatedBench,
  type StrokeScript,
  type TrueStroke,
} from '../../drivers/simulated/index.js';
import { judge, type PortResult } from '../../src/evaluation/index.js';
import type { HoldInput } from '../../src/holdtest/index.js';
import { planned } from '../procedure/sample-job.js';
import { type Chance, chance } from '../procedure/seeded.js';

/** What stands on the bench for the strokes. */
export type OnStrokes = 'smooth' | 'sticking' | 'shut valve' | 'no cylinder' | 'at its stop';

export interface StrokeRun {
  readonly port: PortResult;
  readonly truth: readonly TrueStroke[];
}

/** How the strokes are made, where not as drawn. */
export interface StrokeChanges {
  readonly script?: Partial<StrokeScript>;
  readonly procedure?: readonly (readonly [string, string])[];
  readonly holdS?: number;
}

/** Bores 40 to 80 mm, strokes 40 to 250 mm, grips of 2 to 8 bar, either port, gauges in bar and in psi. */
function drawn({ between, uniform }: Chance, sticking: boolean) {
  const boreM = sticking ? between(0.04, 0.055) : between(0.04, 0.08);
  const rodM = boreM * between(0.45, 0.6);
  const port = uniform() < 0.5 ? ('A' as const) : ('B' as const);
  const [capM2, rodEndM2] = [(Math.PI / 4) * boreM ** 2, (Math.PI / 4) * (boreM ** 2 - rodM ** 2)];
  const [areaM2, otherAreaM2] = port === 'A' ? [capM2, rodEndM2] : [rodEndM2, capM2];
  const slidingPa = between(1.5e5, 4e5);
  const slidingN = slidingPa * areaM2;
  const psi = uniform() < 0.4;
  const ratePerS = [10, 10, 20][Math.floor(uniform() * 3)] ?? 10;
  return {
    boreM,
    rodM,
    strokeM: sticking ? between(0.04, 0.08) : between(0.1, 0.25),
    port,
    psi,
    ratePerS,
    areaM2,
    otherAreaM2,
    massKg: between(8, 40),
    friction: {
      slidingN,
      staticN: slidingN * (sticking ? between(1.3, 1.6) : between(1, 1.02)),
      restingN: slidingN * between(1.65, 1.9) * (sticking ? 1 : between(0.75, 1)),
      gripsS: between(5, 40),
      stribeckMPerS: between(0.003, 0.006),
      viscousNsPerM: slidingN * between(0.3, 2),
    },
    creepPaPerS: between(0.2e5, 1e5),
    /** Slow enough that a tooth of a soft line takes several readings; quick where nothing sticks. */
    flowM3PerS: sticking ? between(0.4e-6, 0.8e-6) : between(8e-6, 2e-5),
    hoseM3PerPa: sticking ? between(3e-12, 6e-12) : between(3e-13, 3e-12),
    airFraction: between(0, 0.004),
    whitePa: between(1e3, 5e3),
    offsetPa: between(-1e4, 1e4),
    lagS: between(0.02, 0.08),
  };
}

const strokesAsked: readonly [string, string] = [
  '[bleed_down]',
  '[strokes]\nwanted = 3\nrest = "20 s"\n\n[bleed_down]',
];

/** A cylinder drawn by its seed, stroked and then held; its result beside the truth. */
export async function strokeRun(what: OnStrokes, seed: number, changes: StrokeChanges = {}): Promise<StrokeRun> {
  const d = drawn(chance(seed), what === 'sticking');
  const targetPa = 240e5;
  const strokes: StrokeScript = {
    count: 3,
    restS: 25,
    creepPaPerS: d.creepPaPerS,
    flowM3PerS: d.flowM3PerS,
    stopPa: 18e5,
    reliefPa: 20e5,
    ...changes.script,
  };
  const bench: SimulatedBench = cylinderOnBench(
    d.port,
    { boreM: d.boreM, rodM: d.rodM, strokeM: d.strokeM, lineM3: 0.3e-3, hoseM3PerPa: d.hoseM3PerPa },
    {
      stages: [{ targetPa, overshoot: 0.01, pauseS: 0, holdS: changes.holdS ?? 25 }],
      ventedS: 6,
      bleedS: 15,
      pumpRampPaPerS: 8e5,
      strokes,
    },
    {
      connected: what === 'shut valve' ? 'valve shut' : what === 'no cylinder' ? 'no cylinder' : 'cylinder',
      oil: { airFraction: d.airFraction },
      piston: {
        areaM2: d.areaM2,
        otherAreaM2: d.otherAreaM2,
        // At its stop already: the least travel that still counts as one.
        strokeM: what === 'at its stop' ? 1e-6 : d.strokeM,
        massKg: d.massKg,
        returnPaPerM3PerS: 5e8,
        deadM3: 2e-5,
        friction: d.friction,
      },
    },
  );
  const gauge = createSimulatedGauge({
    ports: { [d.port]: bench },
    instrument: {
      pressure: {
        unit: d.psi ? 'psi' : 'bar',
        resolution: d.psi ? 1 : 0.1,
        rangeLowPa: -1e5,
        rangeHighPa: 600e5,
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
  const inputs: HoldInput[] = [];
  for await (const item of gauge.items()) if (item.kind === 'reading') inputs.push(item);
  await gauge.close();
  const last = inputs.at(-1);
  inputs.push({ kind: 'end', timeUs: last?.kind === 'reading' ? last.reading.timeUs : 0, why: 'end of trace' });
  const [port] = judge(planOf(d, changes), inputs).ports;
  if (!port) throw new Error('the plan has no port');
  return { port, truth: gauge.truth().strokes };
}

function planOf(d: ReturnType<typeof drawn>, { procedure = [strokesAsked] }: StrokeChanges) {
  const mm = (m: number): string => `"${(m * 1e3).toFixed(2)} mm"`;
  return planned({
    job: [
      ['bore = "100 mm"', `bore = ${mm(d.boreM)}`],
      ['rod = "56 mm"', `rod = ${mm(d.rodM)}`],
      ['stroke = "500 mm"', `stroke = ${mm(d.strokeM)}`],
      ['barrel_outside = "120 mm"\n', ''],
      ['0..400 bar', d.psi ? '0..8000 psi' : '0..400 bar'],
      ['resolution = "0.1 bar"', d.psi ? 'resolution = "1 psi"' : 'resolution = "0.1 bar"'],
      ['"0.4 L"', '"0.3 L"'],
      [
        'name = "A"\nposition = "extended"',
        `name = "${d.port}"\nposition = "${d.port === 'A' ? 'extended' : 'retracted'}"`,
      ],
    ],
    procedure: [
      ['rate = "1.5 bar/min", for = "30 s"', 'rate = "600 bar/min", for = "3 s"'],
      ['dwell    = "5 min"', 'dwell    = "10 s"'],
      ...procedure,
    ],
    demand: { attendance: 'unattended' },
  }).plan;
}

/** How often the figures agree with the truth within their stated uncertainty, over strokes that have one. */
export class Agreement {
  within = 0;
  of = 0;
  worst = 0;

  add(found: number | null | undefined, u: number | null | undefined, truth: number | null): void {
    if (found == null || u == null || truth === null) return;
    this.of += 1;
    const off = Math.abs(found - truth) / u;
    if (off <= 1) this.within += 1;
    this.worst = Math.max(this.worst, off);
  }

  get share(): number {
    return this.of === 0 ? Number.NaN : this.within / this.of;
  }
}
