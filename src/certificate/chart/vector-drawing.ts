/** A text on one line; `matrix` is the transformation that its baseline starts under. */
export interface ChartText {
  readonly text: string;
  readonly x: number;
  readonly y: number;
  readonly size: number;
  readonly colour: string;
  readonly matrix: Matrix;
}

/** `[a, b, c, d, e, f]`: x' = a x + c y + e, y' = b x + d y + f. */
export type Matrix = readonly [number, number, number, number, number, number];

/** How wide and tall a text is in the font it will be set in. */
export interface TypeMeasure {
  /** Points. */
  width(text: string, size: number): number;
  /** Above the baseline, part of the size. */
  readonly ascent: number;
  /** Below the baseline, part of the size, positive. */
  readonly descent: number;
}
