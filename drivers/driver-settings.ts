import { z } from 'zod';
import { DwellmarkError } from '../src/gauge/index.js';

/**
 * Checks a table of settings. Keys may be written `baud_rate` or `baudRate`.
 * @throws DwellmarkError (`input`) with the key that is wrong and what belongs there.
 */
export function readDriverSettings<T extends z.ZodType>(
  driver: string,
  schema: T,
  settings: Readonly<Record<string, unknown>>,
): z.output<T> {
  const named = camelKeys(settings);
  const read = schema.safeParse(named);
  if (read.success) return read.data;
  const issue = read.error.issues[0];
  const unknownKey = issue?.code === 'unrecognized_keys' ? issue.keys[0] : undefined;
  const path = [...(issue?.path ?? []), ...(unknownKey === undefined ? [] : [unknownKey])].join('.');
  const key = snake(path || 'settings');
  const missing =
    issue?.code === 'invalid_type' && issue.path.length > 0 && !Object.hasOwn(named, String(issue.path[0]));
  const message = unknownKey
    ? `${driver} has no setting "${key}"`
    : missing
      ? `${driver} needs the setting "${key}"`
      : `setting "${key}" of ${driver}: ${issue?.message ?? 'not readable'}`;
  const known = Object.keys(schema instanceof z.ZodObject ? schema.shape : {}).map(snake);
  throw new DwellmarkError('input', message, {
    place: { key },
    ...(unknownKey ? { advice: `Known: ${known.join(', ')}.` } : {}),
  });
}

/** Tables within tables too, but for status words, which are the gauge's own. */
function camelKeys(table: object): Record<string, unknown> {
  return Object.fromEntries(
    Object.entries(table).map(([key, value]: [string, unknown]) => {
      const isTable = typeof value === 'object' && value !== null && !Array.isArray(value) && key !== 'status';
      return [camel(key), isTable ? camelKeys(value) : value];
    }),
  );
}

const camel = (key: string): string => key.replace(/_([a-z])/g, (_, letter: string) => letter.toUpperCase());
const snake = (key: string): string => key.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);
