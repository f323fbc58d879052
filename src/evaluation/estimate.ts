import { square } from '../units/index.js';
import type { DwellContext } from './context.js';
import { type Cells, cellsOf } from './course/cells.js';
import {
  closing,
  creep,
  type Explanation,
  heatExplanations,
  nothingKnown,
  outerHeat,
  type Rise,
} from './course/explanations.js';
import { type Fed, fedBy } from './course/fed.js';
import { type CourseFit, fitCourse, type Mixture } from './course/fit-course.js';
import { leakLaws } from './course/leak-law.js';
import { type SuddenFall, suddenFalls, withFalls, withoutFalls } from './course/steps.js';
import { governingLimit, levelPa } from './decision.js';
import type { BudgetLine } from './result.js';
import type { Series } from './shape/series.js';
import {
  type ProbeCourse,
  probeCourse,
  probeStabilityK,
  probeStepU,
  type TypedCourse,
  typedCourse,
  typedHalfWidthK,
} from './temperature.js';
import type { TraceState } from './trace/dwell-trace.js';
import {
  type Expanded,
  expand,
  expandedOf,
  rectangularU,
  resolutionLine,
  stabilityLine,
  standardOf,
  undithered,
} from './uncertainty.js';

/** The loss over one stretch of a hold, after everything else that lowers the pressure; positive for a fall. */
export interface StretchLoss extends Expanded {
  readonly fromS: number;
  readonly toS: number;
  readonly dropPa: number;
  readonly budget: readonly BudgetLine[];
}

/** What an oil temperature took out of the fall. */
export interface ThermalPart {
  readonly source: 'logged' | 'typed';
  /** Positive when the oil cooled. */
  readonly dropPa: number;
  readonly coolingK: number;
  readonly lagS: number;
}

/** One account of a hold, from the shut-in to the release. */
export interface DecayEstimate {
  /** What is judged: the dwell, or the stretch of the demanded length in which clearly more was lost. */
  readonly judged: StretchLoss;
  /** Levels as the gauge read them, corrected as levels are: means over the readings next to both ends. */
  readonly startPa: number;
  readonly endPa: number;
  /** Level at the shut-in. */
  readonly shutInPa: number;
  /** Fall from start to end as read. */
  readonly plainDropPa: number;
  /** By measured temperature; null when it was not measured or does not follow the oil. */
  readonly thermal: ThermalPart | null;
  /** By heat of compression and creep, as the course itself tells them; null where they were not looked for. */
  readonly settlingPa: number | null;
  /** Fall as read that no account explains, beyond what the two levels are uncertain by, Pa. */
  readonly unaccountedPa: number;
  /** Standard uncertainty that shrinks as readings come in. */
  readonly scatterUPa: number;
  readonly fed: Fed | null;
  /** The fall sped up by this much a second, Pa/s, between two fifths of the hold; 0 when it did not, for sure. */
  readonly speedUpPaPerS: number;
  /** Rate of loss in the last fifth, Pa/s, with its expanded uncertainty. */
  readonly lastRate: { readonly paPerS: number; readonly expandedU: number };
  /** The same without the measured temperature, by heat of compression alone, where its correction is larger than the limit. */
  readonly withoutProbe: { readonly dropPa: number; readonly expandedU: number } | null;
  /** Weight of the probe not following the oil; 0 without a probe. */
  readonly probeDoubt: number;
  readonly fit: CourseFit;
  /** What fell within seconds; part of the loss. */
  readonly falls: readonly SuddenFall[];
  /** The course as read, in the points that it is taken by. */
  readonly cells: Cells;
  /** What is left for leaks: the course with everything explained added back, as points. */
  readonly series: Series;
  /** End of the hold, s from its start. */
  readonly holdS: number;
}

/** Oil fed in that makes less than this share of the allowed drop changes no verdict. */
const leastFed = 0.08;

/** Points that a course is taken by. */
const cellsUsed = 40;

