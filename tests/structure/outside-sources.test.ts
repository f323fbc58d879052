import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { setMarkdown, topicPage } from '../../src/help/index.js';

const folder = path.resolve(import.meta.dirname, '../external');
const files = readdirSync(folder).filter((name) => name.endsWith('.test.ts'));
/** Tables of figures that the tests share. */
const tables = readdirSync(folder).filter(
  (name) =>
    /(?<!\.test)\.ts$/.test(name) &&
    /^export const \w+(?:: [^=]+)? = [[{]/m.test(readFileSync(path.join(folder, name), 'utf8')),
);

interface Source {
  /** As it is cited beside the figure. */
  readonly cite: string;
  readonly edition: string;
  readonly gives: string;
}

/** The tables of `dwellmark help sources`. */
const sources: readonly Source[] = topicPage('sources')
  .split('\n')
  .filter((line) => line.startsWith('| ') && !/^\| (?:text|-+) /.test(line))
  .map((line) => {
    const [, cite = '', gives = '', edition = ''] = /^\| (.*?) +\| (.*) \[(.*)\] +\|$/.exec(line) ?? [];
    return { cite, edition, gives };
  });

/** A figure that no published text gives says one of these; a second implementation is named. */
const marks =
  /from memory|common practice, no source|\b[Cc]omputed\b|SciPy|statsmodels|js-quantities|python3|pdfsig|qpdf|pdftotext|GNU units|PostgreSQL|data\/README/;
/** What names no text. */
const vague = /title not kept|trade (?:text|rule)|secondary source|edition not known/i;
/** Where in a text: a clause, table, page or title, beside the cite or in the table of sources. */
const place = /\d\.\d|\d-\d\d\b|\btable\b|\bp\. |\bch\. |appendix|examples|"|nist\.gov|data\//i;
/** A cite that is the passage itself. */
const passage = /^\d+ (?:CFR \d+\.|Pa\. Code )/;

const escaped = (text: string): string => text.replace(/[.*+?^${}()|[\]\\]/g, String.raw`\$&`);
const cited = sources.map(({ cite, edition }) =>
  passage.test(cite) || place.test(edition)
    ? new RegExp(escaped(cite))
    : new RegExp(String.raw`${escaped(cite)}[^\n]{0,40}?(?:[\dA-Z]\.\d|\btable\b|"|examples|quoted)`, 'i'),
);
const namesSource = (text: string): boolean => marks.test(text) || cited.some((one) => one.test(text));

const comment = String.raw`(?:[ ]*\/\*\*(?:(?!\*\/)[\s\S])*\*\/\n|[ ]*\/\/.*\n)*`;
const blocksAt = (indent: string, text: string): string[] =>
  [
    ...text.matchAll(
      new RegExp(`^${comment}${indent}(?:describe|it|test)\\b[\\s\\S]*?^${indent}(?=\\S)[^\\n]*;$`, 'gm'),
    ),
  ].map(([block]) => block);

/** A test of a table whose rows name their sources, each in `source`. */
const ofSources = /\.each\([^\n]*\('\$source/;

/** Tests without a source: a block names it in its title or the comment before, or each test in it does. */
function unnamed(block: string, indent = ''): string[] {
  const inner = blocksAt(`${indent}  `, block);
  const head = inner.reduce((rest, one) => rest.replace(one, ''), block);
  if (namesSource(head) || ofSources.test(head)) return [];
  if (inner.length > 0) return inner.flatMap((one) => unnamed(one, `${indent}  `));
  return [/(?:describe|it|test)\b.*/.exec(block)?.[0] ?? block];
}

/** Of a whole file. What stands before its only block counts for it. */
function unnamedIn(text: string): string[] {
  const blocks = blocksAt('', text);
  const [before = ''] = text.split(/^(?:describe|it|test)\b/m);
  if (blocks.length === 1 && namesSource(before.replace(/^ +source:.*$/gm, ''))) return [];
  const rows = [...text.matchAll(/^ *(?:\{ )?source:\s*'([^']*)'/gm)].map(([, source = '']) => source);
  return [...rows.filter((source) => !namesSource(source)), ...blocks.flatMap((block) => unnamed(block))];
}

describe('checks against the outside', () => {
  it.each(files)('%s: every test names its source with its clause, or says that there is none', (file) => {
    const text = readFileSync(path.join(folder, file), 'utf8');
    const blocks = blocksAt('', text);
    expect(blocks.length).toBe([...text.matchAll(/^(?:describe|it|test)\b/gm)].length);
    expect(unnamedIn(text)).toEqual([]);
    expect(text.split('\n').filter((line) => vague.test(line))).toEqual([]);
  });

  it('so does every table of figures that they share', () => {
    expect(tables).toContain('computed-figures.ts');
    for (const name of tables) {
      const text = readFileSync(path.join(folder, name), 'utf8');
      expect(namesSource(text), name).toBe(true);
      expect(vague.test(text), name).toBe(false);
    }
  });

  it('a test without a source is seen, beside one that has it, and a cite without its clause', () => {
    const it = (title: string): string => `  it('${title}', () => {\n    expect(1).toBe(2);\n  });\n`;
    const block = (title: string, ...tests: string[]): string =>
      `describe('${title}', () => {\n${tests.map((test) => `${test}`).join('\n')}});\n`;
    expect(unnamed(block('cylinder arithmetic', it('push 78.5 (computed)'), it('areas 78.5')))).toEqual([
      "it('areas 78.5', () => {",
    ]);
    expect(unnamed(block('areas (computed)', it('areas 78.5')))).toEqual([]);
    expect(unnamed(block('proof', it('150 %, MIL-PRF-5503G')))).toHaveLength(1);
    expect(unnamed(block('proof', it('150 %, MIL-PRF-5503G 4.6.8')))).toEqual([]);
    expect(unnamed(block('proof', it('150 %, a standard 4.6.8')))).toHaveLength(1);
    const table = (source: string): string =>
      `const holds = [\n  { source: '${source}', s: 180 },\n];\n\n${block('holds', it('$source').replace('it(', 'it.each(holds)('))}`;
    expect(unnamedIn(table('a standard'))).toEqual(['a standard']);
    expect(unnamedIn(table('MIL-PRF-5503G 4.6.8'))).toEqual([]);
  });

  const templates = path.resolve(import.meta.dirname, '../../templates');
  const procedures = readdirSync(templates).filter((name) => name.endsWith('.toml'));
  it.each(procedures)('templates/%s says who set its limits: a text of the table, or the shop itself', (name) => {
    const text = readFileSync(path.join(templates, name), 'utf8');
    const [, source = ''] = /^source *= "(.*)"$/m.exec(text) ?? [];
    const limits = source.split('. ').filter((part) => part !== '');
    expect(limits.length).toBeGreaterThan(0);
    for (const limit of limits)
      expect(limit).toMatch(
        /MIL-PRF-5503G 4\.6\.8|GB\/T 15622-2005|the shop's own rule|common practice, no source|^EXAMPLE/i,
      );
    // Pressure that must not be passed has a source of its own.
    expect(/^overpressure.*$/m.exec(text)?.[0]).toContain('34 Pa. Code 3a.115');
  });

  it('the table of sources is a help topic, keeps to 80 columns, and says for each text which edition', () => {
    const plain = { bold: (text: string) => text, dim: (text: string) => text };
    expect(setMarkdown(topicPage('sources'), 80, plain).filter((line) => line.length > 80)).toEqual([]);
    expect(sources.length).toBeGreaterThan(40);
    expect(new Set(sources.map(({ cite }) => cite)).size).toBe(sources.length);
    for (const { cite, edition, gives } of sources) {
      expect(edition.length, cite).toBeGreaterThan(3);
      expect(gives.length, cite).toBeGreaterThan(5);
    }
  });

  it('and each text in it is cited by a test, a source or a template', () => {
    const read = (name: string): string =>
      readdirSync(path.resolve(import.meta.dirname, '../..', name), { recursive: true, encoding: 'utf8' })
        .filter((file) => /\.(?:ts|toml)$/.test(file))
        .map((file) => readFileSync(path.resolve(import.meta.dirname, '../..', name, file), 'utf8'))
        .join('\n');
    const all = ['tests/external', 'tests/certificate', 'src', 'templates'].map(read).join('\n');
    expect(sources.map(({ cite }) => cite).filter((cite) => !all.includes(cite))).toEqual([]);
  });
});
