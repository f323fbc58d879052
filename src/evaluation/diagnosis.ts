import type { DwellContext } from './context.js';
import type { DecayEstimate } from './estimate.js';
import type { Diagnosis, DiagnosisShape } from './result.js';
import { gathered, type Series } from './shape/series.js';
import { type Trend, trendOf } from './shape/trend.js';
import type { TraceState } from './trace/dwell-trace.js';

/** A shape is named only when its weight among those tried reaches this. */
const bendWeight = 0.95;
const lineWeight = 0.6;
/**
 * A steady fall is called steady only when it is this many standard uncertainties large: a fall that settles with a
 * third of the dwell as time constant would then show its bend at more than four of them.
 */
const clearFall = 12;
/** Share of the raw fall that the oil must explain to be called its cause. */
const thermalShare = 0.7;

/** The course as read, measured temperature taken out: what a person sees on the chart. */
function plainSeries(state: TraceState, { fit, thermal, judged }: DecayEstimate): Series {
  const { timeS: t, pressure, count: weight } = state.blocks;
  const within = t.filter((at) => at <= judged.toS - judged.fromS).length;
  const warm = (timeS: number): number => (thermal ? fit.explained(0, timeS) - fit.creep(0, timeS) : 0);
  const cells = gathered({ t: t.slice(0, within), y: pressure.slice(0, within), weight: weight.slice(0, within) }, 128);
  return thermal ? { ...cells, y: cells.y.map((y, i) => y + warm(cells.t[i] ?? 0)) } : cells;
}

/** The shape of a dwell, likely causes and what to try. It never changes a verdict. */
export function diagnose(
  state: TraceState,
  estimate: DecayEstimate,
  context: DwellContext,
  allowedDropPa: number | null,
): Diagnosis {
  const trend = trendOf(plainSeries(state, estimate), estimate.judged.toS);
  const { shape, strength } = shapeOf(state, estimate, trend, context, allowedDropPa);
  return { shape, strength, ...wordsFor(shape, estimate, trend, context) };
}

function shapeOf(
  state: TraceState,
  estimate: DecayEstimate,
  trend: Trend,
  context: DwellContext,
  allowedDropPa: number | null,
): { shape: DiagnosisShape; strength: number } {
  const { thermal, scatterUPa: statisticalUPa } = estimate;
  const { dropPa } = estimate.judged;
  const { line, settling, step } = trend.weight;
  if (isQuantised(state, context.gauge.resolutionPa)) return { shape: 'quantised', strength: 1 };
  if (step >= bendWeight) return { shape: 'step', strength: step };
  if (settling >= bendWeight) return { shape: 'settling', strength: settling };
  if (thermal) {
    const explained = Math.abs(thermal.dropPa);
    const share = explained / (explained + Math.abs(dropPa));
    if (explained > clearFall * statisticalUPa && share >= thermalShare) return { shape: 'thermal', strength: share };
  }
  if (Math.abs(dropPa) > clearFall * statisticalUPa && line >= lineWeight) return { shape: 'steady', strength: line };
  const masked = allowedDropPa !== null && 2 * statisticalUPa > allowedDropPa && Math.abs(dropPa) < 3 * statisticalUPa;
  if (masked) return { shape: 'noisy', strength: line };
  return { shape: 'none', strength: line };
}

/** The display moved by at most two steps, and noise did not stir it. */
const isQuantised = (state: TraceState, resolutionPa: number): boolean =>
  resolutionPa > 0 && state.highestPa - state.lowestPa <= 2 * resolutionPa && state.noisePa < 0.35 * resolutionPa;

function wordsFor(
  shape: DiagnosisShape,
  estimate: DecayEstimate,
  trend: Trend,
  context: DwellContext,
): { likely: string[]; tryNext: string[] } {
  const falling = estimate.judged.dropPa >= 0;
  const { port } = context;
  switch (shape) {
    case 'steady':
      if (!falling)
        return {
          likely: ['oil is warming up, or oil is still being fed in through a valve that does not close'],
          tryNext: ['log the oil temperature', 'isolate the pump and repeat'],
        };
      return {
        likely: [
          port.opposite === 'open' && port.position !== 'no piston'
            ? 'oil passes the piston seal'
            : 'oil leaves through a seal or a fitting',
          port.position === 'no piston'
            ? 'a leak at one of the parts under pressure'
            : port.port === 'A'
              ? 'a leak at the cap, its weld or the boss of port A'
              : 'a leak at the gland, the rod seal or the boss of port B',
          'the check valve or a fitting of the bench',
        ],
        tryNext: [
          port.position === 'no piston' ? 'look at every part' : 'look at the gland, the bosses and the open port',
          'repeat the hold: a leak falls at the same rate every time',
          'bench check with plugged lines, compared in mL/min',
          'hold at a second pressure: a narrow gap leaks in proportion to pressure, a hole with its square root',
          ...(port.position === 'no piston' ? [] : ['change ports']),
        ],
      };
    case 'settling':
      return falling
        ? {
            likely: ['heat of compression leaving the oil', 'air being dissolved', 'seals and hoses still creeping'],
            tryNext: [
              `wait: the time constant is about {seconds:${trend.bestSettling?.atS ?? 0}}`,
              'repeat the hold: heat and creep give less each time, a leak the same',
              'purge the air and pump up more slowly',
            ],
          }
        : {
            likely: ['oil cooled by a fast bleed is warming up again', 'seals and hoses recovering'],
            tryNext: [
              'wait until the pressure is steady: a rise can hide a leak',
              'settle a little above the target before the dwell',
            ],
          };
    case 'step':
      return {
        likely: falling
          ? ['a valve or a fitting was moved', 'a seal slipped into place', 'the piston moved']
          : ['oil was topped up', 'a valve was moved'],
        tryNext: [
          `look at what happened {seconds:${trend.bestStep?.atS ?? 0}} into the dwell`,
          'repeat the hold untouched',
        ],
      };
    case 'thermal':
      return {
        likely: [
          `the oil ${(estimate.thermal?.coolingK ?? 0) >= 0 ? 'cooled' : 'warmed'} by {kelvin:${Math.abs(estimate.thermal?.coolingK ?? 0)}}, which explains most of the change`,
        ],
        tryNext: [
          'wait until oil, cylinder and room have the same temperature',
          'shield the bench from draught and sun',
        ],
      };
    case 'noisy':
      return {
        likely: ['the pump or a machine nearby shakes the line or the gauge', 'electrical noise on the gauge cable'],
        tryNext: ['isolate the pump', 'dwell longer: the uncertainty falls quickly with time'],
      };
    case 'quantised':
      return {
        likely: ['the steps of the display are too coarse for this dwell'],
        tryNext: ['use a gauge with finer steps', 'dwell longer'],
      };
    case 'none':
      return { likely: [], tryNext: [] };
  }
}
