/** What the live feed sends to the big screen: ready to be shown. */
export interface LiveNews {
  readonly sealed: boolean;
  readonly pressure: string;
  readonly unit: string;
  readonly phase: string;
  /** Time left in it, `9:27 left`, or empty. */
  readonly left: string;
  /** The one thing to do now. */
  readonly ask: string;
  /** Empty when there is none. */
  readonly alarm: string;
  readonly facts: readonly { readonly label: string; readonly text: string }[];
  /** Pascals, or null outside a stage. */
  readonly target: number | null;
  /** Seconds and pascals of the attempt so far, thinned. */
  readonly points: readonly (readonly [number, number])[];
  readonly atS: number;
}
