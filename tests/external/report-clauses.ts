import type { TestResult } from '../../src/evaluation/index.js';
import type { TestHeader } from '../../src/record/index.js';

/** What a report must show, taken from the record and not from the paper. */
export interface ReportFacts {
  readonly number: string;
  readonly header: TestHeader;
  readonly result: TestResult;
  readonly issuedAt: string;
  readonly signers: readonly string[];
}

/** One letter of a clause: what it asks for, and what of a record must then be read on the paper. */
export interface Clause {
  readonly clause: '7.8.2.1' | '7.8.2.2' | '7.8.3.1' | '7.8.3.2' | '7.8.6.1' | '7.8.6.2';
  readonly letter: string;
  readonly asks: string;
  /** Texts and patterns, all of which must be there; spaces and line ends do not count. */
  readonly shows: (facts: ReportFacts) => readonly (string | RegExp)[];
  /** Why the letter asks nothing of a hold test. */
  readonly without?: string;
}

/** A day as an English paper writes it, of an ISO 8601 moment in its own offset. */
const day = (iso: string): string =>
  new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', year: 'numeric', timeZone: 'UTC' })
    .format(new Date(iso.slice(0, 10)))
    .replace('Sept', 'Sep');

const stagesOf = ({ result }: ReportFacts) =>
  result.ports.flatMap(({ port, stages }) => stages.map((stage) => ({ port, stage })));
const none = (): readonly string[] => [];

/**
 * ISO/IEC 17025:2017, 7.8: every letter of 7.8.2, 7.8.3 and 7.8.6, in own words. 7.8.2.1 and 7.8.6 as published; the
 * letters of 7.8.3 from memory.
 */