/** Oil logged by a probe is taken to be the oil's own temperature with these odds. */
const probeOdds = 0.98;

/** Heat where the plan tells nothing of it: a chamber of some 100 mm (times by 0.55 rho c V / (h A), h 5 to 400 W/m2K). */
const usualHeat = { kelvinPerPa: 1.27e-7, leastS: 57, greatestS: 4600, outerS: 8000 };

export interface HoldSpan {
  /** End of the dwell, s from the start of the trace. */
  readonly dwellS: number;
  /** Up to when the pressure was still shut in; at least the dwell's end. */
  readonly holdS: number;
}

/**
 * Takes a hold apart.
 * @returns null with fewer than 3 readings or all at one time
 */
export function estimateDecay(state: TraceState, context: DwellContext, span: HoldSpan): DecayEstimate | null {
  const { blocks } = state;
  const { dwellS, holdS } = span;
  if (state.used < 3 || !((blocks.timeS[blocks.length - 1] ?? 0) > (blocks.timeS[0] ?? 0)) || !(dwellS > 0))
    return null;
  const cells = cellsOf(blocks, 0, holdS, cellsUsed);
  if (cells.t.length < 3) return null;
  const { resolutionPa } = context.gauge;
  const shownStepPa = resolutionPa * undithered(resolutionPa, state.noisePa);
  const falls = suddenFalls(blocks, holdS, { noisePa: state.noisePa, stepPa: shownStepPa });
  const fitted = falls.length === 0 ? cells : cellsOf(withoutFalls(blocks, falls), 0, holdS, cellsUsed);
  const { stage, gauge, port } = context;
  const leak = stage.judge !== 'plain drop';
  const before = context.rises ?? [];
  const rises = before.length > 0 ? [...before, ...fallsIn(cells)] : [];
  const heat = port.heat ?? usualHeat;
  const setting = { ...heat, share: heat.kelvinPerPa * port.trapped.thermalPaPerK };
  const probe = probeCourse(
    cells,
    port.trapped,
    { endS: holdS, stepK: state.oilStepK },
    rises.length > 0 ? probeOdds : 1,
  );
  const typed = probe ? null : typedCourse(state.typed, cells, port.trapped, holdS);
  const byHeat = (odds: number): readonly Explanation[] =>
    leak && rises.length > 0 ? heatExplanations(cells, rises, setting, odds) : [];
  const explanations = probe
    ? [...probe.explanations, ...byHeat(1 - probeOdds)]
    : typed
      ? [typed.explanation]
      : byHeat(1).length > 0
        ? byHeat(1)
        : [nothingKnown];
  const besides =
    leak && rises.length > 0
      ? [creep(stage.targetPa), closing(stage.targetPa), ...(typed ? [] : [outerHeat(rises, setting, probe !== null)])]
      : [];
  const fallen = Math.abs((fitted.y[0] ?? 0) - (fitted.y.at(-1) ?? 0));
  const courseSetting = {
    pointPa: pointScatter(state, fitted, gauge.resolutionPa, {
      missedPa: probe
        ? probeMisfit * Math.min(fallen, Math.abs(probe.at(0) - probe.at(holdS)) * port.trapped.thermalPaPerK)
        : besides.length > 0
          ? misfit * Math.min(fallen, setting.share * rises.reduce((sum, { byPa }) => sum + Math.max(0, byPa), 0))
          : 0,
      probePa: (probe?.scatterK ?? 0) * port.trapped.thermalPaPerK,
    }),
    beside: besides,
    laws: leakLaws(fitted, blocks.referencePa),
    gainPa:
      leak && rises.length > 0
        ? rectangularU(warmingOf(context)) * (holdS / dwellOf(context))
        : Number.POSITIVE_INFINITY,
  };
  const fit = withFalls(fitCourse(fitted, { ...courseSetting, explanations }), falls);
  const known: Known = { context, state, fit, probe, typed };
  const governing = governingLimit(stage.allowed, levelAtStart(state, context), stage.dwellS, port.trapped);
  const judged = worstStretch(known, stretch(known, 0, dwellS), stage.dwellS, holdS);
  const thermal = thermalPart(known, judged.fromS, judged.toS);
  const explained = cells.t.map(fit.explainedAt);
  const measured = (probe !== null || typed !== null) && fit.weightOf('oil temperature') >= 0.5;
  const [startPa, endPa] = endLevels(state, context, judged.fromS, judged.toS);
  const rates = fifths(fit, holdS);
  return {
    judged,
    startPa,
    endPa,
    shutInPa: levelAtStart(state, context),
    plainDropPa: startPa - endPa,
    thermal,
    settlingPa: leak && rises.length > 0 ? settlingPart(fit, judged.fromS, judged.toS) : null,
    unaccountedPa:
      startPa - endPa - fit.explained(judged.fromS, judged.toS) - judged.dropPa - 2 * endLevelsU(state, context, holdS),
    scatterUPa: fit.scatterU(judged.fromS, judged.toS),
    fed: fedBy(blocks, holdS, measured ? interpolated(cells.t, explained) : () => 0, {
      leastPa: leastFed * (governing?.allowedDropPa ?? 0),
      warmingPaPerS: warmingOf(context) / dwellOf(context),
      wanderPa: fit.best.scatter.wanderPa,
      noisePa: state.noisePa,
      stepPa: shownStepPa + (measured ? 0.1 * Math.abs(thermal?.dropPa ?? 0) : 0),
    }),
    speedUpPaPerS: speedUp(rates, (governing?.allowedDropPa ?? Number.POSITIVE_INFINITY) / stage.dwellS),
    lastRate: lastOf(rates),
    withoutProbe:
      probe &&
      Math.abs(thermal?.dropPa ?? 0) > (governing?.allowedDropPa ?? Number.POSITIVE_INFINITY) &&
      byHeat(1).length > 0
        ? withoutProbe(
            known,
            withFalls(fitCourse(fitted, { ...courseSetting, explanations: byHeat(1) }), falls),
            judged,
          )
        : null,
    probeDoubt: probe ? 1 - fit.weightOf('oil temperature') : 0,
    fit,
    falls,
    cells,
    series: { t: cells.t, y: cells.y.map((y, i) => y + (explained[i] ?? 0)), weight: cells.count },
    holdS,
  };
}

