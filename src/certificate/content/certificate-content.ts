import { createHash } from 'node:crypto';
import { unitSystems } from '../../units/index.js';
import { gatherTrace } from '../chart/trace-story.js';
import { type CertificateInput, refuseUnprintable } from '../input.js';
import { paperFileName } from '../paper/paper-file.js';
import { type Figures, figuresOf } from '../words/figures.js';
import type { WordKey } from '../words/word-keys.js';
import { shippedWords, type Words } from '../words/words.js';
import type { CertificateContent, SignatureText, VerdictText } from './content.js';
import { gaugeGroup } from './gauge-facts.js';
import { identityGroups, oilRange } from './identity.js';
import { ownWords } from './own-words.js';
import { portNotes } from './port-notes.js';
import { reasonText } from './reason-text.js';
import { remarkLines } from './remarks.js';
import { resultNotes } from './result-notes.js';
import { resultTable } from './result-table.js';
import { tellStory } from './tell-story.js';

/**
 * What the certificate says: every text of it, built here and nowhere else, in the reader's language and units.
 * The same input gives the same content. A test that did not pass is titled a report, whatever was asked for.
 * @throws DwellmarkError `refused` without a trace, `input` for text that can't be printed.
 */
export function certificateContent(
  input: CertificateInput,
  words: Words = shippedWords(input.language),
): CertificateContent {
  const readings = [...input.trace];
  refuseUnprintable(input, readings.length);
  const { header, result } = input;
  const figures = figuresOf(words, unitSystems[input.units]);
  const second = input.secondUnits === undefined ? null : figuresOf(words, unitSystems[input.secondUnits]);
  const trace = gatherTrace(readings);
  const title = titleText(input, words);
  return {
    language: input.language,
    paper: input.paper,
    accent: input.accent ?? null,
    logo: input.logo ?? null,
    number: input.number,
    title,
    underTitle: underTitle(input, words, figures),
    shop: header.shop,
    groups: identityGroups(input, oilRange(readings), words, figures),
    gauges: gaugeGroup(header.plan, words, figures),
    verdict: verdictText(input, words, figures),
    results: resultTable(result.ports, header.plan, words, figures, second),
    resultNotes: resultNotes(result.ports, header.plan, words, figures),
    ports: result.ports.map((port) => portNotes(port, header.plan, words, figures)),
    remarks: { title: words.say('group.remarks'), lines: remarkLines(input, trace.timeUs[0] ?? 0, words, figures) },
    signatures: {
      title: words.say('group.signatures'),
      lines: input.signatures.map((signature) => signatureText(signature, words, figures)),
      none: words.say('sentence.not-signed'),
    },
    record: recordText(input, words),
    statements: [words.say('sentence.scope'), words.say('sentence.reproduction'), ...ownWords(words)],
    acrossEveryPage:
      input.kind === 'void'
        ? words.say('title.mark-void')
        : input.kind === 'draft'
          ? words.say('title.mark-draft')
          : null,
    everyPage: originLines(input, words),
    pageOf: words.say('title.page'),
    endMark: endMark(input, words),
    code: `DWELLMARK ${input.number} ${input.seal.head.toUpperCase()}`,
    chart: {
      title: words.say('group.chart'),
      alt: words.say('chart.alt'),
      story: tellStory(input, trace, words, figures),
    },
    metadata: {
      title: `${title} ${input.kind === 'draft' ? `(${header.test})` : input.number}`,
      subject: `${words.say('title.subject')}, ${header.cylinder.serial}`,
      author: header.shop.name,
      keywords: `${input.number}, ${header.test}, sha256 ${input.seal.head}`,
      createdAt: input.issuedAt,
    },
    attachments: [
      {
        name: 'record.json',
        type: 'application/json',
        description: words.say('sentence.record-json'),
        relationship: 'Source',
        text: input.recordJson,
      },
      {
        name: 'trace.csv',
        type: 'text/csv',
        description: words.say('sentence.trace-csv'),
        relationship: 'Data',
        text: input.traceCsv,
      },
      ...(input.paperJson === undefined
        ? []
        : [
            {
              name: paperFileName,
              type: 'application/json',
              description: words.say('sentence.paper-json'),
              relationship: 'Supplement' as const,
              text: input.paperJson,
            },
          ]),
    ],
  };
}

