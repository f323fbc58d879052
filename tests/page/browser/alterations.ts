import { createHash, generateKeyPairSync, sign } from 'node:crypto';
import { gzipSync } from 'node:zlib';
import { shippedTexts } from '../../../src/certificate/index.js';
import type { PageSetting } from '../../../src/page/facts/page-facts.js';
import { recordPage } from '../../../src/page/record-page.js';
import { linkHead, sealHead } from '../../../src/record/chain/index.js';
import { canonicalJson, headerHead, ledgerHead } from '../../../src/record/index.js';
import { answeredNow } from '../../../src/signing/index.js';
import { signedBytes } from '../../../src/signing/record-signature.js';

/** A page that somebody changed, and where the check must say so: in the page alone, or in the record. */
export interface Altered {
  readonly name: string;
  readonly html: string;
  readonly of: 'page' | 'record';
}

export interface WholePage {
  readonly html: string;
  readonly bundle: string;
  readonly setting: PageSetting;
  readonly program: string;
}

type Line = Record<string, unknown>;
type Act = { line: string; before: string; head: string };
type Replacement = string | ((found: string) => string);

/** Keys and so every hash differ from run to run: what is put there must differ from whatever stood there. */
const otherHex = (digit: string): string => (digit === '0' ? '1' : '0');
const otherSign = (sign: string): string => (sign === 'A' ? 'B' : 'A');

const startOfRecord = '<script type="application/gzip" id="record-data">';

/** Fifty pages, each with one thing changed. */
export const alterations = (whole: WholePage): Altered[] => [...inThePage(whole), ...inTheRecord(whole)];