/** The hold's own falls: oil that expands cools, and warms again. */
const fallsIn = ({ t, y }: Cells): Rise[] =>
  Array.from(t.subarray(1), (at, i) => ({ timeS: ((t[i] ?? 0) + at) / 2, byPa: (y[i + 1] ?? 0) - (y[i] ?? 0) }));

/** The loss by another fit that knows nothing of the probe. */
function withoutProbe(known: Known, fit: CourseFit, { fromS, toS }: StretchLoss): DecayEstimate['withoutProbe'] {
  const { dropPa, expandedU } = stretch({ ...known, fit, probe: null, typed: null }, fromS, toS);
  return { dropPa, expandedU };
}

interface Known {
  readonly context: DwellContext;
  readonly state: TraceState;
  readonly fit: CourseFit;
  readonly probe: ProbeCourse | null;
  readonly typed: TypedCourse | null;
}

/** The dwell that a stated bound on temperature belongs to, s; without an author it is the program's, for 5 minutes. */
const dwellOf = ({ stage, boundBy }: DwellContext): number => (boundBy === 'program' ? 300 : stage.dwellS);

/** Pressure that unmeasured warming may make over the dwell that its bound belongs to, half-width, Pa. */
const warmingOf = ({ unmeasuredTemperatureK, port }: DwellContext): number =>
  unmeasuredTemperatureK * port.trapped.thermalPaPerK;

/** No law of heat is exact: share of the fall that heat may have made by which the course may miss it (the program's own, no source). */
const misfit = 0.004;

