/** No hydraulic oil is colder or hotter than this in a test: what a probe says beyond it is a fault of the probe. */
const [coldestK, hottestK] = [213, 473];

/** A temperature as far as oil can have it; NaN for none. */
export const usableOilK = (oilK: number): number => (oilK >= coldestK && oilK <= hottestK ? oilK : Number.NaN);
