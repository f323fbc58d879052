import type { Prepared } from '../../bench/index.js';
import { cautionsFor, type Finding, type JobFacts, namedFacts } from '../../procedure/index.js';
import { formatQuantity, pressureDecimals, spell, type UnitSystem } from '../../units/index.js';
import type { Dialogue } from './dialogue.js';
import { harmless, type Line, type Style, span, wrapText } from './frame.js';
import { askOnPage, type Left, type Page, readPage } from './pages.js';
import type { Shift } from './shift.js';
import type { Terminal } from './terminal.js';

export interface PreparationAsk {
  readonly terminal: Terminal;
  readonly prepared: Prepared;
  readonly system: UnitSystem;
  /** Who tests, when it was said on the command line or earlier in the shift. */
  readonly technician: string | null;
  readonly overrule: string | null;
  /** The shift that goes on; null: this is its first test. */
  readonly shift: Shift | null;
}

export interface PreparedPerson {
  readonly technician: string;
  /** The cautions that he has read. */
  readonly read: readonly string[];
  readonly overruled: { readonly by: string; readonly why: string } | null;
}

/** Before the first pressure: who tests, the job read back, what speaks against it, cautions, steps. */
export async function prepareAtBench(ask: PreparationAsk): Promise<PreparedPerson | Left> {
  const { terminal, prepared, system } = ask;
  const person = await whoAndWhat(ask);
  if (person === 'left') return 'left';
  const width = terminal.size.columns;
  const { shift } = ask;
  const before = shift !== null && shift.technician === person.technician ? shift.read : [];
  for (const page of preparationPages(prepared, system, width, before)) {
    if ((await readPage(terminal, page)) === 'left') return 'left';
  }
  const overruled = await whyOverruled(ask, person.technician);
  return overruled === 'left' ? 'left' : { ...person, read: cautionTexts(prepared), overruled: overruled.of };
}

/**
 * In full for the first test of a shift: findings, cautions, steps, a page each. Short afterwards: what stops or warns, then
 * the cautions that were not read in this shift together with the steps; nothing that is new to the reader is left out.
 * @param before cautions that this person read in this shift.
 */
export function preparationPages(
  prepared: Prepared,
  system: UnitSystem,
  width: number,
  before: readonly string[],
): readonly Page[] {
  const { findings } = prepared;
  const cautions = cautionTexts(prepared);
  const unread = cautions.filter((text) => !before.includes(text));
  const isShort = before.length > 0;
  const grave = findings.filter(({ grade }) => grade !== 'note');
  const lines = (texts: readonly string[]): Line[] =>
    bulleted(
      texts.map((text) => spell(text, system)),
      '●',
      width,
    );
  const steps = stepLines(prepared, width);
  const last = 'all of this is done';
  const pages: readonly Page[] = isShort
    ? [
        { title: 'What the plan says of this test', lines: findingLines(grave, system, width), last: 'read' },
        {
          title: 'Before the first pressure',
          lines: [
            ...lines([`Cautions as you read them in this shift: ${cautions.length - unread.length}.`, ...unread]),
            ...steps,
          ],
          last,
        },
      ]
    : [
        { title: 'What the plan says of this test', lines: findingLines(findings, system, width), last: 'read' },
        { title: 'Take care', lines: lines(cautions), last: 'read' },
        { title: 'Before the first pressure', lines: steps, last },
      ];
  return pages.filter((page) => page.lines.length > 0);
}

/** Who tests, asked once a shift, and the job read back with that name on it: somebody else may take over there. */
async function whoAndWhat(ask: PreparationAsk): Promise<Pick<PreparedPerson, 'technician'> | Left> {
  const { terminal, prepared, system } = ask;
  let technician = ask.technician;
  for (;;) {
    if (technician === null) {
      const said = await whoTests(terminal);
      if (said === 'left') return 'left';
      technician = said.name;
    }
    const read = await readPage(terminal, {
      title: 'Is this the job? Compare it with the stamp on the cylinder',
      lines: jobLines(prepared, system, technician),
      last: 'yes, this is the job',
      other: { key: 'w', word: 'somebody else tests' },
    });
    if (read === 'left') return 'left';
    if (read === 'read') return { technician };
    technician = null;
  }
}

function whoTests(terminal: Terminal): Promise<{ readonly name: string } | Left> {
  const who: Dialogue<{ readonly name: string }> = {
    title: 'Who tests?',
    next: ([name]) =>
      name === undefined
        ? {
            question: {
              kind: 'text',
              ask: 'Your name, as it is to stand in the record. It is kept for this shift of twelve hours.',
            },
          }
        : { outcome: { name } },
  };
  return askOnPage(terminal, [], who);
}

