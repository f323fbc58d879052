import { fstatSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { type Command, InvalidArgumentError } from 'commander';
import { exitCodes } from '../exit-codes.js';
import { passingFolder } from '../passing-folder.js';

/** Units that may be asked for; written out, because help must load nothing. */
export const unitNames: readonly string[] = ['bar', 'MPa', 'kPa', 'kgf/cm2', 'psi'];

/** A command with the options that all have. */
export function command(parent: Command, name: string, description: string): Command {
  return parent
    .command(name)
    .description(description)
    .option('--shop <dir>', "the shop's folder (else DWELLMARK_SHOP, else the nearest dwellmark.toml upwards)")
    .option('--json', 'JSON and nothing else on stdout')
    .option('--debug', 'show where an error came from')
    .allowExcessArguments(false)
    .exitOverride((error) => {
      throw Object.assign(error, { exitCode: error.exitCode === 0 ? 0 : exitCodes.usage });
    });
}

export const examples = (...lines: string[]): string => `\nExamples:\n${lines.map((line) => `  ${line}`).join('\n')}`;

export function number(text: string): number {
  const value = Number(text);
  if (text.trim() === '' || !Number.isFinite(value)) throw new InvalidArgumentError('It is not a number.');
  return value;
}

export function whole(text: string): number {
  const value = number(text);
  if (!Number.isInteger(value) || value < 0) throw new InvalidArgumentError('It is not a whole number.');
  return value;
}

export function positive(text: string): number {
  const value = whole(text);
  if (value === 0) throw new InvalidArgumentError('It must be at least 1.');
  return value;
}

export function speed(text: string): number {
  const value = number(text);
  if (value <= 0) throw new InvalidArgumentError('It must be above zero.');
  return value;
}

export const collect = (text: string, before: readonly string[] = []): readonly string[] => [...before, text];

export function port(text: string): 'A' | 'B' {
  const name = text.toUpperCase();
  if (name !== 'A' && name !== 'B')
    throw new InvalidArgumentError('A cylinder has port A (cap end) and port B (rod end).');
  return name;
}

/**
 * A test or certificate as it is stored, from how it may be typed; anything else is left as it is.
 * @example numberOf('t-2026-7') // 'T-2026-0007'
 */
export function numberOf(text: string): string {
  const [, series, year, count] = /^([a-z0-9]{1,8})-(\d{4})-(\d{1,})$/i.exec(text) ?? [];
  if (series === undefined || count === undefined) return text;
  return `${series.toUpperCase()}-${year}-${count.replace(/^0+(?=\d)/, '').padStart(4, '0')}`;
}

/** The same for several. */
export const numbersOf = (text: string, before: readonly string[] = []): readonly string[] => [
  ...before,
  numberOf(text),
];

/** A file to read; `-` stands for what comes on stdin. */
export const orStdin =
  (extension: string) =>
  (text: string): string => {
    if (text !== '-') return text;
    if (process.stdin.isTTY) throw new InvalidArgumentError('Nothing comes on stdin: it is a terminal.');
    const folder = passingFolder();
    const file = path.join(folder, `stdin.${extension}`);
    if (fstatSync(0).isCharacterDevice()) throw new InvalidArgumentError('Nothing comes on stdin: it is a device.');
    const bytes = readFileSync(0);
    process.once('exit', () => rmSync(folder, { recursive: true, force: true }));
    stdinTaken += 1;
    if (stdinTaken > 1 && bytes.length === 0) throw new InvalidArgumentError('Stdin can stand for one file only.');
    writeFileSync(file, bytes, { flag: 'wx', mode: 0o600 });
    return file;
  };
let stdinTaken = 0;
