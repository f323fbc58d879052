import { everyAttempt, type Figures, firstAtOrAfter, type TraceColumns, type Words } from '../../certificate/index.js';
import type { BudgetLine, StageResult, TestResult } from '../../evaluation/index.js';
import type { HoldEvent } from '../../holdtest/index.js';
import { type Asking, base64Bytes, hexOf, sha256 } from '../../record/index.js';
import { formatNumber, spellDuration } from '../../units/index.js';
import type { RecordRead } from '../read-record.js';
import type { SayPage } from '../words/page-words.js';

/** The budget of one quantity of one dwell. */
export interface BudgetTable {
  readonly caption: string;
  readonly lines: readonly BudgetRow[];
  readonly expanded: string | null;
}

export interface BudgetRow {
  readonly name: string;
  readonly u: string;
  readonly degreesOfFreedom: string;
  readonly distribution: string;
  readonly basis: string;
  /** Share of the combined variance, 0 to 1. */
  readonly share: number;
  readonly shareText: string;
}

/** Budgets of every dwell that was judged, the drop's first. */
export const budgets = (result: TestResult, words: Words, figures: Figures, say: SayPage): readonly BudgetTable[] =>
  result.ports.flatMap(({ port, stages }) =>
    stages.flatMap((stage) =>
      (['drop', 'leak', 'level'] as const).flatMap((of) => {
        const lines = stage.budget.filter((line) => line.of === of);
        if (lines.length === 0) return [];
        const hold = say('page.port-stage', { port, stage: words.term(stage.name) });
        return [
          {
            caption: say('budget.caption', { what: say(`budget.of.${of}`), hold }),
            lines: rows(lines, figures, say),
            expanded: expandedText(of, stage, figures, say),
          },
        ];
      }),
    ),
  );

function rows(lines: readonly BudgetLine[], figures: Figures, say: SayPage): readonly BudgetRow[] {
  const variance = lines.reduce((sum, { u }) => sum + u ** 2, 0);
  return lines.map((line) => {
    const share = variance > 0 ? line.u ** 2 / variance : 0;
    return {
      name: line.name,
      u: quantity(line.of, line.u, figures),
      degreesOfFreedom:
        line.degreesOfFreedom === null ? say('budget.infinite') : figures.local(formatNumber(line.degreesOfFreedom, 0)),
      distribution: line.distribution,
      basis: figures.spelled(line.basis),
      share,
      shareText: `${figures.local(formatNumber(share * 100, share < 0.0995 ? 1 : 0))}\u00a0%`,
    };
  });
}

const quantity = (of: BudgetLine['of'], si: number, figures: Figures): string =>
  of === 'leak' ? figures.spelled(`{flow:${si}}`) : figures.difference(si);

function expandedText(of: BudgetLine['of'], stage: StageResult, figures: Figures, say: SayPage): string | null {
  const expanded = {
    drop: stage.dropUncertaintyPa,
    leak: stage.leakUncertaintyM3PerS,
    level: stage.levelUncertaintyPa,
  }[of];
  const k = of === 'level' ? 2 : stage.coverageFactor;
  if (expanded === null || k === null) return null;
  return say('budget.expanded', { u: quantity(of, expanded, figures), k: figures.local(formatNumber(k, 2)) });
}

/**
 * A time since the first reading as on a clock: `4:07`, from an hour on `1:04:07`; with decimals where they are asked for.
 * @example clockText(247.34, 1) // '4:07.3'
 */
export function clockText(seconds: number, decimals = 0): string {
  const scale = 10 ** decimals;
  const ticks = Math.round(Math.abs(seconds) * scale);
  const whole = Math.floor(ticks / scale);
  const fraction = decimals === 0 ? '' : `.${String(ticks % scale).padStart(decimals, '0')}`;
  const [hours, minutes, rest] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
  const two = (value: number): string => String(value).padStart(2, '0');
  const clock = hours > 0 ? `${hours}:${two(minutes)}:${two(rest)}` : `${minutes}:${two(rest)}`;
  return `${seconds < 0 && ticks > 0 ? '−' : ''}${clock}${fraction}`;
}

/** An event as it is told. */
export interface EventRow {
  readonly time: string;
  readonly where: string;
  readonly grade: HoldEvent['grade'];
  readonly gradeWord: string;
  readonly text: string;
}

