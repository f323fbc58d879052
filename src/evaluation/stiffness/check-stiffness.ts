import type { AttemptFacts } from '../../holdtest/index.js';
import { atmospherePa } from '../../hydraulics/index.js';
import type { PortPlan } from '../../procedure/index.js';
import { rootSumSquares, square } from '../../units/index.js';
import type { StiffnessFinding, StiffnessResult } from '../result.js';
import { median } from '../statistics/lines.js';
import { type AirInRise, airInRise, lagOfRise, type RiseSection, riseSections } from './air-in-rise.js';
import type { StrokeChain } from './booster-steps.js';
import { type OilTaken, oilTaken, type SolidOil } from './oil-taken.js';
import { type OppositeSeen, pistonSealWord } from './opposite-port.js';
import type { SeenRise, SeenSteps } from './rise-watch.js';
import { airWords, flowAtMostWords, notKnownWords, oilWords, stiffWords } from './words.js';

/** What the plan lets the rise take, m3 per Pa of rise, without free air. */
export interface ExpectedRise {
  /** Slow, all heat gone. */
  readonly slowM3PerPa: number;
  /** So quick that no heat leaves: oil that warms as it is pressed takes less. */
  readonly quickM3PerPa: number;
  /** Relative standard uncertainty of both. */
  readonly relU: number;
  /** The hose and fittings alone; null when the plan does not know them. */
  readonly line: { readonly m3PerPa: number; readonly uM3PerPa: number } | null;
  /** Free air that the job admits, share of the volume. */
  readonly admittedAir: number;
}

/** Heat that a volume of oil takes for a kelvin, J/(m3 K): mineral oil 870 kg/m3 x 1900 J/(kg K). Water twice that. */
const heatJPerM3K = 870 * 1900;
const roomK = 293.15;
/** A line's volume is seldom known better (common practice, no source). */
const lineVolumeRelU = 0.1;

/**
 * Oil that the rise takes when the cylinder is there. Quick against slow pumping: share K gamma2 T/(rho cp) less, with
 * gamma as the plan's thermal pressure over its stiffness.
 * @example 1.5 GPa, 10.5 bar/K: quick pumping takes 13 % less
 */
export function expectedRise(port: PortPlan): ExpectedRise | null {
  const { oilM3, oilUM3, airFraction, line } = port.stiffness;
  const targetPa = port.stages.at(-1)?.targetPa ?? 0;
  const { volumeM3, thermalPaPerK, bulkModulusPa } = port.trapped;
  const admittedAir = airFraction ?? 0;
  const solidM3 = oilM3 - admittedAir * volumeM3;
  if (!(targetPa > 0 && solidM3 > 0)) return null;
  const slowM3PerPa = solidM3 / targetPa;
  const heatShare = Math.min(0.3, (square(thermalPaPerK) * roomK) / (bulkModulusPa * heatJPerM3K));
  return {
    slowM3PerPa,
    quickM3PerPa: slowM3PerPa * (1 - heatShare),
    relU: oilUM3 / solidM3,
    line: line
      ? {
          m3PerPa: line.oilM3 / targetPa,
          uM3PerPa: rootSumSquares(line.oilUM3, lineVolumeRelU * line.oilM3) / targetPa,
        }
      : null,
    admittedAir,
  };
}

/** What one attempt showed of its stiffness. */
export interface SeenAttempt {
  readonly rise: SeenRise;
  /** Steps that strokes make in the rise; absent: not looked for. */
  readonly steps?: SeenSteps;
  readonly opposite: OppositeSeen | null;
  /** Step of the gauge's display, Pa. */
  readonly resolutionPa: number;
}

/** Standard uncertainties between what is planned and what counts as something else. */
const stiffAt = 3;
const softAt = 3;
/** Line and cylinder must lie at least so many standard uncertainties apart, or oil can't tell them from one another. */
const tellApart = 2;
/** Free air from which a hold is not judged, share of the volume, and standard uncertainties that it must be over. */
const airLimit = 0.003;
const airAt = 3;
/** A chain of strokes that begins above this shows no air. */
const strokesFromPa = 10 * atmospherePa;
/** One-sided 95 %. */
const oneSided = 1.645;
/** Noise of a usual gauge, Pa; a noisier one shows in the scatter of the fit. */
const usualNoisePa = 3e3;

