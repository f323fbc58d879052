import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { judgeStored } from '../../src/audit/index.js';
import { noChanges } from '../../src/certificate/words/said.js';
import type { PageSetting } from '../../src/page/facts/page-facts.js';
import { verifyPage, writePage } from '../../src/page/index.js';
import { scratchFolder } from '../record/sample-test.js';
import { longHoldBundle, longHoldHeader } from './long-hold.js';

const program = 'void 0;';
const setting = (language: 'en' | 'de'): PageSetting => ({
  language,
  units: 'bar',
  words: noChanges,
  procedureIsTemplate: true,
  writtenAt: '2026-03-03T10:00:00+01:00',
  program: '0.1.0',
});
const header = longHoldHeader('T-2026-0001', 120, { customer: 'Ömer & <b>Sons</b>' });
const bundle = longHoldBundle(path.join(scratchFolder(), 'page.db'), header, 5);
const page = writePage(bundle, setting('en'), program);
const check = (text: string, version = '0.1.0') => verifyPage(text, judgeStored, program, version);

describe('the page of a test', () => {
  it('says what was found, by whom, with what, and what the record is known by', () => {
    for (const text of [
      'Maria Lindqvist',
      'CY-1184',
      'G-1',
      'Budget of uncertainty',
      'Allowed drop over the demanded dwell',
    ])
      expect(page.includes(text), text).toBe(true);
    expect(page.includes('Ömer &amp; &lt;b&gt;Sons&lt;/b&gt;')).toBe(true);
    expect(page.includes('<b>Sons')).toBe(false);
  });

  it('lets nothing in: no address, no style and no script but its own', () => {
    const policy = /Content-Security-Policy" content="([^"]+)"/.exec(page)?.[1]?.replaceAll('&#39;', "'");
    expect(policy).toMatch(
      /^default-src 'none'; style-src 'sha256-[^']+'; script-src 'sha256-[^']+'; worker-src blob:; base-uri 'none'; form-action 'none'$/,
    );
    expect(/\bhttps?:/i.exec(page)).toBeNull();
    expect(/ (?:style|on[a-z]+)="/.exec(page)).toBeNull();
  });

  it('is verified by the program, and every changed text of it is found', () => {
    expect(check(page).problems).toEqual([]);
    const changed = page.replace('Maria Lindqvist<br>', 'Maria Lindquist<br>');
    expect(changed === page).toBe(false);
    expect(check(changed).problems).toEqual([{ where: 'page', what: 'it shows something else than its record says' }]);
  });

  it('says that it cannot tell where another version wrote it', () => {
    const changed = page.replace('Maria Lindqvist<br>', 'Maria Lindquist<br>');
    const { problems, unproven } = verifyPage(changed, judgeStored, 'void 1;', '9.0.0');
    expect(problems).toEqual([]);
    expect(unproven.join()).toContain('NOT compared with its record: dwellmark 0.1.0 wrote it, and this is 9.0.0');
    expect(check(changed, '9.0.0').problems).toHaveLength(1);
  });

  it('refuses a file that is no page of a test', () => {
    expect(() => check('<!doctype html><p>hello</p>')).toThrow('no page of a test');
  });

  it('speaks the language of its words', () => {
    const german = writePage(bundle, setting('de'), program);
    expect(german.includes('<html lang="de">')).toBe(true);
    for (const text of ['Dieses Protokoll nachprüfen', 'Prüfgegenstand', 'Bestanden'])
      expect(german.includes(text), text).toBe(true);
    expect(check(german).problems).toEqual([]);
  });
});
