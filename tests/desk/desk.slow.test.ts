import { execFileSync } from 'node:child_process';
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import axe from 'axe-core';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  createSimulatedGauge,
  jobText,
  openPtyPair,
  procedureId,
  procedureText,
  scenarios,
  speak,
} from '../../drivers/simulated/index.js';
import { readShop } from '../../src/bench/index.js';
import { openDesk } from '../../src/desk/index.js';
import type { OpenDesk } from '../../src/desk/serve.js';
import { topics } from '../../src/help/index.js';
import { references } from '../../src/help/references.js';
import { readJob } from '../../src/procedure/index.js';
import { startProgram, until, withStore } from '../bench-live/bench-process.js';
import { openChromium } from '../page/browser/chromium.js';
import { deskShop, words } from './desk-shop.js';

let browser: Browser;
let desk: OpenDesk;
let shop: { folder: string; tests: string[] };
let page: Page;
const asked: string[] = [];
const complaints: string[] = [];

beforeAll(async () => {
  shop = await deskShop();
  desk = await openDesk(readShop(path.join(shop.folder, 'dwellmark.toml')), { port: 0 });
  browser = await openChromium();
  page = await (await browser.newContext({ viewport: { width: 1500, height: 950 } })).newPage();
  page.on('request', (request) => asked.push(request.url()));
  page.on('console', (said) => said.type() === 'error' && complaints.push(`${said.text()} ${said.location().url}`));
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('dialog', (dialog) => complaints.push(`a dialog: ${dialog.message()}`));
  await page.goto(desk.url);
}, 90_000);

afterAll(async () => {
  await browser.close();
  await desk.close();
  rmSync(shop.folder, { recursive: true, force: true });
});

const base = (): string => new URL(desk.url).origin;
const at = (place: string) => page.goto(`${base()}${place}`);
const said = async (): Promise<string> => (await page.locator('[role=status].told').first().textContent()) ?? '';

