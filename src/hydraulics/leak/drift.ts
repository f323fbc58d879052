/**
 * How far a piston drifts for oil lost, m: volume over area.
 * @example 3 mL on a 101.6 mm bore: 0.37 mm
 */
export const driftM = (oilM3: number, areaM2: number): number => oilM3 / areaM2;