export const clauses: readonly Clause[] = [
  { clause: '7.8.2.1', letter: 'a', asks: 'title', shows: () => [/Holdtest(?:certificate|report)/i] },
  {
    clause: '7.8.2.1',
    letter: 'b',
    asks: 'name and address of the laboratory',
    shows: ({ header }) => [header.shop.name, header.shop.address],
  },
  {
    clause: '7.8.2.1',
    letter: 'c',
    asks: 'where the work was done',
    shows: ({ header }) => [header.bench],
  },
  {
    clause: '7.8.2.1',
    letter: 'd',
    asks: 'unique identification, every page as part of the whole, a clear end',
    shows: ({ number }) => [`No. ${number}`, /Page1of\d+/, new RegExp(`Endof[a-z]+${number}`)],
  },
  {
    clause: '7.8.2.1',
    letter: 'e',
    asks: 'customer and contact information',
    shows: ({ header }) => [header.customer, header.customerAddress ?? 'an address that nobody stated'],
  },
  {
    clause: '7.8.2.1',
    letter: 'f',
    asks: 'method',
    shows: ({ header: { plan } }) => [plan.procedure.title, plan.procedure.id, `revision ${plan.procedure.revision}`],
  },
  {
    clause: '7.8.2.1',
    letter: 'g',
    asks: 'item: described, identified, in which condition',
    shows: ({ header: { cylinder, condition } }) => [cylinder.serial, cylinder.model ?? '', condition],
  },
  {
    clause: '7.8.2.1',
    letter: 'h',
    asks: 'date of receipt',
    shows: ({ header }) => (header.received === null ? [] : [`Received ${day(header.received)}`]),
  },
  {
    clause: '7.8.2.1',
    letter: 'i',
    asks: 'date of the test',
    shows: ({ header }) => [`Tested ${day(header.startedAt)}`],
  },
  {
    clause: '7.8.2.1',
    letter: 'j',
    asks: 'date of issue',
    shows: ({ issuedAt }) => [`Issued ${day(issuedAt)}`],
  },
  {
    clause: '7.8.2.1',
    letter: 'k',
    asks: 'sampling plan and method',
    shows: none,
    without: 'nothing is sampled: the item itself is tested',
  },
  { clause: '7.8.2.1', letter: 'l', asks: 'only the item tested', shows: () => [/relateonlytotheitemtested/] },
  {
    clause: '7.8.2.1',
    letter: 'm',
    asks: 'results with their units',
    shows: (facts) => stagesOf(facts).flatMap(({ port, stage }) => [`Port ${port} · ${stage.name}`, /(?:bar|psi)/]),
  },
  {
    clause: '7.8.2.1',
    letter: 'n',
    asks: 'additions, deviations, exclusions',
    shows: ({ result }) => [
      /Deviationsandremarks./,
      ...result.ports.flatMap(({ earlierAttempts }) => earlierAttempts.map(({ attempt }) => `attempt ${attempt}`)),
    ],
  },
  {
    clause: '7.8.2.1',
    letter: 'o',
    asks: 'who authorises it',
    shows: ({ signers }) => signers,
  },
  {
    clause: '7.8.2.1',
    letter: 'p',
    asks: 'results from somebody else, named as that',
    shows: ({ header }) => (header.origin === 'imported' ? [/Readingsimportedfrom./] : []),
  },
  {
    clause: '7.8.2.1',
    letter: 'note',
    asks: 'not to be reproduced except in full',
    shows: () => [/Nottobereproducedexceptinfull/],
  },
  {
    clause: '7.8.2.2',
    letter: '',
    asks: 'what the customer provided, named as that',
    shows: ({ header }) => [`Limits set by ${header.plan.procedure.source}`],
  },
  {
    clause: '7.8.3.1',
    letter: 'a',
    asks: 'conditions of the test',
    shows: (facts) => [
      `Fluid ${facts.header.fluid.name}`,
      /Oiltemp\../,
      ...facts.result.ports.map(({ port, position }) => `Port ${port}: ${position}, opposite port`),
    ],
  },
  {
    clause: '7.8.3.1',
    letter: 'b',
    asks: 'statement of conformity',
    shows: ({ result }) => [result.verdict, ...result.ports.map(({ port, verdict }) => `Port ${port}, ${verdict}:`)],
  },
  {
    clause: '7.8.3.1',
    letter: 'c',
    asks: 'uncertainty, in the unit of the result, and what it is made of',
    shows: (facts) => [
      /expandeduncertainty/,
      ...stagesOf(facts).flatMap(({ stage }) =>
        stage.verdict === 'invalid' || stage.coverageFactor === null ? [] : [stage.coverageFactor.toFixed(2)],
      ),
    ],
  },
  {
    clause: '7.8.3.1',
    letter: 'd',
    asks: 'opinions and interpretations, named as that',
    shows: (facts) =>
      stagesOf(facts).flatMap(({ stage }) => (stage.verdict === 'fail' && stage.diagnosis ? [/Likelycause./i] : [])),
  },
  {
    clause: '7.8.3.1',
    letter: 'e',
    asks: 'what a method, an authority or a customer asks for besides',
    shows: none,
    without: 'a declaration that QA types is printed word for word; nothing is asked for by itself',
  },
  {
    clause: '7.8.3.2',
    letter: '',
    asks: 'sampling',
    shows: none,
    without: 'nothing is sampled',
  },
  {
    clause: '7.8.6.1',
    letter: '',
    asks: 'decision rule on record, with its level of risk',
    shows: (facts) =>
      [...new Set(stagesOf(facts).map(({ stage }) => stage.decision))].map((rule) =>
        rule === 'guarded' ? /Decisionrule,guarded:passwhen.*limit−U/ : /Decisionrule,simple:/,
      ),
  },
  {
    clause: '7.8.6.2',
    letter: 'a',
    asks: 'to which results it applies',
    shows: (facts) =>
      stagesOf(facts).map(({ port, stage }) => new RegExp(`Limitfor[^.]*${port}${stage.name.replace(/\s/g, '')}`)),
  },
  {
    clause: '7.8.6.2',
    letter: 'b',
    asks: 'which specification is met or not',
    shows: (facts) =>
      stagesOf(facts).flatMap(({ stage }) => (stage.governingLimit ? [stage.governingLimit.source] : [])),
  },
  {
    clause: '7.8.6.2',
    letter: 'c',
    asks: 'which decision rule',
    shows: (facts) => stagesOf(facts).map(({ stage }) => `Decision rule, ${stage.decision}`),
  },
];

const closed = (text: string): string => text.replace(/\s/g, '').replaceAll('ﬁ', 'fi');

/** Letters that a paper does not answer, with what is missing. */
export function unanswered(text: string, facts: ReportFacts): readonly string[] {
  const paper = closed(text);
  return clauses.flatMap(({ clause, letter, shows }) =>
    shows(facts)
      .filter((one) => (typeof one === 'string' ? !paper.includes(closed(one)) : !one.test(paper)))
      .map((one) => `${clause} ${letter}: ${one}`),
  );
}
