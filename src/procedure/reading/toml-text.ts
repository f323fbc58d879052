import { parse, TomlError } from 'smol-toml';
import { z } from 'zod';
import { DwellmarkError, type ErrorPlace, steeringSign } from '../../units/index.js';
import { keyLines, keyName, type PathPart } from './key-lines.js';
import { nearWord } from './near-word.js';

/** A TOML text that parsed, and where each of its keys stands. */
export interface TomlText {
  readonly data: Readonly<Record<string, unknown>>;
  place(path: readonly PathPart[]): ErrorPlace;
}

/**
 * Parses a TOML text.
 * @throws DwellmarkError (`input`) with file, line and column when the text is no TOML, and with the key where a value
 *   has a control character in it: what a person writes here is shown on terminals and printed.
 */
export function readToml(text: string, { file }: { readonly file: string }): TomlText {
  const data = parsed(text, file);
  const lineOf = keyLines(text);
  const document: TomlText = {
    data,
    place: (path) => {
      const line = lineOf(path);
      return { file, ...(line === undefined ? {} : { line }), ...(path.length === 0 ? {} : { key: keyName(path) }) };
    },
  };
  refuseSteering(document, data, []);
  return document;
}

function refuseSteering(document: TomlText, value: unknown, path: readonly PathPart[]): void {
  if (typeof value === 'string') {
    const sign = steeringSign(value);
    if (sign !== null)
      throw refusal(document, path, `"${path.at(-1)}" has the control character ${sign} in it`, 'Take it out.');
  } else if (Array.isArray(value)) {
    for (const [index, item] of value.entries()) refuseSteering(document, item, [...path, index]);
  } else if (typeof value === 'object' && value !== null) {
    for (const [key, item] of Object.entries(value)) refuseSteering(document, item, [...path, key]);
  }
}

/**
 * Holds the text against its schema.
 * @throws DwellmarkError (`input`) for the first trouble, with file, line and key, and with all others beside it.
 */
export function shaped<Schema extends z.ZodType>(document: TomlText, schema: Schema): z.output<Schema> {
  const result = schema.safeParse(document.data);
  if (result.success) return result.data;
  const troubles = result.error.issues
    .flatMap((issue) => troublesOf(issue, document, schema))
    .sort((a, b) => Number(a.missing) - Number(b.missing))
    // A mistyped key is not missing as well.
    .filter(({ path, missing }, _, all) => !missing || all.every(({ meant }) => meant !== path.join('.')));
  const [first, ...others] = troubles.map(({ path, message, advice }) => refusal(document, path, message, advice));
  if (!first) throw new Error('a schema failed without an issue');
  throw new DwellmarkError('input', first.message, {
    place: first.place,
    ...(first.advice === undefined ? {} : { advice: first.advice }),
    others,
  });
}

/** The error for a key of this text: throw it. */
export function refusal(
  document: TomlText,
  path: readonly PathPart[],
  message: string,
  advice?: string,
): DwellmarkError {
  return new DwellmarkError('input', message, {
    place: document.place(path),
    ...(advice === undefined ? {} : { advice }),
  });
}

function parsed(text: string, file: string): Record<string, unknown> {
  try {
    return parse(text);
  } catch (error) {
    if (!(error instanceof TomlError)) throw error;
    const what = (error.message.split('\n')[0] ?? '').replace('Invalid TOML document: ', '');
    throw new DwellmarkError('input', `not readable as TOML: ${what}`, {
      place: { file, line: error.line, column: error.column },
      advice: 'Text goes in quotes ("100 mm"), one key a line, tables in [brackets].',
      cause: error,
    });
  }
}

interface Trouble {
  readonly path: readonly PathPart[];
  readonly message: string;
  readonly advice?: string;
  readonly missing: boolean;
  /** The key that was meant, where this one is mistyped. */
  readonly meant?: string;
}

