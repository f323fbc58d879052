import { exp, log, square } from '../../units/index.js';
import type { Cells } from './cells.js';
import type { Beside, Explanation } from './explanations.js';
import { type LeakLaw, steadily } from './leak-law.js';
import { type Asked, type Fit, Regression, type Scatter, type Term } from './regression.js';
import { mostlyPositive, type Weighted } from './truncate.js';

/** What the fit must know beside the points. */
export interface CourseSetting {
  /** Scatter of one cell's mean if readings were independent, rounding included, Pa. */
  readonly pointPa: number;
  /** Creep and its like, in every explanation; none where the plain fall is asked for. */
  readonly beside: readonly Beside[];
  /** Odds of each explanation of a fall beside a leak. */
  readonly explanations: readonly Explanation[];
  /** How the leak may follow the pressure: one as likely as the other. */
  readonly laws: readonly LeakLaw[];
  /**
   * A loss is never negative but for warming that nobody measured: standard deviation of that over the whole course,
   * Pa; Infinity where a gain is as likely as a loss.
   */
  readonly gainPa: number;
}

/** A change of the course between two times: a mixture of normal distributions, all of a fall positive. */
export interface Mixture {
  readonly mean: number;
  readonly variance: number;
  readonly parts: readonly { readonly weight: number; readonly mean: number; readonly variance: number }[];
}

/** What a course came to. */
export interface CourseFit {
  /** Pressure lost to what nothing else explains, between two times. */
  loss(fromS: number, toS: number): Mixture;
  /** Pressure lost to heat, creep, and measured temperature between two times, in the mean over the accounts. */
  explained(fromS: number, toS: number): number;
  /** The same since the start. */
  explainedAt(timeS: number): number;
  /** Of that, creep and closing alone, by the likeliest account. */
  creep(fromS: number, toS: number): number;
  /** Standard uncertainty of the loss from scatter alone, everything else taken as known. */
  scatterU(fromS: number, toS: number): number;
  /** The likeliest account. */
  readonly best: { readonly scatter: Scatter; readonly explanation: Explanation; readonly onsetS: number | null };
  /** Weight of each kind of explanation; they add up to 1. */
  weightOf(name: Explanation['name']): number;
  /** Mean lag of the probe over the accounts that use it, s. */
  readonly lagS: number;
  /** The loss since the start at a time by the likeliest account, Pa. */
  lossAt(timeS: number): number;
}

/** What a course may be: an explanation of the fall beside the leak, and the leak's own law. */
interface Possible {
  readonly explanation: Explanation;
  readonly law: LeakLaw;
  readonly prior: number;
}

interface Account extends Possible {
  readonly possible: Possible;
  readonly scatter: Scatter;
  /** When the rate of loss changed once, s; null where it did not. */
  readonly onsetS: number | null;
  readonly regression: Regression;
  readonly fit: Fit;
  readonly logWeight: number;
}

/**
 * Takes a course apart: a steady loss, what explains a fall beside it, a change of the rate of loss, and what remains
 * as scatter, as wander of the gauge or as a rate that drifts. How much of each there is, is left to the evidence;
 * accounts that explain the points about as well are all kept, each with its weight (Hoeting et al. 1999), so that what
 * can't be told apart stands in the uncertainty.
 */