/** Everything that happened but the turn of phases, in order. */
export const toldEvents = (result: TestResult): readonly HoldEvent[] =>
  everyAttempt(result.ports)
    .flatMap(({ events }) => events)
    .filter(({ code }) => code !== 'phase')
    .toSorted((a, b) => a.timeUs - b.timeUs);

export const eventRows = (
  result: TestResult,
  firstUs: number,
  words: Words,
  figures: Figures,
  say: SayPage,
): readonly EventRow[] =>
  toldEvents(result).map((event) => ({
    time: clockText((event.timeUs - firstUs) / 1e6),
    where: say('page.port-stage', {
      port: event.port,
      stage: words.term(event.stage ?? event.phase),
    }),
    grade: event.grade,
    gradeWord: say(`events.grade.${event.grade}`),
    text: figures.spelled(event.text),
  }));

/** One phase of one attempt, as it is told. */
export interface PhaseRow {
  readonly port: string;
  readonly attempt: string;
  readonly stage: string;
  readonly phase: string;
  readonly from: string;
  readonly lasted: string;
  readonly pressure: string;
}

/** The phases in order, each until the next began. */
export function phaseRows(
  result: TestResult,
  trace: TraceColumns,
  words: Words,
  figures: Figures,
): readonly PhaseRow[] {
  const firstUs = trace.timeUs[0] ?? 0;
  const lastUs = trace.timeUs.at(-1) ?? 0;
  const begun = everyAttempt(result.ports)
    .flatMap(({ events }) => events)
    .filter(({ code }) => code === 'phase')
    .toSorted((a, b) => a.timeUs - b.timeUs);
  return begun.flatMap((event, index) => {
    if (event.phase === 'done') return [];
    const endUs = Math.max(event.timeUs, begun[index + 1]?.timeUs ?? lastUs);
    return [
      {
        port: event.port,
        attempt: String(event.attempt),
        stage: event.stage === null ? '' : words.term(event.stage),
        phase: words.term(event.phase),
        from: clockText((event.timeUs - firstUs) / 1e6),
        lasted: spellDuration((endUs - event.timeUs) / 1e6),
        pressure: `${levelAt(event.timeUs, trace, figures)} – ${levelAt(endUs, trace, figures)}`,
      },
    ];
  });
}

/** The reading at a time: the first at or after it that has a value. */
function levelAt(timeUs: number, trace: TraceColumns, figures: Figures): string {
  const at = Math.min(firstAtOrAfter(trace.timeUs, timeUs), trace.timeUs.length - 1);
  for (let index = at; index < Math.min(at + 100, trace.pressurePa.length); index += 1) {
    const pa = trace.pressurePa[index] ?? Number.NaN;
    if (!Number.isNaN(pa)) return figures.pressure(pa);
  }
  return '–';
}

/** A signature as it is told. */
export interface SignatureRow {
  readonly meaning: string;
  readonly name: string;
  readonly standing: string;
  readonly when: string;
  /** First 16 digits of the key's SHA-256, as a certificate prints them, in fours. */
  readonly key: string;
  /** What the enclosed ledger lines say of the key. */
  readonly authority: string;
  readonly remark: string;
}

/** The signatures on the record, oldest first. The digests of the keys are asked for. */
export function* signatureRows(
  record: RecordRead,
  words: Words,
  figures: Figures,
  say: SayPage,
): Asking<readonly SignatureRow[]> {
  const rows: SignatureRow[] = [];
  for (const { signer, meaning, signedAt, publicKey, remark } of record.signatures) {
    const key = hexOf(yield* sha256(base64Bytes(publicKey) ?? new Uint8Array()));
    const enrolled = record.signers.find(({ id }) => id === signer.id);
    const revoked = enrolled?.revoked;
    rows.push({
      meaning: words.term(meaning),
      name: signer.name,
      standing: [words.term(signer.role), signer.organisation].filter((part) => part !== '').join(', '),
      when: figures.moment(signedAt),
      key: key.slice(0, 16).replace(/.{4}(?=.)/g, '$& '),
      authority: [
        ...(enrolled ? [say('signatures.enrolled', { position: enrolled.position })] : []),
        ...(revoked ? [say('signatures.revoked', { date: figures.date(revoked.at), reason: revoked.reason })] : []),
      ].join('; '),
      remark,
    });
  }
  return rows;
}
