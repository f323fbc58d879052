import { rootSumSquares, square } from '../../units/index.js';
import type { StickSlip } from './break-away.js';
import { lineThrough, type StrokePoint } from './read-stroke.js';

/** Teeth from which a saw-tooth is one, the part of the run that they fill, and how much slower they rise than fall. */
const teethWanted = 3;
const filled = 0.3;
const slowerRise = 2;
/** A scatter of the run this many times that at rest moves, whether or not the gauge can follow it. */
const restless = 3;
/** Readings that a whole tooth needs. */
const readingsATooth = 4;

/** Of a tooth's rise, the readings after its foot that still show the fall, and how many a line takes. */
const afterFoot = 2;
const lineLeast = 4;
/** Of a quick tooth a line is taken for its slope alone, from fewer readings; a slip lasts up to this, s. */
const slopeLeast = 3;
const slipS = 0.08;

interface Turn {
  readonly at: number;
  readonly top: boolean;
}

/**
 * Is it stick-slip? At constant flow a sticking piston draws a saw-tooth: the pressure builds slowly and falls at a
 * slip. A ripple that rises as quickly as it falls is none; one that is quicker than the gauge reads can't be told.
 * @param run readings of the run alone
 */
export function stickSlipIn(
  run: readonly StrokePoint[],
  { noisePa, resolutionPa }: { readonly noisePa: number; readonly resolutionPa: number },
): StickSlip {
  const stepPa = Math.max(5 * noisePa, 2.5 * resolutionPa);
  const runS = (run.at(-1)?.s ?? 0) - (run[0]?.s ?? 0);
  const intervalS = runS / Math.max(1, run.length - 1);
  const teeth = teethOf(run, turnsIn(run, stepPa));
  const saw = teeth.filter(({ riseS, fallS }) => riseS >= slowerRise * fallS);
  const lastedS = saw.reduce((sum, { riseS, fallS }) => sum + riseS + fallS, 0);
  const none = { amplitudePa: null, amplitudeUncertaintyPa: null, teeth: saw.length, periodS: null };
  const periodS = saw.length > 0 ? lastedS / saw.length : 0;
  const isSaw = saw.length >= teethWanted && saw.length >= teeth.length / 2 && lastedS >= filled * runS;
  if (isSaw && periodS >= readingsATooth * intervalS) return sawTooth(saw, periodS, { noisePa, resolutionPa });
  const scatter = scatterAbout(run);
  const moves = scatter > Math.max(restless * noisePa, resolutionPa) || teeth.length >= teethWanted;
  if (moves)
    return {
      ...none,
      seen: 'cannot tell',
      text: `the pressure moves by {difference:${2 * scatter}} about its level, but not in a saw-tooth that this gauge can follow (a reading every {seconds:${intervalS}})`,
    };
  return { ...none, seen: 'no', text: `steady to {difference:${stepPa}} over {seconds:${runS}}` };
}

interface Tooth {
  readonly riseS: number;
  readonly fallS: number;
  /** Height of the fall at its own time, between the lines through the rises before and after it; null when too short. */
  readonly fallPa: number | null;
  /** What a whole period would rise at the slope between foot and top; null when too short. */
  readonly risePa: number | null;
}

function sawTooth(
  saw: readonly Tooth[],
  periodS: number,
  { noisePa, resolutionPa }: { readonly noisePa: number; readonly resolutionPa: number },
): StickSlip {
  const n = saw.length;
  const falls = saw.flatMap(({ fallPa }) => (fallPa === null ? [] : [fallPa]));
  const lined = falls.length >= teethWanted;
  const used = lined ? falls : saw.flatMap(({ risePa }) => (risePa === null ? [] : [risePa]));
  const common = { seen: 'yes', teeth: n, periodS } as const;
  const every = `one every {seconds:${periodS}}, rising slowly and falling at once`;
  if (used.length < teethWanted)
    return {
      ...common,
      amplitudePa: null,
      amplitudeUncertaintyPa: null,
      text: `${n} teeth, ${every}; too quick for this gauge to show how high`,
    };
  const mean = used.reduce((sum, pa) => sum + pa, 0) / used.length;
  const scatter = Math.sqrt(used.reduce((sum, pa) => sum + square(pa - mean), 0) / Math.max(1, used.length - 1));
  // A slip takes a part of the period in which nothing rises: half of its longest on average.
  const slipPa = lined ? 0 : mean * Math.min(0.5, slipS / periodS);
  const amplitudePa = mean - slipPa / 2;
  const steps = (Math.SQRT2 * resolutionPa) / Math.sqrt(12);
  const u = rootSumSquares(scatter / Math.sqrt(used.length), slipPa / 2 / Math.sqrt(3), steps, noisePa);
  return {
    ...common,
    amplitudePa,
    amplitudeUncertaintyPa: 2 * u,
    text: `${n} teeth of {difference:${amplitudePa}} ± {difference:${2 * u}}, ${every}`,
  };
}

/** Tops and feet, each clear of the one before by a step. */
function turnsIn(run: readonly StrokePoint[], stepPa: number): Turn[] {
  const turns: Turn[] = [];
  let [high, low] = [0, 0];
  let up: boolean | null = null;
  const paAt = (at: number): number => run[at]?.pa ?? 0;
  for (let at = 0; at < run.length; at++) {
    const pa = paAt(at);
    if (pa >= paAt(high)) high = at;
    if (pa <= paAt(low)) low = at;
    if (up !== false && paAt(high) - pa >= stepPa) {
      turns.push({ at: high, top: true });
      up = false;
      low = at;
      high = at;
    } else if (up !== true && pa - paAt(low) >= stepPa) {
      turns.push({ at: low, top: false });
      up = true;
      high = at;
      low = at;
    }
  }
  return turns;
}

/** From foot to top to foot. */
function teethOf(run: readonly StrokePoint[], turns: readonly Turn[]): Tooth[] {
  return turns.flatMap((turn, i) => {
    const [before, after, nextTop] = [turns[i - 1], turns[i + 1], turns[i + 2]];
    const [foot, top, next, fallen] = [before, turn, after, { at: turn.at + 1 }].map((one) => run[one?.at ?? -1]);
    if (!turn.top || !before || !after || !foot || !top || !next || !fallen) return [];
    const atS = (top.s + fallen.s) / 2;
    const above = lineAt(run.slice(before.at + afterFoot, turn.at + 1), atS);
    const below = nextTop ? lineAt(run.slice(after.at + afterFoot, nextTop.at + 1), atS) : null;
    const between = run.slice(before.at + 1, turn.at + 1);
    const slope = between.length < slopeLeast ? null : lineThrough(between, atS).slope;
    return [
      {
        riseS: top.s - foot.s,
        fallS: next.s - top.s,
        fallPa: above === null || below === null ? null : above - below,
        risePa: slope === null ? null : slope * (next.s - foot.s),
      },
    ];
  });
}

/** The least-squares line through readings, at a time; null with too few. */
function lineAt(points: readonly StrokePoint[], atS: number): number | null {
  if (points.length < lineLeast) return null;
  const line = lineThrough(points, atS);
  return line.pa;
}

/** Scatter about a straight line through the run. */
function scatterAbout(run: readonly StrokePoint[]): number {
  return run.length < 3 ? 0 : lineThrough(run, 0).residualPa;
}