/** A probe sits at one place, and the oil is not equally warm everywhere: the same for its course. */
const probeMisfit = 0.015;

/**
 * Scatter of a cell's mean: noise of its readings, rounding as far as noise does not smooth it, where heat is told
 * from a leak the share of the fall that its laws miss, and what a probe's scatter makes of it.
 */
function pointScatter(
  state: TraceState,
  cells: Cells,
  resolutionPa: number,
  { missedPa, probePa }: { readonly missedPa: number; readonly probePa: number },
): number {
  const readings = cells.count.reduce((sum, n) => sum + n, 0) / cells.count.length;
  const rounding = (resolutionPa * undithered(resolutionPa, state.noisePa)) / Math.sqrt(12);
  const noise = Math.sqrt(square(state.noisePa) / readings + square(rounding) + square(missedPa) + square(probePa));
  return Math.max(noise, 1e-3 * resolutionPa, 1);
}

/** The loss between two times with everything that is not known of it. */
function stretch(known: Known, fromS: number, toS: number): StretchLoss {
  const { context, state, fit } = known;
  const { gauge } = context;
  const loss = fit.loss(fromS, toS);
  const scatterU = fit.scatterU(fromS, toS);
  const lines: BudgetLine[] = [
    {
      of: 'drop',
      name: 'scatter of the readings',
      u: Math.min(scatterU, Math.sqrt(loss.variance)),
      degreesOfFreedom: state.used - 2,
      distribution: 'normal',
      basis: `generalised least squares over ${state.used} readings`,
    },
    {
      of: 'drop',
      name: 'separation from heat, creep and wander',
      u: Math.sqrt(Math.max(0, loss.variance - square(scatterU))),
      degreesOfFreedom: state.used - 2,
      distribution: 'normal',
      basis: separationBasis(fit),
    },
    ...(context.stage.judge === 'plain drop' ? [] : [expansionLine(loss.mean)]),
    resolutionLine(gauge.resolutionPa, state.noisePa, loss.mean + fit.explained(fromS, toS)),
    stabilityLine(gauge),
    ...temperatureLines(known, fromS, toS),
  ];
  return { fromS, toS, dropPa: loss.mean, budget: lines, ...expanded(loss, lines) };
}

/** Standard uncertainty of a loss by its own cooling, as a share: a part of the 12 % between quick and slow stiffness. */
const expansionU = 0.03;

const expansionLine = (lossPa: number): BudgetLine => ({
  of: 'drop',
  name: 'expansion of the oil',
  u: expansionU * Math.abs(lossPa),
  degreesOfFreedom: null,
  distribution: 'normal',
  basis: `${expansionU * 100} % of the loss: oil that is lost cools what stays, and that warms again`,
});

function separationBasis(fit: CourseFit): string {
  const { explanation, scatter } = fit.best;
  const law =
    explanation.name === 'heat of compression'
      ? 'heat of compression with every law and time that fits the course, weighed by its evidence'
      : 'a steady loss and a rate that drifts, weighed by their evidence';
  const wander = scatter.wanderPa > 0 ? `; the readings wander by {difference:${scatter.wanderPa}}` : '';
  return `${law} (Hoeting et al. 1999)${wander}`;
}

/**
 * Everything together at 95 %: the mixture of accounts, normal parts, and the greatest bound as a rectangle; wider by
 * Student's t where few readings tell the scatter.
 */
function expanded(loss: Mixture, lines: readonly BudgetLine[]): Expanded {
  const beside = lines.slice(2);
  const bounds = beside.filter(({ distribution }) => distribution === 'rectangular').sort((a, b) => b.u - a.u);
  const bound = (bounds[0]?.u ?? 0) * Math.sqrt(3);
  const added = beside.reduce((sum, line) => sum + (line === bounds[0] ? 0 : square(line.u)), 0);
  const parts = loss.parts.map((part) => ({ ...part, variance: part.variance + added }));
  const u = standardOf(parts, bound);
  const scatter = { u: Math.sqrt(loss.variance), degreesOfFreedom: lines[0]?.degreesOfFreedom ?? null };
  const { degreesOfFreedom, coverageFactor: t } = expand([scatter, ...beside]);
  const expandedU = (expandedOf(parts, bound) * t) / normalFactor;
  return { u, expandedU, coverageFactor: u > 0 ? expandedU / u : t, degreesOfFreedom };
}

