import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { certificateContent } from '../../src/certificate/content/certificate-content.js';
import { renderLabel } from '../../src/certificate/index.js';
import { renderCertificate } from '../../src/certificate/render-when-asked.js';
import { samples } from './sample-content.js';

const folder = mkdtempSync(join(tmpdir(), 'pages-'));
afterAll(() => rmSync(folder, { recursive: true }));

interface Word {
  readonly text: string;
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

interface Page {
  readonly width: number;
  readonly height: number;
  readonly words: readonly Word[];
}

/** Where every word stands, by poppler. A word across the page (a mark on a draft or a void paper) is left out. */
function pagesOf(file: string): readonly Page[] {
  const xml = execFileSync('pdftotext', ['-bbox', file, '-'], { encoding: 'utf8' });
  return xml
    .split('<page ')
    .slice(1)
    .map((page) => {
      const [, width = '', height = ''] = /width="([\d.]+)" height="([\d.]+)"/.exec(page) ?? [];
      const found = page.matchAll(
        /<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">([^<]*)</g,
      );
      const words = [...found].map(([, left, top, right, bottom, text = '']) => ({
        text,
        left: Number(left),
        top: Number(top),
        right: Number(right),
        bottom: Number(bottom),
      }));
      return {
        width: Number(width),
        height: Number(height),
        words: words.filter((word) => word.bottom - word.top < 30),
      };
    });
}

/** Words that reach into each other: the boxes are as tall as the font's own lines, so the middle half counts. */
function collisions(words: readonly Word[]): readonly string[] {
  const middle = words.map((word) => {
    const quarter = (word.bottom - word.top) / 4;
    return { ...word, top: word.top + quarter, bottom: word.bottom - quarter };
  });
  return middle.flatMap((a, index) =>
    middle.slice(index + 1).flatMap((b) => {
      const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const tall = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      return wide > 0.6 && tall > 0.6 ? [`${a.text} / ${b.text} at ${a.left}, ${a.top}`] : [];
    }),
  );
}

const cutOff = ({ width, height, words }: Page, margin: number): readonly string[] =>
  words
    .filter(
      ({ left, top, right, bottom }) =>
        left < margin || top < margin / 2 || right > width - margin || bottom > height - 2,
    )
    .map(({ text, left, top }) => `${text} at ${left}, ${top}`);

describe.each(Object.keys(samples))('the sample "%s"', (name) => {
  const sample = samples[name];
  if (sample === undefined) throw new Error(`no sample ${name}`);
  const content = certificateContent(sample());

  test('no word reaches into another or over the edge of the page', async () => {
    const file = join(folder, `${name}.pdf`);
    writeFileSync(file, await renderCertificate(content));
    for (const page of pagesOf(file)) {
      expect(page.words.length).toBeGreaterThan(20);
      expect(collisions(page.words)).toEqual([]);
      expect(cutOff(page, 40)).toEqual([]);
    }
  });

  test('nor on its label', async () => {
    const file = join(folder, `${name}-label.pdf`);
    writeFileSync(file, await renderLabel(content));
    const [page] = pagesOf(file);
    if (page === undefined) throw new Error('the label has no page');
    expect(collisions(page.words)).toEqual([]);
    expect(cutOff(page, 5)).toEqual([]);
  });
});

test('a collision and a word over the edge are seen by this check', () => {
  const word = { text: 'a', left: 50, top: 50, right: 80, bottom: 60 };
  expect(collisions([word, { ...word, text: 'b', left: 75, right: 90 }])).toHaveLength(1);
  expect(collisions([word, { ...word, text: 'b', top: 59, bottom: 69 }])).toHaveLength(0);
  expect(cutOff({ width: 100, height: 100, words: [word] }, 40)).toEqual(['a at 50, 50']);
});