/** A missing key comes last. */
function troublesOf(issue: z.core.$ZodIssue, document: TomlText, schema: z.ZodType): Trouble[] {
  const path = issue.path.filter((part): part is PathPart => typeof part !== 'symbol');
  const name = path.at(-1) ?? 'file';
  if (issue.code === 'unrecognized_keys') {
    const known = keysAt(schema, path);
    return issue.keys.map((key) => {
      const near = nearWord(key, known);
      const advice = near === undefined ? `Known here: ${known.join(', ')}.` : `Did you mean "${near}"?`;
      const meant = near === undefined ? {} : { meant: [...path, near].join('.') };
      return { path: [...path, key], message: `unknown key "${key}"`, advice, missing: false, ...meant };
    });
  }
  if (issue.code === 'invalid_union') {
    // Of what may stand here, the one whose shape the value has: its own trouble is the one to tell.
    const fitting = issue.errors.find((inner) => inner.every((one) => one.path.length > 0 || one.code === 'custom'));
    if (fitting)
      return fitting.flatMap((one) => troublesOf({ ...one, path: [...issue.path, ...one.path] }, document, schema));
  }
  if (issue.code === 'custom') {
    const advice: unknown = issue.params?.advice;
    return [{ path, message: issue.message, ...(typeof advice === 'string' ? { advice } : {}), missing: false }];
  }
  const value = valueAt(document.data, path);
  if (value === undefined) {
    const advice = exampleOf(schema, path);
    return [
      { path, message: `"${String(name)}" is missing`, ...(advice === undefined ? {} : { advice }), missing: true },
    ];
  }
  if (issue.code === 'invalid_value') {
    const choices = issue.values.map(String);
    const near = typeof value === 'string' ? nearWord(value, choices) : undefined;
    const advice = `${near === undefined ? '' : `Did you mean "${near}"? `}Write one of: ${choices.join(', ')}.`;
    return [{ path, message: `${JSON.stringify(value)} is not a known ${String(name)}`, advice, missing: false }];
  }
  if (issue.code === 'invalid_type' && issue.expected === 'string' && typeof value === 'number') {
    const example = exampleOf(schema, path);
    const advice = example ?? 'Put it in quotes.';
    return [{ path, message: `"${String(name)}" is the bare number ${value}`, advice, missing: false }];
  }
  if (issue.code === 'invalid_type' && issue.expected === 'array' && typeof value === 'object') {
    const advice = exampleOf(schema, path);
    const message = `"${String(name)}" is one table where a list of them belongs`;
    return [{ path, message, ...(advice === undefined ? {} : { advice }), missing: false }];
  }
  return [{ path, message: `"${String(name)}" is not right: ${issue.message}`, missing: false }];
}

const valueAt = (data: unknown, path: readonly PathPart[]): unknown =>
  path.reduce<unknown>((at, part) => (typeof at === 'object' && at !== null ? Reflect.get(at, part) : undefined), data);

/** The description that a schema carries for a key, used as advice: `Write for example bore = "100 mm".` */
function exampleOf(schema: z.ZodType, path: readonly PathPart[]): string | undefined {
  const example = schemaAt(schema, path)?.description;
  const name = path.at(-1);
  if (example === undefined) return undefined;
  if (example.startsWith('a [')) return `Write ${example}.`;
  return typeof name === 'string' ? `Write for example ${name} = ${example}.` : `Write for example ${example}.`;
}

function keysAt(schema: z.ZodType, path: readonly PathPart[]): string[] {
  const at = bare(schemaAt(schema, path));
  return at instanceof z.ZodObject ? Object.keys(at.shape) : [];
}

function schemaAt(schema: z.ZodType, path: readonly PathPart[]): z.ZodType | undefined {
  let at: z.ZodType | undefined = schema;
  for (const part of path) {
    const inner: unknown = bare(at);
    if (inner instanceof z.ZodObject) at = inner.shape[part];
    else if (inner instanceof z.ZodArray) at = inner.element as z.ZodType;
    else return undefined;
  }
  return at;
}

/** A schema without its `optional` and `default` wrappings. */
function bare(schema: z.ZodType | undefined): z.ZodType | undefined {
  let at = schema;
  while (at instanceof z.ZodOptional || at instanceof z.ZodDefault || at instanceof z.ZodPrefault)
    at = at.def.innerType as z.ZodType;
  return at;
}