const isCertificate = (input: CertificateInput): boolean =>
  input.kind !== 'test report' && input.result.verdict === 'pass';

function titleText(input: CertificateInput, words: Words): string {
  if (input.kind === 'draft') return words.say('title.draft');
  const title = words.say(isCertificate(input) ? 'title.certificate' : 'title.test-report');
  return input.kind === 'void' ? words.say('title.void', { title }) : title;
}

function underTitle(input: CertificateInput, words: Words, figures: Figures): readonly string[] {
  return [
    input.kind === 'draft' ? words.say('title.no-number') : words.say('title.number', { number: input.number }),
    words.say(input.kind === 'draft' ? 'title.printed' : 'title.issued', { date: figures.moment(input.issuedAt) }),
    ...(input.series === undefined ? [] : [words.say('title.series', { series: input.series })]),
    ...(input.reissueOf === undefined ? [] : [words.say('title.reissue', { number: input.reissueOf })]),
    ...(input.reason === undefined
      ? []
      : [words.say(input.kind === 'void' ? 'title.void-of' : 'title.reason', { reason: input.reason })]),
    ...(input.replacedBy === undefined ? [] : [words.say('title.replaced-by', { number: input.replacedBy })]),
  ];
}

function endMark(input: CertificateInput, words: Words): string {
  if (input.kind === 'draft') return words.say('title.end-draft');
  const key = isCertificate(input) ? 'title.end-certificate' : 'title.end-test-report';
  return words.say(key, { number: input.number });
}

function originLines(input: CertificateInput, words: Words): readonly string[] {
  const { origin, gauge } = input.header;
  if (origin === 'simulated') return [words.say('title.simulated')];
  return origin === 'imported' ? [words.say('title.imported', { source: gauge.source })] : [];
}

function verdictText(input: CertificateInput, words: Words, figures: Figures): VerdictText {
  const { verdict, ports } = input.result;
  const isVoid = input.kind === 'void';
  return {
    verdict: isVoid ? 'void' : verdict,
    word: words.say(isVoid ? 'title.mark-void' : `verdict.${verdict}`),
    sentence: words.say(sentenceKey(input)),
    lines: ports.map((port) =>
      words.say('verdict.port', {
        port: port.port,
        verdict: words.say(`verdict.${port.verdict}`).toLowerCase(),
        reason: reasonText(port, words, figures),
      }),
    ),
  };
}

function sentenceKey({ kind, result: { verdict } }: CertificateInput): WordKey {
  if (kind === 'void') return 'verdict.sentence-void';
  return kind === 'test report' && verdict === 'pass' ? 'sentence.no-certificate' : `verdict.sentence-${verdict}`;
}

function signatureText(
  signature: CertificateInput['signatures'][number],
  words: Words,
  figures: Figures,
): SignatureText {
  const { name, role, organisation } = signature.signer;
  const fingerprint = createHash('sha256').update(Buffer.from(signature.publicKey, 'base64')).digest('hex');
  return {
    meaning: words.term(signature.meaning),
    name,
    standing: [words.term(role), organisation].filter((part) => part !== '').join(', '),
    signedAt: figures.moment(signature.signedAt),
    key: words.say('sentence.key', { key: fingerprint.slice(0, 16) }),
    remark: signature.remark,
  };
}

function recordText({ header, seal }: CertificateInput, words: Words): string {
  return words.say('sentence.record', {
    test: header.test,
    head: grouped(seal.head),
    position: seal.ledgerPosition,
    ledgerHead: grouped(seal.ledgerHead),
  });
}

/** A hash in groups of eight, for reading aloud. */
const grouped = (hex: string): string => hex.replace(/.{8}(?=.)/g, '$& ');
