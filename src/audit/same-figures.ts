import { canonicalJson } from '../record/index.js';

/**
 * How far two results agree. The language leaves the last digits of exp, log and their kin to the machine that runs
 * it: another one (a browser, a newer Node) may come to `nearly` where the one that judged comes to `identical`.
 */
export type Agreement = 'identical' | 'nearly' | 'different';

/** Largest relative difference of a figure that another machine's arithmetic may make. */
const nearlyRelative = 1e-6;

/** Compares two plain values: every text, every name and, to six digits, every figure, also those inside texts. */
export function agreement(one: unknown, other: unknown): Agreement {
  if (canonicalJson(one) === canonicalJson(other)) return 'identical';
  return near(one, other) ? 'nearly' : 'different';
}

function near(one: unknown, other: unknown): boolean {
  if (typeof one === 'number' && typeof other === 'number') return nearNumbers(one, other);
  if (typeof one === 'string' && typeof other === 'string') return nearTexts(one, other);
  if (typeof one !== 'object' || typeof other !== 'object' || one === null || other === null) return one === other;
  if (Array.isArray(one) !== Array.isArray(other)) return false;
  const [a, b] = [new Map(Object.entries(one)), new Map(Object.entries(other))];
  return a.size === b.size && [...a].every(([key, value]) => b.has(key) && near(value, b.get(key)));
}

const nearNumbers = (one: number, other: number): boolean =>
  Math.abs(one - other) <= nearlyRelative * Math.max(Math.abs(one), Math.abs(other));

const figures = /-?\d+(?:\.\d+)?(?:e[+-]?\d+)?/g;

function nearTexts(one: string, other: string): boolean {
  if (one === other) return true;
  const [a, b] = [one.match(figures) ?? [], other.match(figures) ?? []];
  return (
    one.replace(figures, '#') === other.replace(figures, '#') &&
    a.every((figure, index) => nearNumbers(Number(figure), Number(b[index])))
  );
}
