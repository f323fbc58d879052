import type { Accident, Seen } from './accident-bench.js';

/** Figures and names of ports differ from run to run. */
export const withoutFigures = (text: string): string => text.replace(/−?\d+([.,]\d+)?/g, '0').replace(/\/\S+/g, '');

/** A computer that is busy reads late: that is told in any test, and is no part of an accident. */
const ofTheComputer = ['rate-fallen', 'silent', 'restarted'];

/** What the screen said: the same in every run but for its figures. */
export const screenPart = ({ name }: Pick<Accident, 'name'>, { said }: Pick<Seen, 'said'>): string =>
  `${name}. Screen: ${said.map((text) => `"${text}"`).join('; ')}.`;

/** One accident of the page, from what was seen of it. */
export function accidentText(accident: Accident, { said, record, faults, exit }: Seen): string {
  const own = faults.filter((code) => !ofTheComputer.includes(code) || accident.faults?.includes(code));
  const verdict = record.startsWith('pass') ? 'pass' : record;
  const told = own.length === 0 ? '' : ` (gauge: ${own.join(', ')})`;
  return `${screenPart(accident, { said })} Record: ${verdict}${told}. Exit code ${exit}.`;
}

/** The help topic: every accident, in the order of the book. */
export const accidentPage = (texts: readonly string[]): string => `# Accidents

What the screen says, what stands in the record, and the exit code, when something goes wrong in a hold test. The test
suite does each of these in a real terminal and writes down what it sees. In all of them: no reading on record
that the gauge did not send, no reading lost that was on disk, and \`dwellmark verify --all\` finds nothing altered.

A dwell that a fault has spoilt counts for nothing. Another begins by itself once the pressure has settled; only a whole
dwell can pass.

${texts.join('\n\n')}
`;