async function seriousFaults(): Promise<string[]> {
  await page.evaluate(axe.source);
  const { violations } = await page.evaluate<{
    violations: { id: string; impact: string; nodes: { html: string }[] }[];
  }>('axe.run(document)');
  return violations
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`);
}

describe('a day at the desk', () => {
  it('shows what waits, and the token is no longer in the address', async () => {
    expect(page.url()).toBe(`${base()}/`);
    expect(await page.locator('h2').allTextContents()).toContain('For a signature (2)');
    expect(await seriousFaults()).toEqual([]);
  });

  it('makes a job: proposes what the former test had, keeps answers when one is wrong, and writes it', async () => {
    await at('/jobs/new?scan=tq-3381');
    expect(await page.inputValue('input[name=bore]')).toBe('100 mm');
    expect(await page.inputValue('input[name=serial]')).toBe('TQ-3381');
    expect(await seriousFaults()).toEqual([]);
    await page.fill('input[name=work_order]', 'WO-<i>50');
    await page.fill('input[name=rod]', '120');
    await page.selectOption('select[name=procedure]', 'cylinder-proof');
    const jobs = (): string[] => readdirSync(path.join(shop.folder, 'jobs')).filter((name) => name.startsWith('WO'));
    const [refused] = await Promise.all([page.waitForResponse(/jobs\/new/), page.click('text=Write the job')]);
    expect([refused.status(), jobs()]).toEqual([409, []]);
    expect(await said()).toContain('the rod is not thinner than the bore');
    expect(await page.inputValue('input[name=work_order]')).toBe('WO-<i>50');
    expect(await seriousFaults()).toEqual([]);
    await page.fill('input[name=rod]', '56');
    const [done] = await Promise.all([page.waitForResponse(/jobs\/new/), page.click('text=Write the job')]);
    expect([done.status(), jobs()]).toEqual([200, ['WO-i-50-TQ-3381-as-received.toml']]);
    const file = path.join(shop.folder, 'jobs', jobs()[0] ?? '');
    expect(readJob(readFileSync(file, 'utf8'), { file })).toMatchObject({
      workOrder: 'WO-<i>50',
      procedure: 'cylinder-proof',
      cylinder: { serial: 'TQ-3381', rodM: expect.closeTo(0.056, 9), maker: 'Calder Rams' },
    });
    complaints.length = 0; // The refusal came with status 409, which the browser notes.
  });

  it('finds a test by its customer, and shows markup in stored text as text', async () => {
    await at('/tests');
    await page.fill('input[name=customer]', 'quarry</b>');
    await Promise.all([page.waitForURL(/customer=/), page.click('button:text("Find")')]);
    const row = page.locator('tbody tr');
    expect(await row.count()).toBe(1);
    expect(await row.textContent()).toContain('Tarn <b>Quarry</b> "Plant" <script>alert(1)</script>');
    expect(await page.locator('tbody b').count()).toBe(0);
    expect(await seriousFaults()).toEqual([]);
    await page.click(`text=${shop.tests[1]}`);
    const record = page.frameLocator('iframe');
    expect(await record.locator('body').textContent()).toContain('Tarn <b>Quarry</b>');
    expect(await record.locator('.finding .word').textContent()).toContain('Pass');
  });

  it('signs: not with the wrong passphrase, then with the right one', async () => {
    await at(`/tests/${shop.tests[0]}`);
    await page.fill('form[action$="/sign"] input[name=passphrase]', 'five grey herons');
    await page.click('form[action$="/sign"] button');
    expect(await said()).toMatch(/passphrase/);
    expect(withStore(shop.folder, (store) => store.test(shop.tests[0] ?? '').signatures)).toEqual([]);
    complaints.length = 0; // The refusal came with status 409, which the browser notes.
    await page.fill('form[action$="/sign"] input[name=passphrase]', words);
    await page.click('form[action$="/sign"] button');
    expect(await said()).toMatch(/^Signed: reviewed and released, Ines Okafor/);
    expect(await page.content()).not.toContain(words);
    expect(await seriousFaults()).toEqual([]);
  });

  it('issues the certificate and hands it out', async () => {
    await page.click('text=Issue the certificate');
    expect(await said()).toMatch(/is issued/);
    const link = await page.locator('a[href^="/papers/"]').getAttribute('href');
    const paper = await page.request.get(`${base()}${link}`);
    expect(paper.headers()['content-type']).toBe('application/pdf');
    const kept = readFileSync(path.join(shop.folder, 'certificates', path.basename(link ?? '')));
    expect(Buffer.compare(await paper.body(), kept)).toBe(0);
  });

  it('corrects the customer, signed, and reissues the paper that says so', async () => {
    const test = shop.tests[0] ?? '';
    await at(`/tests/${test}`);
    await page.click('summary:text("Correct the order")');
    await page.fill('form[action$="/correct"] input[name=customer]', 'Tarn Quarry Plant Ltd');
    await page.fill('form[action$="/correct"] input[name=reason]', 'misspelt in the job');
    await page.fill('form[action$="/correct"] input[name=passphrase]', 'five grey herons');
    await page.click('form[action$="/correct"] button');
    expect(await said()).toMatch(/passphrase/);
    expect(withStore(shop.folder, (store) => store.test(test).corrections)).toEqual([]);
    await page.click('summary:text("Correct the order")');
    await page.fill('form[action$="/correct"] input[name=customer]', 'Tarn Quarry Plant Ltd');
    await page.fill('form[action$="/correct"] input[name=reason]', 'misspelt in the job');
    await page.fill('form[action$="/correct"] input[name=passphrase]', words);
    await page.click('form[action$="/correct"] button');
    const told = await said();
    expect(told).toMatch(/^Corrected: customer: Tarn Quarry Plant Ltd\. \S+ still says what was wrong/);
    expect(await seriousFaults()).toEqual([]);
    await page.click('summary:text("Reissue")');
    await page.fill('form[action$="/reissue"] input[name=reason]', 'customer misspelt');
    await page.fill('form[action$="/reissue"] input[name=passphrase]', words);
    await page.click('form[action$="/reissue"] button');
    expect(await said()).toMatch(/^\S+ is issued in place of \S+, which is void/);
    const stored = withStore(shop.folder, (store) => store.test(test));
    expect(stored.certificates.map(({ replacedBy }) => replacedBy)).toEqual([stored.certificates[1]?.number, null]);
    const paper = path.join(shop.folder, 'certificates', `${stored.certificates[1]?.number}.pdf`);
    expect(execFileSync('pdftotext', [paper, '-'], { encoding: 'utf8' }).replace(/\s+/g, ' ')).toContain(
      'Customer corrected: "Tarn Quarry Plant Ltd" in place of "Tarn Quarry Plant"',
    );
    complaints.length = 0; // A refusal came with status 409, which the browser notes.
  });

  it('recalls a gauge, puts a decision down, and voids the certificate', async () => {
    const serial = withStore(shop.folder, (store) => store.test(shop.tests[0] ?? '').header.plan.gauge.serial);
    await at(`/recall?gauge=${encodeURIComponent(serial)}&error=${encodeURIComponent('5 %')}`);
    expect(await page.locator('tbody tr').count()).toBe(2);
    expect(await seriousFaults()).toEqual([]);
    await page.check(`input[name="test-${shop.tests[0]}"]`);
    if (await page.isChecked(`input[name="test-${shop.tests[1]}"]`))
      await page.uncheck(`input[name="test-${shop.tests[1]}"]`);
    await page.selectOption('select[name=decision]', 'certificate withdrawn');
    await page.fill('input[name=why]', 'gauge read 5 % high, CAL-0412');
    await page.check('input[name=void]');
    await page.fill('input[name=passphrase]', words);
    await page.click('text=Put it down, signed');
    expect(await said()).toMatch(/^1 tests?: certificate withdrawn; void: /);
    const stored = withStore(shop.folder, (store) => store.test(shop.tests[0] ?? ''));
    expect(stored.certificates.at(-1)?.voided?.reason).toContain('CAL-0412');
    expect(stored.acts.some(({ kind }) => kind === 'recall disposition')).toBe(true);
  });

  it('holds two tests of one cylinder beside each other', async () => {
    await at(`/compare?a=${shop.tests[0]}&b=${shop.tests[1]}`);
    expect(await page.locator('iframe').count()).toBe(2);
    expect(await page.locator('table').first().textContent()).toContain('drop');
    expect(await seriousFaults()).toEqual([]);
  });

  it('voids a test with its reason', async () => {
    await at(`/tests/${shop.tests[1]}`);
    await page.click('summary:text("Void this test")');
    await page.fill('form[action$="/void"] input[name=reason]', 'wrong cylinder on the bench');
    await page.fill('form[action$="/void"] input[name=passphrase]', words);
    await page.click('form[action$="/void"] button');
    expect(await said()).toMatch(/is void/);
    expect(withStore(shop.folder, (store) => store.test(shop.tests[1] ?? '').voided?.by)).toBe('Ines Okafor');
  });

  it('shows every topic of help and every key of a file, without a fault and no wider than a small window', async () => {
    await at('/help');
    const links = await page
      .locator('main li a')
      .evaluateAll((all) => all.map((one) => one.getAttribute('href') ?? ''));
    expect(links).toEqual([...Object.keys(topics), ...Object.keys(references)].map((name) => `/help/${name}`));
    await page.setViewportSize({ width: 800, height: 900 });
    for (const link of links) {
      await at(link);
      expect(await page.locator('main').textContent(), link).not.toMatch(/\*\*|`|undefined/);
      expect(await seriousFaults(), link).toEqual([]);
      const tooWide = await page.evaluate('document.documentElement.scrollWidth - innerWidth');
      expect(tooWide, link).toBeLessThanOrEqual(0);
    }
    expect((await at('/help/no-such-topic'))?.status()).toBe(404);
    complaints.splice(0, complaints.length, ...complaints.filter((one) => !one.includes('/help/no-such-topic')));
    await page.setViewportSize({ width: 1500, height: 950 });
  });

  it('asked nothing of anybody else, and nothing went wrong in the browser', () => {
    expect(asked.filter((url) => new URL(url).origin !== base() && !/^(data|blob):/.test(url))).toEqual([]);
    expect(complaints).toEqual([]);
  });
});

