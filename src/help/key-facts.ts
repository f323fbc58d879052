import { z } from 'zod';
import type { KeyText, KeyTexts } from './keys/key-text.js';

/** A key of a file, as the reference shows it. */
export interface KeyFacts extends KeyText {
  /** Dotted, `cylinder.bore`. */
  readonly key: string;
  /** `a length with its unit`, `text`, `true or false`, `table`, `list of tables`, … */
  readonly kind: string;
  /** `more than zero`, `1 to 20`, a choice of words; empty where anything goes. */
  readonly range: string;
  readonly required: boolean;
}

type Naming = (key: string) => string;

/**
 * Every key of a file's schema, tables before what is in them.
 * @throws Error for a key without a text or an example: the reference is whole.
 */
export function keyFacts(schema: z.ZodType, texts: KeyTexts, naming: Naming = (key) => key): readonly KeyFacts[] {
  const rows = keysOf(schema, '', naming).map(({ key, field }) => factsOf(key, field, texts[key]));
  const unknown = Object.keys(texts).filter((key) => !rows.some((row) => row.key === key));
  if (unknown.length > 0) throw new Error(`the reference tells of keys that are not there: ${unknown.join(', ')}`);
  return rows;
}

function keysOf(schema: z.ZodType, before: string, naming: Naming): { key: string; field: z.ZodType }[] {
  return tablesIn(schema).flatMap((table) =>
    Object.entries(table.shape as Record<string, z.ZodType>).flatMap(([name, field]) => {
      const key = `${before}${naming(name)}`;
      // What a gauge's table holds is told once, not in every file that may have one.
      const inner = key === 'gauge' && tablesIn(field).length > 0 && before === '' && isUnion(field);
      return [{ key, field }, ...(inner ? [] : keysOf(field, `${key}.`, naming))];
    }),
  );
}

const isUnion = (field: z.ZodType): boolean => bare(field).schema instanceof z.ZodUnion;

function tablesIn(schema: z.ZodType): z.ZodObject[] {
  const { schema: at } = bare(schema);
  if (at instanceof z.ZodObject) return [at];
  if (at instanceof z.ZodArray) return tablesIn(at.element as z.ZodType);
  if (at instanceof z.ZodUnion) return (at.options as z.ZodType[]).flatMap(tablesIn);
  return [];
}

/** A schema without what wraps it, and what the wrappings said. */
function bare(schema: z.ZodType): { schema: z.ZodType; required: boolean; usual?: unknown } {
  let [at, required] = [schema, true];
  let usual: unknown;
  for (;;) {
    if (at instanceof z.ZodOptional || at instanceof z.ZodExactOptional) required = false;
    else if (at instanceof z.ZodDefault || at instanceof z.ZodPrefault) {
      required = false;
      usual = at.def.defaultValue;
    } else if (!(at instanceof z.ZodReadonly)) break;
    at = at.def.innerType as z.ZodType;
  }
  return usual === undefined ? { schema: at, required } : { schema: at, required, usual };
}

function factsOf(key: string, field: z.ZodType, text: KeyText | undefined): KeyFacts {
  if (text === undefined) throw new Error(`the key "${key}" is not in the reference`);
  const { schema, required, usual } = bare(field);
  const [kind, range] = kindOf(schema);
  const described = schema.description ?? field.description;
  const ownExample =
    described === undefined || described.includes('…') || described.startsWith('a [') ? undefined : described;
  const example = text.example ?? ownExample;
  const stands =
    text.usual ??
    (usual === undefined || typeof usual === 'object' ? undefined : JSON.stringify(usual).replace(/^"|"$/g, ''));
  if (example === undefined && !kind.includes('table')) throw new Error(`the key "${key}" has no example`);
  return {
    key,
    kind,
    range,
    required,
    text: text.text,
    ...(example === undefined ? {} : { example }),
    ...(stands === undefined || stands === '' ? {} : { usual: stands }),
  };
}

function kindOf(schema: z.ZodType): readonly [kind: string, range: string] {
  const meta = schema.meta();
  if (typeof meta?.dimension === 'string') {
    const rule = { positive: 'more than zero', 'not negative': 'zero or more' }[String(meta.rule)] ?? '';
    return [`${meta.dimension.replaceAll('-', ' ')} with its unit`, rule];
  }
  if (schema instanceof z.ZodEnum) return ['one of', schema.options.map(String).join(', ')];
  if (schema instanceof z.ZodObject) return ['table', ''];
  if (schema instanceof z.ZodRecord) return ['table of words', ''];
  if (schema instanceof z.ZodBoolean) return ['true or false', ''];
  if (schema instanceof z.ZodNumber) return [schema.format === 'safeint' ? 'whole number' : 'number', limits(schema)];
  if (schema instanceof z.ZodArray) {
    const [kind, range] = kindOf(bare(schema.element as z.ZodType).schema);
    return [kind === 'table' ? 'list of tables' : `list: ${kind}`, range];
  }
  if (schema instanceof z.ZodTuple) return [`list of ${schema.def.items.length}: whole number`, ''];
  if (schema instanceof z.ZodUnion) return unionKind(schema.options as z.ZodType[]);
  return ['text', ''];
}

function unionKind(options: readonly z.ZodType[]): readonly [string, string] {
  const literals = options.filter((option) => option instanceof z.ZodLiteral);
  if (literals.length === options.length) return ['one of', literals.flatMap(({ values }) => [...values]).join(', ')];
  const kinds = new Set(
    options.map((option) => (option instanceof z.ZodDate ? 'date' : kindOf(bare(option).schema)[0])),
  );
  return [kinds.has('date') ? 'date' : [...kinds].join(', or '), ''];
}

function limits({ minValue, maxValue, def }: z.ZodNumber): string {
  const open = (def.checks ?? []).some((check) => {
    const { check: name, inclusive } = check._zod.def as { check: string; inclusive?: boolean };
    return name === 'greater_than' && inclusive === false;
  });
  const low = minValue !== null && Number.isFinite(minValue) && minValue > -1e15 ? minValue : null;
  const high = maxValue !== null && Number.isFinite(maxValue) && maxValue < 1e15 ? maxValue : null;
  if (low !== null && high !== null) return open ? `more than ${low}, at most ${high}` : `${low} to ${high}`;
  if (low !== null) return open ? `more than ${low}` : `${low} or more`;
  return high === null ? '' : `at most ${high}`;
}
