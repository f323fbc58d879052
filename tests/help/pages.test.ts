import { describe, expect, it } from 'vitest';
import { markdownHtml, referencePage, setMarkdown, topicPage, topics } from '../../src/help/index.js';
import { references } from '../../src/help/references.js';

const pages = [
  ...Object.keys(topics).map((name) => [name, topicPage(name as keyof typeof topics)] as const),
  ...Object.keys(references).map((name) => [name, referencePage(name as keyof typeof references)] as const),
];
const plain = { bold: (text: string) => text, dim: (text: string) => text };
const words = (text: string): string[] => text.match(/[A-Za-z]{3,}/g) ?? [];

describe.each(pages)('%s', (_name, page) => {
  it('loses no word in a terminal of any width, and keeps to it', () => {
    for (const width of [40, 80, 100]) {
      const lines = setMarkdown(page, width, plain);
      expect(words(lines.join(' '))).toEqual(words(page));
      const prose = lines.filter((line) => !line.startsWith('  ') && line.includes(' '));
      for (const line of prose) if (!/\S{30}/.test(line)) expect(line.length, line).toBeLessThanOrEqual(width);
      expect(lines.join('\n')).not.toMatch(/\*\*|`/);
    }
  });

  it('loses no word at the desk, and marks nothing up by itself', () => {
    const text = markdownHtml(page)
      .map((part) => part.text)
      .join('\n');
    const shown = text.replace(/<caption>.*?<\/caption>|<[^>]*>/g, ' ').replace(/&(?:quot|lt|gt|amp|#\d+);/g, ' ');
    expect(words(shown)).toEqual(words(page.replace(/^# .*$/m, '')));
    expect(text).not.toMatch(/\*\*|`|<script/);
  });
});

it('bold is set in a terminal that has it', () => {
  const style = { bold: (text: string) => `<${text}>`, dim: (text: string) => text };
  expect(setMarkdown('# Heading\n\n**No port.** Plug it in.', 80, style)).toEqual([
    '<Heading>',
    '',
    '<No port.> Plug it in.',
  ]);
});