describe('the big screen', () => {
  it('follows a test on a serial line to its verdict, in figures that fill the screen', async () => {
    const scenario = scenarios[0];
    if (!scenario) throw new Error('no scenario');
    const pty = await openPtyPair();
    mkdirSync(path.join(shop.folder, 'templates'), { recursive: true });
    writeFileSync(path.join(shop.folder, 'templates', `${procedureId(scenario)}.toml`), procedureText(scenario));
    const job = path.join(shop.folder, 'live.toml');
    writeFileSync(job, jobText(scenario));
    const file = path.join(shop.folder, 'dwellmark.toml');
    const { serial, pressure } = scenario.instrument;
    writeFileSync(
      file,
      `${readFileSync(file, 'utf8')}
[[gauge]]
serial = "${serial}"
range = "0..400 bar"
resolution = "${pressure.resolution} ${pressure.unit}"
accuracy = "0.1 %FS"
driver = "ascii-stream"
[gauge.line]
path = "${pty.path}"
baud_rate = 115200
pattern = "{elapsed} s {pressure} {unit} {oil} C"
unit = "${pressure.unit}"
`,
    );
    const gauge = createSimulatedGauge({
      ports: scenario.ports,
      instrument: scenario.instrument,
      seed: 5,
      ratePerS: scenario.ratePerS,
      speed: 60,
    });
    await gauge.open();
    const { child, said: told } = startProgram([
      'test',
      job,
      '--unattended',
      '--json',
      '--technician',
      'Marek Dunn',
      '--shop',
      shop.folder,
    ]);
    const left = new Promise<void>((resolve) => child.on('close', () => resolve()));
    await until('the test has begun', () => withStore(shop.folder, (store) => store.unfinished().length > 0));
    const shape = {
      unit: pressure.unit,
      decimals: 1,
      width: 7,
      oilDecimals: 2,
      elapsedDecimals: 6,
      terminator: '\r\n',
    };
    void speak(gauge.items(), pty, { shape }).catch(() => undefined);
    await at('/live');
    await expect
      .poll(async () => Number(await page.textContent('#pressure')), { timeout: 60_000, interval: 100 })
      .toBeGreaterThan(200);
    const box = await page.locator('.pressure').boundingBox();
    expect(box?.height).toBeGreaterThan(250);
    expect(await page.textContent('#phase')).toMatch(/Port [AB], proof: \S+/);
    expect(await page.textContent('#facts')).toContain('target');
    expect((await page.locator('#trace polyline').getAttribute('points'))?.split(' ').length).toBeGreaterThan(20);
    await expect.poll(async () => page.textContent('#phase'), { timeout: 120_000, interval: 200 }).toMatch(/^Verdict/);
    expect(await page.textContent('#phase')).toBe(
      `Verdict: ${Object.values(scenario.truth.verdict).includes('fail') ? 'fail' : 'pass'}`,
    );
    await left;
    expect(told()).toContain('"verdict"');
    pty.close();
    await gauge.close();
  }, 200_000);
});

