import type { PortResult, StageResult } from '../../evaluation/index.js';
import type { AllowedDecay, TestPlan } from '../../procedure/index.js';
import { decimalsFor, formatNumber, valueIn } from '../../units/index.js';
import type { Figures } from '../words/figures.js';
import type { Words } from '../words/words.js';
import { cupLimitText } from './collected-text.js';
import { isByLooking } from './result-table.js';

/**
 * The small print of the results: limits and who set them, decision rule (ISO/IEC 17025:2017, 7.8.6.2), where the leak
 * rate and each ± come from (7.8.3.1 c).
 */
export function resultNotes(
  ports: readonly PortResult[],
  plan: TestPlan,
  words: Words,
  figures: Figures,
): readonly string[] {
  const stages = ports.flatMap((port) => port.stages);
  const rules = [...new Set(stages.filter((stage) => !isByLooking(stage)).map((stage) => stage.decision))].toSorted();
  return [
    ...limitNotes(ports, words, figures),
    ...lookingNotes(ports, words),
    ...cupNotes(ports, plan, words, figures),
    rules.map((rule) => words.say(`sentence.rule-${rule}`)).join(' '),
    leakNote(ports, plan, words, figures),
    words.say('sentence.uncertainty'),
  ].filter((line) => line !== '');
}

/** The holds on which no figure decides. */
function lookingNotes(ports: readonly PortResult[], words: Words): readonly string[] {
  const holds = ports.flatMap((port) => port.stages.filter(isByLooking).map((stage) => holdName(port, stage, words)));
  return holds.length === 0 ? [] : [words.say('sentence.rule-looking', { holds: holds.join(', ') })];
}

/** What the cup may hold at each port, whether or not somebody wrote down what it held. */
function cupNotes(ports: readonly PortResult[], plan: TestPlan, words: Words, figures: Figures): readonly string[] {
  return plan.ports.flatMap(({ port, collected }) => {
    if (collected === undefined || !ports.some((one) => one.port === port)) return [];
    const [limit, source] = [cupLimitText(collected, words, figures), collected.source.replace(/\.$/, '')];
    return [words.say('sentence.limit-cup', { port, limit, source })];
  });
}

/** One sentence for each different limit, with the holds that it governs. */
function limitNotes(ports: readonly PortResult[], words: Words, figures: Figures): readonly string[] {
  const holdsByLimit = new Map<string, string[]>();
  for (const port of ports)
    for (const stage of port.stages) {
      if (stage.governingLimit === null) continue;
      const key = `${limitText(stage.governingLimit, words, figures)}\n${stage.governingLimit.source.replace(/\.$/, '')}`;
      holdsByLimit.set(key, [...(holdsByLimit.get(key) ?? []), holdName(port, stage, words)]);
    }
  return [...holdsByLimit].map(([key, holds]) => {
    const [limits = '', source = ''] = key.split('\n');
    return words.say('sentence.limit', { holds: holds.join(', '), limits, source });
  });
}

const holdName = (port: PortResult, stage: StageResult, words: Words): string =>
  `${port.port} ${words.term(stage.name)}`;

function limitText(limit: AllowedDecay, words: Words, figures: Figures): string {
  switch (limit.kind) {
    case 'drop':
      return words.say('sentence.limit-drop', { value: figures.plainDifference(limit.dropPa) });
    case 'percent':
      return words.say('sentence.limit-percent', {
        value: figures.local(String(Number((limit.fraction * 100).toPrecision(4)))),
      });
    case 'rate':
      return words.say('sentence.limit-rate', { value: figures.spelled(`{rate:${limit.ratePaPerS}}`) });
    case 'leak':
      return words.say('sentence.limit-leak', { value: figures.flow(limit.leakM3PerS) });
  }
}

function leakNote(ports: readonly PortResult[], plan: TestPlan, words: Words, figures: Figures): string {
  const sources = ports.flatMap(({ port }) => {
    const trapped = plan.ports.find((candidate) => candidate.port === port)?.trapped;
    if (trapped === undefined) return [];
    const unit = figures.units.volume === 'mL' ? 'L' : figures.units.volume;
    return [
      words.say('sentence.leak-from', {
        port,
        volume: withUncertainty(trapped.volumeM3, trapped.volumeUM3, unit, 'volume', figures),
        stiffness: withUncertainty(trapped.bulkModulusPa, trapped.bulkModulusUPa, 'GPa', 'pressure', figures),
      }),
    ];
  });
  const drifts = ports.flatMap((port) =>
    port.stages.flatMap((stage) =>
      stage.rodDriftM === undefined
        ? []
        : [`${holdName(port, stage, words)} ${figures.spelled(`{length:${stage.rodDriftM}}`)}`],
    ),
  );
  return [
    ...(sources.length === 0 ? [] : [words.say('sentence.leak-rule', { sources: sources.join('; ') })]),
    ...(drifts.length === 0 ? [] : [words.say('sentence.leak-drift', { drifts: drifts.join('; ') })]),
  ].join(' ');
}

function withUncertainty(
  value: number,
  u: number,
  unit: string,
  dimension: 'volume' | 'pressure',
  figures: Figures,
): string {
  const shown = (si: number): number => valueIn(si, dimension, unit);
  const decimals = Math.min(4, decimalsFor(shown(u)));
  const [figure, plusMinus] = [formatNumber(shown(value), decimals), formatNumber(shown(u), decimals)];
  return figures.local(`${figure}\u00a0±\u00a0${plusMinus}\u00a0${unit.replace('in3', 'in³')}`);
}