/**
 * Is the cylinder really there, and is it full of oil? A shut valve, or a hose with nothing on it, holds for ever:
 * pressing up the cylinder must take the oil that its volume needs, between quick pumping (the heat stays in the oil,
 * some 12 % less) and slow. Trapped air shows in the bow of the rise, also when the flow is not known. What the hold
 * can say of the piston seal behind a port that is not open is said beside it.
 */
export function checkStiffness(port: PortPlan, seen: SeenAttempt, facts: AttemptFacts): StiffnessResult {
  const expected = expectedRise(port);
  const sections = riseSections(seen.rise);
  const noisePa = rootSumSquares(usualNoisePa, seen.resolutionPa / Math.sqrt(12));
  const lagS = lagOfRise(seen.rise.points);
  const byStrokes = strokeSections(seen.steps?.chains ?? [], seen.rise.points.at(-1)?.pa ?? 0);
  const bows = [
    ...byStrokes.map((one) => airInRise(one, noisePa, 0)),
    ...sections.map((one) => airInRise(one, noisePa, lagS)),
  ];
  const bow = bestBow(bows);
  const taken = oilTaken(port, facts, sections, { intervalS: seen.rise.intervalS, steps: seen.steps });
  const result = judged(
    port,
    expected,
    taken,
    expected && bow ? airShare(port, expected, bow) : null,
    bow,
    seenStrokes(seen.steps?.chains ?? []),
  );
  const pistonSeal = pistonSealWord(port, seen.opposite);
  if (!pistonSeal) return { ...result, pistonSeal };
  const text = `${result.text}; ${pistonSeal.text}`;
  const holds = result.verdict === 'agrees' || result.verdict === 'not-checked';
  return pistonSeal.seen === 'joined' && holds
    ? {
        ...result,
        verdict: 'too-soft',
        finding: 'past the piston',
        text: `${pistonSeal.text}; ${result.text}`,
        pistonSeal,
      }
    : { ...result, text, pistonSeal };
}

/** Free air as shares of the volume at the atmosphere. */
interface AirShare {
  readonly share: number;
  /** From this share on it counts. */
  readonly limit: number;
  /** What would have been noticed in 95 of 100 cases. */
  readonly detectable: number;
}

function airShare(port: PortPlan, { quickM3PerPa, admittedAir, relU }: ExpectedRise, bow: AirInRise): AirShare {
  const perPa = quickM3PerPa / port.trapped.volumeM3;
  const u = bow.uPa * perPa;
  const limit = admittedAir * (1 + airAt * relU) + Math.max(airLimit, airAt * u);
  return {
    share: Math.max(0, bow.airOverGivePa * perPa),
    limit,
    detectable: (limit + oneSided * u) / (1 - oneSided * relU),
  };
}

/** Number and usual height of the strokes that the rise shows. */
function seenStrokes(chains: readonly StrokeChain[]): Pick<StiffnessResult, 'strokesSeen'> {
  const steps = chains.flatMap((chain) => chain.steps);
  if (steps.length === 0) return {};
  const heightPa = median(Float64Array.from(steps, ({ fromPa, toPa }) => toPa - fromPa));
  return { strokesSeen: { count: chains.reduce((sum, { strokes }) => sum + strokes, 0), heightPa } };
}

/**
 * A stroke delivers the same oil at every pace: a rise by strokes has them for its clock, as if one took a second. A few
 * even steps near zero may be an accident of a pump's rise, and would say that there is no air: strokes count over half
 * of the rise.
 */
const strokeSections = (chains: readonly StrokeChain[], peakPa: number): readonly RiseSection[] =>
  chains
    .filter(({ steps }) => (steps[0]?.fromPa ?? 0) < strokesFromPa && (steps.at(-1)?.toPa ?? 0) > peakPa / 2)
    .map(({ steps }) => {
      let s = 0;
      return steps.slice(0, -1).map(({ toPa, strokes }) => {
        s += strokes;
        return { s, pa: toPa };
      });
    });

/** Of the sections that tell, the one that tells best. */
const bestBow = (bows: readonly (AirInRise | null)[]): AirInRise | null =>
  bows.reduce((best, bow) => (bow && (!best || bow.uPa < best.uPa) ? bow : best), null);

