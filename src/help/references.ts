import { z } from 'zod';
import { asciiPollSchema } from '../../drivers/ascii-poll/index.js';
import { modbusSchema } from '../../drivers/modbus-rtu/index.js';
import { shopSchema } from '../bench/index.js';
import { gaugeTable, jobSchema, procedureTable } from '../procedure/index.js';
import { type KeyFacts, keyFacts } from './key-facts.js';
import { gaugeKeys } from './keys/gauge-keys.js';
import { jobKeys } from './keys/job-keys.js';
import type { KeyTexts } from './keys/key-text.js';
import { lineKeys } from './keys/line-keys.js';
import { procedureKeys } from './keys/procedure-keys.js';
import { shopKeys } from './keys/shop-keys.js';

interface Reference {
  readonly title: string;
  readonly about: string;
  readonly schema: z.ZodType;
  readonly texts: KeyTexts;
}

const snake = (key: string): string => key.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);

/** The files that people write, by the topic that tells of their keys. */
export const references = {
  'job-file': {
    title: 'Job file',
    about: 'One file for each cylinder, for example `jobs/ram-12.toml`. `dwellmark init` writes an example.',
    schema: jobSchema,
    texts: jobKeys,
  },
  'procedure-file': {
    title: 'Procedure file',
    about: 'In `templates/` beside the shop file. Copy one that ships and give it an id of its own.',
    schema: procedureTable,
    texts: procedureKeys,
  },
  'gauge-table': {
    title: 'Gauge table',
    about: 'As `[gauge]` in a job file, or as `[[gauge]]` in the shop file, there with `driver` and `line` beside.',
    schema: gaugeTable,
    texts: gaugeKeys,
  },
  'gauge-line': {
    title: 'Line of a gauge',
    about: 'As `[gauge.line]` below a `[[gauge]]` of the shop file. `dwellmark gauge add` writes it.',
    schema: z.strictObject({ ...modbusSchema.shape, ...asciiPollSchema.shape, ...statusOf() }),
    texts: lineKeys,
  },
  'shop-file': {
    title: 'Shop file',
    about: '`dwellmark.toml` in the folder of the shop. `dwellmark init` writes it.',
    schema: shopSchema,
    texts: shopKeys,
  },
} as const satisfies Record<string, Reference>;

/** A status is words in lines of text, and a register on Modbus: both stand in the reference. */
function statusOf() {
  const [words, register] = [asciiPollSchema.shape.status, modbusSchema.shape.status];
  return { status: z.union([words.unwrap(), register.unwrap()]).optional() };
}

export type ReferenceName = keyof typeof references;

export const isReference = (name: string): name is ReferenceName => Object.hasOwn(references, name);

/** Every key of a file, with unit, range, default and an example. */
export const referenceKeys = (name: ReferenceName): readonly KeyFacts[] => {
  const { schema, texts } = references[name];
  return keyFacts(schema, texts, name === 'gauge-line' ? snake : undefined);
};

/** The same as a page of Markdown. */
export function referencePage(name: ReferenceName): string {
  const { title, about } = references[name];
  const entries = referenceKeys(name).map(({ key, kind, range, required, text, example, usual }) => {
    const facts = [
      `${kind}${range === '' ? '' : ` (${range})`}`,
      required ? 'required' : usual === undefined ? 'optional' : `default: ${usual}`,
      ...(example === undefined ? [] : [`example: \`${key.split('.').at(-1)} = ${example}\``]),
    ];
    return `- **${key}**: ${text}\\\n  ${facts.join('; ')}.`;
  });
  return `# ${title}\n\n${about}\n\n${entries.join('\n')}\n`;
}

/** The schema of a file for an editor, with the texts of the reference. Keys of a driver's line stay open. */
export function jsonSchema(name: ReferenceName): Record<string, unknown> {
  const { title, schema, texts } = references[name];
  const made = z.toJSONSchema(schema, { io: 'input', unrepresentable: 'any' }) as Record<string, unknown>;
  describe(made, '', texts, name === 'gauge-line' ? snake : (key) => key);
  return { ...made, title };
}

type Node = Record<string, unknown>;

function describe(node: Node, before: string, texts: KeyTexts, naming: (key: string) => string): void {
  for (const inner of [node.items, ...((node.anyOf as Node[] | undefined) ?? [])])
    if (inner) describe(inner as Node, before, texts, naming);
  const properties = node.properties as Record<string, Node> | undefined;
  if (properties === undefined) return;
  const named: Record<string, Node> = {};
  for (const [name, field] of Object.entries(properties)) {
    const key = `${before}${naming(name)}`;
    const { dimension: _dimension, rule: _rule, ...rest } = field;
    const text = texts[key]?.text;
    named[naming(name)] = { ...rest, ...(text === undefined ? {} : { description: text }) };
    describe(named[naming(name)] ?? {}, `${key}.`, texts, naming);
  }
  node.properties = named;
  if (Array.isArray(node.required)) node.required = node.required.map(String).map(naming);
}
