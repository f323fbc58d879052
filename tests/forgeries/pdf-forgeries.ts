import { judgeStored, verifyPdf } from '../../src/audit/index.js';
import type { CertificateContent } from '../../src/certificate/content/content.js';
import { type PaperFile, parseLayout, readPaperFile, type SetPaper } from '../../src/certificate/index.js';
import { renderCertificate } from '../../src/certificate/render-when-asked.js';
import { Press, sealedTest } from '../../src/quality/index.js';
import { paperOf } from '../../src/quality/paper/set-paper.js';
import { createShopIdentity, readPdfAttachments, type ShopIdentity, signPdf } from '../../src/signing/index.js';
import type { Forgery } from './forgery.js';
import type { HonestPaper, HonestShop } from './honest-shop.js';
import { words } from './shop.js';

type Change = (content: CertificateContent) => Partial<CertificateContent>;

/** Everything that somebody with the shop's own key, or with a key of his own, could hand out as a paper of the shop. */
export async function pdfForgeries(honest: HonestShop, strangersFolder: string): Promise<readonly Forgery[]> {
  const press = new Press(honest.shop);
  const [pass, fail] = [await setAgain(honest, honest.pass, press), await setAgain(honest, honest.fail, press)];
  const stranger = await createShopIdentity({
    dir: strangersFolder,
    shopName: honest.shop.name,
    now: new Date(),
    passphrase: words,
  });
  const forged = (
    name: string,
    pdf: Buffer | Promise<Buffer>,
    must: Forgery['must'] = 'altered',
    root = true,
  ): Forgery => ({
    name,
    of: 'pdf',
    must,
    file: pdf,
    check: async () => verifyPdf(await pdf, judgeStored, root ? honest.rootPem : undefined),
  });
  const bySigner = async (set: SetPaper, change: Change, identity: ShopIdentity = press.identity): Promise<Buffer> => {
    const content = { ...set.content, ...change(set.content) };
    return signPdf(await renderCertificate(content, { signatureField: true }), identity);
  };
  const insider = (name: string, set: SetPaper, change: Change, must: Forgery['must'] = 'altered') =>
    forged(name, bySigner(set, change), must);
  const swapped =
    (from: SetPaper, name: string): Change =>
    ({ attachments }) => ({
      attachments: attachments.map((one) =>
        one.name === name ? (from.content.attachments.find((other) => other.name === name) ?? one) : one,
      ),
    });
  const paperWith =
    (change: (paper: PaperFile) => Partial<PaperFile>): Change =>
    ({ attachments }) => ({
      attachments: attachments.map((one) => {
        if (one.name !== 'paper.json') return one;
        const paper = readPaperFile(one.text);
        return { ...one, text: `${JSON.stringify({ ...paper, ...change(paper) }, null, 1)}\n` };
      }),
    });
  const texts =
    (from: string, to: string): Change =>
    (content) => {
      const { attachments, chart, logo: _logo, ...told } = content;
      const changed = JSON.parse(JSON.stringify(told).replaceAll(from, to)) as Partial<CertificateContent>;
      if (JSON.stringify(changed) === JSON.stringify(told)) throw new Error(`nothing says "${from}"`);
      return { ...changed, attachments, chart };
    };
  const own = honest.pass.pdf;
  return [
    insider('a pass of one cylinder with the record of another that failed', pass, () => ({
      attachments: fail.content.attachments,
    })),
    insider('a fail whose pages are those of the pass', fail, () => ({
      ...pass.content,
      attachments: fail.content.attachments,
    })),
    insider('Fail worded as Pass', fail, texts('Fail', 'Pass')),
    insider('fail worded as pass in the reasons', fail, texts('fail', 'pass')),
    insider('a test report titled certificate', fail, texts('Hold test report', 'Hold test certificate')),
    insider('the sentence of the verdict', fail, ({ verdict }) => ({
      verdict: { ...verdict, sentence: pass.content.verdict.sentence },
    })),
    insider('the verdict without its reasons', fail, ({ verdict }) => ({ verdict: { ...verdict, lines: [] } })),
    insider('the imported log not named', pass, () => ({ everyPage: [] })),
    insider('a simulated gauge claimed', pass, () => ({
      everyPage: ['Simulated gauge: not evidence about a real cylinder.'],
    })),
    insider('another customer', pass, texts('Tarn Quarry Plant', 'Tarn Quarry Plaint')),
    insider('another serial number', pass, texts('TQ-3381', 'TQ-3382')),
    insider('another work order', pass, texts('WO-2207', 'WO-2208')),
    insider('another day of issue', pass, ({ underTitle }) => ({
      underTitle: underTitle.map((line) => line.replace(/20\d\d/, '2031')),
    })),
    insider('another number', pass, ({ underTitle }) => ({
      underTitle: underTitle.map((line) => line.replace('0001', '0009')),
    })),
    insider('figures of the table', pass, ({ results }) => ({
      results: {
        ...results,
        rows: results.rows.map((row) => ({
          ...row,
          cells: row.cells.map((cell) =>
            cell.kind === 'figure' ? { ...cell, figure: cell.figure.replace(/\d$/, '0') } : cell,
          ),
        })),
      },
    })),
    insider('a row of the table left out', pass, ({ results }) => ({
      results: { ...results, rows: results.rows.slice(1) },
    })),
    insider('the allowed drop of the notes', fail, ({ resultNotes }) => ({ resultNotes: resultNotes.slice(1) })),
    insider('deviations left out', fail, ({ remarks }) => ({ remarks: { ...remarks, lines: [] } })),
    insider('a remark added', pass, ({ remarks }) => ({
      remarks: { ...remarks, lines: [...remarks.lines, 'Approved.'] },
    })),
    insider('what was seen at the port', pass, () => ({ ports: [] })),
    insider('another signer', pass, texts('Ines Okafor', 'Inge Okafor')),
    insider('a signature left out', pass, ({ signatures }) => ({ signatures: { ...signatures, lines: [] } })),
    insider('another fingerprint', pass, ({ signatures }) => ({
      signatures: { ...signatures, lines: signatures.lines.map((line) => ({ ...line, key: 'key 0123456789abcdef' })) },
    })),
    insider('another record hash printed', pass, ({ record }) => ({
      record: record.replace(/[0-9a-f]{8}/, '01234567'),
    })),
    insider('another code', pass, () => ({ code: 'DWELLMARK 1' })),
    insider('the chart of another test', pass, ({ chart }) => ({
      chart: { ...chart, story: fail.content.chart.story },
    })),
    insider('the statements left out', pass, () => ({ statements: [] })),
    insider('VOID across every page', pass, () => ({ acrossEveryPage: 'VOID' })),
    insider('another title of the document', pass, ({ metadata }) => ({ metadata: { ...metadata, title: 'Pass' } })),
    insider('the trace of another test attached', pass, swapped(fail, 'trace.csv')),
    insider('the record of another test attached', pass, swapped(fail, 'record.json')),
    insider('a verdict changed in the record', fail, ({ attachments }) => ({
      attachments: attachments.map((one) => ({
        ...one,
        text: one.text.replaceAll('"verdict":"fail"', '"verdict":"pass"'),
      })),
    })),
    insider('pages and setting worded by the shop where it may not', fail, (content) => ({
      ...texts('Fail', 'Pass')(content),
      ...paperWith(() => ({ words: { said: { 'verdict.fail': 'Pass' }, terms: {} } }))(content),
    })),
    insider(
      'a text worded by the shop and not printed',
      pass,
      paperWith(() => ({ words: { said: { 'label.customer': 'Owner' }, terms: {} } })),
    ),
    insider(
      'the setting with other units',
      pass,
      paperWith(() => ({ units: 'psi' })),
    ),
    insider(
      'the setting with a declaration',
      pass,
      paperWith(() => ({ declaration: 'Fit for service.' })),
    ),
    insider(
      'the setting with a layout without a verdict',
      pass,
      paperWith(() => ({ layout: 'blocks = ["heading"]\n' })),
    ),
    insider(
      'the setting of a void paper',
      pass,
      paperWith(() => ({ kind: 'void' })),
    ),
    insider('a setting that is none', pass, ({ attachments }) => ({
      attachments: attachments.map((one) => (one.name === 'paper.json' ? { ...one, text: '{}' } : one)),
    })),
    insider('another file attached', pass, ({ attachments }) => ({
      attachments: [
        ...attachments,
        { ...attachments[0], name: 'more.json', text: '{}' } as (typeof attachments)[number],
      ],
    })),
    insider(
      'set with another program, and another customer',
      pass,
      (content) => ({
        ...texts('Tarn Quarry Plant', 'Tarn Plant')(content),
        ...paperWith(() => ({ setWith: 'dwellmark 9' }))(content),
      }),
      'unproven',
    ),
    insider('no setting attached', pass, ({ attachments }) => ({ attachments: attachments.slice(0, 2) }), 'unproven'),
    insider('no record attached', pass, ({ attachments }) => ({ attachments: attachments.slice(1) })),
    forged('pages at other margins', otherMargins(pass, press.identity)),
    forged(
      'another root under the same name',
      bySigner(pass, () => ({}), stranger),
    ),
    forged(
      'another root under the same name, no root given',
      bySigner(pass, () => ({}), stranger),
      'unproven',
      false,
    ),
    forged('the shop’s own paper, no root given', own, 'unproven', false),
    forged('not signed', pass.unsigned),
    forged('cut short', own.subarray(0, own.length - 40)),
    forged('a line appended', Buffer.concat([own, Buffer.from('\n%an update\n')])),
    forged('an update appended', Buffer.concat([own, update(own)])),
    forged('a byte of the page', flipped(own, 'stream')),
    forged('a digit of the signature', flipped(own, '/Contents <')),
    forged('no PDF', Buffer.from('%PDF-1.7\n')),
  ];
}

