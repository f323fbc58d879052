/**
 * A way for oil to escape. Laminar: a long clearance, flow in proportion to the pressure across it. Orifice: a short
 * sharp hole, flow as the square root. Both run backwards when the pressure across them is negative.
 */
export type LeakLaw =
  | { readonly law: 'laminar'; readonly m3PerSPerPa: number }
  | { readonly law: 'orifice'; readonly m3PerSPerSqrtPa: number };

/** Below this pressure a sharp hole is laminar too, which keeps the equation smooth at zero. */
const orificeLaminarBelowPa = 1;

/**
 * Flow through a leak, m3/s, at a pressure across it in Pa. No leak: 0.
 * @example leakFlow({ law: 'laminar', m3PerSPerPa: 1e-16 }, 250e5) // 2.5e-9
 */
export function leakFlow(leak: LeakLaw | undefined, acrossPa: number): number {
  if (!leak) return 0;
  return leak.law === 'laminar'
    ? leak.m3PerSPerPa * acrossPa
    : orificeFlow(leak.m3PerSPerSqrtPa, acrossPa, orificeLaminarBelowPa);
}

/** Q = k sqrt(p), made smooth (laminar) below `laminarBelowPa`, m3/s. */
export const orificeFlow = (m3PerSPerSqrtPa: number, acrossPa: number, laminarBelowPa: number): number =>
  (m3PerSPerSqrtPa * acrossPa) / Math.sqrt(Math.abs(acrossPa) + laminarBelowPa);

/** The laminar leak that passes `flowM3PerS` at `atPa`. */
export const laminarLeak = (flowM3PerS: number, atPa: number): LeakLaw => ({
  law: 'laminar',
  m3PerSPerPa: flowM3PerS / atPa,
});

/** The orifice that passes `flowM3PerS` at `atPa`. */
export const orificeLeak = (flowM3PerS: number, atPa: number): LeakLaw => ({
  law: 'orifice',
  m3PerSPerSqrtPa: flowM3PerS / Math.sqrt(atPa),
});