export function fitCourse(cells: Cells, setting: CourseSetting): CourseFit {
  const { t } = cells;
  const endS = t.at(-1) ?? 1;
  const meanCount = cells.count.reduce((sum, n) => sum + n, 0) / cells.count.length;
  const share = cells.count.map((n) => meanCount / n);
  const fixed = fixedTerms(t, setting);
  const grids = gridsOf(cells, setting.pointPa);
  const possible = setting.explanations.flatMap((explanation) =>
    setting.laws.map((law): Possible => ({ explanation, law, prior: explanation.prior / setting.laws.length })),
  );
  const search = new Search(cells, share, fixed, possible, grids);
  const found = search.climb({ pointPa: setting.pointPa, wanderPa: 0, wanderS: endS / 20, bend: 0 });
  const accounts = [...search.accounts(found), ...search.withOnset(found)];
  /** The loss by every account asked for, between two times. */
  const lossesOf = (fromS: number, toS: number): ((account: Account) => Weighted[]) => {
    const drifts = new Map<Regression, ReturnType<Regression['drift']>>();
    const gainPa = (setting.gainPa * (toS - fromS)) / endS;
    return (account) => {
      const { regression, fit } = account;
      const drift = drifts.get(regression) ?? regression.drift(fromS, toS);
      drifts.set(regression, drift);
      return mostlyPositive({ weight: 1, ...fit.answer(askedLoss(account, fromS, toS), drift) }, gainPa);
    };
  };
  const inAll = lossesOf(0, endS);
  const weighed = likely(accounts).map(({ account, weight }) => ({
    account,
    weight: weight * inAll(account).reduce((sum, part) => sum + part.weight, 1e-12),
  }));
  const total = weighed.reduce((sum, { weight }) => sum + weight, 0);
  const first = weighed.reduce((a, b) => (b.weight > a.weight ? b : a)).account;
  const weightOf = (name: Explanation['name']): number =>
    weighed.reduce((sum, { account, weight }) => sum + (account.explanation.name === name ? weight : 0), 0) / total;
  const explainedAt = meanExplained(
    weighed.map(({ account, weight }) => ({ account, weight: weight / total })),
    fixed,
  );
  return {
    explainedAt,
    explained: (fromS, toS) => explainedAt(toS) - explainedAt(fromS),
    loss(fromS, toS) {
      const lossOf = lossesOf(fromS, toS);
      return mixtureOf(
        weighed.flatMap(({ account, weight }) => {
          const parts = lossOf(account);
          const all = parts.reduce((sum, part) => sum + part.weight, 0);
          return parts.map((part) => ({ ...part, weight: ((part.weight / all) * weight) / total }));
        }),
      );
    },
    creep(fromS, toS) {
      return fixed.beside.reduce((sum, { at }, j) => sum + (first.fit.sizes[j + 2] ?? 0) * (at(toS) - at(fromS)), 0);
    },
    scatterU: (fromS, toS) => scatterU(cells, share, first.scatter, fixed, fromS, toS),
    best: { scatter: first.scatter, explanation: first.explanation, onsetS: first.onsetS },
    weightOf,
    lagS: weighed.reduce((sum, { account, weight }) => sum + (weight / total) * account.explanation.lagS, 0),
    lossAt: (timeS) => first.fit.answer(askedLoss(first, 0, timeS)).mean,
  };
}

/** Share of all weight that the least likely accounts may have together before they are let go. */
const leftOut = 0.002;

/** The likeliest accounts, with weights against the greatest. */
function likely(accounts: readonly Account[]): { readonly account: Account; readonly weight: number }[] {
  const greatest = Math.max(...accounts.map(({ logWeight }) => logWeight));
  const all = accounts
    .map((account) => ({ account, weight: exp(account.logWeight - greatest) }))
    .sort((a, b) => b.weight - a.weight);
  let rest = all.reduce((sum, { weight }) => sum + weight, 0);
  const least = leftOut * rest;
  return all.filter(({ weight }) => {
    const kept = rest > least;
    rest -= weight;
    return kept;
  });
}

/** The loss that an account's own terms make between two times: the steady one, and what an onset adds, which comes last. */
function askedLoss({ law, onsetS, fit }: Account, fromS: number, toS: number): Asked {
  const terms = new Float64Array(fit.sizes.length);
  terms[1] = law.secondsAt(toS) - law.secondsAt(fromS);
  if (onsetS !== null) terms[terms.length - 1] = after(law, onsetS, toS) - after(law, onsetS, fromS);
  return { terms, fromS, toS };
}

/** What is explained at any time, in the mean: the accounts share their terms, so only sizes are averaged. */
function meanExplained(
  accounts: readonly { readonly account: Account; readonly weight: number }[],
  { beside }: FixedTerms,
): (timeS: number) => number {
  const besides = beside.map(() => 0);
  const sizes = new Map<Explanation, number>();
  for (const { account, weight } of accounts) {
    const { fit, explanation } = account;
    beside.forEach((_, j) => {
      besides[j] = (besides[j] ?? 0) + weight * (fit.sizes[j + 2] ?? 0);
    });
    if (explanation.term)
      sizes.set(explanation, (sizes.get(explanation) ?? 0) + weight * (fit.sizes[beside.length + 2] ?? 0));
  }
  return (timeS) => {
    let sum = 0;
    for (const [explanation, size] of sizes) sum += size * explanation.at(timeS);
    beside.forEach(({ at }, j) => {
      sum += (besides[j] ?? 0) * at(timeS);
    });
    return sum;
  };
}

