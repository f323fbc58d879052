import type { SimulatedBench } from '../simulated-bench.js';

/** Standard atmosphere, Pa. */
export const atmospherePa = 101_325;
/** Free air is not squeezed or drawn out beyond this, Pa absolute. */
const leastAbsolutePa = 1_000;

/**
 * What the gauge is joined to: the line with the cylinder, or the line alone (a shut valve, a plugged hose, or the
 * line side of a closed check valve). The oil side of the trapped volume in figures, m3 and m3/Pa.
 */
export interface TrappedVolume {
  readonly volumeM3: number;
  /** Oil, barrel and hose together, without air, m3/Pa. */
  readonly solidM3PerPa: number;
  /** Free air at atmospheric pressure, m3. */
  readonly airM3: number;
}

/** The line alone. */
export const lineVolume = ({ line, oil }: SimulatedBench): TrappedVolume => ({
  volumeM3: line.volumeM3,
  solidM3PerPa: line.volumeM3 / oil.bulkModulusPa + line.hoseM3PerPa,
  airM3: 0,
});

/** The cylinder's chamber alone; its free air is the whole of it. */
export const chamberVolume = ({ chamber, oil }: SimulatedBench): TrappedVolume => ({
  volumeM3: chamber.volumeM3,
  solidM3PerPa:
    chamber.volumeM3 / oil.bulkModulusPa + (chamber.wallModulusPa ? chamber.volumeM3 / chamber.wallModulusPa : 0),
  airM3: chamber.volumeM3 * oil.airFraction,
});

/** Two volumes joined by an open valve. */
export const joined = (one: TrappedVolume, other: TrappedVolume): TrappedVolume => ({
  volumeM3: one.volumeM3 + other.volumeM3,
  solidM3PerPa: one.solidM3PerPa + other.solidM3PerPa,
  airM3: one.airM3 + other.airM3,
});

/** Volume of the air at a gauge pressure, compressed isothermally, m3. `undissolved` is the part not yet in solution. */
export const airVolume = (trapped: TrappedVolume, undissolved: number, pressurePa: number): number =>
  (trapped.airM3 * undissolved * atmospherePa) / Math.max(leastAbsolutePa, pressurePa + atmospherePa);

/** Oil taken up for each pascal at this pressure, m3/Pa: V/K_eff. */
export const compliance = (trapped: TrappedVolume, undissolved: number, pressurePa: number): number =>
  trapped.solidM3PerPa +
  airVolume(trapped, undissolved, pressurePa) / Math.max(leastAbsolutePa, pressurePa + atmospherePa);
