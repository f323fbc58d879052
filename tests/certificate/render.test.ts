import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, test } from 'vitest';
import { certificateContent } from '../../src/certificate/content/certificate-content.js';
import { parseLayout, renderLabel } from '../../src/certificate/index.js';
import { renderCertificate } from '../../src/certificate/render-when-asked.js';
import { type ReadPdf, readPdf } from './read-pdf.js';
import { sampleFail, type sampleInput, samplePass, samplePsi, sampleThreeStages } from './sample-content.js';

const render = async (input: ReturnType<typeof sampleInput>): Promise<Buffer> =>
  renderCertificate(certificateContent(input));

describe('the certificate of a plain two-port test', () => {
  let bytes: Buffer;
  let pdf: ReadPdf;
  beforeAll(async () => {
    bytes = await render(samplePass({ series: 'HF' }));
    pdf = readPdf(bytes);
  });

  test('is one page of PDF 1.7', () => {
    expect(pdf.version).toBe('%PDF-1.7');
    expect(pdf.pages).toHaveLength(1);
  });

  // 21 CFR 11.50: printed name, date and time, meaning of the signature
  test.each([
    'performed',
    'Mina Aldous',
    '14 Mar 2026, 11:20 (UTC)',
    'reviewed and released',
    'witnessed',
    'Ilse Marrow',
  ])('shows of its signatures: %s', (text) => expect(pdf.text.split('\n')).toContain(text));

  test.each([
    'Covers',
    'Not covered',
    'Stiffness',
    'Bench check',
    'Calibration',
    'Oil temp.',
    'Leak rate',
    '20 drops/mL',
  ])('tells %s', (text) => expect(pdf.text).toContain(text));

  test('names the record and the ledger in full', () => {
    const joined = pdf.text.replace(/\s/g, '');
    const { seal } = samplePass();
    expect(joined).toContain(seal.head);
    expect(joined).toContain(`line${seal.ledgerPosition},head${seal.ledgerHead}`);
  });

  test('writes the chart as text that can be searched, the serials on it', () => {
    expect(pdf.text.split('\n')).toContain('Cylinder TQ-4471 · gauge SN 40117');
    expect(pdf.text.split('\n')).toContain('limit 235.6 bar');
    expect(pdf.text.split('\n').filter((line) => line === 'inspected')).toHaveLength(4);
    expect(pdf.text).not.toMatch(/[ﬁﬂ\ufffd]/);
  });

  test('embeds every font', () => {
    expect(pdf.fonts.map(({ name }) => name.replace(/^.*\+/, '')).toSorted()).toEqual([
      'IBMPlexSans-Regular',
      'IBMPlexSans-SemiBold',
    ]);
    expect(pdf.fonts.every(({ embedded }) => embedded)).toBe(true);
  });

  test('carries record and trace byte for byte', () => {
    expect(pdf.attachments.get('record.json')?.toString()).toBe(samplePass().recordJson);
    expect(pdf.attachments.get('trace.csv')?.toString()).toBe(samplePass().traceCsv);
  });

  test('is tagged, has an outline and a language, and claims no conformance that nobody has validated', () => {
    const catalogue = [...pdf.objects.values()].find((body) => /\/Type \/Catalog/.test(body)) ?? '';
    expect(catalogue).toMatch(/\/MarkInfo/);
    expect(catalogue).toMatch(/\/StructTreeRoot/);
    expect(catalogue).toMatch(/\/Outlines/);
    expect(catalogue).toMatch(/\/OutputIntents/);
    expect(catalogue).toMatch(/\/Lang \(en\)/);
    expect(pdf.metadata).toContain('<xmp:CreatorTool>dwellmark</xmp:CreatorTool>');
    expect(pdf.metadata).not.toMatch(/pdfaid|PDF\/A|pdfuaid/i);
  });

  test('is the same byte for byte when rendered again', async () => {
    expect((await render(samplePass({ series: 'HF' }))).equals(bytes)).toBe(true);
    expect((await render(samplePass())).equals(bytes)).toBe(false);
  });

  test('stays small', () => {
    expect(bytes.length).toBeLessThan(150_000);
  });
});

