import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { changedKeys, parseLayout, parseWords } from '../../src/certificate/index.js';
import { leakAmounts, leakPoints } from '../../src/holdtest/index.js';

const read = (name: string): string =>
  readFileSync(new URL(`../../templates/certificate/${name}`, import.meta.url), 'utf8');

test.each(['en', 'de'] as const)('%s has every text and keeps the same fields in each', (language) => {
  const words = parseWords(read(`${language}.toml`), language);
  expect(words.say('title.page', { page: 2, pages: 3 })).toMatch(/2.*3/);
  expect(words.say('verdict.port', { port: 'A', verdict: 'v', reason: 'r' })).toMatch(/A.*v.*r/);
});

test('German has a word for every leak point and amount', () => {
  const words = parseWords(read('de.toml'), 'de');
  const same = [...leakPoints, ...leakAmounts].filter((word) => words.term(word) === word);
  expect(same).toEqual([]);
});

test('a language file holds what a shop words, is named with its key, and prints the rest as shipped', () => {
  const english = read('en.toml');
  const words = parseWords('[label]\ncustomer = "Owner"\n[term]\n"press frame" = "frame"\n', 'en');
  expect([words.say('label.customer'), words.say('label.serial')]).toEqual(['Owner', 'Serial no.']);
  expect(words.term('press frame')).toBe('frame');
  expect(changedKeys(words.changes)).toEqual(['label.customer', 'term.press frame']);
  expect(changedKeys(parseWords(english, 'en').changes)).toEqual([]);
  expect(() => parseWords('[row]\nextra = "x"\n', 'en')).toThrowError(/row\.extra is not a text/);
  expect(() => parseWords('[title', 'en')).toThrowError(/language file is no TOML: \w/);
  expect(() => parseWords('title = "x"\n', 'en')).toThrowError(/this is no text of a section/);
});

test.each([
  ['verdict', 'fail = "Pass"', 'verdict.fail is always in the words of the program'],
  ['verdict', 'sentence-fail = "Every hold met its limit."', 'is always in the words of the program'],
  ['title', 'test-report = "Hold test certificate"', 'is always in the words of the program'],
  ['title', 'simulated = ""', 'is always in the words of the program'],
  ['title', 'imported = "Readings of {source}"', 'is always in the words of the program'],
  ['title', 'mark-void = " "', 'is always in the words of the program'],
  ['format', 'decimal = ""', 'is always in the words of the program'],
  ['row', 'verdict = "Figure"', 'is always in the words of the program'],
  ['row', 'allowed = ""', 'may not be empty'],
  ['row', 'drops = "in drops"', 'must keep its {drops}'],
  ['sentence', 'no-calibration = "by the maker"', 'is always in the words of the program'],
  ['sentence', 'overruled = "{by} {why} {finding}"', 'is always in the words of the program'],
  ['group', 'results = "Results: passed"', 'may not name a verdict'],
  ['label', 'customer = "Hold test certificate for"', 'may not name a verdict'],
  ['label', 'seen = "Bestanden"', 'may not name a verdict'],
  ['term', 'rejected = "reviewed and released"', 'is always in the words of the program'],
  ['term', 'technician = "QA"', 'is always in the words of the program'],
  ['term', 'drops = "dry"', 'is always in the words of the program'],
  ['term', '"press frame" = "Pass"', 'may not name a verdict'],
])('a shop may not word [%s] %s', (section, line, why) => {
  expect(() => parseWords(`[${section}]\n${line}\n`, 'en')).toThrowError(why);
});

test('a layout may leave out the chart and nothing else, and names a wrong key', () => {
  const layout = read('layout.toml');
  expect(parseLayout(layout.replace('"chart", ', '')).blocks).not.toContain('chart');
  expect(() => parseLayout(layout.replace('"remarks", ', ''))).toThrowError(/"remarks" may be moved but not left out/);
  expect(() => parseLayout(layout.replace('body = 7.0', 'body = 70.0'))).toThrowError(/layout file is wrong/);
  expect(() => parseLayout(`${layout}\n[colours]\n`)).toThrowError(/layout file is wrong/);
});
