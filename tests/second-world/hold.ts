import { type Row, readingsOf } from './gauge-chain.js';
import type { HoldSpec } from './hold-spec.js';
import { type Course, simulateCourse, valueAt } from './physics.js';

/** A simulated hold: the log that a program may read, and the truth that it may not. */
export interface Hold {
  readonly spec: HoldSpec;
  readonly rows: readonly Row[];
  readonly truth: Truth;
}

/** What is known of the hold; each figure is a loss of pressure between two times, Pa, at the stiffness of its moment. */
export interface Truth {
  readonly course: Course;
  /** End of the last rise made by hand, or of the letting back that followed: from here on the oil is left alone. */
  readonly shutInS: number;
  /** Oil lost by leaks alone, at the stiffness of oil that keeps its temperature: V/K dp. */
  leakPa(fromS: number, toS: number): number;
  /**
   * How much lower the pressure ended than without a leak from the first of the two times on: more than
   * {@link leakPa}, by the cold of expansion that steel has not made good yet.
   */
  fallByLeakPa(fromS: number, toS: number): number;
  creepPa(fromS: number, toS: number): number;
  /** Fed by hand: positive for oil that went in. */
  fedPa(fromS: number, toS: number): number;
  /** By the temperatures of oil and steel. */
  heatPa(fromS: number, toS: number): number;
  /** All together: the fall of pressure in the cylinder. */
  plainPa(fromS: number, toS: number): number;
}

export function simulate(spec: HoldSpec): Hold {
  const course = simulateCourse(spec);
  const between = (column: Float64Array) => (fromS: number, toS: number) =>
    valueAt(column, toS) - valueAt(column, fromS);
  const minus = (column: Float64Array) => (fromS: number, toS: number) => valueAt(column, fromS) - valueAt(column, toS);
  return {
    spec,
    rows: readingsOf(spec, course),
    truth: {
      course,
      shutInS: Math.max(course.rampEndS, course.lastRiseS),
      leakPa: between(course.leakPa),
      fallByLeakPa: (fromS, toS) =>
        spec.leaks.length === 0
          ? 0
          : valueAt(simulateCourse(spec, fromS).cylinderPa, toS) - valueAt(course.cylinderPa, toS),
      creepPa: between(course.creepPa),
      fedPa: between(course.fedPa),
      heatPa: minus(course.heatPa),
      plainPa: minus(course.cylinderPa),
    },
  };
}