/** Half-width that holds 95 % of a normal distribution, in standard deviations. */
const normalFactor = 1.959964;

function temperatureLines({ context, state, fit, probe, typed }: Known, fromS: number, toS: number): BudgetLine[] {
  const { thermalPaPerK } = context.port.trapped;
  const line = (name: string, u: number, basis: string): BudgetLine => ({
    of: 'drop',
    name,
    u,
    degreesOfFreedom: null,
    distribution: 'rectangular',
    basis,
  });
  if (probe) {
    const fallK = probe.at(fromS) - probe.at(toS);
    return [
      line(
        'probe stability',
        thermalPaPerK * rectangularU(probeStabilityK),
        `±{kelvin:${probeStabilityK}} over a dwell (common practice, no source)`,
      ),
      line(
        'probe resolution',
        thermalPaPerK * probeStepU(state.oilStepK, fallK),
        `steps of {kelvin:${state.oilStepK}} (GUM F.2.2.1)`,
      ),
      ...(fit.weightOf('oil temperature') < 0.5 ? [unmeasuredLine(context, toS - fromS)] : []),
    ];
  }
  if (typed)
    return [
      line(
        'typed temperature',
        thermalPaPerK * typed.fallUKPerS * (toS - fromS),
        `each read within ±{kelvin:${typedHalfWidthK}} (common practice, no source)`,
      ),
    ];
  return [unmeasuredLine(context, toS - fromS)];
}

const authors = {
  program: 'taken by the program (common practice, no source)',
  procedure: 'as the procedure states',
  job: 'as the job states',
};

/** The bound that stands for a temperature nobody measured. */
function unmeasuredLine(context: DwellContext, overS: number): BudgetLine {
  const share = overS / dwellOf(context);
  const halfWidthK = context.unmeasuredTemperatureK * share;
  return {
    of: 'drop',
    name: 'temperature not measured',
    u: rectangularU(warmingOf(context) * share),
    degreesOfFreedom: null,
    distribution: 'rectangular',
    basis: `the oil may have drifted by ±{kelvin:${halfWidthK}}, ${authors[context.boundBy ?? 'program']}`,
  };
}

function thermalPart({ fit, probe, typed }: Known, fromS: number, toS: number): ThermalPart | null {
  const dropPa = fit.explained(fromS, toS) - fit.creep(fromS, toS);
  if (typed) return { source: 'typed', dropPa, coolingK: typed.fallKPerS * (toS - fromS), lagS: 0 };
  if (!probe || fit.weightOf('oil temperature') < 0.5) return null;
  return { source: 'logged', dropPa, coolingK: probe.at(fromS) - probe.at(toS), lagS: fit.lagS };
}

/** What heat and creep took; with a measured temperature creep alone. */
const settlingPart = (fit: CourseFit, fromS: number, toS: number): number =>
  fit.weightOf('oil temperature') >= 0.5 ? fit.creep(fromS, toS) : fit.explained(fromS, toS);

/** Of all stretches of the demanded length the one with the greatest loss, where that is clearly more than the dwell's own. */
function worstStretch(known: Known, whole: StretchLoss, demandedS: number, holdS: number): StretchLoss {
  if (holdS <= demandedS * 1.01) return whole;
  const share = Math.min(1, demandedS / whole.toS);
  const tries = 12;
  let worst: { fromS: number; mean: number } | null = null;
  for (let i = 0; i <= tries; i++) {
    const fromS = ((holdS - demandedS) * i) / tries;
    const { mean } = known.fit.loss(fromS, fromS + demandedS);
    if (worst === null || mean > worst.mean) worst = { fromS, mean };
  }
  if (worst === null || worst.mean <= share * (whole.dropPa + whole.expandedU)) return whole;
  return stretch(known, worst.fromS, worst.fromS + demandedS);
}