async function whyOverruled(
  { terminal, prepared, overrule }: PreparationAsk,
  by: string,
): Promise<{ readonly of: PreparedPerson['overruled'] } | Left> {
  const stops = prepared.findings.filter(({ grade }) => grade === 'stop');
  if (stops.length === 0) return { of: null };
  if (overrule !== null) return { of: { by, why: overrule } };
  const question: Dialogue<{ readonly of: PreparedPerson['overruled'] }> = {
    title: 'The plan says stop',
    next: ([why, sure]) => {
      if (why === undefined)
        return {
          question: { kind: 'text', ask: `To go on all the same, ${by}, write why; it is printed with your name.` },
        };
      if (sure === undefined) return { question: { kind: 'confirm', ask: 'Go on against the plan?' } };
      return { outcome: { of: { by, why } } };
    },
  };
  return askOnPage(terminal, [], question);
}

function jobLines({ job, plan, gauge }: Prepared, system: UnitSystem, technician: string): Line[] {
  const { cylinder } = job;
  const facts: [string, string][] = [
    ['who tests', technician],
    ['work order', job.workOrder],
    ['customer', job.customer],
    ['cylinder', [cylinder.maker, cylinder.model].filter((text) => text !== '').join(' ')],
    ['serial', cylinder.serial],
    ['rated', formatQuantity(cylinder.ratedPressurePa, 'pressure', system.pressure, pressureDecimals(system.pressure))],
    ['procedure', `${plan.procedure.title}, revision ${plan.procedure.revision}`],
    ['gauge', gauge.serial],
    ...namedFacts(seenAtBench(job.facts)).map(([name, text]): [string, string] => [name, text]),
    ...plan.ports.flatMap((port): [string, string][] => [
      [
        `port ${port.port}`,
        `${port.position === 'no piston' ? 'vessel' : `piston ${port.position}, other port ${port.opposite}`}${port.ratedPa === undefined ? '' : spell(`, rated {pressure:${port.ratedPa}}`, system)}`,
      ],
      ...port.stages.map((stage): [string, string] => [
        '',
        spell(`${stage.name}: {pressure:${stage.targetPa}} held {seconds:${stage.dwellS}}`, system),
      ]),
    ]),
  ];
  return facts.map(([name, text]) => [
    span(`${name.padStart(14)}  `, 'dim'),
    span(harmless(text), name === 'serial' ? 'bold' : 'plain'),
  ]);
}

/** Facts to compare with what lies on the bench. */
const seenAtBench = ({ purpose, part, valves }: JobFacts): JobFacts => ({
  ...(purpose === undefined ? {} : { purpose }),
  ...(part === undefined ? {} : { part }),
  ...(valves === undefined ? {} : { valves }),
});

const gradeStyle: Readonly<Record<Finding['grade'], Style>> = { stop: 'bad', warn: 'warn', note: 'dim' };

function findingLines(findings: readonly Finding[], system: UnitSystem, width: number): Line[] {
  return findings.flatMap((finding) => {
    const where = [finding.port, finding.stage].filter((part) => part !== undefined).join(' ');
    const text = harmless(`${where === '' ? '' : `${where}: `}${spell(finding.text, system)}`);
    return wrapText(text, width - 10).map(
      (line, index): Line => [
        span(index === 0 ? ` ${finding.grade.padEnd(6)} ` : '        ', gradeStyle[finding.grade]),
        span(line),
      ],
    );
  });
}

/** Every caution of this test once, with its figures in SI. */
function cautionTexts({ job, plan, procedure }: Prepared): readonly string[] {
  const texts = plan.ports.flatMap(({ port }) => {
    const jobPort = job.ports.find((one) => one.port === port);
    if (!jobPort) return [];
    const moments = ['before pressure', 'before a closed port'] as const;
    return moments.flatMap((moment) => cautionsFor(moment, job, jobPort, procedure.subject));
  });
  return [...new Set(texts)];
}

const stepLines = ({ procedure }: Prepared, width: number): Line[] =>
  bulleted([...procedure.prepare, ...(procedure.stages[0]?.prepare ?? [])], '○', width);

const bulleted = (texts: readonly string[], sign: string, width: number): Line[] =>
  texts.flatMap((text) =>
    wrapText(harmless(text), width - 8).map(
      (line, index): Line => [span(index === 0 ? `  ${sign} ` : '    ', 'accent'), span(line)],
    ),
  );
