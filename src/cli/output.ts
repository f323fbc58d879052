import { spell, type UnitSystem, withoutSteering } from '../units/index.js';

/** As `paint` writes them. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: colours begin with one.
const ownColours = /(\u001b\[(?:\d+;)*\d+m)/;

/** A line on stdout: what the command was asked for. */
export function say(line = ''): void {
  process.stdout.write(`${shown(line)}\n`);
}

/** Stored and given texts may hold what steers a terminal: nothing of it goes out but the colours of this program. */
const shown = (line: string): string =>
  line
    .split(ownColours)
    .map((part, index) => (index % 2 === 1 ? part : withoutSteering(part)))
    .join('');

/** A line on stderr: progress and remarks, never part of the answer. */
export function remark(line: string): void {
  process.stderr.write(`${shown(line)}\n`);
}

/** How the program was called, for what to type next. */
export const commandName: string = process.env.npm_command === 'exec' ? 'npx dwellmark' : 'dwellmark';

/** JSON and nothing else. */
export function sayJson(value: unknown): void {
  process.stdout.write(`${JSON.stringify(value, null, 2)}\n`);
}

/** A value in which every text is spelled in the reader's units. */
export function spellAll<T>(value: T, system: UnitSystem): T {
  return spelled(value, system) as T;
}

function spelled(value: unknown, system: UnitSystem): unknown {
  if (typeof value === 'string') return value.includes('{') ? spell(value, system) : value;
  if (Array.isArray(value)) return value.map((entry) => spelled(entry, system));
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, entry]) => [key, spelled(entry, system)]));
}

const useColour = (): boolean => process.stdout.isTTY === true && !process.env.NO_COLOR;

const paints = { bold: 1, dim: 2, red: 31, green: 32, yellow: 33, cyan: 36 } as const;

/** Colour where the terminal takes it and nobody asked for none; the word always says it too. */
export const paint = (text: string, ...how: (keyof typeof paints)[]): string =>
  useColour() ? `\u001b[${how.map((name) => paints[name]).join(';')}m${text}\u001b[0m` : text;