/** Seconds at each end over which the level is a mean of the readings. */
const levelSpanS = 3;

function endLevels({ blocks }: TraceState, context: DwellContext, fromS: number, toS: number): [number, number] {
  const mean = (a: number, b: number): number => {
    const { y, count } = cellsOf(blocks, a, b, 1);
    if (count[0] !== undefined) return blocks.referencePa + (y[0] ?? 0);
    return blocks.referencePa + (blocks.pressure[nearestBlock(blocks.timeS, (a + b) / 2)] ?? 0);
  };
  const span = Math.min(levelSpanS, (toS - fromS) / 4);
  return [levelPa(context, mean(fromS, fromS + span)), levelPa(context, mean(toS - span, toS))];
}

/** Standard uncertainty of the fall between two levels by scatter and display, Pa. */
function endLevelsU({ noisePa, used }: TraceState, { gauge }: DwellContext, holdS: number): number {
  const readings = Math.max(1, (used / Math.max(holdS, 1)) * levelSpanS);
  return Math.SQRT2 * Math.sqrt(square(noisePa) / readings + square(rectangularU(gauge.resolutionPa / 2)));
}

const levelAtStart = (state: TraceState, context: DwellContext): number =>
  endLevels(state, context, 0, Math.min(levelSpanS * 4, state.blocks.timeS[state.blocks.length - 1] ?? 1))[0];

function nearestBlock(timeS: Float64Array, at: number): number {
  let nearest = 0;
  for (let i = 1; i < timeS.length; i++)
    if (Math.abs((timeS[i] ?? 0) - at) < Math.abs((timeS[nearest] ?? 0) - at)) nearest = i;
  return nearest;
}

interface Rate {
  readonly paPerS: number;
  readonly uPaPerS: number;
}

/** Rates of loss in the fifths of a hold. */
const fifths = (fit: CourseFit, holdS: number): readonly Rate[] =>
  [0, 1, 2, 3, 4].map((i) => {
    const { mean, variance } = fit.loss((holdS * i) / 5, (holdS * (i + 1)) / 5);
    return { paPerS: (mean * 5) / holdS, uPaPerS: (Math.sqrt(variance) * 5) / holdS };
  });

const lastOf = (rates: readonly Rate[]): DecayEstimate['lastRate'] => {
  const last = rates.at(-1);
  return { paPerS: last?.paPerS ?? 0, expandedU: 1.96 * (last?.uPaPerS ?? 0) };
};

/** A fall counts as sped up by so many standard uncertainties, and by this share of the allowed rate. */
const spedUpFor = 4;
const spedUpShare = 0.25;

function speedUp(rates: readonly Rate[], allowedPaPerS: number): number {
  let most = 0;
  rates.forEach((later, j) => {
    for (const earlier of rates.slice(0, j)) {
      const by = later.paPerS - earlier.paPerS;
      const sure = by > spedUpFor * Math.sqrt(square(later.uPaPerS) + square(earlier.uPaPerS));
      if (sure && by > spedUpShare * allowedPaPerS && by > most) most = by;
    }
  });
  return most;
}

/** Straight lines between points. */
function interpolated(t: Float64Array, y: Float64Array): (timeS: number) => number {
  let at = 1;
  return (timeS) => {
    if (timeS < (t[at - 1] ?? 0)) at = 1;
    while (at < t.length - 1 && (t[at] ?? 0) < timeS) at++;
    const [a, b] = [t[at - 1] ?? 0, t[at] ?? 1];
    const [from, to] = [y[at - 1] ?? 0, y[at] ?? 0];
    return from + ((to - from) * (timeS - a)) / Math.max(1e-9, b - a);
  };
}
