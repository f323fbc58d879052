import type { PortResult } from '../../evaluation/index.js';
import type { CollectedDemand } from '../../procedure/index.js';
import { spellDuration } from '../../units/index.js';
import type { Figures } from '../words/figures.js';
import type { Words } from '../words/words.js';

/** What the cup may hold: `at most 1 mL in 3 min`. */
export function cupLimitText(
  { volumeM3, drops, overS, lessThan }: CollectedDemand,
  words: Words,
  figures: Figures,
): string {
  const counted =
    drops === 1 ? words.say('sentence.one-drop') : words.say('sentence.drops-counted', { count: drops ?? 0 });
  const amount = drops === undefined ? figures.volume(volumeM3) : counted;
  return words.say(lessThan ? 'sentence.cup-less' : 'sentence.cup-most', { amount, time: spellDuration(overS) });
}

/** What was in the cup, what it may hold where that decides, and how it stands to the fall of pressure. */
export function collectedText(
  { leakM3PerS, volumeM3, overS, agrees, limit, verdict }: NonNullable<PortResult['collected']>,
  words: Words,
  figures: Figures,
): string {
  const common = {
    leak: figures.flow(leakM3PerS),
    time: spellDuration(overS),
    agreement: words.say(agrees === null ? 'sentence.not-compared' : agrees ? 'sentence.agrees' : 'sentence.differs'),
  };
  if (limit === undefined || verdict === undefined || volumeM3 === undefined)
    return words.say('sentence.collected', common);
  return words.say('sentence.collected-judged', {
    ...common,
    amount: figures.volume(volumeM3),
    limit: cupLimitText(limit, words, figures),
    verdict: words.say(`verdict.${verdict}`).toLowerCase(),
  });
}

/** The same as a clause of a verdict; null where the cup does not decide by itself. */
export function cupByFigures(collected: PortResult['collected'], words: Words, figures: Figures): string | null {
  if (!collected?.limit || collected.volumeM3 === undefined || collected.verdict === 'inconclusive') return null;
  return words.say('verdict.by-cup', {
    amount: figures.volume(collected.volumeM3),
    time: spellDuration(collected.overS),
    limit: cupLimitText(collected.limit, words, figures),
  });
}
