import { existsSync } from 'node:fs';
import type { CalibrationSpec } from '../procedure/index.js';
import { openStore } from '../record/index.js';
import type { Shop } from './shop.js';

/**
 * A gauge with the calibration in force on a day: of the one written beside the gauge and those entered in the record,
 * the newest made on that day or before; of two of one day, the one entered last. With none so early the gauge stays as
 * it is written, and the plan says what is wrong with that.
 * @param on ISO date.
 */
export function withCalibrationInForce<Spec extends { readonly calibration?: CalibrationSpec }>(
  gauge: Spec,
  entered: readonly CalibrationSpec[],
  on: string,
): Spec {
  const written = gauge.calibration === undefined ? [] : [gauge.calibration];
  const inForce = [...written, ...entered]
    .filter(({ date }) => date <= on)
    .reduce<CalibrationSpec | undefined>((newest, one) => (newest && newest.date > one.date ? newest : one), undefined);
  return inForce === undefined ? gauge : { ...gauge, calibration: inForce };
}

/** The calibrations that the shop's record holds of a gauge, in the order they were entered; none without a record. */
export function enteredCalibrations(shop: Shop | null, serial: string): CalibrationSpec[] {
  if (shop === null || !existsSync(shop.database)) return [];
  const store = openStore(shop.database, { mode: 'read' });
  try {
    return store
      .calibrationsOf(serial)
      .map(({ enteredAt: _at, position: _position, attachment: _attachment, ...calibration }) => calibration);
  } finally {
    store.close();
  }
}
