import { DwellmarkError, pressureDifferencePa, pressurePa, temperatureDifferenceK } from '../../units/index.js';
import type {
  CollectedAmount,
  CollectedLimit,
  DecayLimit,
  Level,
  Procedure,
  ProcedureStage,
  ProcedureStrokes,
} from '../procedure.js';
import { type BoreRow, everyBore, rowsByBore } from './by-bore.js';
import type { PathPart } from './key-lines.js';
import { parseLevel, parseWidth } from './level.js';
import { type ProcedureTable, procedureTable, type StageTable, type StrokeTable } from './procedure-table.js';
import { readToml, refusal, shaped, type TomlText } from './toml-text.js';

/** What a procedure gets where it says nothing. The shop's own rules, no standard; a procedure may set each. */
export const procedureDefaults = {
  rampMaxPaPerS: 10e5,
  stabilise: { ratePaPerS: 0.5e5 / 60, forS: 30, giveUpAfterS: 600 },
  /** Dwell may start this far below the target, and must not pass this far above it. */
  below: '2 %',
  above: '5 %',
  decision: 'guarded',
  /** Never above 106 % of the test pressure: 34 Pa. Code 3a.115(a)(2), written for boilers and pressure vessels. */
  overpressure: '106 %',
  bleedDown: { belowPa: 2e5, forS: 10 },
  attempts: 3,
  /** MIL-DTL-5523E 3.12.1: 20 drops a millilitre. */
  dropsPerMl: 20,
  unmeasuredTemperatureK: 0.1,
  /** Rest before a stroke: SAE J1335 (2023), as others quote it. */
  strokeRestS: 120,
} as const;

/**
 * Reads a test procedure.
 * @param text the TOML text.
 * @param options.file its name, for errors only; nothing is read from disk.
 * @throws DwellmarkError (`input`) with file, line and key.
 * @example readProcedure(text, { file: 'cylinder-proof.toml' }).stages[0].dwellS // 300
 */
export function readProcedure(text: string, { file }: { readonly file: string }): Procedure {
  const document = readToml(text, { file });
  const table = shaped(document, procedureTable);
  checkStages(document, table.stage);
  if (table.strokes) checkStrokes(document, table.strokes, table.subject);
  const defaults = procedureDefaults;
  return {
    id: table.id,
    title: table.title,
    revision: table.revision,
    source: table.source,
    purpose: table.purpose ?? '',
    subject: table.subject ?? 'cylinder',
    ports: table.ports ?? [],
    stages: table.stage.map((stage, index) => stageOf(document, stage, index, table.source)),
    limits: {
      overpressure: table.limits?.overpressure ?? parseLevel(defaults.overpressure, 'test'),
      opposite: table.limits?.opposite ?? null,
      zeroPa: table.limits?.zero === undefined ? null : pressureDifferencePa(table.limits.zero),
      unmeasuredTemperatureK:
        table.oil_temperature_change === undefined ? null : temperatureDifferenceK(table.oil_temperature_change),
      collected: collectedOf(document, table),
    },
    bleedDown: {
      belowPa: pressurePa(table.bleed_down?.below ?? defaults.bleedDown.belowPa),
      forS: table.bleed_down?.for ?? defaults.bleedDown.forS,
    },
    strokes: table.strokes ? strokesOf(table.strokes) : null,
    attempts: table.attempts ?? defaults.attempts,
    dropsPerMl: table.drops_per_ml ?? defaults.dropsPerMl,
    prepare: table.prepare ?? [],
    finish: table.finish ?? [],
  };
}

function strokesOf({ wanted, rest, break_away_max, drag_max, source }: StrokeTable): ProcedureStrokes {
  const limited = break_away_max !== undefined || drag_max !== undefined;
  return {
    wanted,
    restS: rest ?? procedureDefaults.strokeRestS,
    limits: limited ? { breakAwayMax: break_away_max ?? null, dragMax: drag_max ?? null, source: source ?? '' } : null,
  };
}

function stageOf(document: TomlText, stage: StageTable, index: number, source: string): ProcedureStage {
  const { stabilise } = stage;
  const defaults = procedureDefaults;
  return {
    name: stage.name,
    ports: stage.ports ?? [],
    target: stage.target,
    below: stage.below ?? parseWidth(defaults.below),
    above: stage.above ?? parseWidth(defaults.above),
    voidAbove: stage.void_above ?? null,
    neverBelow: stage.never_below ?? null,
    rampMaxPaPerS: stage.ramp_max ?? defaults.rampMaxPaPerS,
    stabilise: {
      ratePaPerS: stabilise?.rate ?? defaults.stabilise.ratePaPerS,
      forS: stabilise?.for ?? defaults.stabilise.forS,
      giveUpAfterS: stabilise?.give_up_after ?? defaults.stabilise.giveUpAfterS,
    },
    dwellS: stage.dwell,
    allowed: limitsOf(document, stage.allowed_decay ?? {}, ['stage', index, 'allowed_decay'], source),
    decision: stage.decision ?? defaults.decision,
    judge: stage.judge ?? 'leak',
    prepare: stage.prepare ?? [],
    look: stage.look ?? [],
  };
}

