import { faultAt } from '../fault.js';
import type { Rule } from './rule.js';

/** Gauge pressure of a perfect vacuum with room for weather and height: nothing can be lower. */
const vacuumPa = -110_000;

export interface Range {
  outside: 'over' | 'under' | 'below-vacuum' | null;
}

/**
 * A value at or above the end of the range (an instrument stuck at full scale shows just that), below its start by
 * more than a hundredth of the span, or lower than a vacuum, which means that the zero is wrong.
 */
export const range: Rule<Range> = {
  start: () => ({ outside: null }),
  step(state, input, limits) {
    if (input.kind !== 'reading' || input.reading.pressurePa === null) return null;
    const { timeUs, pressurePa } = input.reading;
    const margin = 0.01 * (limits.rangeHighPa - limits.rangeLowPa);
    const outside = judge(pressurePa, limits.rangeLowPa - margin, limits.rangeHighPa);
    if (outside === state.outside) return null;
    state.outside = outside;
    if (outside === null) return null;
    const shown = `{pressure:${pressurePa}}`;
    if (outside === 'over') {
      const text = `${shown} is at or above the end of the gauge's range, {pressure:${limits.rangeHighPa}}`;
      return faultAt(timeUs, 'over-range', text);
    }
    if (outside === 'under') {
      const text = `${shown} is below the start of the gauge's range, {pressure:${limits.rangeLowPa}}`;
      return faultAt(timeUs, 'under-range', text);
    }
    const text = `${shown} is lower than a vacuum can be: the gauge's zero is wrong`;
    return faultAt(timeUs, 'zero-shift', text);
  },
};

function judge(pressurePa: number, lowest: number, highest: number): Range['outside'] {
  if (pressurePa >= highest) return 'over';
  if (pressurePa < vacuumPa && lowest > -3e7) return 'below-vacuum';
  return pressurePa < lowest ? 'under' : null;
}
