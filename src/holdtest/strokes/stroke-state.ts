/** What the phases remember of slow strokes before the hold. Plain JSON. */
export interface StrokeState {
  /** Strokes seen in this attempt. */
  readonly seen: number;
  /** What the vented gauge showed before the first pressure of the attempt: later, oil on its way back may stand in it. */
  readonly zeroPa: number | null;
  /** Since when the gauge has stood at zero; null while it does not. */
  readonly zeroSinceUs: number | null;
  /** The pressure under way: it came from zero and has not gone back. */
  readonly open: OpenStroke | null;
  /** The newest pressure that came and went: whether it was a stroke, and whether the lines stood confirmed before it. */
  readonly last: { readonly endUs: number; readonly stroke: boolean; readonly confirmed: boolean } | null;
}

/** A pressure that came, before it is known whether it moved a piston. Pressures above the vented zero. */
export interface OpenStroke {
  /** The last reading at zero. */
  readonly fromUs: number;
  /** How long the gauge had stood at zero before. */
  readonly restS: number;
  readonly zeroPa: number;
  /** Standard deviation of the readings at rest. */
  readonly noisePa: number;
  readonly confirmed: boolean;
  /** The newest two readings, for a middle one of three. */
  readonly newest: readonly number[];
  /** The level under way, from its first top on. */
  readonly level: OpenLevel;
  /** The longest level that was followed by a climb. */
  readonly best: LevelRun | null;
  /** Times at which the climb after the best level passed the {@link climbMarks}. */
  readonly climbUs: readonly number[];
  readonly lowSinceUs: number | null;
}

/** A pressure that has stopped rising, or may still rise. */
export interface OpenLevel {
  readonly topPa: number;
  readonly topUs: number;
  /** When the rise had come as near to the top as the noise tells. */
  readonly reached: { readonly pa: number; readonly us: number };
  /** Lowest since the top. */
  readonly lowPa: number;
  /** The fall within two seconds of the top. */
  readonly fellPa: number;
  /** Slow rises that ended in a quick fall, and the zigzag that counts them. */
  readonly teeth: number;
  readonly zigzag: Zigzag;
  /** Means over equal times since the top; the time doubles when there are too many. */
  readonly cells: readonly number[];
  readonly cellUs: number;
  readonly open: { readonly startUs: number; readonly sumPa: number; readonly n: number } | null;
}

/** The leg of a zigzag under way: its direction, its extreme so far, where it began, and how long the leg before took. */
export interface Zigzag {
  readonly up: boolean;
  readonly pa: number;
  readonly us: number;
  readonly fromUs: number;
  readonly legBeforeUs: number;
}

/** A level that is over, or that ends now. */
export interface LevelRun {
  readonly fromUs: number;
  readonly reached: OpenLevel['reached'];
  readonly toUs: number;
  readonly topPa: number;
  readonly fellPa: number;
  readonly teeth: number;
  /** Median, and the means of the older and the newer half. */
  readonly levelPa: number;
  readonly halvesPa: readonly [number, number];
}

/** A stroke as the phases saw it; its figures are the evaluation's. */
export interface SeenStroke {
  readonly fromUs: number;
  /** The top before the piston ran. */
  readonly topUs: number;
  /** The end of the run: the climb at the end stop, or the pressure let go. */
  readonly runToUs: number;
  readonly endUs: number;
  readonly restS: number;
  readonly zeroPa: number;
  readonly noisePa: number;
  readonly end: StrokeEnd;
  /** The top and the level of the run as they were seen, Pa above zero: about, for words. */
  readonly topPa: number;
  readonly levelPa: number;
  /** What shows that the piston moved. */
  readonly shownBy: 'fall after the top' | 'saw-tooth' | 'slower rise at the stop';
}

/** At its stop and let go, let go on the way, or on into the test pressure. */
export type StrokeEnd = 'end stop' | 'let go' | 'went on';

export const freshStrokes: StrokeState = { seen: 0, zeroPa: null, zeroSinceUs: null, open: null, last: null };
