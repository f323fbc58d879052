import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { certificateContent, renderCertificate } from '../../src/certificate/index.js';
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
