import { fittedFallPa, held, randomJob } from './random-job.js';
import { chance } from './seeded.js';

const ratePerS = 2;
const dwellS = 300;

/** How many of so many random jobs came out on the simulated bench as their plan says. */
export interface Agreement {
  /** Oil to the test pressure within k = 2, with no heat of compression. */
  readonly oil: number;
  /** Oil pumped at the bench's own pace: between quick and slow, widened by k = 2. */
  readonly oilWithHeat: number;
  /** Pressure change for each kelvin within k = 2, oil and barrel warming together. */
  readonly thermal: number;
  /** Of tight cylinders at an unknown temperature: the fitted fall stays within what the dwell resolves. */
  readonly tightStaysQuiet: number;
  /** Of cylinders leaking twice what the dwell resolves: the fitted fall is larger than that. */
  readonly leakIsSeen: number;
}

/** Runs so many jobs, of the seeds from `first` on. */
export async function agreementOf(jobs: number, first = 1): Promise<Agreement> {
  const count = { oil: 0, oilWithHeat: 0, thermal: 0, tightStaysQuiet: 0, leakIsSeen: 0 };
  for (let seed = first; seed < first + jobs; seed += 1) {
    const found = await agreementFor(seed);
    for (const name of Object.keys(count) as (keyof Agreement)[]) if (found[name]) count[name] += 1;
  }
  return count;
}

async function agreementFor(seed: number): Promise<Record<keyof Agreement, boolean>> {
  const { figures, bench } = randomJob(seed, ratePerS);
  const [stage] = figures.stages;
  if (!stage) throw new Error('the plan has no stage');
  const { oilM3, oilUM3, oilQuickM3, testPa, trapped } = figures;

  const pumpedM3 = async (compressionHeat: boolean): Promise<number> => {
    const { truth } = await held(bench(4, { compressionHeat }), ratePerS, seed);
    const [first] = truth;
    if (!first) throw new Error('the simulation never held');
    return first.pumpedM3 * (testPa / first.pressurePa);
  };
  const cold = await pumpedM3(false);
  const hot = await pumpedM3(true);

  const warming = { compressionHeat: false, ambientDriftKPerS: 0.01, wallToAmbientS: 30, oilToWallS: 30 };
  const { truth } = await held(bench(dwellS, warming), 1, seed);
  const [from, to] = [truth[Math.floor(truth.length / 2)], truth.at(-1)];
  if (!from || !to) throw new Error('the simulation never held');
  const paPerK = (to.thermalFallPa - from.thermalFallPa) / (from.oilK - to.oilK);

  // Oil that settles by up to the bound over the dwell, in either direction, with a time constant of twice the dwell.
  const driftK = chance(1000 + seed).between(-0.1, 0.1) / (1 - Math.exp(-0.5));
  const drifting = { compressionHeat: false, oilStartK: 293.15 + driftK, oilToWallS: 2 * dwellS, oilOverWall: 1e-6 };
  const tight = await held(bench(dwellS, drifting), ratePerS, seed);
  const leaking = await held(bench(dwellS, drifting, 2 * stage.smallestLeakM3PerS), ratePerS, seed);
  return {
    oil: Math.abs(cold - oilM3) <= 2 * oilUM3,
    oilWithHeat: hot >= oilQuickM3 - 2 * oilUM3 && hot <= oilM3 + 2 * oilUM3,
    thermal: Math.abs(paPerK - trapped.thermalPaPerK) <= 2 * trapped.thermalUPaPerK,
    tightStaysQuiet: Math.abs(fittedFallPa(tight.readings)) <= stage.smallestDropPa,
    leakIsSeen: fittedFallPa(leaking.readings) > stage.smallestDropPa,
  };
}
