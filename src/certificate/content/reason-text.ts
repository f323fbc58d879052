import { judgedDrop, type PortResult, type StageResult } from '../../evaluation/index.js';
import { spellDuration } from '../../units/index.js';
import type { Figures } from '../words/figures.js';
import type { Words } from '../words/words.js';
import { cupByFigures } from './collected-text.js';
import { isByLooking } from './result-table.js';

/**
 * Why a port got its verdict: the evaluation's own sentence, or, in a language that has a sentence for it, the
 * figures, where they explain the verdict by themselves.
 */
export function reasonText(port: PortResult, words: Words, figures: Figures): string {
  const byFigures = port.stages.map((stage) => stageByFigures(stage, words, figures));
  const told = byFigures.filter((sentence) => sentence !== null);
  const explained = told.length === port.stages.length && told.length > 0 && stagesExplain(port);
  const cup = cupByFigures(port.collected, words, figures);
  if (!explained || (port.collected?.verdict !== undefined && cup === null)) return figures.spelled(port.reason);
  return [...told, ...(cup === null ? [] : [cup])].join('; ');
}

const stagesExplain = (port: PortResult): boolean =>
  port.verdict === 'pass'
    ? port.stages.every((stage) => stage.verdict === 'pass')
    : port.collected?.verdict === port.verdict || port.stages.some((stage) => stage.verdict === port.verdict);

function stageByFigures(stage: StageResult, words: Words, figures: Figures): string | null {
  const { allowedDropPa } = stage;
  const judged = judgedDrop(stage);
  if (words.say('verdict.by-figures') === '') return null;
  if (stage.verdict === 'pass' && isByLooking(stage))
    return words.say('verdict.by-looking', {
      stage: words.term(stage.name),
      time: spellDuration(stage.dwellS ?? 0),
      start: figures.pressure(stage.startPa ?? 0),
      end: figures.pressure(stage.endPa ?? 0),
    });
  if (judged === null || allowedDropPa === null) return null;
  if (stage.verdict === 'invalid') return null;
  if (stage.verdict === 'pass' && judged.dropPa > allowedDropPa) return null;
  if (stage.verdict === 'fail' && judged.dropPa <= allowedDropPa) return null;
  const pair = (mark: string, value: number, uncertainty: number): readonly [string, string] => {
    const [figure = '', u = ''] = figures.spelled(`{${mark}:${value}} ± {${mark}:${uncertainty}}`).split(' ± ');
    return [figure, u];
  };
  const common = { stage: words.term(stage.name), time: spellDuration(judged.overS) };
  const { governingLimit: limit, leakM3PerS, leakUncertaintyM3PerS, ratePaPerS, rateUncertaintyPaPerS } = stage;
  if (limit?.kind === 'leak' && leakM3PerS !== null && leakUncertaintyM3PerS !== null) {
    const [leak, u] = pair('flow', leakM3PerS, leakUncertaintyM3PerS);
    return words.say('verdict.by-figures-leak', {
      ...common,
      leak,
      u,
      allowed: figures.flow(limit.leakM3PerS),
    });
  }
  if (limit?.kind === 'rate' && ratePaPerS !== null && rateUncertaintyPaPerS !== null) {
    const [rate, u] = pair('rate', ratePaPerS, rateUncertaintyPaPerS);
    return words.say('verdict.by-figures-rate', {
      ...common,
      rate,
      u,
      allowed: figures.spelled(`{rate:${limit.ratePaPerS}}`),
    });
  }
  const [drop, u] = pair('difference', judged.dropPa, judged.uncertaintyPa);
  return words.say('verdict.by-figures', {
    ...common,
    drop,
    u,
    allowed: figures.difference(allowedDropPa),
  });
}
