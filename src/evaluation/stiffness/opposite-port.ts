import type { PortPlan } from '../../procedure/index.js';
import type { PistonSealWord } from '../result.js';

/** Pressure at the other port over the hold, when a gauge is on it. Pascals. */
export interface OppositeSeen {
  readonly firstPa: number;
  readonly lastPa: number;
  /** Greatest running mean within the hold: a pressure that came and went counts too. */
  readonly greatestPa: number;
  /** Pressure at the port under test at the same times. */
  readonly heldFirstPa: number;
  readonly heldLastPa: number;
}

/** From this share of the held pressure on, the other chamber counts as joined to it. */
const togetherShare = 0.5;
/** A rise at the other port over the hold that counts, as a share of the held pressure. */
const risingShare = 0.01;

/** Readings that the first and the last figures are means of. */
const meanOf = 10;

/** Remembers the first and the last readings of both ports within the holds of an attempt, as means of a few. */
export class OppositeWatch {
  #count = 0;
  #seen: OppositeSeen | null = null;

  add(pressurePa: number, oppositePa: number): void {
    const seen = this.#seen ?? {
      firstPa: oppositePa,
      lastPa: oppositePa,
      greatestPa: oppositePa,
      heldFirstPa: pressurePa,
      heldLastPa: pressurePa,
    };
    this.#count += 1;
    const beginning = this.#count <= meanOf ? 1 / this.#count : 0;
    const end = 1 / Math.min(this.#count, meanOf);
    const lastPa = seen.lastPa + end * (oppositePa - seen.lastPa);
    this.#seen = {
      firstPa: seen.firstPa + beginning * (oppositePa - seen.firstPa),
      heldFirstPa: seen.heldFirstPa + beginning * (pressurePa - seen.heldFirstPa),
      lastPa,
      greatestPa: this.#count < meanOf ? lastPa : Math.max(seen.greatestPa, lastPa),
      heldLastPa: seen.heldLastPa + end * (pressurePa - seen.heldLastPa),
    };
  }

  /** Before the first hold of an attempt, or the last stage's hold: earlier ones say less. */
  startAfresh(): void {
    this.#count = 0;
    this.#seen = null;
  }

  seen(): OppositeSeen | null {
    return this.#seen;
  }
}

/**
 * What a hold can say of the piston seal. A blocked port without a gauge hides even a missing seal: oil fills the dead
 * volume and stops. With a gauge on it the two pressures come together. Null where there is no seal to speak of, or the
 * port is open and bypass shows there as oil.
 */
export function pistonSealWord(port: PortPlan, seen: OppositeSeen | null): PistonSealWord | null {
  if (port.opposite === 'open' || !speaksOfPistonSeal(port)) return null;
  if (port.opposite === 'blocked')
    return {
      seen: 'cannot be seen',
      text: 'the other port is blocked, so a leaking or even a missing piston seal would not show: this hold says nothing of the piston seal',
    };
  if (!seen)
    return {
      seen: 'cannot be seen',
      text: 'no pressure was read at the other port, so this hold says nothing of the piston seal',
    };
  const { firstPa, greatestPa, heldLastPa } = seen;
  const figures = `{pressure:${greatestPa}} at the other port against {pressure:${heldLastPa}} here`;
  if (greatestPa >= togetherShare * heldLastPa)
    return { seen: 'joined', text: `the two pressures move together (${figures}): oil passes the piston` };
  if (greatestPa - firstPa > risingShare * heldLastPa)
    return {
      seen: 'joined',
      text: `the other port rose by {difference:${greatestPa - firstPa}} during the hold (${figures}): oil passes the piston`,
    };
  return { seen: 'apart', text: `the two pressures stay apart (${figures})` };
}

const speaksOfPistonSeal = (port: PortPlan): boolean =>
  [...port.covers, ...port.notCovered].some((part) => part.includes('piston seal'));
