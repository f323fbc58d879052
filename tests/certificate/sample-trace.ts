import type { Reading } from '../../src/gauge/index.js';
import type { HoldEvent, HoldEventCode, PhaseName } from '../../src/holdtest/index.js';
import type { PortName } from '../../src/hydraulics/index.js';
import { pressurePa, temperatureK } from '../../src/units/index.js';

/** One stage of a made-up hold, in pascals and seconds. */
export interface SampleStage {
  readonly name: string;
  readonly targetPa: number;
  readonly dwellS: number;
  /** Fall during the dwell, Pa/s. */
  readonly fallPaPerS: number;
}

export interface SampleHold {
  readonly port: PortName;
  readonly attempt?: number;
  readonly stages: readonly SampleStage[];
  /** Events besides the phases, seconds from the start of the last dwell. */
  readonly extra?: readonly {
    readonly atS: number;
    readonly code: HoldEventCode;
    readonly text: string;
    readonly grade?: HoldEvent['grade'];
  }[];
}

export interface SampleRun {
  readonly readings: readonly Reading[];
  readonly events: ReadonlyMap<SampleHold, readonly HoldEvent[]>;
  /** Dwell windows by hold and stage name, microseconds. */
  readonly dwells: ReadonlyMap<
    SampleHold,
    ReadonlyMap<
      string,
      { readonly startUs: number; readonly endUs: number; readonly startPa: number; readonly endPa: number }
    >
  >;
}

const stepUs = 200_000;
const resolutionPa = 1e4;

/** Readings and events of holds one after the other, zero to zero, with noise that is the same every time. */
export function sampleRun(
  holds: readonly SampleHold[],
  options: { readonly oilK?: number; readonly opposite?: boolean } = {},
): SampleRun {
  const readings: Reading[] = [];
  const events = new Map<SampleHold, HoldEvent[]>();
  const dwells = new Map<SampleHold, Map<string, { startUs: number; endUs: number; startPa: number; endPa: number }>>();
  let timeUs = 0;
  let seed = 20_260_314;
  const noise = (): number => {
    seed = (seed * 1_103_515_245 + 12_345) % 2_147_483_648;
    return (seed / 2_147_483_648 - 0.5) * 2.2e4;
  };
  const read = (pa: number): number => {
    const shown = Math.round((pa + noise()) / resolutionPa) * resolutionPa;
    readings.push({
      timeUs,
      pressurePa: pressurePa(shown),
      oppositePa: options.opposite === true ? pressurePa(Math.round(Math.max(0, pa * 0.004) / 1000) * 1000) : null,
      oilK: options.oilK === undefined ? null : temperatureK(options.oilK - timeUs / 6e10),
      flags: 0,
    });
    timeUs += stepUs;
    return shown;
  };
  for (const hold of holds) {
    const attempt = hold.attempt ?? 1;
    const list: HoldEvent[] = [];
    const windows = new Map<string, { startUs: number; endUs: number; startPa: number; endPa: number }>();
    const note = (phase: PhaseName, stage: string | null): void => {
      list.push({ timeUs, port: hold.port, attempt, stage, phase, code: 'phase', grade: 'note', text: phase });
    };
    note('ready', null);
    for (let index = 0; index < 60; index++) read(0);
    let level = 0;
    for (const stage of hold.stages) {
      note('ramp', stage.name);
      const rampFrom = level;
      const rampSteps = 160;
      for (let index = 1; index <= rampSteps; index++) {
        const part = index / rampSteps;
        level = rampFrom + (stage.targetPa * 1.008 - rampFrom) * (part < 0.6 ? part * 1.2 : 0.72 + (part - 0.6) * 0.7);
        read(level);
      }
      note('stabilise', stage.name);
      for (let index = 0; index < 200; index++) {
        level = stage.targetPa * (1.002 + 0.006 * Math.exp(-index / 45));
        read(level);
      }
      note('dwell', stage.name);
      const startUs = timeUs;
      const startPa = level;
      const steps = Math.round((stage.dwellS * 1e6) / stepUs);
      for (let index = 0; index < steps; index++) {
        level = startPa - (stage.fallPaPerS * index * stepUs) / 1e6;
        read(level);
      }
      windows.set(stage.name, { startUs, endUs: timeUs - stepUs, startPa, endPa: level });
      for (const extra of hold.extra ?? [])
        if (stage === hold.stages.at(-1))
          list.push({
            timeUs: startUs + extra.atS * 1e6,
            port: hold.port,
            attempt,
            stage: stage.name,
            phase: 'dwell',
            code: extra.code,
            grade: extra.grade ?? 'note',
            text: extra.text,
          });
    }
    note('bleed-down', null);
    for (let index = 0; index < 60; index++) read(level * Math.exp(-index / 8));
    note('done', null);
    for (let index = 0; index < 30; index++) read(0);
    events.set(hold, list);
    dwells.set(hold, windows);
  }
  return { readings, events, dwells };
}
