import { z } from 'zod';
import {
  type Dimension,
  DwellmarkError,
  type ErrorPlace,
  isOneLine,
  parseQuantity,
  spoken,
} from '../../units/index.js';

/** What a number must be, over and above having the right unit. */
export type Rule = 'any' | 'positive' | 'not negative';

/**
 * A field that holds one figure with its unit, as text: `bore = "100 mm"`. The output is SI.
 * The example is shown when the field is missing or has no unit.
 */
export function quantity(dimension: Dimension, example: string, rule: Rule = 'positive') {
  const field = grammar(example, (text) => ruled(parseQuantity(text, dimension), text, dimension, rule));
  // For the reference of keys.
  return field.meta({ description: example, dimension, rule });
}

/** A text field that is read by a function; what the function refuses becomes an error at this key. */
export function grammar<Out>(example: string, read: (text: string) => Out) {
  return z
    .string()
    .transform((text, context) => {
      try {
        return read(text);
      } catch (error) {
        if (!(error instanceof DwellmarkError)) throw error;
        context.addIssue({ code: 'custom', message: error.message, params: { advice: error.advice } });
        return z.NEVER;
      }
    })
    .describe(example);
}

/** A line of text. */
export const line = () => z.string().trim().refine(isOneLine, 'it is more than one line, or has a tab in it');

/** A line of text that may not be empty. */
export const words = (example: string) => line().min(1, 'it is empty').describe(example);

/** An ISO date, in quotes or as TOML's own date: `2026-03-14`. */
export const isoDate = (example: string) =>
  z
    .union([z.string(), z.date()])
    .transform((value, context) => {
      const text = value instanceof Date ? value.toISOString().slice(0, 10) : value;
      if (isDate(text)) return text;
      context.addIssue({
        code: 'custom',
        message: `"${text}" is not a date`,
        params: { advice: 'Write year-month-day, for example 2026-03-14.' },
      });
      return z.NEVER;
    })
    .describe(example);

function isDate(text: string): boolean {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) return false;
  const time = Date.parse(`${text}T00:00:00Z`);
  return !Number.isNaN(time) && new Date(time).toISOString().startsWith(text);
}

function ruled(si: number, text: string, dimension: Dimension, rule: Rule): number {
  if (rule === 'positive' && !(si > 0))
    throw new DwellmarkError('input', `"${text}": a ${spoken(dimension)} here must be more than zero`);
  if (rule === 'not negative' && si < 0)
    throw new DwellmarkError('input', `"${text}": a ${spoken(dimension)} here can't be negative`);
  return si;
}

/** Fields that come from no file of ours, by their schema. @throws DwellmarkError (`input`) naming the field. */
export function fieldsOf<T extends z.ZodType>(
  schema: T,
  fields: unknown,
  what: string,
  place: ErrorPlace,
): z.output<T> {
  const result = schema.safeParse(fields);
  if (result.success) return result.data;
  const issue = result.error.issues[0];
  const advice: unknown = issue?.code === 'custom' ? issue.params?.advice : undefined;
  throw new DwellmarkError('input', `the ${what} is not right: ${issue?.message ?? 'unknown'}`, {
    place: within(place, (issue?.path ?? []).map(String).join('.')),
    ...(typeof advice === 'string' ? { advice } : {}),
  });
}

/** What contradicts itself in fields that read well one by one. */
export const troubleAt = (
  trouble: { readonly key: string; readonly message: string; readonly advice: string },
  place: ErrorPlace,
): DwellmarkError =>
  new DwellmarkError('input', trouble.message, { place: within(place, trouble.key), advice: trouble.advice });

const within = (place: ErrorPlace, name: string): ErrorPlace => ({
  ...place,
  key: [place.key, name].filter(Boolean).join('.'),
});