function limitsOf(
  document: TomlText,
  table: NonNullable<StageTable['allowed_decay']>,
  at: readonly PathPart[],
  procedureSource: string,
): DecayLimit[] {
  const source = table.source ?? procedureSource;
  const { drop, rate, leak, leak_by_bore } = table;
  const limits: DecayLimit[] = [];
  if (drop !== undefined) {
    if ('fraction' in drop) limits.push({ kind: 'percent', fraction: drop.fraction, source });
    else limits.push({ kind: 'drop', dropPa: drop.dropPa, source });
  }
  if (rate !== undefined) limits.push({ kind: 'rate', ratePaPerS: rate, source });
  if (leak !== undefined) limits.push({ kind: 'leak', leakM3PerS: leak, source });
  if (leak_by_bore !== undefined) {
    const rows = boreRows(
      document,
      leak_by_bore,
      [...at, 'leak_by_bore'],
      table.source,
      'source = "…" to allowed_decay',
    );
    limits.push({ kind: 'leak by bore', rows, source });
  }
  return limits;
}

/** What may be collected at the open port, in one limit or in a table by bore. */
function collectedOf(document: TomlText, { limits, source }: ProcedureTable): CollectedLimit | null {
  const { collected, collected_source } = limits ?? {};
  if (collected === undefined) return null;
  const rows = isAmount(collected)
    ? everyBore(collected)
    : boreRows(document, collected, ['limits', 'collected'], collected_source, 'collected_source = "…" to [limits]');
  return { rows, source: collected_source ?? source };
}

const isAmount = (limit: CollectedAmount | Readonly<Record<string, CollectedAmount>>): limit is CollectedAmount =>
  'overS' in limit;

/** A table by bore is somebody's: without its author it is no limit. */
function boreRows<Limit>(
  document: TomlText,
  table: Readonly<Record<string, Limit>>,
  at: readonly PathPart[],
  source: string | undefined,
  where: string,
): readonly BoreRow<Limit>[] {
  if (source === undefined)
    throw refusal(
      document,
      at,
      'nobody is named who set the limits of this table',
      `Add ${where}: a limit decides only with its source.`,
    );
  try {
    return rowsByBore(table);
  } catch (error) {
    if (!(error instanceof DwellmarkError)) throw error;
    throw refusal(
      document,
      [...at, ...(error.place.key === undefined ? [] : [error.place.key])],
      error.message,
      error.advice,
    );
  }
}

/** Plugged lines have no piston, and a limit without an author is no limit. */
function checkStrokes(document: TomlText, strokes: StrokeTable, subject: string | undefined): void {
  if (subject === 'plugged lines')
    throw refusal(document, ['strokes'], 'plugged lines have no piston to stroke', 'Take the [strokes] table out.');
  const limit = strokes.break_away_max !== undefined ? 'break_away_max' : 'drag_max';
  if (strokes[limit] !== undefined && strokes.source === undefined)
    throw refusal(
      document,
      ['strokes', limit],
      'nobody is named who set this limit',
      'Add source = "…" to [strokes]: a limit decides only with its source.',
    );
}

/** What no single key shows: stage names twice, a test that refers to itself, a limit that limits nothing. */
function checkStages(document: TomlText, stages: readonly StageTable[]): void {
  const names = new Set<string>();
  for (const [index, stage] of stages.entries()) {
    const refuse = (key: readonly string[], message: string, advice: string): never => {
      throw refusal(document, ['stage', index, ...key], message, advice);
    };
    if (names.has(stage.name)) refuse(['name'], `stage "${stage.name}" stands twice`, 'Give each stage its own name.');
    names.add(stage.name);
    const { drop, rate, leak, leak_by_bore } = stage.allowed_decay ?? { drop: null };
    if ([drop, rate, leak, leak_by_bore].every((limit) => limit === undefined))
      refuse(
        ['allowed_decay'],
        'no limit is set',
        'Set drop, rate, leak or leak_by_bore; or leave allowed_decay out where somebody looks instead.',
      );
    if (stage.judge === 'plain drop' && stage.allowed_decay === undefined)
      refuse(['judge'], 'no drop is allowed or forbidden here', 'Set allowed_decay, or take judge out.');
    if (stage.target.of === 'target')
      refuse(
        ['target'],
        `"${stage.target.text}" refers to itself`,
        'Write "1.5 x rated", "25 % of test" or a pressure.',
      );
    const { for: settledFor, give_up_after: giveUp } = stage.stabilise ?? {};
    const defaults = procedureDefaults.stabilise;
    if ((giveUp ?? defaults.giveUpAfterS) < (settledFor ?? defaults.forS))
      refuse(
        ['stabilise', 'give_up_after'],
        'it gives up before it could have settled',
        'Make give_up_after longer than for.',
      );
  }
  if (stages.every((stage) => !isAnchor(stage.target)))
    throw refusal(
      document,
      ['stage', 0, 'target'],
      'every target is a share of the test pressure, and nothing sets the test pressure',
      'The test pressure is the highest stage: give that one as "1.5 x rated" or a pressure.',
    );
  for (const [index, stage] of stages.entries())
    if (stage.target.of === 'test' && stage.target.fraction > 1)
      throw refusal(
        document,
        ['stage', index, 'target'],
        `"${stage.target.text}" is above the test pressure, which is the highest stage`,
        'Give the highest stage as "1.5 x rated" or a pressure.',
      );
}

const isAnchor = (target: Level): boolean => target.of === 'rated' || target.of === 'itself';
