import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { certificateContent } from '../../src/certificate/content/certificate-content.js';
import { renderCertificate } from '../../src/certificate/render-when-asked.js';
import { samples } from './sample-content.js';

const folder = mkdtempSync(join(tmpdir(), 'certificate-'));
afterAll(() => rmSync(folder, { recursive: true }));

const run = (program: string, ...words: string[]): string => execFileSync(program, words, { encoding: 'utf8' });

/** Needs qpdf, poppler-utils and zbar-tools. */
test.each(Object.keys(samples))('independent programs read the sample "%s"', async (name) => {
  const make = samples[name];
  if (make === undefined) throw new Error(`no sample ${name}`);
  const input = make();
  const content = certificateContent(input);
  const file = join(folder, `${name}.pdf`);
  writeFileSync(file, await renderCertificate(content));
  expect(run('qpdf', '--check', file)).toContain('No syntax or stream encoding errors');
  const text = run('pdftotext', '-layout', file, '-').replaceAll('\u00a0', ' ');
  // A draft has no number yet.
  const named = input.kind === 'draft' ? input.header.test : input.number;
  for (const part of [named, content.verdict.word, '240', content.endMark]) expect(text).toContain(part);
  const fonts = run('pdffonts', file).trim().split('\n').slice(2);
  expect(fonts).toHaveLength(2);
  for (const font of fonts) expect(font).toMatch(/IBMPlexSans\S*\s+CID TrueType\s+Identity-H\s+yes yes yes/);
  const attached = join(folder, `${name}.json`);
  run('pdfdetach', '-savefile', 'record.json', '-o', attached, file);
  expect(readFileSync(attached, 'utf8')).toBe(input.recordJson);
  run('pdftoppm', '-r', '100', '-png', '-singlefile', file, join(folder, name));
  expect(run('zbarimg', '-q', '--raw', join(folder, `${name}.png`)).trim()).toBe(content.code);
});

/** A line that `pdfinfo -struct-text` prints for each element, with its depth, and the text beneath. */
interface Element {
  readonly type: string;
  readonly depth: number;
  readonly text: string;
}

function structureOf(file: string): readonly Element[] {
  const { stdout, stderr } = spawnSync('pdfinfo', ['-struct-text', file], { encoding: 'utf8' });
  expect(stderr).toBe('');
  return [...stdout.matchAll(/^( *)([A-Z][A-Za-z0-9]*):?(?: \(.*)?\n(?:\s*\/.*\n)*(?:\s*"([^"]*)")?/gm)].map(
    ([, blanks = '', type = '', text = '']) => ({
      type,
      depth: blanks.length / 2,
      text: text.replaceAll('\u00a0', ' '),
    }),
  );
}

/** What a screen reader goes by: headings in order, rows of a table with as many cells, a text for each picture. */
test.each(['pass', 'inconclusive', 'three-stages', 'several-gauges', 'german', 'void'])(
  'the structure of the sample "%s"',
  async (name) => {
    const make = samples[name];
    if (make === undefined) throw new Error(`no sample ${name}`);
    const content = certificateContent(make());
    const file = join(folder, `${name}-structure.pdf`);
    writeFileSync(file, await renderCertificate(content));
    const elements = structureOf(file);
    expect(elements.filter(({ type }) => type === 'H1').map(({ text }) => text.trim())).toEqual([content.title]);
    const headings = elements.filter(({ type }) => type === 'H2').map(({ text }) => text.trim());
    expect(headings).toEqual(
      [
        ...content.groups.map(({ title }) => title),
        ...(content.gauges === null ? [] : [content.gauges.title]),
        content.verdict.word,
        ...content.ports.map(({ title }) => title),
        content.remarks.title,
        content.signatures.title,
      ].map((title) => title.replaceAll('\u00a0', ' ')),
    );
    const rows = elements.flatMap(({ type }, index) => {
      if (type !== 'TR') return [];
      const end = elements.findIndex((other, at) => at > index && !['TH', 'TD'].includes(other.type));
      return [elements.slice(index + 1, end < 0 ? undefined : end).length];
    });
    expect(rows.length % (content.results.rows.length + 1)).toBe(0);
    expect(Math.min(...rows)).toBeGreaterThan(1);
    const fact = content.groups[0]?.facts.at(-1);
    expect(elements.map(({ text }) => text.trim())).toContain(`${fact?.label} ${fact?.value}`);
    const objects = run('qpdf', '--qdf', '--object-streams=disable', file, '-');
    const figures = objects.match(/\/S \/Figure/g) ?? [];
    expect(figures.length).toBeGreaterThanOrEqual(2);
    expect(objects.match(/\/Alt \(|\/Alt </g)).toHaveLength(figures.length);
  },
);
