import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { noChanges } from '../../../src/certificate/words/said.js';
import type { PageSetting } from '../../../src/page/facts/page-facts.js';
import { pageProgram, writePage } from '../../../src/page/index.js';
import { scratchFolder } from '../../record/sample-test.js';
import { longHoldBundle, longHoldHeader } from '../long-hold.js';
import { alterations, type WholePage } from './alterations.js';
import { checkPage, openChromium, openPageAt } from './chromium.js';

const folder = scratchFolder();
const hostile = `<img src=x onerror="document.title='run'"></script><script>document.title='run'</script>`;

let browser: Browser;
let whole: WholePage;
let file: string;

beforeAll(async () => {
  browser = await openChromium();
  const program = await pageProgram();
  const setting: PageSetting = {
    language: 'en',
    units: 'bar',
    words: noChanges,
    procedureIsTemplate: true,
    writtenAt: '2026-03-03T10:00:00+01:00',
    program: '0.1.0',
  };
  const header = longHoldHeader('T-2026-0001', 120, { condition: hostile });
  const bundle = longHoldBundle(path.join(folder, 'whole.db'), header, 10);
  whole = { html: writePage(bundle, setting, program), bundle, setting, program };
  file = put('whole', whole.html);
}, 180_000);
afterAll(() => browser?.close());

function put(name: string, html: string): string {
  const place = path.join(folder, `${name}.html`);
  writeFileSync(place, html);
  return place;
}

describe('the page of a test in a browser', () => {
  it('opens from a file, asks for nothing, complains of nothing, and checks a good record as good', async () => {
    const opened = await openPageAt(browser, file);
    await opened.allReadMs();
    expect(await checkPage(opened)).toMatchObject({ outcome: 'good', problems: [] });
    const said = await opened.page.textContent('#check-result');
    expect(said).toContain('3600 readings; signatures: 2');
    expect(opened.requests).toEqual([]);
    expect(opened.complaints).toEqual([]);
    expect(await opened.page.title()).toContain('Record of test T-2026-0001');
    expect(await opened.page.textContent('#summary')).toContain(hostile);
    await opened.close();
  });

  it('zooms by a button, by dragging, by the wheel and by keys, and comes back', async () => {
    const opened = await openPageAt(browser, file);
    const { page } = opened;
    await opened.allReadMs();
    const shown = () => page.evaluate<string>(`document.querySelector('#chart-live .live').dataset.view`);
    const live = page.locator('#chart-live .live');
    const whole0 = await shown();
    await page.getByRole('button', { name: /Port A/ }).click();
    const dwell = await shown();
    expect(dwell).not.toBe(whole0);
    await page.getByRole('button', { name: 'Whole test' }).click();
    expect(await shown()).toBe(whole0);
    const box = await page.locator('.u-over').boundingBox();
    if (!box) throw new Error('no chart');
    await page.mouse.move(box.x + box.width * 0.3, box.y + 50);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width * 0.6, box.y + 60, { steps: 4 });
    await page.mouse.up();
    const dragged = await shown();
    const [from = 0, to = 0] = dragged.split(' ').map(Number);
    expect(from).toBeGreaterThan(0.25 * 360);
    expect(to).toBeLessThan(0.65 * 360);
    await page.mouse.wheel(0, -240);
    await expect.poll(shown).not.toBe(dragged);
    await live.press('0');
    expect(await shown()).toBe(whole0);
    await live.press('+');
    expect(await shown()).not.toBe(whole0);
    await live.press('Home');
    await live.press('d');
    expect(await shown()).toBe(dwell);
    await expect.poll(() => live.getAttribute('data-rows')).toBe('finer');
    await page.locator('.u-over').dblclick();
    expect(await shown()).toBe(whole0);
    expect(opened.complaints).toEqual([]);
    await opened.close();
  });

  it('is reached by keyboard and screen reader: no serious fault, light and dark', async () => {
    const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
    for (const colorScheme of ['light', 'dark'] as const) {
      const opened = await openPageAt(browser, file, { colorScheme, bypassCSP: true });
      await opened.allReadMs();
      await checkPage(opened);
      await opened.page.evaluate(axe);
      const faults = await opened.page.evaluate<string[]>(
        `axe.run().then(({ violations }) => violations.filter(({ impact }) => impact === 'serious' || impact === 'critical').flatMap(({ id, nodes }) => nodes.map(({ html }) => id + ': ' + html.slice(0, 160))))`,
      );
      expect(faults, colorScheme).toEqual([]);
      await opened.close();
    }
  });

  it('says all it has to say without scripts, and on paper', async () => {
    const opened = await openPageAt(browser, file, { javaScriptEnabled: false });
    expect(await opened.page.locator('#chart-still svg').isVisible()).toBe(true);
    expect(await opened.page.locator('#check-button').isVisible()).toBe(false);
    expect(await opened.page.textContent('main')).toContain('Maria Lindqvist');
    await opened.close();
    const printed = await openPageAt(browser, file);
    await printed.allReadMs();
    const pdf = await printed.page.pdf({ format: 'A4', printBackground: true });
    expect(pdf.subarray(0, 5).toString('latin1')).toBe('%PDF-');
    await printed.close();
  });

  it('does not scroll sideways on a narrow screen', async () => {
    const opened = await openPageAt(browser, file, { viewport: { width: 360, height: 740 } });
    await opened.allReadMs();
    expect(await opened.page.evaluate<number>('document.documentElement.scrollWidth')).toBeLessThanOrEqual(360);
    await opened.close();
  });

  it('finds every one of fifty altered pages, and says where', async () => {
    const all = alterations(whole);
    expect(all.length).toBeGreaterThanOrEqual(50);
    const missed: string[] = [];
    for (const { name, html, of } of all) {
      const opened = await openPageAt(browser, put('altered', html));
      const { outcome, problems } = await checkPage(opened);
      const found = problems.some((problem) => problem.startsWith('page, ') === (of === 'page'));
      if (outcome !== 'altered' || !found) missed.push(`${name}: ${outcome} ${problems.join(' | ')}`);
      await opened.close();
    }
    expect(missed).toEqual([]);
  });

  it('a page whose script was changed checks nothing: the policy in it does not let it run', async () => {
    const changed = whole.html.replace('<script id="program">', '<script id="program">void 0;');
    const opened = await openPageAt(browser, put('other-script', changed));
    expect((await checkPage(opened)).outcome).toBe('none');
    await opened.close();
  });
});
