import { type Command, InvalidArgumentError } from 'commander';
import { exitCodes } from '../exit-codes.js';

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
