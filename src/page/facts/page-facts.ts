import {
  type Fact,
  type FactGroup,
  type Figures,
  figuresOf,
  identityGroups,
  type Language,
  ownWords,
  portNotes,
  type ResultTable,
  reasonText,
  remarkLines,
  resultNotes,
  resultTable,
  type ShippedTexts,
  tellStory,
  type WordChanges,
  type Words,
  wordsFrom,
} from '../../certificate/index.js';
import type { Verdict } from '../../evaluation/index.js';
import type { Asking } from '../../record/index.js';
import { spellDuration, type UnitSystemName, unitSystems } from '../../units/index.js';
import { type ChartData, chartData } from '../chart/chart-data.js';
import type { RecordRead, TraceRead } from '../read-record.js';
import { pageWords, type SayPage } from '../words/page-words.js';
import {
  type BudgetTable,
  budgets,
  type EventRow,
  eventRows,
  type PhaseRow,
  phaseRows,
  type SignatureRow,
  signatureRows,
} from './rows.js';

/** What identifies the record: hashes, counts, where the ledger stood, who judged. */
export function recordFacts({ header, seal, head, ledger, acts }: RecordRead, figures: Figures, say: SayPage): Fact[] {
  const certificates = acts.filter(({ kind }) => kind === 'certificate issued');
  const { version, evaluation } = header.software;
  return [
    { label: say('record.test'), value: header.test },
    { label: say('record.hash'), value: head },
    { label: say('record.header'), value: seal.header },
    { label: say('record.chain'), value: seal.chain },
    {
      label: say('record.entries'),
      value: say('record.entries-text', { links: seal.links, readings: seal.readings }),
    },
    { label: say('record.sealed'), value: figures.moment(seal.sealedAt) },
    { label: say('record.ledger'), value: say('record.ledger-text', { ...ledger }) },
    { label: say('record.judged'), value: say('record.judged-text', { version, evaluation }) },
    {
      label: say('record.certificates'),
      value:
        certificates
          .map(({ subject, at }) => say('record.certificate', { number: subject ?? '', date: figures.moment(at) }))
          .join('; ') || say('page.none'),
    },
  ];
}

/** What stands above everything: a void mark, a simulated gauge, an imported log. */
export function notices({ header, acts }: RecordRead, words: Words, figures: Figures, say: SayPage): string[] {
  const { origin, gauge } = header;
  const voids = acts.flatMap(({ kind, at, subject, body }) => {
    const facts = { date: figures.date(at), by: String(body.by), reason: String(body.reason), number: subject ?? '' };
    if (kind === 'test voided') return [say('page.void-test', facts)];
    return kind === 'certificate voided' ? [say('page.void-certificate', facts)] : [];
  });
  if (origin === 'simulated') return [...voids, words.say('title.simulated')];
  return origin === 'imported' ? [...voids, words.say('title.imported', { source: gauge.source })] : voids;
}

/** How the readings came, what the calibration adds, and what spoke against the test. */
export function gaugeFacts({ header }: RecordRead, figures: Figures, say: SayPage): Fact[] {
  const corrections = header.plan.gauge.calibration?.corrections ?? [];
  const findings = header.findings.filter(({ grade }) => grade !== 'note');
  return [
    { label: say('gauge.driver'), value: header.gauge.driver },
    { label: say('gauge.source'), value: header.gauge.source },
    {
      label: say('gauge.stability'),
      value:
        corrections
          .map(({ atPa, addPa }) =>
            say('gauge.correction', { add: figures.plainDifference(addPa), at: figures.pressure(atPa) }),
          )
          .join('; ') || say('gauge.corrections-none'),
    },
    {
      label: say('gauge.findings'),
      value: findings.map(({ text }) => figures.spelled(text)).join(' ') || say('page.none'),
    },
  ];
}

/** How a page is written: all that goes into it beside the record, and stands in it as data. */
export interface PageSetting {
  readonly language: Language;
  readonly units: UnitSystemName;
  /** What the shop words in its own way: the other texts are the program's, and stand in no page as data. */
  readonly words: WordChanges;
  /** A procedure of this id is shipped, so that one with other words is an edited copy of it. */
  readonly procedureIsTemplate: boolean;
  /** ISO 8601 with offset. */
  readonly writtenAt: string;
  /** Version of the program that wrote it. */
  readonly program: string;
}

