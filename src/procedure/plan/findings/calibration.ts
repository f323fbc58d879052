import type { CalibrationPolicy } from '../../calibration-policy.js';
import type { CalibrationSpec } from '../../gauge-spec.js';
import type { Finding } from '../../plan-types.js';
import { type GaugeInTest, gaugesInTest } from '../gauges-of.js';
import type { Grounds } from './findings-of.js';
import { difference, pressure } from './marks.js';

/** What speaks against the calibration of each instrument on the day, up to the pressures of this test. */
export function calibrationFindings({ plan, figures, policy, on }: Grounds): Finding[] {
  return gaugesInTest(plan).flatMap((gauge) => {
    const { calibration, serial } = gauge;
    if (!calibration)
      return [found(policy.missing, 'calibration-missing', `No calibration of gauge ${serial} is on file.`)];
    const highestPa = Math.max(0, ...figures.ports.map((port) => highestAt(gauge, port)));
    return [
      ...(on === null ? [] : dateFindings(serial, calibration, on, policy)),
      ...coverFindings(serial, calibration, highestPa, policy),
      ...correctionFindings(serial, calibration),
    ];
  });
}

const found = (grade: Finding['grade'], code: string, text: string): Finding => ({ grade, code, text });

/** The highest pressure this gauge is to measure at a port; what comes at an open port is none. */
function highestAt({ duties }: GaugeInTest, port: Grounds['figures']['ports'][number]): number {
  const pressures = duties.map((duty) => {
    if (duty.gives === 'oil' || duty.whileTesting !== port.port) return 0;
    return duty.gives === 'pressure' ? port.testPa : (port.oppositePa ?? 0);
  });
  return Math.max(...pressures);
}

function dateFindings(serial: string, calibration: CalibrationSpec, on: string, policy: CalibrationPolicy): Finding[] {
  const { certificate, date, due } = calibration;
  const days = daysBetween(on, due);
  if (days < 0)
    return [
      found(
        policy.outOfDate,
        'calibration-expired',
        `Gauge ${serial}: calibration ${certificate} was due ${due}, ${-days} days before ${on}.`,
      ),
    ];
  if (on < date)
    return [
      found('warn', 'calibration-later', `Gauge ${serial}: calibration ${certificate} is dated ${date}, after ${on}.`),
    ];
  if (days > policy.noticeDays) return [];
  return [found('note', 'calibration-due', `Gauge ${serial}: calibration is due ${due}, in ${days} days.`)];
}

/** A certificate that states no range says nothing of it: what the laboratory did not write is not held against it. */
function coverFindings(
  serial: string,
  { certificate, coversLowPa, coversHighPa }: CalibrationSpec,
  highestPa: number,
  policy: CalibrationPolicy,
): Finding[] {
  if (coversHighPa === undefined || highestPa <= coversHighPa) return [];
  const covers = `${pressure(coversLowPa ?? 0)} to ${pressure(coversHighPa)}`;
  return [
    found(
      policy.notCovering,
      'calibration-not-covering',
      `Gauge ${serial}: calibration ${certificate} covers ${covers}, and it is to measure up to ${pressure(highestPa)}.`,
    ),
  ];
}

function correctionFindings(serial: string, { certificate, corrections = [] }: CalibrationSpec): Finding[] {
  const largestPa = Math.max(0, ...corrections.map(({ addPa }) => Math.abs(addPa)));
  if (largestPa === 0) return [];
  return [
    found(
      'note',
      'calibration-corrections',
      `Gauge ${serial}: pressure levels are corrected as calibration ${certificate} states (by up to ${difference(largestPa)}); drops and the recorded readings stay as the gauge shows them.`,
    ),
  ];
}

const daysBetween = (from: string, to: string): number =>
  Math.round((Date.parse(`${to}T00:00:00Z`) - Date.parse(`${from}T00:00:00Z`)) / 86_400_000);
