import { m3ToDrops } from '../../../hydraulics/index.js';
import type { CollectedDemand } from '../../plan-types.js';

const figure = (si: number): string => String(Number(si.toPrecision(7)));

/** Figures in a text, in SI, to be spelled in the reader's units. */
export const pressure = (pa: number): string => `{pressure:${Math.round(pa)}}`;
export const difference = (pa: number): string => `{difference:${figure(pa)}}`;
export const modulus = (pa: number): string => `{modulus:${figure(pa)}}`;
export const thermal = (paPerK: number): string => `{thermal:${figure(paPerK)}}`;
export const flow = (m3PerS: number): string => `{flow:${figure(m3PerS)}}`;
export const volume = (m3: number): string => `{volume:${figure(m3)}}`;
export const kelvin = (k: number): string => `{kelvin:${figure(k)}}`;
export const seconds = (s: number): string => `{seconds:${figure(s)}}`;
export const length = (m: number): string => `{length:${figure(m)}}`;
export const force = (n: number): string => `{force:${figure(n)}}`;
export const energy = (j: number): string => `{energy:${figure(j)}}`;
/** A leak as it is counted: `5.2 drops/min`. */
export const dropsPerMin = (m3PerS: number, dropsPerMl: number): string =>
  `${Number((m3ToDrops(m3PerS, dropsPerMl) * 60).toPrecision(2))} drops/min`;
/** What may be collected: `less than 1 drop in {seconds:180}`. */
export const collectedAmount = ({ volumeM3, drops, overS, lessThan }: CollectedDemand): string =>
  `${lessThan ? 'less than ' : ''}${drops === undefined ? volume(volumeM3) : `${drops} ${drops === 1 ? 'drop' : 'drops'}`} in ${seconds(overS)}`;
/** A plain ratio to two or three digits: `1.67`. */
export const times = (ratio: number): string => String(Number(ratio.toPrecision(3)));
/** A share as a percentage: `1.6 %`. */
export const percent = (share: number): string => `${Number((share * 100).toPrecision(3))} %`;
