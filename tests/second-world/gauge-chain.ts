import { Chance } from './chance.js';
import type { Gauge, HoldSpec, Noise, Probe } from './hold-spec.js';
import { type Course, stepS, valueAt } from './physics.js';

/** A row of the log. */
export interface Row {
  readonly timeS: number;
  readonly bar: number;
  readonly celsius: number | null;
}

/** What the gauge and the probe send of a course. */
export function readingsOf(spec: HoldSpec, course: Course): Row[] {
  const { gauge, probe } = spec;
  const seen = smoothed(course.gaugePa, gauge.filter);
  const lastS = (course.steps - 1) * stepS;
  const updates = updatesOf(gauge, seen, lastS, spec.seed);
  const oil = probe ? probed(probe, course) : null;
  const clock = Chance.of(spec.seed, 'clock');
  const oilNoise = Chance.of(spec.seed, 'probe noise');
  const rows: Row[] = [];
  let before = -1e-3;
  for (let k = 0; k / gauge.lineHz <= lastS; k += 1) {
    const moment = k / gauge.lineHz;
    const wander = gauge.jitter === 0 ? 0 : (gauge.jitter * clock.normal()) / gauge.lineHz;
    const timeS = Math.max(before + 1e-4, Math.round((moment + wander) * 1e4) / 1e4, 0);
    before = timeS;
    const pa = updates[Math.min(Math.floor(moment * gauge.updateHz + 1e-9), updates.length - 1)] ?? 0;
    const kelvins = oil && probe ? valueAt(oil, moment) + probe.noiseK * oilNoise.normal() : null;
    rows.push({
      timeS,
      bar: pa / 1e5,
      celsius:
        kelvins === null || !probe ? null : Math.round((kelvins - 273.15) / probe.resolutionK) * probe.resolutionK,
    });
  }
  return rows;
}

/** The gauge's own values, as often as it makes them, in whole steps of its digits. */
function updatesOf(gauge: Gauge, seen: Float64Array, lastS: number, seed: number): Float64Array {
  const count = Math.floor(lastS * gauge.updateHz) + 1;
  const noise = noiseOf(gauge, count, Chance.of(seed, 'gauge noise'));
  const values = new Float64Array(count);
  for (let k = 0; k < count; k += 1) {
    const atS = k / gauge.updateHz;
    const pa = valueAt(seen, atS) + (noise[k] ?? 0) + gauge.zeroOffsetPa + gauge.zeroCreepPaPerS * atS;
    values[k] = Math.round(pa / gauge.resolutionPa) * gauge.resolutionPa + 0;
  }
  return values;
}

/** Noise at each update; a filter in the gauge filters its noise too. */
export function noiseOf(
  gauge: Pick<Gauge, 'noise' | 'filter' | 'updateHz'>,
  count: number,
  chance: Chance,
): Float64Array {
  const raw = rawNoise(gauge.noise, count, gauge.updateHz, chance);
  if (!gauge.filter || gauge.noise.kind === 'none') return raw;
  return smoothed(raw, gauge.filter, 1 / gauge.updateHz);
}

function rawNoise(noise: Noise, count: number, updateHz: number, chance: Chance): Float64Array {
  const out = new Float64Array(count);
  switch (noise.kind) {
    case 'none':
      return out;
    case 'white':
      return out.map(() => noise.sdPa * chance.normal());
    case 'ar1': {
      const fresh = noise.sdPa * Math.sqrt(1 - noise.coefficient ** 2);
      let now = noise.sdPa * chance.normal();
      return out.map(() => {
        now = noise.coefficient * now + fresh * chance.normal();
        return now;
      });
    }
    case 'pink':
      return pink(noise.sdPa, count, updateHz, chance);
    case 'walk': {
      let now = 0;
      const stepPa = noise.walkPaPerRootS / Math.sqrt(updateHz);
      return out.map(() => {
        now += stepPa * chance.normal();
        return now + noise.sdPa * chance.normal();
      });
    }
    case 'compressor': {
      const start = 2 * Math.PI * chance.next();
      return out.map(
        (_, k) =>
          noise.amplitudePa * Math.sin(start + (2 * Math.PI * k) / updateHz / noise.periodS) +
          noise.sdPa * chance.normal(),
      );
    }
  }
}

/** 1/f: equal shares of variance in relaxations an octave apart, from one update to 512 s. */
function pink(sdPa: number, count: number, updateHz: number, chance: Chance): Float64Array {
  const out = new Float64Array(count);
  const times: number[] = [];
  for (let tauS = 1 / updateHz; tauS <= 512; tauS *= 2) times.push(tauS);
  const each = sdPa / Math.sqrt(times.length);
  for (const tauS of times) {
    const keep = Math.exp(-1 / (updateHz * tauS));
    const fresh = each * Math.sqrt(1 - keep ** 2);
    let now = each * chance.normal();
    for (let k = 0; k < count; k += 1) {
      now = keep * now + fresh * chance.normal();
      out[k] = (out[k] ?? 0) + now;
    }
  }
  return out;
}

/** Running mean over the time past, or a first-order lag. */
export function smoothed(column: Float64Array, filter: Gauge['filter'], everyS = stepS): Float64Array {
  if (!filter || filter.s <= 0) return column;
  const out = new Float64Array(column.length);
  if (filter.kind === 'first order') {
    const take = 1 - Math.exp(-everyS / filter.s);
    let now = column[0] ?? 0;
    for (let i = 0; i < column.length; i += 1) {
      now += take * ((column[i] ?? 0) - now);
      out[i] = now;
    }
    return out;
  }
  const span = Math.max(1, Math.round(filter.s / everyS));
  let sum = 0;
  for (let i = 0; i < column.length; i += 1) {
    sum += column[i] ?? 0;
    if (i >= span) sum -= column[i - span] ?? 0;
    out[i] = sum / Math.min(i + 1, span);
  }
  return out;
}

/** What the probe sees of oil or room, at every step, before noise and digits. */
function probed(probe: Probe, course: Course): Float64Array {
  const seen = probe.kind === 'room' ? course.roomK : probe.kind === 'barrel' ? course.barrelK : course.oilK;
  const lagged = smoothed(seen, probe.lagS > 0 ? { kind: 'first order', s: probe.lagS } : null);
  return lagged.map((kelvins) => kelvins + probe.offsetK);
}

/** The log as CSV, as the gauge's digits go. */
export function csvOf(rows: readonly Row[], resolutionPa: number): string {
  const decimals = Math.max(0, Math.min(5, Math.ceil(-Math.log10(resolutionPa / 1e5) - 1e-9)));
  const withOil = rows.some(({ celsius }) => celsius !== null);
  const lines = [withOil ? 'time_s,pressure_bar,temperature_C' : 'time_s,pressure_bar'];
  for (const { timeS, bar, celsius } of rows)
    lines.push(`${timeS.toFixed(4)},${bar.toFixed(decimals)}${withOil ? `,${(celsius ?? 0).toFixed(3)}` : ''}`);
  return `${lines.join('\n')}\n`;
}
