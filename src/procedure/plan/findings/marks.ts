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
export const force = (n: number): string => `{force:${figure(n)}}`;
export const energy = (j: number): string => `{energy:${figure(j)}}`;
/** A plain ratio to two or three digits: `1.67`. */
export const times = (ratio: number): string => String(Number(ratio.toPrecision(3)));
/** A share as a percentage: `1.6 %`. */
export const percent = (share: number): string => `${Number((share * 100).toPrecision(3))} %`;
