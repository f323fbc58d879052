import { spell, type UnitSystem, withoutSteering } from '../units/index.js';

/** As `paint` writes them. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: colours begin with one.
const ownColours = /(\u001b\[(?:\d+;)*\d+m)/;

/** Lines held back while it is not known whether they fit the screen. */
let held: string[] | undefined;

/** A line on stdout: what the command was asked for. */
export function say(line = ''): void {
  if (held) held.push(shown(line));
  else process.stdout.write(`${shown(line)}\n`);
}

/** Says all that `write` says; in a terminal that it does not fit into, by the pager. */
export async function paged(write: () => void): Promise<void> {
  const { isTTY, rows } = process.stdout;
  if (!isTTY || !process.stdin.isTTY || process.env.PAGER === '') return write();
  held = [];
  try {
    write();
  } finally {
    const lines = held;
    held = undefined;
    const text = lines.map((line) => `${line}\n`).join('');
    if (lines.length < (rows || 24) || !(await byPager(text))) process.stdout.write(text);
  }
}

/** Columns of a terminal; 80 where it is none, or tells of none (`script` and serial consoles say 0). */
export const screenWidth = ({ columns }: { readonly columns?: number }): number => columns || 80;

/** False when there is no pager. */
async function byPager(text: string): Promise<boolean> {
  const { spawnSync } = await import('node:child_process');
  const pager = process.env.PAGER ?? (process.platform === 'win32' ? 'more' : 'less');
  const env = { ...process.env, LESS: process.env.LESS ?? 'FRX' };
  const { status } = spawnSync(pager, { input: text, stdio: ['pipe', 'inherit', 'inherit'], shell: true, env });
  return status === 0;
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

/** NO_COLOR and FORCE_COLOR decide where they are set, `FORCE_COLOR=0` means none; else a terminal has colour. */
const useColour = (): boolean => {
  const { NO_COLOR: none, FORCE_COLOR: force } = process.env;
  if (none) return false;
  return force === undefined || force === '' ? process.stdout.isTTY === true : !/^(?:0|false)$/.test(force);
};

const paints = { bold: 1, dim: 2, red: 31, green: 32, yellow: 33, cyan: 36 } as const;

/** Colour where the terminal takes it and nobody asked for none; the word always says it too. */
export const paint = (text: string, ...how: (keyof typeof paints)[]): string =>
  useColour() ? `\u001b[${how.map((name) => paints[name]).join(';')}m${text}\u001b[0m` : text;