const setAgain = (honest: HonestShop, { test, number }: HonestPaper, press: Press): Promise<SetPaper> =>
  honest.store(async (store) => {
    const certificate = store.certificates().find((one) => one.number === number);
    if (!certificate?.rendering?.issuedAt) throw new Error(`${number} was not issued`);
    const { issuedAt, kind } = certificate.rendering;
    const setting = {
      units: 'bar',
      beside: null,
      language: 'en',
      paper: honest.shop.paper,
      accent: null,
      declaration: null,
      issuedAt,
    } as const;
    const facts = { number, kind: kind as 'certificate' | 'test report', ledger: certificate.ledger } as const;
    return paperOf(store, sealedTest(store, test), facts, setting, press);
  });

async function otherMargins({ content }: SetPaper, identity: ShopIdentity): Promise<Buffer> {
  const { readFileSync } = await import('node:fs');
  const shipped = readFileSync(new URL('../../templates/certificate/layout.toml', import.meta.url), 'utf8');
  const layout = parseLayout(shipped.replace('margin_left_mm = 15.0', 'margin_left_mm = 14.0'));
  return signPdf(await renderCertificate(content, { signatureField: true, layout }), identity);
}

/** An incremental update as PDF allows it: the catalogue again, and a table that goes before the first. */
function update(pdf: Buffer): Buffer {
  const text = pdf.toString('latin1');
  const start = /startxref\n(\d+)/.exec(text.slice(-60))?.[1] ?? '0';
  const root = /\/Root (\d+) 0 R/.exec(text)?.[1] ?? '1';
  const object = `\n${root} 0 obj\n<< /Type /Catalog >>\nendobj\n`;
  const table = `xref\n${root} 1\n${String(pdf.length + 1).padStart(10, '0')} 00000 n \n`;
  return Buffer.from(
    `${object}${table}trailer\n<< /Root ${root} 0 R /Prev ${start} >>\nstartxref\n${pdf.length + object.length}\n%%EOF\n`,
  );
}

function flipped(pdf: Buffer, after: string): Buffer {
  const copy = Buffer.from(pdf);
  const at = copy.indexOf(after) + after.length + 20;
  copy[at] = (copy[at] ?? 0) ^ 1;
  return copy;
}

/** Names of the files attached, for a test that wants to see them. */
export const attachedNames = (pdf: Buffer): string[] => readPdfAttachments(pdf).map(({ name }) => name);
