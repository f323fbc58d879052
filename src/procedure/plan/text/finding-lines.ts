import { spell, type UnitSystem } from '../../../units/index.js';
import type { Finding } from '../../plan-types.js';
import { wrap } from './wrap.js';

/** Findings that say the same of both ports, as one. */
function saidOnce(
  findings: readonly Finding[],
): readonly (Omit<Finding, 'port'> & { readonly ports: readonly string[] })[] {
  const once = new Map<string, Omit<Finding, 'port'> & { ports: string[] }>();
  for (const { port, ...finding } of findings) {
    const key = [finding.grade, finding.code, finding.stage, finding.text].join('|');
    const same = once.get(key);
    if (same && port !== undefined) same.ports.push(port);
    else if (!same) once.set(key, { ...finding, ports: port === undefined ? [] : [port] });
  }
  return [...once.values()];
}

/** Findings under a heading, each with its port and stage, as lines of at most 80 columns; nothing where there are none. */
export function findingLines(heading: string, found: readonly Finding[], system: UnitSystem): string[] {
  if (found.length === 0) return [];
  return [
    '',
    heading,
    ...saidOnce(found).flatMap((finding) => {
      const where = [finding.ports.join(' and '), finding.stage ?? ''].filter((part) => part !== '').join(' ');
      const text = spell(`${finding.grade.padEnd(5)} ${where === '' ? '' : `${where}: `}${finding.text}`, system);
      return wrap(text, 2, 8);
    }),
  ];
}
