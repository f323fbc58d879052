import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { parseLayout, parseWords } from '../../src/certificate/index.js';
import { leakAmounts, leakPoints } from '../../src/holdtest/index.js';

const read = (name: string): string =>
  readFileSync(new URL(`../../templates/certificate/${name}`, import.meta.url), 'utf8');

test.each(['en', 'de'])('%s has every text and keeps the same fields in each', (language) => {
  const words = parseWords(read(`${language}.toml`), language);
  expect(words.say('title.page', { page: 2, pages: 3 })).toMatch(/2.*3/);
  expect(words.say('verdict.port', { port: 'A', verdict: 'v', reason: 'r' })).toMatch(/A.*v.*r/);
});

test('German has a word for every leak point and amount', () => {
  const words = parseWords(read('de.toml'), 'de');
  const same = [...leakPoints, ...leakAmounts].filter((word) => words.term(word) === word);
  expect(same).toEqual([]);
});

test('a language file that misses a text or has one too many is refused with its key', () => {
  const english = read('en.toml');
  expect(() => parseWords(english.replace(/^serial = .*$/m, ''), 'en')).toThrowError(/no text for label\.serial/);
  expect(() => parseWords(english.replace('[row]', '[row]\nextra = "x"'), 'en')).toThrowError(
    /row\.extra is not a text/,
  );
  expect(() => parseWords('[title', 'en')).toThrowError(/language file can't be read/);
});

test('a layout may leave out the chart and nothing else, and names a wrong key', () => {
  const layout = read('layout.toml');
  expect(parseLayout(layout.replace('"chart", ', '')).blocks).not.toContain('chart');
  expect(() => parseLayout(layout.replace('"remarks", ', ''))).toThrowError(/"remarks" may be moved but not left out/);
  expect(() => parseLayout(layout.replace('body = 7.0', 'body = 70.0'))).toThrowError(/layout file is wrong/);
  expect(() => parseLayout(`${layout}\n[colours]\n`)).toThrowError(/layout file is wrong/);
});
