import { studentTQuantile } from '../../evaluation/index.js';
import type { CylinderHold } from './cylinder-history.js';

/** A leak at a time. */
export interface LeakPoint {
  /** Milliseconds. */
  readonly atMs: number;
  /** Any unit of flow, positive for oil lost. */
  readonly leak: number;
  /** Expanded uncertainty (95 %), same unit. */
  readonly leakU: number;
}

/** How a leak changed between the first hold and the last. */
export interface LeakTrend {
  readonly holds: number;
  readonly spanS: number;
  /** Change over the span on the straight line that fits best, and its expanded uncertainty (95 %). */
  readonly change: number;
  readonly changeU: number;
  readonly word: 'grows' | 'falls' | 'no trend seen';
}

/**
 * The straight line through leaks, each weighted by its own uncertainty (least squares), as the change from the first to
 * the last. Where the leaks scatter more than their uncertainties allow, the uncertainty is widened to what they show
 * (GUM H.3; the widening by the root of chi squared over its degrees of freedom). Null for fewer than two holds, or at
 * one time.
 * @example leakTrend([{ atMs: 0, leak: 1, leakU: 0.2 }, { atMs: 1e6, leak: 3, leakU: 0.2 }]) // change 2 ± 0.283: grows
 */
export function leakTrend(points: readonly LeakPoint[]): LeakTrend | null {
  const times = points.map(({ atMs }) => atMs);
  const spanMs = Math.max(...times) - Math.min(...times);
  if (points.length < 2 || !(spanMs > 0)) return null;
  const weights = points.map(({ leakU }) => (leakU > 0 ? 4 / leakU ** 2 : 0));
  const sum = (of: (point: LeakPoint) => number): number =>
    points.reduce((total, point, index) => total + (weights[index] ?? 0) * of(point), 0);
  const whole = sum(() => 1);
  const [middle, mean] = [sum(({ atMs }) => atMs / spanMs) / whole, sum(({ leak }) => leak) / whole];
  const across = sum(({ atMs }) => (atMs / spanMs - middle) ** 2);
  const change = sum(({ atMs, leak }) => (atMs / spanMs - middle) * (leak - mean)) / across;
  const chi2 = sum(({ atMs, leak }) => (leak - mean - change * (atMs / spanMs - middle)) ** 2);
  const dof = points.length - 2;
  const scatter = dof > 0 ? Math.sqrt(chi2 / dof) : 0;
  const factor = scatter > 1 ? scatter * studentTQuantile(0.975, dof) : 2;
  const changeU = factor / Math.sqrt(across);
  if (!Number.isFinite(change) || !Number.isFinite(changeU)) return null;
  const word = change > changeU ? 'grows' : change < -changeU ? 'falls' : 'no trend seen';
  return { holds: points.length, spanS: spanMs / 1000, change, changeU, word };
}

/** Holds that can be compared: the same port and stage at the same target, none void, invalid or without a leak. */
export interface ComparableHolds {
  readonly port: string;
  readonly stage: string;
  readonly targetPa: number;
  readonly holds: readonly CylinderHold[];
  /** Flow in m3/s. */
  readonly trend: LeakTrend | null;
  /** The newest hold against the one before it: what a repair did. */
  readonly sinceLast: LeakTrend | null;
}

/** Sorts a history into what can be compared, with the trend of each. */
export function comparableHolds(holds: readonly CylinderHold[]): ComparableHolds[] {
  const groups = new Map<string, CylinderHold[]>();
  for (const hold of holds) {
    const key = JSON.stringify([hold.port, hold.stage, Math.round(hold.targetPa / 1e4)]);
    groups.set(key, [...(groups.get(key) ?? []), hold]);
  }
  return [...groups.values()].flatMap((group) => {
    const [first] = group;
    if (!first) return [];
    const { port, stage, targetPa } = first;
    const leaks = points(group);
    return { port, stage, targetPa, holds: group, trend: leakTrend(leaks), sinceLast: leakTrend(leaks.slice(-2)) };
  });
}

const points = (holds: readonly CylinderHold[]): LeakPoint[] =>
  holds.flatMap(({ startedAt, leakM3PerS: leak, leakUncertaintyM3PerS: leakU, verdict, voided }) =>
    leak === null || leakU === null || verdict === 'invalid' || voided
      ? []
      : { atMs: Date.parse(startedAt), leak, leakU },
  );
