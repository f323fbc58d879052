import { readFileSync } from 'node:fs';
import { parse } from 'smol-toml';
import { z } from 'zod';
import { DwellmarkError } from '../../units/index.js';
import { templateFile } from '../words/template-file.js';

/** The blocks a page can be made of. */
export const blockNames = [
  'heading',
  'identity',
  'verdict',
  'chart',
  'results',
  'ports',
  'remarks',
  'signatures',
  'record',
  'statements',
] as const;
export type BlockName = (typeof blockNames)[number];

/** Blocks without which a certificate would not say what it must. */
const never: readonly BlockName[] = [
  'heading',
  'identity',
  'verdict',
  'results',
  'ports',
  'remarks',
  'signatures',
  'record',
  'statements',
];

const points = z.number().positive().max(400);

const layoutFile = z.strictObject({
  blocks: z.array(z.enum(blockNames)),
  page: z.strictObject({
    margin_left_mm: z.number().min(5).max(60),
    margin_right_mm: z.number().min(5).max(60),
    margin_top_mm: z.number().min(5).max(60),
    margin_bottom_mm: z.number().min(12).max(60),
    gap: z.number().min(0).max(40),
  }),
  type: z.strictObject({
    body: z.number().min(5).max(14),
    small: z.number().min(5).max(14),
    shop: z.number().min(8).max(36),
    title: z.number().min(8).max(36),
    line: z.number().min(1).max(2),
  }),
  colour: z.strictObject({ accent: z.string().regex(/^#[0-9a-fA-F]{6}$/) }),
  chart: z.strictObject({ trace_least: points, trace_most: points, dwell: points }),
});

/** A shop's layout: which blocks in which order, margins, sizes. */
export type CertificateLayout = z.infer<typeof layoutFile>;

/**
 * Reads a layout file.
 * @throws DwellmarkError `input` naming the key that is wrong, or the block that may not be left out.
 */
export function parseLayout(text: string, file = 'layout.toml'): CertificateLayout {
  const result = layoutFile.safeParse(parsed(text, file));
  if (!result.success) {
    const issue = result.error.issues[0];
    throw new DwellmarkError('input', `the layout file is wrong: ${issue?.message ?? 'not readable'}`, {
      place: { file, key: (issue?.path ?? []).join('.') },
    });
  }
  const missing = never.find((name) => !result.data.blocks.includes(name));
  if (missing !== undefined)
    throw new DwellmarkError('input', `the block "${missing}" may be moved but not left out`, {
      place: { file, key: 'blocks' },
      advice: 'Only "chart" may be left out.',
    });
  return result.data;
}

function parsed(text: string, file: string): unknown {
  try {
    return parse(text);
  } catch (error) {
    throw new DwellmarkError('input', `the layout file is no TOML: ${(error as Error).message.split('\n')[0]}`, {
      place: { file },
      cause: error,
    });
  }
}

let shipped: CertificateLayout | undefined;

/** The layout as it is shipped; read once. */
export function shippedLayout(): CertificateLayout {
  const file = templateFile('layout.toml');
  shipped ??= parseLayout(readFileSync(file, 'utf8'), file);
  return shipped;
}
