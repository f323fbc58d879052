import type { Prepared } from '../../bench/index.js';
import { cautionsFor, type Finding } from '../../procedure/index.js';
import { formatQuantity, pressureDecimals, spell, type UnitSystem } from '../../units/index.js';
import type { Dialogue } from './dialogue.js';
import { harmless, type Line, type Style, span, wrapText } from './frame.js';
import { askOnPage, type Left, readPages } from './pages.js';
import type { Terminal } from './terminal.js';

export interface PreparationAsk {
  readonly terminal: Terminal;
  readonly prepared: Prepared;
  readonly system: UnitSystem;
  /** Who tests, when it was said on the command line or earlier in the shift. */
  readonly technician: string | null;
  readonly overrule: string | null;
}

export interface PreparedPerson {
  readonly technician: string;
  readonly overruled: { readonly by: string; readonly why: string } | null;
}

/** Before the first pressure: who tests, the job read back, what speaks against it, cautions, steps. */
export async function prepareAtBench(ask: PreparationAsk): Promise<PreparedPerson | Left> {
  const { terminal, prepared, system } = ask;
  const technician = await whoTests(ask);
  if (technician === 'left') return 'left';
  const width = terminal.size.columns;
  const pages: readonly (readonly [string, readonly Line[], string])[] = [
    ['Is this the job? Compare it with the stamp on the cylinder', jobLines(prepared, system), 'yes, this is the job'],
    ['What the plan says of this test', findingLines(prepared.findings, system, width), 'read'],
    ['Take care', cautionLines(prepared, system, width), 'read'],
    ['Before the first pressure', stepLines(prepared, width), 'all of this is done'],
  ];
  for (const [title, lines, last] of pages) {
    if (lines.length === 0) continue;
    if ((await readPages(terminal, title, lines, last)) === 'left') return 'left';
  }
  const overruled = await whyOverruled(ask, technician.name);
  return overruled === 'left' ? 'left' : { technician: technician.name, overruled: overruled.of };
}

async function whoTests({ terminal, technician }: PreparationAsk): Promise<{ readonly name: string } | Left> {
  const who: Dialogue<{ readonly name: string }> = {
    title: 'Who tests?',
    next: ([name]) =>
      name === undefined
        ? {
            question: {
              kind: 'text',
              ask: 'Your name, as it is to stand in the record. It is kept for this shift.',
              ...(technician === null ? {} : { preset: technician }),
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

function jobLines({ job, plan, gauge }: Prepared, system: UnitSystem): Line[] {
  const { cylinder } = job;
  const facts: [string, string][] = [
    ['work order', job.workOrder],
    ['customer', job.customer],
    ['cylinder', [cylinder.maker, cylinder.model].filter((text) => text !== '').join(' ')],
    ['serial', cylinder.serial],
    ['rated', formatQuantity(cylinder.ratedPressurePa, 'pressure', system.pressure, pressureDecimals(system.pressure))],
    ['procedure', `${plan.procedure.title}, revision ${plan.procedure.revision}`],
    ['gauge', gauge.serial],
    ...plan.ports.flatMap((port): [string, string][] => [
      [`port ${port.port}`, `piston ${port.position}, other port ${port.opposite}`],
      ...port.stages.map((stage): [string, string] => [
        '',
        spell(`${stage.name}: {pressure:${stage.targetPa}} held {seconds:${stage.dwellS}}`, system),
      ]),
    ]),
  ];
  return facts.map(([name, text]) => [
    span(`${name.padStart(13)}  `, 'dim'),
    span(harmless(text), name === 'serial' ? 'bold' : 'plain'),
  ]);
}

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

function cautionLines({ job, plan }: Prepared, system: UnitSystem, width: number): Line[] {
  const texts = plan.ports.flatMap(({ port }) => {
    const jobPort = job.ports.find((one) => one.port === port);
    if (!jobPort) return [];
    return [...cautionsFor('before pressure', job, jobPort), ...cautionsFor('before a closed port', job, jobPort)];
  });
  const plain = [...new Set(texts)];

  return bulleted(
    plain.map((text) => spell(text, system)),
    '●',
    width,
  );
}

const stepLines = ({ procedure }: Prepared, width: number): Line[] =>
  bulleted([...procedure.prepare, ...(procedure.stages[0]?.prepare ?? [])], '○', width);

const bulleted = (texts: readonly string[], sign: string, width: number): Line[] =>
  texts.flatMap((text) =>
    wrapText(harmless(text), width - 8).map(
      (line, index): Line => [span(index === 0 ? `  ${sign} ` : '    ', 'accent'), span(line)],
    ),
  );
