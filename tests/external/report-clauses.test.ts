import { describe, expect, it } from 'vitest';
import { certificateContent } from '../../src/certificate/content/certificate-content.js';
import type { CertificateInput } from '../../src/certificate/input.js';
import { renderCertificate } from '../../src/certificate/render-when-asked.js';
import { readPdf } from '../certificate/read-pdf.js';
import { samplePass, samples } from '../certificate/sample-content.js';
import { clauses, type ReportFacts, unanswered } from './report-clauses.js';

const factsOf = ({ number, header, result, issuedAt, signatures }: CertificateInput): ReportFacts => ({
  number,
  header,
  result,
  issuedAt,
  signers: signatures.map(({ signer }) => signer.name),
});

const papers = Object.entries({ ...samples, imported: () => samplePass({ header: { origin: 'imported' } }) })
  .map(([name, make]) => [name, make()] as const)
  .filter(([, { language, kind }]) => language === 'en' && kind !== 'draft' && kind !== 'void');

describe('what a report must show by ISO/IEC 17025:2017, 7.8.2, 7.8.3 and 7.8.6', () => {
  it('the table has every letter once, and says of each that asks nothing why', () => {
    const of = (clause: string) => clauses.filter((one) => one.clause === clause).map(({ letter }) => letter);
    expect(of('7.8.2.1')).toEqual([...'abcdefghijklmnop', 'note']);
    expect(of('7.8.3.1')).toEqual([...'abcde']);
    expect(of('7.8.6.2')).toEqual([...'abc']);
    for (const { shows, without } of clauses)
      expect(papers.some(([, input]) => shows(factsOf(input)).length > 0)).toBe(without === undefined);
  });

  it.each(papers)('the paper "%s" answers every letter', async (_name, input) => {
    const { text } = readPdf(await renderCertificate(certificateContent(input)));
    expect(unanswered(text, factsOf(input))).toEqual([]);
  });

  it.each(papers)('the paper "%s", 7.8.3.1 c): the judged figure has its ±, in its own unit', (_name, input) => {
    const { rows, columns } = certificateContent(input).results;
    const [judged] = rows.filter(({ strong }) => strong);
    expect(judged?.unit).toBe(input.units);
    expect(judged?.cells).toHaveLength(columns.length);
    for (const cell of judged?.cells ?? []) expect(cell.kind === 'figure' && Number(cell.plusMinus)).toBeGreaterThan(0);
  });

  it('a paper that leaves one of them out is found, with the letter', async () => {
    const input = samplePass();
    const { text } = readPdf(await renderCertificate(certificateContent(input)));
    const without = (piece: string): readonly string[] => {
      expect(text).toContain(piece);
      return unanswered(text.replaceAll(piece, ''), factsOf(input)).map((line) => line.split(':')[0] ?? '');
    };
    expect(without(input.header.shop.address)).toEqual(['7.8.2.1 b']);
    expect(without(input.header.customer)).toContain('7.8.2.1 e');
    expect(without('Tarnbeck')).toEqual(['7.8.2.1 e']);
    expect(without(input.header.cylinder.serial)).toEqual(['7.8.2.1 g']);
    expect(without('11 Mar 2026')).toEqual(['7.8.2.1 h']);
    expect(without('Tobias Wrenfield')).toEqual(['7.8.2.1 o']);
    expect(without('2.01')).toContain('7.8.3.1 c');
    expect(without('guarded')).toEqual(expect.arrayContaining(['7.8.6.1 ', '7.8.6.2 c']));
  });
});
