/** Friction of seals and guides along one direction of travel, N and SI. */
export interface SealFriction {
  /** Of a piston that slides fast enough. */
  readonly slidingN: number;
  /** That starts it again right after it stood still; at least `slidingN`. */
  readonly staticN: number;
  /** That starts it after a long rest, when the seals have bedded in; at least `staticN`. */
  readonly restingN: number;
  /** Time constant with which the grip grows at rest, s. */
  readonly gripsS: number;
  /** Speed over which friction falls from static to sliding (Stribeck), m/s. */
  readonly stribeckMPerS: number;
  readonly viscousNsPerM: number;
}

/**
 * Friction of a piston that moves, N: Fc + (Fs - Fc) exp(-(v/vs)^2) + b v.
 * @example at rest it is the static friction, far above `stribeckMPerS` sliding plus viscous
 */
export const movingFrictionN = (friction: SealFriction, speedMPerS: number): number =>
  friction.slidingN +
  (friction.staticN - friction.slidingN) * Math.exp(-((speedMPerS / friction.stribeckMPerS) ** 2)) +
  friction.viscousNsPerM * speedMPerS;

/** Force that starts a piston which has stood for so long, N. */
export const breakingForceN = (friction: SealFriction, stoodS: number): number =>
  friction.staticN + (friction.restingN - friction.staticN) * (1 - Math.exp(-stoodS / friction.gripsS));