function mixtureOf(parts: readonly Weighted[]): Mixture {
  const mean = parts.reduce((sum, part) => sum + part.weight * part.mean, 0);
  const variance = parts.reduce((sum, part) => sum + part.weight * (part.variance + square(part.mean - mean)), 0);
  return { mean, variance, parts };
}

/** Terms that every account has: a level, and creep and its like; beside them stands the loss by the account's own law. */
interface FixedTerms {
  readonly level: Term;
  readonly terms: readonly Term[];
  readonly beside: readonly Beside[];
}

function fixedTerms(t: Float64Array, { beside }: CourseSetting): FixedTerms {
  // A fall is positive and the pressure goes the other way: columns are of the pressure.
  return {
    level: { values: new Float64Array(t.length).fill(1), mean: 0, sd: Number.POSITIVE_INFINITY },
    terms: beside.map(({ at, mean, sd }) => ({ values: t.map((timeS) => -at(timeS)), mean, sd })),
    beside,
  };
}

const lossTerm = (t: Float64Array, law: LeakLaw): Term => ({
  values: t.map((timeS) => -law.secondsAt(timeS)),
  mean: 0,
  sd: Number.POSITIVE_INFINITY,
});

/** Loss since an onset. */
const after = (law: LeakLaw, onsetS: number, timeS: number): number =>
  Math.max(0, law.secondsAt(timeS) - law.secondsAt(onsetS));

interface Grids {
  readonly point: readonly number[];
  readonly wander: readonly number[];
  readonly wanderS: readonly number[];
  readonly bend: readonly number[];
  /** Times at which the rate may have changed once, and the standard deviation of that change, Pa/s. */
  readonly onsetS: readonly number[];
  readonly changePaPerS: number;
}

/** Sizes tried of each kind of scatter, from nothing to what would swallow the course. */
function gridsOf({ t, y }: Cells, pointPa: number): Grids {
  const n = t.length;
  let steepest = 0;
  let change = pointPa / (t.at(-1) ?? 1);
  let jump = pointPa;
  for (let i = 2; i < n; i++) {
    const [a, b] = [(t[i - 1] ?? 0) - (t[i - 2] ?? 0), (t[i] ?? 0) - (t[i - 1] ?? 0)];
    const first = ((y[i - 1] ?? 0) - (y[i - 2] ?? 0)) / a;
    const second = ((y[i] ?? 0) - (y[i - 1] ?? 0)) / b;
    change = Math.max(change, Math.abs(second - first));
    jump = Math.max(jump, Math.abs(second - first) * Math.min(a, b));
    steepest = Math.max(steepest, Math.abs(second - first) / Math.sqrt((a + b) / 2));
  }
  const endS = t.at(-1) ?? 1;
  const leastBend = (0.3 * pointPa) / (endS * Math.sqrt(endS));
  return {
    point: geometric(pointPa, Math.max(jump, pointPa * 1.01), 1.5, 14),
    wander: [0, ...geometric(0.5 * pointPa, Math.max(jump, pointPa) * 3, 2, 10)],
    wanderS: [endS / 60, endS / 15, endS / 4],
    bend: [0, ...geometric(leastBend, Math.max(3 * steepest, leastBend * 1.01), 3, 14)],
    onsetS: Array.from(t)
      .flatMap((at, i) => (i === 0 ? [] : [((t[i - 1] ?? 0) + at) / 2, at]))
      .slice(0, -2),
    changePaPerS: change,
  };
}

function geometric(from: number, to: number, ratio: number, most: number): number[] {
  const steps = Math.min(most, Math.max(1, Math.ceil(log(to / from) / log(ratio)) + 1));
  return Array.from({ length: steps }, (_, i) => from * exp(i * log(ratio)));
}

/** Searches the kinds of scatter, and weighs them with the explanations. */
class Search {
  readonly #cells: Cells;
  readonly #share: Float64Array;
  readonly #fixed: FixedTerms;
  readonly #possible: readonly Possible[];
  readonly #grids: Grids;
  #few: readonly Possible[];
  /** The likeliest wander, also where none is likelier. */
  #wander: { readonly scatter: Scatter; readonly evidence: number } | null = null;