/** Everything a test's page says, in the reader's language and units: plain text and figures, no markup. */
export interface PageFacts {
  readonly language: string;
  readonly say: SayPage;
  readonly title: string;
  readonly subject: string;
  readonly shop: { readonly name: string; readonly address: string };
  readonly notices: readonly string[];
  readonly verdict: { readonly verdict: Verdict; readonly word: string; readonly sentence: string };
  readonly ports: readonly PortFacts[];
  readonly item: readonly FactGroup[];
  readonly chart: ChartData;
  readonly chartText: string;
  readonly results: ResultTable;
  readonly resultNotes: readonly string[];
  readonly remarks: FactGroup['title'];
  readonly remarkLines: readonly string[];
  readonly phases: readonly PhaseRow[];
  readonly events: readonly EventRow[];
  readonly budgets: readonly BudgetTable[];
  readonly gauge: FactGroup;
  readonly signatures: { readonly title: string; readonly rows: readonly SignatureRow[]; readonly none: string };
  readonly record: FactGroup;
  readonly inputs: { readonly job: string; readonly procedure: string };
  readonly written: string;
}

export interface PortFacts {
  readonly label: string;
  readonly verdict: Verdict;
  readonly word: string;
  readonly reason: string;
  readonly notes: FactGroup;
}

/** What a page says of a record. The digests of the signers' keys are asked for. */
export function* pageFacts(
  record: RecordRead,
  trace: TraceRead,
  setting: PageSetting,
  shipped: ShippedTexts,
): Asking<PageFacts> {
  const words = wordsFrom(shipped, setting.language, setting.words);
  const figures = figuresOf(words, unitSystems[setting.units]);
  const say = pageWords(setting.language);
  const { header } = record;
  const { result } = record.seal;
  const { columns } = trace;
  const firstUs = columns.timeUs[0] ?? 0;
  const story = tellStory({ header, result }, columns, words, figures);
  const [item, work, ...method] = identityGroups(
    { header, procedureIsTemplate: setting.procedureIsTemplate },
    trace.oil,
    words,
    figures,
  );
  const chart = chartData(story, result, words, figures);
  const dwells = chart.dwells.map(({ label, fromS, toS, startText, endText }) =>
    say('chart.dwell-text', { label, start: startText, end: endText, time: spellDuration(toS - fromS) }),
  );
  return {
    language: setting.language,
    say,
    title: say('page.record-of', { test: header.test }),
    subject: words.say('title.subject'),
    shop: header.shop,
    notices: notices(record, words, figures, say),
    verdict: {
      verdict: result.verdict,
      word: words.say(`verdict.${result.verdict}`),
      sentence: words.say(`verdict.sentence-${result.verdict}`),
    },
    ports: result.ports.map((port) => ({
      label: words.say('chart.port', { port: port.port }),
      verdict: port.verdict,
      word: words.say(`verdict.${port.verdict}`),
      reason: reasonText(port, words, figures),
      notes: portNotes(port, header.plan, words, figures),
    })),
    item: [item, work].filter((group) => group !== undefined),
    chart,
    chartText: say('chart.text', {
      duration: spellDuration(chart.endS),
      peak: chart.peakText,
      dwells: dwells.join(' ') || say('chart.no-dwell'),
    }),
    results: resultTable(result.ports, header.plan, words, figures, null),
    resultNotes: resultNotes(result.ports, header.plan, words, figures),
    remarks: words.say('group.remarks'),
    remarkLines: remarkLines({ header, result, corrections: record.corrections }, firstUs, words, figures),
    phases: phaseRows(result, columns, words, figures),
    events: eventRows(result, firstUs, words, figures, say),
    budgets: budgets(result, words, figures, say),
    gauge: {
      title: say('gauge.title'),
      facts: [...method.flatMap((group) => group.facts), ...gaugeFacts(record, figures, say)],
    },
    signatures: {
      title: words.say('group.signatures'),
      rows: yield* signatureRows(record, words, figures, say),
      none: words.say('sentence.not-signed'),
    },
    record: { title: say('record.title'), facts: recordFacts(record, figures, say) },
    inputs: { job: header.jobText, procedure: header.procedureText },
    written: [
      say('page.written', { date: figures.moment(setting.writtenAt), version: setting.program }),
      ...ownWords(words),
    ].join(' '),
  };
}
