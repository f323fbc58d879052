import type { SeenStroke, StrokeEnd } from '../../holdtest/index.js';

/** One slow stroke before the hold. Pressures in Pa above the vented zero of the gauge; uncertainties expanded, 95 %. */
export interface StrokeResult {
  readonly number: number;
  /** Port A drives the piston out, port B in. */
  readonly direction: 'out' | 'in';
  readonly startUs: number;
  readonly endUs: number;
  /** How long the gauge stood at zero before, s. */
  readonly restS: number;
  /** Least pressure that started the motion; null when it came too quickly for this gauge to show. */
  readonly breakAwayPa: number | null;
  readonly breakAwayUncertaintyPa: number | null;
  /** Mean level of the run, which keeps the piston moving (drag); null when the run was too short. */
  readonly runningPa: number | null;
  readonly runningUncertaintyPa: number | null;
  /** Standard deviation of the readings about that level. */
  readonly runningSpreadPa: number | null;
  /** The same less the pressure at the other port, where a gauge shows it. */
  readonly runningDifferencePa: number | null;
  readonly runS: number;
  readonly stickSlip: StickSlip;
  readonly end: StrokeEnd;
  readonly shownBy: SeenStroke['shownBy'];
}

/** Slow rises that end in quick falls, over and over, at a constant flow. */
export interface StickSlip {
  readonly seen: 'yes' | 'no' | 'cannot tell';
  /** Mean height of a fall, and its expanded uncertainty. */
  readonly amplitudePa: number | null;
  readonly amplitudeUncertaintyPa: number | null;
  readonly teeth: number;
  readonly periodS: number | null;
  /** The evidence in words, figures as marks. */
  readonly text: string;
}

/** What the strokes of an attempt come to. */
export interface BreakAwayResult {
  readonly wanted: number;
  readonly seen: number;
  /** The highest break-away read, with its uncertainty; null when none could be read. */
  readonly breakAwayPa: number | null;
  readonly breakAwayUncertaintyPa: number | null;
  /** The highest running level, with its uncertainty. */
  readonly runningPa: number | null;
  readonly runningUncertaintyPa: number | null;
  readonly stickSlip: StickSlip['seen'];
  /** In a sentence, figures as marks. */
  readonly text: string;
  /** What departed from the procedure: too few strokes, too short a rest; null when nothing did. */
  readonly deviation: string | null;
}