  constructor(cells: Cells, share: Float64Array, fixed: FixedTerms, possible: readonly Possible[], grids: Grids) {
    this.#cells = cells;
    this.#share = share;
    this.#fixed = fixed;
    this.#possible = possible;
    this.#grids = grids;
    this.#few = possible;
  }

  /** From a start, one kind of scatter after another, to where the evidence is greatest. */
  climb(start: Scatter): Scatter {
    const grids = this.#grids;
    this.#few = this.#likeliest({
      ...start,
      pointPa: grids.point[Math.floor(grids.point.length / 3)] ?? start.pointPa,
    });
    let best = start;
    let height = this.#evidence(best);
    const tryAll = (tries: readonly Scatter[]): void => {
      for (const one of tries) {
        const evidence = this.#evidence(one);
        if (evidence > height) [best, height] = [one, evidence];
        if (one.wanderPa > 0 && !(evidence <= (this.#wander?.evidence ?? Number.NEGATIVE_INFINITY)))
          this.#wander = { scatter: one, evidence };
      }
    };
    for (let round = 0; round < 3; round++) {
      const before = height;
      const from = best;
      tryAll(grids.bend.map((bend) => ({ ...from, bend })));
      const bent = best;
      tryAll(grids.point.map((pointPa) => ({ ...bent, pointPa })));
      const pointed = best;
      tryAll(grids.wanderS.flatMap((wanderS) => grids.wander.map((wanderPa) => ({ ...pointed, wanderPa, wanderS }))));
      if (round === 0) this.#few = this.#likeliest(best);
      if (height - before < 0.05) break;
    }
    return best;
  }

  /** Every account round the best scatter whose weight counts. */
  accounts(best: Scatter): Account[] {
    const scatters = this.#round(best).flatMap((one) => this.#grids.bend.map((bend) => ({ ...one, bend })));
    const judged = scatters.map((scatter) => ({ scatter, evidence: this.#evidence(scatter) }));
    const top = Math.max(...judged.map(({ evidence }) => evidence));
    const kept = this.#stillPossible(best);
    return judged
      .filter(({ evidence }) => evidence > top - dropped)
      .flatMap(({ scatter }) => this.#fits(scatter, kept));
  }

  /** Accounts in which the rate of loss changed once and does not drift beside. */
  withOnset(found: Scatter): Account[] {
    const { onsetS, point } = this.#grids;
    if (onsetS.length < 4) return [];
    let best = { ...found, bend: 0 };
    let few = this.#fits(best, this.#few, onsetS);
    let height = summed(few);
    for (let round = 0; round < 2; round++) {
      const from = best;
      const onsets = strongest(few, 6);
      for (const pointPa of point) {
        const scatter = { ...from, pointPa };
        const height1 = summed(this.#fits(scatter, this.#few, onsets));
        if (height1 > height - 1e-9 || scatter.pointPa === from.pointPa)
          [best, height] = [scatter, Math.max(height, height1)];
      }
      few = this.#fits(best, this.#few, onsetS);
      height = summed(few);
    }
    const onsets = strongest(few, 8);
    const kept = this.#stillPossible(best, onsets);
    return this.#round(best).flatMap((scatter) => this.#fits({ ...scatter, bend: 0 }, kept, onsets, onsetS.length));
  }

  /** A scatter and its neighbours. */
  #round(best: Scatter): Scatter[] {
    const points = [best.pointPa / 1.35, best.pointPa, best.pointPa * 1.35].filter(
      (pointPa) => pointPa >= 0.999 * (this.#grids.point[0] ?? 0),
    );
    const { wanderPa: likeliest, wanderS } = this.#wander?.scatter ?? best;
    const wanders = likeliest > 0 ? [0, likeliest / 1.4, likeliest * 1.4] : [0];
    return points.flatMap((pointPa) => wanders.map((wanderPa) => ({ ...best, pointPa, wanderPa, wanderS })));
  }

  #likeliest(scatter: Scatter): readonly Possible[] {
    return this.#fits(scatter, this.#possible)
      .sort((a, b) => b.logWeight - a.logWeight)
      .slice(0, 6)
      .map(({ possible }) => possible);
  }

  /** What is not out of the question with this scatter. */
  #stillPossible(scatter: Scatter, onsets?: readonly (number | null)[]): readonly Possible[] {
    const fits = this.#fits(scatter, this.#possible, onsets);
    const top = Math.max(...fits.map(({ logWeight }) => logWeight));
    return [...new Set(fits.filter(({ logWeight }) => logWeight > top - dropped).map(({ possible }) => possible))];
  }

  #evidence(scatter: Scatter): number {
    return summed(this.#fits(scatter, this.#few));
  }

  #fits(
    scatter: Scatter,
    possible: readonly Possible[],
    onsets: readonly (number | null)[] = [null],
    ofOnsets = onsets.length,
  ): Account[] {
    const { t, y } = this.#cells;
    const regression = new Regression(t, y, this.#share, scatter);
    const withColumn = (term: Term) => ({ term, column: regression.whitened(term.values) });
    const level = withColumn(this.#fixed.level);
    const beside = this.#fixed.terms.map(withColumn);
    const odds = oddsOf(scatter);
    const laws = new Map(
      [...new Set(possible.map(({ law }) => law))].map((law) => [law, this.#losses(law, onsets, withColumn)]),
    );
    return possible.flatMap((one) => {
      const { term } = one.explanation;
      const own = term ? [withColumn({ ...term, values: term.values.map((value) => -value) })] : [];
      const { loss, changes } = laws.get(one.law) as LossTerms;
      return changes.map(({ onsetS, change }) => {
        const all = [level, loss, ...beside, ...own, ...change];
        const fit = regression.fit(
          all.map(({ term }) => term),
          all.map(({ column }) => column),
        );
        const changed = log(onsetS === null ? 0.9 : 0.1 / ofOnsets);
        return {
          ...one,
          possible: one,
          scatter,
          onsetS,
          regression,
          fit,
          logWeight: fit.logEvidence + log(one.prior) + odds + changed,
        };
      });
    });
  }

  /** The loss by a law, and by how much more is lost from each onset on. */
  #losses(law: LeakLaw, onsets: readonly (number | null)[], withColumn: (term: Term) => TermColumn): LossTerms {
    const { t } = this.#cells;
    const sd = this.#grids.changePaPerS;
    const changes = onsets.map((onsetS) => ({
      onsetS,
      change:
        onsetS === null ? [] : [withColumn({ values: t.map((timeS) => -after(law, onsetS, timeS)), mean: 0, sd })],
    }));
    return { loss: withColumn(lossTerm(t, law)), changes };
  }
}

interface TermColumn {
  readonly term: Term;
  readonly column: Float64Array;
}

interface LossTerms {
  readonly loss: TermColumn;
  readonly changes: readonly { readonly onsetS: number | null; readonly change: readonly TermColumn[] }[];
}

/** Accounts whose logarithm of weight lies further below the best are let go. */
const dropped = 7;

/** Logarithm of the sum of the weights. */
function summed(accounts: readonly Account[]): number {
  const greatest = Math.max(...accounts.map(({ logWeight }) => logWeight));
  return greatest + log(accounts.reduce((sum, { logWeight }) => sum + exp(logWeight - greatest), 0));
}

/** The onsets of the likeliest accounts. */
function strongest(accounts: readonly Account[], many: number): readonly (number | null)[] {
  const sorted = [...accounts].sort((a, b) => b.logWeight - a.logWeight);
  return [...new Set(sorted.map(({ onsetS }) => onsetS))].slice(0, many);
}

/** Most courses have no wander and no drift of the rate: odds given beforehand, as logarithms. */
const oddsOf = ({ wanderPa, bend }: Scatter): number =>
  (wanderPa > 0 ? log(0.1) : log(0.6)) + (bend > 0 ? log(0.05) : log(0.5));

function scatterU(
  cells: Cells,
  share: Float64Array,
  { pointPa, wanderPa, wanderS }: Scatter,
  fixed: FixedTerms,
  fromS: number,
  toS: number,
): number {
  const regression = new Regression(cells.t, cells.y, share, { pointPa, wanderPa, wanderS, bend: 0 });
  const terms = [fixed.level, lossTerm(cells.t, steadily)];
  const fit = regression.fit(
    terms,
    terms.map(({ values }) => regression.whitened(values)),
  );
  return Math.sqrt(fit.answer({ terms: Float64Array.of(0, toS - fromS), fromS, toS }).variance);
}
