import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { noChanges } from '../../src/certificate/words/said.js';
import { pageProgram, writePage } from '../../src/page/index.js';
import { checkPage, openChromium, openPageAt } from '../page/browser/chromium.js';
import { longHoldBundle, longHoldHeader } from '../page/long-hold.js';

/** `SHORT` in the environment: the 30-minute test alone. */
const sizes = process.env.SHORT
  ? ([[1560, 10]] as const)
  : ([
      [1560, 10],
      [86_160, 100],
    ] as const);

const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-page-'));
const browser = await openChromium();
try {
  const program = await pageProgram();
  console.error('readings        file MB  written s  first paint ms  all read ms  jump ms  finer ms  checked s');
  for (const [dwellS, perSecond] of sizes) {
    const bundle = longHoldBundle(path.join(folder, `${dwellS}.db`), longHoldHeader('T-2026-0001', dwellS), perSecond);
    const begun = performance.now();
    const words = noChanges;
    const text = writePage(
      bundle,
      {
        language: 'en',
        units: 'bar',
        words,
        procedureIsTemplate: true,
        writtenAt: '2026-03-02T10:00:00Z',
        program: 'bench',
      },
      program,
    );
    const writtenS = (performance.now() - begun) / 1000;
    const file = path.join(folder, `${dwellS}.html`);
    writeFileSync(file, text);
    const page = await openPageAt(browser, file);
    const seen = await page.firstPaintMs();
    const readMs = await page.allReadMs();
    const { jumpMs, finerMs } = await page.zoomMs();
    const outcome = await checkPage(page);
    const row = [
      String(Math.round((dwellS + 240) * perSecond)).padEnd(14),
      (text.length / 1e6).toFixed(1).padStart(8),
      writtenS.toFixed(1).padStart(10),
      seen.toFixed(0).padStart(15),
      readMs.toFixed(0).padStart(12),
      jumpMs.toFixed(0).padStart(8),
      finerMs.toFixed(0).padStart(9),
      `${outcome.seconds.toFixed(1)} ${outcome.outcome}`.padStart(10),
    ];
    console.error(row.join(' '));
    for (const problem of outcome.problems) console.error(`  ${problem}`);
    await page.close();
  }
} finally {
  await browser.close();
  rmSync(folder, { recursive: true, force: true });
}
