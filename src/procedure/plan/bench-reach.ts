import type { PortName } from '../../hydraulics/index.js';
import { type Pressure, pressurePa } from '../../units/index.js';
import type { Job, JobPort } from '../job.js';

/** What the bench can bring to a port, and what must bear it. Absent figures: the job does not state them. */
export interface BenchReach {
  readonly reliefPa: Pressure | null;
  readonly pumpPa: Pressure | null;
  /** The booster's ratio times its air: where it stalls. */
  readonly stallPa: Pressure | null;
  /** The most that can come: what pump and booster reach, or what the relief valve lets through; null: not known. */
  readonly mostPa: Pressure | null;
  readonly parts: readonly BenchPart[];
}

/** A part of the bench that sees the pressure, by the key of the job that states what it is rated for. */
export interface BenchPart {
  readonly name: string;
  readonly key: string;
  readonly ratedPa: Pressure;
}

/** What the cylinder's maker allows at a port: its own rated pressure, or the cylinder's. */
export const ratedAtPa = ({ cylinder, ports }: Pick<Job, 'cylinder' | 'ports'>, port: PortName): Pressure =>
  ports.find((one) => one.port === port)?.ratedPa ?? cylinder.ratedPressurePa;

/**
 * What the bench can bring to a port.
 * @example a booster of 60 to 1 on 6 bar of air, relief at 250 bar: stalls at 360 bar, at most 250 bar can come
 */
export function benchReach({ bench }: Pick<Job, 'bench'>, port: JobPort): BenchReach {
  const { pumpPressurePa: pumpPa = null, boosterRatio, boosterAirPa } = bench;
  const reliefPa = port.reliefPa ?? bench.reliefPa ?? null;
  const stallPa =
    boosterRatio === undefined || boosterAirPa === undefined ? null : pressurePa(boosterRatio * boosterAirPa);
  const sourcePa = pumpPa === null && stallPa === null ? null : Math.max(pumpPa ?? 0, stallPa ?? 0);
  const most = Math.min(reliefPa ?? Number.POSITIVE_INFINITY, sourcePa ?? Number.POSITIVE_INFINITY);
  const parts: readonly (readonly [name: string, key: string, ratedPa: Pressure | undefined])[] = [
    ['the hose', 'bench.hose', bench.hosePa],
    ['the plugs', 'bench.plugs', bench.plugsPa],
    ['the weakest part of the bench', 'bench.weakest_part', bench.weakestPartPa],
  ];
  return {
    reliefPa,
    pumpPa,
    stallPa,
    mostPa: Number.isFinite(most) ? pressurePa(most) : null,
    parts: parts.flatMap(([name, key, ratedPa]) => (ratedPa === undefined ? [] : [{ name, key, ratedPa }])),
  };
}
