import type { GaugeSpec } from '../../procedure/index.js';
import { type PressureDifference, pressureDifferencePa, square } from '../../units/index.js';
import type { BudgetLine } from '../result.js';

/** Standard deviation of an error that lies anywhere within +-halfWidth (GUM 4.3.7). @example rectangularU(1) // 0.57735 */
export const rectangularU = (halfWidth: number): number => halfWidth / Math.sqrt(3);

/** Standard uncertainty of one indication with steps of `resolution` (GUM F.2.2.1). @example resolutionU(0.1) // 0.0289 */
export const resolutionU = (resolution: number): number => resolution / Math.sqrt(12);

/** The same of the difference of two indications. @example dropResolutionU(0.1) // 0.0408 */
export const dropResolutionU = (resolution: number): number => Math.SQRT2 * resolutionU(resolution);

/** Share of the accuracy class taken for drift and hysteresis over a dwell when the gauge's data don't state them. */
const stabilityShare = 0.1;

/**
 * The uncertainty of a pressure level: accuracy class, calibration and resolution, each in full. It never enters a
 * drop, where the gauge's gain and offset cancel.
 * @example a 0 to 400 bar gauge of 0.25 % and 0.1 bar steps: u 0.5781 bar in all, U (k = 2) 1.1561 bar
 */
export function levelBudget(gauge: GaugeSpec): BudgetLine[] {
  const halfWidth = gauge.accuracyOfSpan * (gauge.rangeHighPa - gauge.rangeLowPa);
  const lines: BudgetLine[] = [
    {
      of: 'level',
      name: 'accuracy class',
      u: rectangularU(halfWidth),
      degreesOfFreedom: null,
      distribution: 'rectangular',
      basis: `limit of error ±{difference:${halfWidth}} anywhere in the range (GUM 4.3.7)`,
    },
    {
      of: 'level',
      name: 'resolution',
      u: resolutionU(gauge.resolutionPa),
      degreesOfFreedom: null,
      distribution: 'rectangular',
      basis: `steps of {difference:${gauge.resolutionPa}} (GUM F.2.2.1)`,
    },
  ];
  const calibrationU = gauge.calibration?.expandedUPa;
  if (calibrationU !== undefined)
    lines.push({
      of: 'level',
      name: 'calibration',
      u: calibrationU / 2,
      degreesOfFreedom: null,
      distribution: 'normal',
      basis: `certificate ${gauge.calibration?.certificate ?? ''}: ±{difference:${calibrationU}} at k = 2`,
    });
  return lines;
}

/** Expanded uncertainty (k = 2) of a pressure level. */
export function levelUncertainty(gauge: GaugeSpec): PressureDifference {
  return pressureDifferencePa(2 * Math.sqrt(levelBudget(gauge).reduce((sum, line) => sum + square(line.u), 0)));
}

/** Drift and hysteresis of the gauge over a dwell, as it enters a drop. */
export function stabilityLine(gauge: GaugeSpec): BudgetLine {
  const stated = gauge.stabilityPa;
  const halfWidth = stated ?? stabilityShare * gauge.accuracyOfSpan * (gauge.rangeHighPa - gauge.rangeLowPa);
  return {
    of: 'drop',
    name: 'gauge stability',
    u: rectangularU(halfWidth),
    degreesOfFreedom: null,
    distribution: 'rectangular',
    basis:
      stated === undefined
        ? `not stated for this gauge: a tenth of its accuracy class, ±{difference:${halfWidth}} (common practice, no source)`
        : `±{difference:${halfWidth}} over a dwell, stated for this gauge`,
  };
}
