/**
 * A time since the first reading as on a clock: `4:07`, from an hour on `1:04:07`; with decimals where they are asked for.
 * @example clockText(247.34, 1) // '4:07.3'
 */
export function clockText(seconds: number, decimals = 0): string {
  const scale = 10 ** decimals;
  const ticks = Math.round(Math.abs(seconds) * scale);
  const whole = Math.floor(ticks / scale);
  const fraction = decimals === 0 ? '' : `.${String(ticks % scale).padStart(decimals, '0')}`;
  const [hours, minutes, rest] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
  const two = (value: number): string => String(value).padStart(2, '0');
  const clock = hours > 0 ? `${hours}:${two(minutes)}:${two(rest)}` : `${minutes}:${two(rest)}`;
  return `${seconds < 0 && ticks > 0 ? '−' : ''}${clock}${fraction}`;
}
