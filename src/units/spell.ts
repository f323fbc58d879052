import { decimalsFor, formatQuantity, formatSignificant, shownUnit, valueIn } from './quantity.js';
import type { UnitSystem } from './unit-system.js';
import type { Dimension } from './unit-table.js';

/** The marks a text may carry, the dimension of each, and how it is written in a reader's units. */
const marks: Readonly<Record<string, { dimension: Dimension; unit: (system: UnitSystem) => string }>> = {
  pressure: { dimension: 'pressure', unit: (system) => system.pressure },
  difference: { dimension: 'pressure-difference', unit: (system) => system.pressure },
  modulus: { dimension: 'modulus', unit: (system) => (system.pressure === 'psi' ? 'psi' : 'GPa') },
  thermal: { dimension: 'pressure-per-kelvin', unit: (system) => `${system.pressure}/${system.temperatureDifference}` },
  rate: { dimension: 'pressure-rate', unit: (system) => system.pressureRate },
  flow: { dimension: 'flow', unit: (system) => system.flow },
  volume: { dimension: 'volume', unit: (system) => system.volume },
  temperature: { dimension: 'temperature', unit: (system) => system.temperature },
  kelvin: { dimension: 'temperature-difference', unit: (system) => system.temperatureDifference },
  expansion: { dimension: 'expansion', unit: (system) => `/${system.temperatureDifference}` },
  area: { dimension: 'area', unit: (system) => system.area },
  length: { dimension: 'length', unit: (system) => system.length },
  force: { dimension: 'force', unit: (system) => system.force },
  energy: { dimension: 'energy', unit: () => 'J' },
};

/**
 * Writes the figures of a text in the reader's units. Texts of the core carry `{pressure:25000000}`,
 * `{seconds:300}` and the like, SI inside, so that one record reads in bar here and in psi there. A figure beside its
 * uncertainty keeps only the digits that this gives meaning to, two of the uncertainty (GUM 7.2.6), and one beside the
 * tolerance it is held against, `{difference:7350} of ± {difference:40000}`, those of the tolerance.
 * @example spell('held {pressure:25000000}', unitSystems.bar) // 'held 250.0 bar'
 * @example spell('fell {difference:3070} ± {difference:12300}', unitSystems.bar) // 'fell 0.03 bar ± 0.12 bar'
 */
export function spell(text: string, system: UnitSystem): string {
  return withUncertainty(text, system).replace(/\{([a-z]+):([^}]+)\}/g, (whole, name: string, figure: string) => {
    const si = Number(figure);
    if (name === 'seconds') return spellDuration(si);
    const mark = marks[name];
    if (!mark || Number.isNaN(si)) return whole;
    const unit = mark.unit(system);
    const value = valueIn(si, mark.dimension, unit);
    if (name === 'temperature') return formatQuantity(si, mark.dimension, unit, 1);
    if (name === 'pressure') return formatQuantity(si, mark.dimension, unit, levelDecimals(unit, value));
    return `${formatSignificant(value, 3)}\u00a0${shownUnit(unit)}`;
  });
}

const withUncertainty = (text: string, system: UnitSystem): string =>
  text.replace(pairs, (whole, name: string, si: string, between: string, uncertainty: string, u: string) => {
    const [mark, beside] = [marks[name], marks[uncertainty]];
    const unit = mark?.unit(system);
    if (!mark || !beside || unit === undefined || unit !== beside.unit(system)) return whole;
    const decimals = Math.min(5, decimalsFor(valueIn(Number(u), beside.dimension, unit)));
    const figure = formatQuantity(Number(si), mark.dimension, unit, decimals);
    return `${figure}${between}${formatQuantity(Number(u), beside.dimension, unit, decimals)}`;
  });

const pairs = /\{([a-z]+):([^}]+)\}((?: of)? ± )\{([a-z]+):([^}]+)\}/g;

/** Decimals of a pressure level in its unit: about a hundredth of a percent of what cylinders are tested at. */
export const pressureDecimals = (unit: string): number => ({ MPa: 2, kPa: 0, psi: 0, Pa: 0 })[unit] ?? 1;

/** A low-pressure level keeps two significant digits, up to two decimals more: 5 psi reads 0.34 bar, not 0.3. */
function levelDecimals(unit: string, value: number): number {
  const usual = pressureDecimals(unit);
  if (Math.abs(value) < 0.5 * 10 ** -(usual + 2)) return usual;
  return Math.min(usual + 2, Math.max(usual, 1 - Math.floor(Math.log10(Math.abs(value)))));
}

/** 5 min, 1 min 30 s, 12 s, 2.5 s; from an hour on to the minute: 2 h 05 min. */
export function spellDuration(seconds: number): string {
  if (!Number.isFinite(seconds)) return 'n/a';
  if (Math.abs(seconds) < 0.05) return '0\u00a0s';
  if (seconds < 0) return `\u2212${spellDuration(-seconds)}`;
  const whole = Math.round(seconds);
  if (seconds < 9.95 && Math.abs(seconds - whole) > 0.05) return `${seconds.toFixed(1)}\u00a0s`;
  if (whole < 60) return `${whole}\u00a0s`;
  if (whole >= 3600) {
    const minutes = Math.round(seconds / 60);
    return `${Math.floor(minutes / 60)}\u00a0h ${String(minutes % 60).padStart(2, '0')}\u00a0min`;
  }
  const [minutes, rest] = [Math.floor(whole / 60), whole % 60];
  return rest === 0 ? `${minutes}\u00a0min` : `${minutes}\u00a0min ${rest}\u00a0s`;
}
