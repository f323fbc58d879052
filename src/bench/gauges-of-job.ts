import type { CalibrationSpec, GaugeSpec, Job, JobPort, OilProbeSpec, OtherGauges } from '../procedure/index.js';
import { enteredCalibrations, withCalibrationInForce } from './calibration-in-force.js';
import { gaugeOfShop, type Shop } from './shop.js';

/** The gauges of a job, each with the calibration in force on a day. */
export interface GaugesOfJob {
  readonly gauge: GaugeSpec;
  readonly others: OtherGauges;
}

/**
 * Finds every gauge that a job names in the shop file.
 * @param on ISO date.
 * @throws DwellmarkError (`input`) when one is not there.
 */
export function gaugesOfJob(job: Job, ports: readonly JobPort[], shop: Shop | null, on: string): GaugesOfJob {
  const inForce = <Spec extends { readonly serial: string; readonly calibration?: CalibrationSpec }>(
    spec: Spec,
  ): Spec => withCalibrationInForce(spec, enteredCalibrations(shop, spec.serial), on);
  const written = job.gauge.kind === 'stated' ? job.gauge.spec : gaugeOfShop(shop, job.gauge.serial).spec;
  const named = ports.flatMap(({ gauge, oppositeGauge }) => [gauge, oppositeGauge]);
  const gauges = new Map<string, GaugeSpec>([[written.serial, inForce(written)]]);
  for (const serial of named)
    if (serial !== undefined && !gauges.has(serial)) gauges.set(serial, inForce(gaugeOfShop(shop, serial).spec));
  const oilProbe = job.oilProbe === undefined ? undefined : inForce(oilProbeOf(job.oilProbe, shop));
  return {
    gauge: inForce(written),
    others: { gauges, ...(oilProbe === undefined ? {} : { oilProbe }) },
  };
}

/** A probe of the shop, or a pressure gauge of it that also gives the oil temperature. */
function oilProbeOf(serial: string, shop: Shop | null): OilProbeSpec {
  const probe = shop?.probes.find(({ spec }) => spec.serial === serial);
  if (probe) return probe.spec;
  const { maker, model, calibration } = gaugeOfShop(shop, serial).spec;
  return {
    serial,
    ...(maker === undefined ? {} : { maker }),
    ...(model === undefined ? {} : { model }),
    ...(calibration === undefined ? {} : { calibration }),
  };
}
