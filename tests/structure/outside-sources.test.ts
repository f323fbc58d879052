import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { sourceLines, sources } from '../../src/cli/report/sources.js';

const folder = path.resolve(import.meta.dirname, '../external');
const files = readdirSync(folder).filter((name) => name.endsWith('.test.ts'));

/** A figure without a published text says one of these; a second implementation or a record is named. */
const marks =
  /from memory|common practice, no source|computed|trade text|from (?:the|their) definition|SciPy|statsmodels|js-quantities|python3|python library|pdfsig|qpdf|GNU units|data\/README/i;

/** Each `describe` or `it` at the top of a file, as the formatter sets it, with the comment before it. */
const blocksOf = (text: string): string[] =>
  [...text.matchAll(/^(?:\/\*\*(?:(?!\*\/)[\s\S])*\*\/\n|\/\/.*\n)*(?:describe|it|test)\b[\s\S]*?^\}\);$/gm)].map(
    ([block]) => block,
  );

const namesSource = (text: string): boolean => sources.some(({ cite }) => text.includes(cite)) || marks.test(text);

describe('checks against the outside', () => {
  it.each(files)('%s: every block names its source, or says that there is none', (file) => {
    const text = readFileSync(path.join(folder, file), 'utf8');
    const blocks = blocksOf(text);
    expect(blocks.length).toBe([...text.matchAll(/^(?:describe|it|test)\b/gm)].length);
    // What the head of the file names counts for a file of one block.
    const head = text.split(/^(?:describe|it|test)\b/m)[0] ?? '';
    const unnamed = blocks.filter((block) => !namesSource(block) && !(blocks.length === 1 && namesSource(head)));
    expect(unnamed.map((block) => /(?:describe|it|test)\b.*/.exec(block)?.[0])).toEqual([]);
  });

  it('a block without a source is seen, and a title that only looks like one', () => {
    expect(namesSource("describe('cylinder arithmetic', () => expect(area).toBe(78.5))")).toBe(false);
    expect(namesSource("describe('areas (computed)', () => {})")).toBe(true);
  });

  it('the table of sources keeps to 80 columns and says for each which edition', () => {
    expect(sourceLines().filter((line) => line.length > 80)).toEqual([]);
    for (const { cite, edition, gives } of sources) {
      expect(edition.length, cite).toBeGreaterThan(0);
      expect(gives.length, cite).toBeGreaterThan(5);
    }
  });
});
