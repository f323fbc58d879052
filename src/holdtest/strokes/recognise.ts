import { freshLevel, heldOn, runOf } from './level-run.js';
import type { LevelRun, OpenStroke, SeenStroke, StrokeEnd } from './stroke-state.js';

/** A level that stops rising for so long may be a piston on its way. */
const stallUs = 1e6;
/** A run lasts at least so long. */
const leastRunUs = 3e6;
/** Further above a run's top than this the piston stands at its stop. */
const climbs = 1.3;
/** Marks of the climb after a run, as shares of the run's top. */
const climbMarks = [climbs, 2, 3, 5] as const;
/** The older and the newer half of a run differ by less than this share of it. */
const levelWithin = 0.25;
/** What shows motion: a fall after the top as a share of it, teeth, a rise at the stop so many times slower. */
const fallShare = 0.08;
const teethWanted = 3;
const slowerAtStop = 3;

/** Clear of the noise at rest: a turn of the pressure, and a pressure that has come. */
export const stepPa = (noisePa: number, resolutionPa: number): number => Math.max(5 * noisePa, 2 * resolutionPa);
export const comePa = (noisePa: number, resolutionPa: number): number => Math.max(6 * noisePa, 3 * resolutionPa);

/** The beginning of a pressure that may be a stroke. `pa` above the vented zero. */
export const beginStroke = (
  from: Pick<OpenStroke, 'fromUs' | 'restS' | 'zeroPa' | 'noisePa' | 'confirmed'>,
  us: number,
  pa: number,
): OpenStroke => ({
  ...from,
  newest: [pa],
  level: freshLevel(us, pa),
  best: null,
  climbUs: [],
  lowSinceUs: null,
});

/** A pressure under way with one more reading, each the middle one of three. */
export function strokeOn(open: OpenStroke, us: number, shownPa: number, resolutionPa: number): OpenStroke {
  const [one = shownPa, two = shownPa] = open.newest;
  const pa = Math.max(Math.min(one, two), Math.min(Math.max(one, two), shownPa));
  const newest = [two, shownPa];
  const { level } = open;
  const turn = stepPa(open.noisePa, resolutionPa);
  const stalled = us - level.topUs >= stallUs;
  const climb = climbOn(open, us, pa);
  if (pa > (stalled ? climbs * level.topPa + turn : level.topPa)) {
    const run = stalled ? runOf(level, us) : null;
    const better = run && isRun(run) && (!open.best || run.toUs - run.fromUs > open.best.toUs - open.best.fromUs);
    return {
      ...open,
      newest,
      level: freshLevel(us, pa, pa > level.reached.pa + turn ? undefined : level.reached),
      ...(better ? { best: run, climbUs: [us] } : climb),
    };
  }
  return { ...open, newest, level: heldOn(level, us, pa, turn), ...climb };
}

/** Notes when the climb after the best run passes its next mark. */
function climbOn({ best, climbUs }: OpenStroke, us: number, pa: number): Pick<OpenStroke, 'climbUs'> {
  const mark = climbMarks[climbUs.length];
  if (!best || climbUs.length === 0 || mark === undefined || pa < mark * best.topPa) return { climbUs };
  return { climbUs: [...climbUs, us] };
}

const isRun = ({ fromUs, toUs, levelPa, halvesPa: [older, newer] }: LevelRun): boolean =>
  toUs - fromUs >= leastRunUs && Math.abs(newer - older) <= levelWithin * levelPa;

/** What a stroke is held against. */
export interface StrokeBounds {
  readonly resolutionPa: number;
  /** Usual time between readings. */
  readonly intervalUs: number;
  /** A level from here on may be the first stage's own, Pa above zero. */
  readonly stageFromPa: number;
}

/**
 * Was it a stroke? A piston that moved shows a quick fall after its break-away, a saw-tooth, or at its stop a rise much
 * slower than the one before, because the chamber is full by then. A level that shows none of these (a valve shut, a
 * pump at its relief valve, a pause to look round) is none.
 * @param how how the pressure ended; when it went on towards the test pressure, a slower rise shows nothing, as a
 *   booster is slower than a pump
 */
export function strokeSeen(
  open: OpenStroke,
  how: 'let go' | 'went on',
  atUs: number,
  bounds: StrokeBounds,
): SeenStroke | null {
  const last = runOf(open.level, atUs);
  const run = open.best ?? (how === 'let go' && last && isRun(last) ? last : null);
  if (!run) return null;
  const end: StrokeEnd = open.best ? (how === 'went on' ? 'went on' : 'end stop') : 'let go';
  const shownBy = motionShown(open, run, end, bounds);
  if (!shownBy) return null;
  const { fromUs, restS, zeroPa, noisePa } = open;
  const { fromUs: topUs, toUs: runToUs, topPa, levelPa } = run;
  return { fromUs, topUs, runToUs, endUs: atUs, restS, zeroPa, noisePa, end, topPa, levelPa, shownBy };
}

function motionShown(
  open: OpenStroke,
  run: LevelRun,
  end: StrokeEnd,
  { resolutionPa, intervalUs, stageFromPa }: StrokeBounds,
): SeenStroke['shownBy'] | null {
  const turn = stepPa(open.noisePa, resolutionPa);
  const { topPa, levelPa, fellPa, teeth } = run;
  if (teeth >= teethWanted) return 'saw-tooth';
  // An overshoot of a low stage that is bled back falls too.
  const ownLevel = end === 'let go' && levelPa >= stageFromPa;
  const fell = fellPa >= Math.max(fallShare * topPa, 2 * turn) && topPa - levelPa >= Math.max(0.05 * topPa, turn);
  if (fell && !ownLevel) return 'fall after the top';
  if (end !== 'end stop') return null;
  const [firstUs] = open.climbUs;
  const lastUs = open.climbUs.at(-1);
  const mark = climbMarks[open.climbUs.length - 1];
  if (firstUs === undefined || lastUs === undefined || mark === undefined || lastUs - firstUs <= intervalUs)
    return null;
  const { reached } = run;
  const slowest = reached.pa / (reached.us - open.fromUs + intervalUs);
  const atStop = ((mark - climbs) * topPa) / (lastUs - firstUs - intervalUs);
  return slowest >= slowerAtStop * atStop ? 'slower rise at the stop' : null;
}