test('a long test goes over pages, each numbered, the end on the last', async () => {
  const pdf = readPdf(await render(sampleThreeStages()));
  expect(pdf.pages.length).toBeGreaterThan(1);
  for (const [index, page] of pdf.pages.entries()) {
    expect(page).toContain(`Page ${index + 1} of ${pdf.pages.length}`);
    expect(page.includes('— End of certificate HF-2026-0010 —')).toBe(index === pdf.pages.length - 1);
  }
  expect(pdf.text).toContain('Kamenolom Еловая Гряда 7 &');
  expect(pdf.text).toContain('Željko Müller-Šťastný-Großkreuz');
});

test('draft, void and simulated are on every page', async () => {
  const voided = readPdf(await render(sampleThreeStages({ kind: 'void', header: { origin: 'simulated' } })));
  const draft = readPdf(await render(samplePass({ kind: 'draft', signatures: [] })));
  for (const page of voided.pages) {
    expect(page).toContain('VOID');
    expect(page).toContain('Simulated gauge: not evidence about a real cylinder.');
  }
  expect(draft.text).toContain('DRAFT');
  expect(draft.text).toContain('Draft: not a certificate');
  expect(draft.text).toContain('Not signed.');
});

test('a failed test is a report, in German too', async () => {
  const pdf = readPdf(await render(sampleFail({ language: 'de' })));
  expect(pdf.text).toContain('Prüfbericht Druckhalteprüfung');
  expect(pdf.text).toContain('Nicht bestanden');
  expect(pdf.text).not.toMatch(/certificate|zeugnis/i);
});

test('Letter with psi and bar stays on one page', async () => {
  const pdf = readPdf(await render(samplePsi()));
  expect(pdf.pages).toHaveLength(1);
  expect(pdf.text).toContain('(240.0)');
  expect([...pdf.objects.values()].some((body) => /\/MediaBox \[0 0 612 792\]/.test(body))).toBe(true);
});

test('an ampersand in the name of the shop leaves the metadata well-formed', async () => {
  const shop = { name: 'Harrow & Fell <Hydraulics>', address: 'Ghyll Lane' };
  const pdf = readPdf(await render(samplePass({ header: { shop } })));
  expect(pdf.metadata).toContain('<rdf:li>Harrow &amp; Fell &lt;Hydraulics&gt;</rdf:li>');
  expect(pdf.text).toContain('Harrow & Fell <Hydraulics>');
});

test('a sign that the font lacks is refused, not printed as a box', async () => {
  await expect(render(samplePass({ header: { customer: '油圧工業' } }))).rejects.toThrowError(/no sign for "油"/);
});

test('a logo is set above the name; a broken one is refused', async () => {
  const square =
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><rect width="10" height="10" fill="#1f4e79"/></svg>';
  const pdf = readPdf(await render(samplePass({ logo: Buffer.from(square) })));
  expect(pdf.pages).toHaveLength(1);
  await expect(render(samplePass({ logo: Buffer.from('no picture') }))).rejects.toThrowError(/logo can't be used/);
});

test('an unsigned certificate keeps room for a signature', async () => {
  const bytes = await renderCertificate(certificateContent(samplePass()), { signatureField: true });
  const text = bytes.toString('latin1');
  expect(text).toMatch(/\/FT \/Sig/);
  expect(text).toMatch(/\/ByteRange \[0 9999999999/);
});

test('a shop moves its blocks and leaves out the chart', async () => {
  const shipped = readFileSync(new URL('../../templates/certificate/layout.toml', import.meta.url), 'utf8');
  const blocks =
    'blocks = ["heading", "verdict", "identity", "results", "ports", "remarks", "signatures", "record", "statements"]';
  const layout = parseLayout(shipped.replace(/^blocks = .*$/m, blocks));
  const pdf = readPdf(await renderCertificate(certificateContent(samplePass()), { layout }));
  expect(pdf.text.indexOf('Every hold met')).toBeLessThan(pdf.text.indexOf('Item tested'));
  expect(pdf.text).not.toContain('overpressure limit');
});

test('the label carries number, serial and verdict', async () => {
  const { text } = readPdf(await renderLabel(certificateContent(samplePass())));
  for (const part of ['Harrow Fell Hydraulics', 'TQ-4471', 'Pass', 'No. HF-2026-0007']) expect(text).toContain(part);
});
