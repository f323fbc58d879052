import { z } from 'zod';
import { DwellmarkError, type UnitSystemName, unitSystems } from '../../units/index.js';
import { languages } from '../input.js';

const unitNames = Object.keys(unitSystems) as [UnitSystemName, ...UnitSystemName[]];
const texts = z.record(z.string(), z.string());

const paperFile = z.strictObject({
  format: z.literal('dwellmark paper 1'),
  /** What set it, see {@link setWith}. */
  setWith: z.string(),
  number: z.string(),
  series: z.string().exactOptional(),
  kind: z.enum(['certificate', 'test report', 'draft', 'void']),
  reissueOf: z.string().exactOptional(),
  reason: z.string().exactOptional(),
  replacedBy: z.string().exactOptional(),
  paper: z.enum(['A4', 'Letter']),
  units: z.enum(unitNames),
  /** Other units, printed beside. */
  secondUnits: z.enum(unitNames).exactOptional(),
  language: z.enum(languages),
  accent: z.string().exactOptional(),
  /** Words of conformity that QA typed, printed as they are. */
  declaration: z.string().exactOptional(),
  /** The date and time printed on it, ISO 8601 with offset. */
  issuedAt: z.string(),
  /** What the shop words in its own way; nothing for the words as shipped. */
  words: z.strictObject({ said: texts, terms: texts }).exactOptional(),
  /** The shop's own layout file; nothing for the shipped one. */
  layout: z.string().exactOptional(),
  /** PNG, JPEG or SVG, base64. */
  logo: z.base64().exactOptional(),
});

/**
 * `paper.json` of a PDF: everything that is printed and is not in the record, so that anybody can set the same pages again
 * from the PDF alone.
 */
export type PaperFile = Readonly<z.infer<typeof paperFile>>;

export const paperFileName = 'paper.json';

export const paperText = (paper: PaperFile): string => `${JSON.stringify(paperFile.parse(paper), null, 1)}\n`;

/** @throws DwellmarkError (`altered`) when the text is none. */
export function readPaperFile(text: string): PaperFile {
  try {
    return paperFile.parse(JSON.parse(text));
  } catch (cause) {
    throw new DwellmarkError('altered', `${paperFileName} is not what a paper was set with`, { cause });
  }
}