describe('who is turned away', () => {
  const ask = (headers: Record<string, string>, place = '/', method = 'GET') =>
    fetch(`${base()}${place}`, { method, headers, redirect: 'manual' });
  const cookie = async (): Promise<string> => {
    const [first] = (await page.context().cookies()).map(({ name, value }) => `${name}=${value}`);
    return first ?? '';
  };

  it('without the token, or with another', async () => {
    expect((await ask({})).status).toBe(401);
    expect((await ask({}, '/?token=x')).status).toBe(401);
    expect((await ask({ cookie: 'dwellmark-desk=x' })).status).toBe(401);
    expect((await ask({ cookie: await cookie() })).status).toBe(200);
  });

  it('from another origin, or as another host', async () => {
    const known = await cookie();
    expect((await ask({ cookie: known, origin: 'http://elsewhere.example' })).status).toBe(403);
    expect((await ask({ cookie: known, origin: 'null' })).status).toBe(403);
    const place = `/tests/${shop.tests[0]}/certificate`;
    expect((await ask({ cookie: known, origin: 'http://elsewhere.example' }, place, 'POST')).status).toBe(403);
    expect((await ask({ cookie: known }, place, 'POST')).status).toBe(403);
    const { request } = await import('node:http');
    const status = await new Promise<number | undefined>((resolve, reject) => {
      const { hostname, port } = new URL(desk.url);
      const sent = request(
        { host: hostname, port, path: '/', headers: { host: 'rebound.example', cookie: known } },
        (answer) => {
          answer.resume();
          resolve(answer.statusCode);
        },
      );
      sent.on('error', reject);
      sent.end();
    });
    expect(status).toBe(421);
  });

  it('a path that leads out of the papers, a test that is not there, a method that is not asked', async () => {
    const known = { cookie: await cookie() };
    expect((await ask(known, '/papers/..%2F..%2Fdwellmark.toml')).status).toBe(404);
    expect((await ask(known, '/tests/T-1999-0001')).status).toBe(404);
    expect((await ask({ ...known, origin: base() }, '/', 'DELETE')).status).toBe(405);
  });

  it('a form of 5 MB, in a line of text, and nothing is done', async () => {
    const before = withStore(shop.folder, (store) => store.ledgerHead());
    const answer = await fetch(`${base()}/tests/${shop.tests[0]}/sign`, {
      method: 'POST',
      headers: { cookie: await cookie(), origin: base(), 'content-type': 'application/x-www-form-urlencoded' },
      body: `remark=${'x'.repeat(5_000_000)}`,
    });
    expect([answer.status, await answer.text()]).toEqual([413, 'That is too much for a form.\n']);
    expect((await ask({ cookie: await cookie() })).status).toBe(200);
    expect(withStore(shop.folder, (store) => store.ledgerHead())).toEqual(before);
  });

  it('answers with a policy that lets nothing in from outside', async () => {
    const { headers } = await ask({ cookie: await cookie() });
    expect(headers.get('content-security-policy')).toContain("default-src 'none'");
    expect(headers.get('cache-control')).toBe('no-store');
  });
});