function inThePage({ html }: WholePage): Altered[] {
  const swap = (name: string, from: string | RegExp, to: Replacement): Altered => {
    const changed = html.replace(from, to as string);
    if (changed === html) throw new Error(`nothing to change for "${name}"`);
    return { name, html: changed, of: 'page' };
  };
  return [
    swap('the verdict as a word', /(<p class="word">.*?<\/svg>)[^<]+/s, '$1Fail'),
    swap('the serial number', /CY-1184/, 'CY-1185'),
    swap('the customer', /<dd>Kürnwater Press Works<\/dd>/, '<dd>Kürnwater Press</dd>'),
    swap('the day', /2 Mar 2026|2\u00a0Mar\u00a02026/, '3 Mar 2026'),
    swap('a figure of the results', /(<td class="figure">2\d\d)\.\d/, '$1.0'),
    swap('the uncertainty', / ± \d+\.\d+/, ' ± 0.001'),
    swap('a signer', /Maria Lindqvist<br>/, 'Maria Lindquist<br>'),
    swap('a fingerprint', /(?<=<code>)[0-9a-f]/, otherHex),
    swap('the record hash', /(?<=<dd>)[0-9a-f](?=[0-9a-f]{7})/, otherHex),
    swap('the line of the chart', /(class="pressure" d="M)[\d.]+/, '$10'),
    swap('a limit drawn elsewhere', /(class="allowed" d="M[\d.]+ )[\d.]+/, '$10'),
    swap('the data of the chart', /"overview":\{"s":\[0,/, '"overview":{"s":[0.01,'),
    swap('an event taken out', /<tr class="grade-note">.*?<\/tr>/s, ''),
    swap('a section hidden', '<section id="results"', '<section hidden id="results"'),
    swap('two sections in one', /<\/section>\n<section id="phases"/, '\n<section id="phases"'),
    swap('what the check cannot show', /<details open><summary>.*?<\/details>/s, ''),
    swap('a text beside', '<main>', '<main><p>Accepted.</p>'),
    swap('the title', /<title>[^<]+/, '<title>Something else'),
    swap('the look', '</head>', '<link rel="icon" href="data:,"></head>'),
    swap('the job file', /work_order = /, 'work_order  = '),
    swap('the units said to be used', '"units":"bar"', '"units":"psi"'),
    swap(
      'a word that the shop is said to have chosen',
      '"words":{"said":{}',
      '"words":{"said":{"verdict.pass":"Passed"}',
    ),
    swap('every word of the verdict', /Pass/g, 'Fail'),
  ];
}

function inTheRecord(whole: WholePage): Altered[] {
  const lines = (): Line[] =>
    whole.bundle
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as Line);
  const altered = (name: string, change: (lines: Line[]) => unknown): Altered => {
    const before = lines();
    const changed = change(before);
    return { name, html: pageOf(whole, Array.isArray(changed) ? changed : before), of: 'record' };
  };
  const at = (all: Line[], key: string): Line => {
    const found = all.find((line) => key in line);
    if (!found) throw new Error(`the bundle has no ${key}`);
    return found;
  };
  const links = (all: Line[]): Line[] => all.filter((line) => 'link' in line);
  const link = (all: Line[], index: number) => links(all).at(index)?.link as { kind: number; payload: string };
  const inText = (line: Line, key: string, from: string | RegExp, to: Replacement): void => {
    const changed = String(line[key]).replace(from, to as string);
    if (changed === line[key]) throw new Error(`nothing to change in ${key}`);
    line[key] = changed;
  };
  const acts = (all: Line[]): Act[] => all.filter((line) => 'act' in line).map((line) => line.act as Act);
  const signed = (all: Line[]): Act => {
    const found = acts(all).find(({ line }) => line.includes('"kind":"signed"'));
    if (!found) throw new Error('nobody signed');
    return found;
  };
  const inAct = (act: Act, from: string | RegExp, to: Replacement): void => {
    const changed = act.line.replace(from, to as string);
    if (changed === act.line) throw new Error('nothing to change in the act');
    act.line = changed;
  };
  /** With the heads beside it made to fit. */
  const refit = (act: Act): void => {
    act.head = ledgerHead(Buffer.from(act.before, 'hex'), Buffer.from(act.line)).toString('hex');
  };
  const flip = (payload: string, index: number): string => {
    const bytes = Buffer.from(payload, 'base64');
    const place = Math.floor(bytes.length * index) % bytes.length;
    bytes[place] = (bytes[place] ?? 0) ^ 1;
    return bytes.toString('base64');
  };
  return [
    altered('customer in the header', (all) => inText(at(all, 'header'), 'header', 'Kürnwater', 'Kurnwater')),
    altered('limit in the header', (all) => inText(at(all, 'header'), 'header', /"dropPa":\d+/, '"dropPa":900000')),
    altered('gauge in the header', (all) => inText(at(all, 'header'), 'header', 'G-1', 'G-2')),
    altered('a byte of the first chunk', (all) => {
      link(all, 0).payload = flip(link(all, 0).payload, 0.7);
    }),
    altered('a byte in the middle', (all) => {
      const one = link(all, Math.floor(links(all).length / 2));
      one.payload = flip(one.payload, 0.5);
    }),
    altered('a byte of the last chunk', (all) => {
      link(all, -1).payload = flip(link(all, -1).payload, 0.9);
    }),
    altered('the last byte of a chunk left out', (all) => {
      const one = link(all, 1);
      one.payload = Buffer.from(one.payload, 'base64').subarray(0, -1).toString('base64');
    }),
    altered('a chunk left out', (all) => all.filter((line) => line !== links(all)[1])),
    altered('a chunk twice', (all) => all.flatMap((line) => (line === links(all)[1] ? [line, line] : [line]))),
    altered('two chunks swapped', (all) => {
      const [a, b] = [link(all, 0), link(all, 1)];
      [a.payload, b.payload] = [b.payload, a.payload];
    }),
    altered('a chunk said to be raw lines', (all) => {
      link(all, 1).kind = 3;
    }),
    altered('the newest chunk cut off', (all) => all.filter((line) => line !== links(all).at(-1))),
    altered('verdict in the seal', (all) => inText(at(all, 'seal'), 'seal', /"verdict":"pass"/g, '"verdict":"fail"')),
    altered('drop in the seal', (all) => inText(at(all, 'seal'), 'seal', /"dropPa":[\d.]+/, '"dropPa":1')),
    altered('number of readings in the seal', (all) =>
      inText(at(all, 'seal'), 'seal', /"readings":\d+,"result"/, '"readings":9,"result"'),
    ),
    altered('chain in the seal', (all) => inText(at(all, 'seal'), 'seal', /(?<="chain":")./, otherHex)),
    altered('head of the seal', (all) => inText(at(all, 'head'), 'head', /^./, otherHex)),
    altered('value of a signature', (all) => {
      const act = signed(all);
      inAct(act, /(?<="value":")./, otherSign);
      refit(act);
    }),
    altered('meaning of a signature', (all) => {
      const act = signed(all);
      inAct(act, '"meaning":"performed"', '"meaning":"witnessed"');
      refit(act);
    }),
    altered('time of a signature', (all) => {
      const act = signed(all);
      inAct(act, /"signedAt":"2026/, '"signedAt":"2025');
      refit(act);
    }),
    altered('name of a signer', (all) => {
      const act = signed(all);
      inAct(act, /"name":"[^"]+"/, '"name":"A. Nother"');
      refit(act);
    }),
    altered('a key taken for another', (all) => {
      const act = signed(all);
      inAct(act, /(?<="publicKey":")./, otherSign);
      refit(act);
    }),
    altered('whoever signed was never enrolled', (all) =>
      all.filter((line) => !('act' in line) || !(line.act as Act).line.includes('"kind":"signer enrolled"')),
    ),
    altered('a line of the ledger', (all) => inAct(acts(all)[0] as Act, /"at":"2026/, '"at":"2025')),
    altered('a head of the ledger', (all) => {
      const act = acts(all).at(-1) as Act;
      act.head = act.head.replace(/^./, otherHex);
    }),
    altered('everything made anew but the signatures', (all) => {
      inText(at(all, 'header'), 'header', 'Kürnwater', 'Kurnwater');
      resealed(all);
    }),
    altered('everything made anew, and signed with a key of the forger', (all) => {
      inText(at(all, 'header'), 'header', 'Kürnwater', 'Kurnwater');
      const head = resealed(all);
      const { publicKey, privateKey } = generateKeyPairSync('ed25519');
      const raw = publicKey.export({ format: 'der', type: 'spki' }).subarray(-32).toString('base64');
      for (const act of acts(all).filter(({ line }) => line.includes('"kind":"signed"'))) {
        const line = JSON.parse(act.line) as Line & { body: Line };
        const { value: _, ...unsigned } = { ...line.body, head, publicKey: raw } as never as Parameters<
          typeof signedBytes
        >[0] & { value: string };
        line.body = { ...unsigned, value: sign(null, signedBytes(unsigned), privateKey).toString('base64') };
        act.line = canonicalJson(line);
        refit(act);
      }
    }),
    {
      name: 'a sign of the packed record',
      html: whole.html.replace(/(id="record-data">.{400})./, '$1*'),
      of: 'record',
    },
    {
      name: 'the packed record cut short',
      html: whole.html.replace(/(id="record-data">.{4000})[^<]+/, '$1'),
      of: 'record',
    },
  ];
}

/** Chain, seal and the lines that tell of them, computed again over what stands there. Returns the new head. */
function resealed(all: Line[]): string {
  const header = String(all.find((line) => 'header' in line)?.header);
  const seal = all.find((line) => 'seal' in line) as { seal: string; head: string };
  let head = headerHead(Buffer.from(header));
  const headerHex = head.toString('hex');
  all
    .filter((line) => 'link' in line)
    .forEach((line, index) => {
      const { kind, payload } = line.link as { kind: number; payload: string };
      head = linkHead(head, { seq: index + 1, kind: kind as 1, payload: Buffer.from(payload, 'base64') });
    });
  const body = { ...JSON.parse(seal.seal), header: headerHex, chain: head.toString('hex') };
  seal.seal = canonicalJson(body);
  seal.head = sealHead(head, Buffer.from(seal.seal)).toString('hex');
  for (const line of all) {
    if (!('act' in line)) continue;
    const act = line.act as Act;
    const told = JSON.parse(act.line) as { kind: string; body: Line };
    if (told.kind === 'test started') told.body.header = headerHex;
    else if (told.kind === 'test sealed') told.body.head = seal.head;
    else continue;
    act.line = canonicalJson(told);
    act.head = ledgerHead(Buffer.from(act.before, 'hex'), Buffer.from(act.line)).toString('hex');
  }
  return seal.head;
}

/** The page a forger would hand out: written anew from the changed record where that can be read, sum and all. */
function pageOf(whole: WholePage, lines: Line[]): string {
  const body = lines
    .filter((line) => !('end' in line))
    .map((line) => `${canonicalJson(line)}\n`)
    .join('');
  const bundle = `${body}${canonicalJson({ end: createHash('sha256').update(body).digest('hex') })}\n`;
  const shown = (): string => {
    try {
      return answeredNow(recordPage(bundle, whole.setting, whole.program, shippedTexts()));
    } catch {
      return whole.html.slice(0, whole.html.lastIndexOf(startOfRecord));
    }
  };
  return `${shown()}${startOfRecord}${gzipSync(bundle).toString('base64')}</script></body></html>\n`;
}
