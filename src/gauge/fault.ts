import type { GaugeFault, GaugeFaultCode } from './driver.js';

/**
 * What each fault does to the dwell it falls into. `void`: from then on nobody can say what the pressure was, or
 * whether it was this gauge's. `warn`: the trace is whole but looks wrong, the evaluation decides. `note`: for the
 * record.
 */
export const faultEffects: Readonly<Record<GaugeFaultCode, GaugeFault['effect']>> = {
  unplugged: 'void',
  replugged: 'note',
  restarted: 'void',
  'other-device': 'void',
  silent: 'void',
  'bad-line': 'note',
  checksum: 'note',
  'no-value': 'warn',
  'over-range': 'void',
  'under-range': 'void',
  'unit-changed': 'void',
  frozen: 'void',
  jump: 'warn',
  'rate-fallen': 'warn',
  'time-backwards': 'void',
  'zero-shift': 'void',
  exception: 'warn',
};

/** A fault with the effect of its rule, unless another is given. */
export const faultAt = (
  timeUs: number,
  code: GaugeFaultCode,
  text: string,
  effect: GaugeFault['effect'] = faultEffects[code],
): GaugeFault => ({ timeUs, code, text, effect });
