import { pathToFileURL } from 'node:url';
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core';

/** Debian's Chromium, without a window and without anything that reaches out by itself. */
export const openChromium = (): Promise<Browser> =>
  chromium.launch({
    executablePath: '/usr/bin/chromium',
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });

/** Run in the page: what takes how long between a press on a dwell's button and the finest readings of it. */
const pressFirstDwell = `(async () => {
  const live = document.querySelector('#chart-live .live');
  const frame = () => new Promise((done) => requestAnimationFrame(done));
  const begun = performance.now();
  document.querySelectorAll('#chart-live .views > button')[1].click();
  await frame();
  await frame();
  const jumpMs = performance.now() - begun;
  while (live.dataset.rows !== 'finer' && performance.now() - begun < 20000) await frame();
  return { jumpMs, finerMs: performance.now() - begun };
})()`;

/** A page of a test as a reader has it open. */
export interface OpenedInBrowser {
  readonly page: Page;
  /** Everything it asked for but itself, and everything it complained of. */
  readonly requests: string[];
  readonly complaints: string[];
  firstPaintMs(): Promise<number>;
  /** From navigation until the worker has read every reading. */
  allReadMs(): Promise<number>;
  /** From a press on a dwell's button until it is drawn, and until the finer readings are. */
  zoomMs(): Promise<{ jumpMs: number; finerMs: number }>;
  close(): Promise<void>;
}

export async function openPageAt(
  browser: Browser,
  file: string,
  options: BrowserContextOptions = {},
): Promise<OpenedInBrowser> {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, ...options });
  const page = await context.newPage();
  const url = pathToFileURL(file).href;
  const requests: string[] = [];
  const complaints: string[] = [];
  page.on('request', (request) => {
    if (request.url() !== url && !request.url().startsWith('blob:')) requests.push(request.url());
  });
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(error.message));
  await page.goto(url);
  return {
    page,
    requests,
    complaints,
    firstPaintMs: () =>
      page.evaluate<number>(
        `performance.getEntriesByType('paint').find(({ name }) => name === 'first-contentful-paint')?.startTime ?? NaN`,
      ),
    allReadMs: async () => {
      const state = `document.querySelector('#chart-live > .state:last-child')?.textContent ?? ''`;
      for (let tries = 0; tries < 6000 && !(await page.evaluate<string>(state)); tries += 1)
        await page.waitForTimeout(20);
      return page.evaluate<number>('performance.now()');
    },
    zoomMs: () => page.evaluate(pressFirstDwell),
    close: () => context.close(),
  };
}

/** What the page's own check says. */
export interface Checked {
  readonly outcome: string;
  readonly problems: readonly string[];
  readonly seconds: number;
}

/** Presses the button and waits for the outcome; `none` when there is no button to press. */
export async function checkPage({ page }: OpenedInBrowser): Promise<Checked> {
  const button = page.locator('#check-button');
  if (!(await button.isVisible())) return { outcome: 'none', problems: [], seconds: 0 };
  const begun = performance.now();
  await button.click();
  const result = page.locator('[data-outcome]');
  await result.waitFor({ timeout: 120_000 });
  const outcome = (await result.getAttribute('data-outcome')) ?? '';
  const problems =
    outcome === 'good' ? [] : await page.locator('[data-outcome] ul').first().locator('li').allTextContents();
  return { outcome, problems, seconds: (performance.now() - begun) / 1000 };
}
