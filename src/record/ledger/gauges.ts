import type { CalibrationSpec, GaugeSpec, OilProbeSpec } from '../../procedure/index.js';
import { DwellmarkError } from '../../units/index.js';
import type { LedgerMark } from './act-kinds.js';
import type { Ledger } from './ledger.js';

/** A gauge known to the shop: what it can do, and how its driver is set. */
export interface GaugeRecord {
  readonly spec: GaugeSpec;
  /** The driver's name and settings as it takes them. */
  readonly driver: Readonly<Record<string, unknown>>;
}

/** A gauge with every calibration it ever had, oldest first. */
export interface KnownGauge extends GaugeRecord {
  readonly serial: string;
  readonly enteredAt: string;
  readonly calibrations: readonly EnteredCalibration[];
}

export interface EnteredCalibration extends CalibrationSpec {
  readonly enteredAt: string;
  readonly position: number;
  /** The scanned certificate's SHA-256, when it was put in the store. */
  readonly attachment: string | null;
}

/** Enters a gauge, or its changed settings: the newest entry counts, the older stay. */
export const enterGauge = (ledger: Ledger, gauge: GaugeRecord): LedgerMark =>
  ledger.act('gauge entered', { spec: gauge.spec, driver: gauge.driver }, { subject: gauge.spec.serial });

/** The same of an oil probe. */
export const enterProbe = (
  ledger: Ledger,
  probe: { readonly spec: OilProbeSpec; readonly driver: Readonly<Record<string, unknown>> },
): LedgerMark =>
  ledger.act('gauge entered', { probe: probe.spec, driver: probe.driver }, { subject: probe.spec.serial });

/** Every calibration of a gauge or probe, in the order they were entered. */
export const calibrationsOf = (ledger: Ledger, serial: string): EnteredCalibration[] =>
  ledger.lines('calibration entered', { subject: serial }).map((line) => ({
    ...(line.body.calibration as CalibrationSpec),
    enteredAt: line.at,
    position: line.position,
    attachment: (line.body.attachment as string | null) ?? null,
  }));

/** Enters a calibration of a known gauge. */
export function enterCalibration(
  ledger: Ledger,
  serial: string,
  calibration: CalibrationSpec,
  attachment: string | null,
): LedgerMark {
  if (ledger.lines('gauge entered', { subject: serial }).length === 0)
    throw new DwellmarkError('input', `there is no gauge ${serial}`, {
      advice: 'Enter it with `dwellmark gauge add`.',
    });
  return ledger.act('calibration entered', { calibration, attachment }, { subject: serial });
}

/** All pressure gauges by serial, each with its newest calibration in `spec.calibration`. */
export function gauges(ledger: Ledger): KnownGauge[] {
  const bySerial = new Map<string, KnownGauge>();
  for (const line of ledger.lines('gauge entered')) {
    if (line.body.spec === undefined) continue;
    const serial = line.subject ?? '';
    bySerial.set(serial, { ...(line.body as unknown as GaugeRecord), serial, enteredAt: line.at, calibrations: [] });
  }
  for (const [serial, gauge] of bySerial) {
    const calibrations = calibrationsOf(ledger, serial);
    const newest = [...calibrations].sort((a, b) => a.date.localeCompare(b.date)).at(-1);
    const spec = newest ? { ...gauge.spec, calibration: asSpec(newest) } : gauge.spec;
    bySerial.set(serial, { ...gauge, spec, calibrations });
  }
  return [...bySerial.values()].sort((a, b) => a.serial.localeCompare(b.serial));
}

function asSpec(entered: EnteredCalibration): CalibrationSpec {
  const { enteredAt: _at, position: _position, attachment: _attachment, ...calibration } = entered;
  return calibration;
}
