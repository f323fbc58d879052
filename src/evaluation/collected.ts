/** Oil caught at the open port beside what the fall of pressure says was lost. */
export interface CollectedComparison {
  /** Leak by the decay over leak collected; null when nothing was collected. */
  readonly ratio: number | null;
  readonly agrees: boolean;
  readonly text: string;
}

/** Up to this factor the two agree: trapped volume, stiffness and the way oil is caught are no better. Common practice, no source. */
const agreement = 2;

/**
 * Compares the leak rate by V/K dp/dt with the oil collected at the open opposite port, both m3/s. Much more by the
 * pressure than by the cup means that oil leaves elsewhere: outside, or into the bench.
 * @example compareCollected(5e-9, 2e-9).agrees // false: two and a half times as much by the pressure
 */
export function compareCollected(leakFromDecayM3PerS: number, collectedM3PerS: number): CollectedComparison {
  const both = `{flow:${leakFromDecayM3PerS}} by the fall of pressure, {flow:${collectedM3PerS}} collected`;
  if (!(collectedM3PerS > 0)) {
    const nothing = leakFromDecayM3PerS <= 0;
    const rest = nothing ? 'neither shows a leak' : 'what the pressure lost did not come out at the open port';
    return { ratio: null, agrees: nothing, text: `${both}: ${rest}.` };
  }
  const ratio = leakFromDecayM3PerS / collectedM3PerS;
  if (ratio > agreement)
    return { ratio, agrees: false, text: `${both}: oil leaves elsewhere too, outside or into the bench.` };
  if (ratio < 1 / agreement)
    return {
      ratio,
      agrees: false,
      text: `${both}: more came out than the pressure lost; oil of decompression was caught, or the trapped volume or its stiffness is wrong.`,
    };
  return { ratio, agrees: true, text: `${both}: they agree.` };
}