function judged(
  port: PortPlan,
  expected: ExpectedRise | null,
  taken: OilTaken | null,
  air: AirShare | null,
  bow: AirInRise | null,
  strokesSeen: Pick<StiffnessResult, 'strokesSeen'>,
): StiffnessResult {
  const common = {
    expectedM3PerPa: expected?.slowM3PerPa ?? null,
    airFraction: air?.share ?? null,
    airDetectable: air?.detectable ?? null,
    oilKnownBy: taken?.knownBy ?? null,
    ...strokesSeen,
  };
  const aired = air !== null && air.share >= air.limit;
  if (!expected || !taken) {
    const base = { ...common, seenM3PerPa: null };
    return aired
      ? { ...base, verdict: 'too-soft', finding: 'free air', text: airWords(port, air.share, air.limit) }
      : { ...base, verdict: 'not-checked', finding: 'not known', text: notKnownWords(air?.detectable ?? null) };
  }
  const seen = withoutAir(port, expected, taken, bow);
  const figures = { ...common, seenM3PerPa: seen.mostM3PerPa };
  const stiff = stiffFinding(expected, seen);
  if (stiff === 'not known')
    return { ...figures, verdict: 'not-checked', finding: stiff, text: stiffWords(port, expected, seen, stiff) };
  if (stiff) return { ...figures, verdict: 'too-stiff', finding: stiff, text: stiffWords(port, expected, seen, stiff) };
  if (aired)
    return { ...figures, verdict: 'too-soft', finding: 'free air', text: airWords(port, air.share, air.limit) };
  const u = rootSumSquares(expected.relU * expected.slowM3PerPa, seen.relU * seen.leastM3PerPa);
  const soft = seen.leastM3PerPa > expected.slowM3PerPa + softAt * u;
  // What a pump delivered is the most that went in: the rest may have left over its relief valve.
  if (taken.atMost || (taken.knownBy === 'flow' && soft))
    return {
      ...figures,
      verdict: 'not-checked',
      finding: 'not known',
      text: flowAtMostWords(port, expected, seen, air?.detectable ?? null),
    };
  const finding = soft ? 'more oil' : 'cylinder';
  const text = oilWords(port, expected, seen, finding, air?.detectable ?? null);
  return { ...figures, verdict: soft ? 'too-soft' : 'agrees', finding, text };
}

/**
 * The oil of the solid give alone: at the least, without the air that the bow shows or the job admits; at the most, with
 * no air at all, so that air guessed too high never makes a cylinder look missing.
 */
function withoutAir(port: PortPlan, expected: ExpectedRise, taken: OilTaken, bow: AirInRise | null): SolidOil {
  const bowed = (pa: number): number => pa / (pa + atmospherePa);
  const shown = bow && bow.airOverGivePa > airAt * bow.uPa ? bow.airOverGivePa : null;
  const solid = taken.readings.map(({ m3PerPa, fromPa, toPa }) => {
    const perPa = (bowed(toPa) - bowed(fromPa)) / (toPa - fromPa);
    if (shown !== null) return m3PerPa / (1 + shown * perPa);
    return Math.max(0, m3PerPa - expected.admittedAir * port.trapped.volumeM3 * perPa);
  });
  return {
    knownBy: taken.knownBy,
    relU: taken.relU,
    leastM3PerPa: Math.min(...solid),
    mostM3PerPa: Math.max(...taken.readings.map(({ m3PerPa }) => m3PerPa)),
  };
}

/** What takes less oil than the cylinder; null when it takes enough. */
function stiffFinding(
  { quickM3PerPa, slowM3PerPa, relU, line }: ExpectedRise,
  seen: SolidOil,
): StiffnessFinding | null {
  const most = seen.mostM3PerPa;
  const ownU = seen.relU * most;
  const u = rootSumSquares(relU * quickM3PerPa, ownU);
  if (!line) return most < quickM3PerPa - stiffAt * u ? 'line alone' : null;
  const lineU = rootSumSquares(line.uM3PerPa, ownU);
  const apart = (quickM3PerPa - line.m3PerPa) / (u + lineU);
  if (apart < tellApart && most < line.m3PerPa + tellApart * lineU) return 'not known';
  if (most >= quickM3PerPa - Math.min(stiffAt, Math.max(apart, tellApart)) * u) return null;
  if (most < line.m3PerPa * (quickM3PerPa / slowM3PerPa) - stiffAt * lineU) return 'less than the line';
  return most <= line.m3PerPa + stiffAt * lineU ? 'line alone' : 'smaller volume';
}
