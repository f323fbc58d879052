import {
  type FactGroup,
  figuresOf,
  identityGroups,
  ownWords,
  portNotes,
  type ResultTable,
  reasonText,
  remarkLines,
  resultNotes,
  resultTable,
  type ShippedTexts,
  tellStory,
  wordsFrom,
} from '../../certificate/index.js';
import type { Verdict } from '../../evaluation/index.js';
import type { Asking } from '../../record/index.js';
import { spellDuration, unitSystems } from '../../units/index.js';
import { type ChartData, chartData } from '../chart/chart-data.js';
import type { RecordRead, TraceRead } from '../read-record.js';
import { pageWords, type SayPage } from '../words/page-words.js';
import { type BudgetTable, budgets } from './budgets.js';
import { type EventRow, eventRows } from './event-rows.js';
import { type PhaseRow, phaseRows } from './phase-rows.js';
import { gaugeFacts, notices, recordFacts } from './record-facts.js';
import type { PageSetting } from './setting.js';
import { type SignatureRow, signatureRows } from './signature-rows.js';

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
