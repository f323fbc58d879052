import { pressureDifferencePa, pressurePa, temperatureDifferenceK } from '../../units/index.js';
import type { DecayLimit, Level, Procedure, ProcedureStage, ProcedureStrokes } from '../procedure.js';
import { parseLevel, parseWidth } from './level.js';
import { procedureTable, type StageTable, type StrokeTable } from './procedure-table.js';
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
    stages: table.stage.map((stage) => stageOf(stage, table.source)),
    limits: {
      overpressure: table.limits?.overpressure ?? parseLevel(defaults.overpressure, 'test'),
      opposite: table.limits?.opposite ?? null,
      zeroPa: table.limits?.zero === undefined ? null : pressureDifferencePa(table.limits.zero),
      unmeasuredTemperatureK:
        table.oil_temperature_change === undefined ? null : temperatureDifferenceK(table.oil_temperature_change),
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

function stageOf(stage: StageTable, source: string): ProcedureStage {
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
    allowed: limitsOf(stage.allowed_decay, source),
    decision: stage.decision ?? defaults.decision,
    judge: stage.judge ?? 'leak',
    prepare: stage.prepare ?? [],
    look: stage.look ?? [],
  };
}

function limitsOf(table: StageTable['allowed_decay'], procedureSource: string): DecayLimit[] {
  const source = table.source ?? procedureSource;
  const { drop, rate, leak } = table;
  const limits: DecayLimit[] = [];
  if (drop !== undefined) {
    if ('fraction' in drop) limits.push({ kind: 'percent', fraction: drop.fraction, source });
    else limits.push({ kind: 'drop', dropPa: drop.dropPa, source });
  }
  if (rate !== undefined) limits.push({ kind: 'rate', ratePaPerS: rate, source });
  if (leak !== undefined) limits.push({ kind: 'leak', leakM3PerS: leak, source });
  return limits;
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
    const { drop, rate, leak } = stage.allowed_decay;
    if (drop === undefined && rate === undefined && leak === undefined)
      refuse(['allowed_decay'], 'no limit is set', 'Set drop, rate or leak, or several: the strictest governs.');
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
