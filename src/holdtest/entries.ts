import type { OperatorAct } from './input.js';
import type { AttemptFacts } from './state.js';
import { portOf, report, setFacts, type Turn } from './turn.js';

/** What a person writes down. It can be taken back; it and the correction both stay in the record. */
export type EntryAct = Extract<
  OperatorAct,
  { kind: 'note' | 'observation' | 'collected' | 'oil-temperature' | 'strokes' | 'oil-pumped' | 'inspected' }
>;

/** An entry of the attempt under way. Its place in the list names it. */
export interface Entry {
  readonly timeUs: number;
  readonly act: EntryAct;
  readonly takenBack: boolean;
  /** Of a dwell before the one under way: it says nothing of this one. */
  readonly over?: true;
}

/**
 * An entry in words, figures as marks.
 * @example entryText({ kind: 'strokes', count: 12 }) // '12 booster strokes counted.'
 */
export function entryText(act: EntryAct): string {
  switch (act.kind) {
    case 'note':
      return act.text;
    case 'observation': {
      const { point, amount, drops, text } = act.observation;
      return `${point}: ${amount}${drops === undefined ? '' : ` (${drops} drops)`}${text ? `, ${text}` : ''}`;
    }
    case 'collected':
      return `{volume:${act.volumeM3}} of oil collected at the other port in {seconds:${act.overS}}.`;
    case 'oil-temperature':
      return `Oil at {temperature:${act.oilK}}.`;
    case 'strokes':
      return `${act.count} booster strokes counted.`;
    case 'oil-pumped':
      return `{volume:${act.volumeM3}} of oil pumped in.`;
    case 'inspected':
      return 'Every point has been looked at.';
    default:
      return act satisfies never;
  }
}

/** Entries that stand, newest first, each with its place in the list. */
export const standingEntries = ({ entries }: AttemptFacts): readonly (Entry & { readonly place: number })[] =>
  entries
    .map((entry, place) => ({ ...entry, place }))
    .filter(({ takenBack }) => !takenBack)
    .toReversed();

/** Adds an entry to the attempt. */
export function keepEntry(turn: Turn, act: EntryAct): void {
  setEntries(turn, [...turn.state.facts.entries, { timeUs: turn.timeUs, act, takenBack: false }]);
}

/** A dwell begins: that every point was looked at, or what the cup held where that decides, was said of another one. */
export function beginEntries(turn: Turn): void {
  const ofDwell = portOf(turn.plan, turn.state)?.collected ? ['inspected', 'collected'] : ['inspected'];
  setEntries(
    turn,
    turn.state.facts.entries.map((entry) => (ofDwell.includes(entry.act.kind) ? { ...entry, over: true } : entry)),
  );
}

/** Takes an entry back. An entry that is not there, or was taken back before, is left alone and said to be. */
export function takeBack(turn: Turn, place: number, reason: string): void {
  const { entries } = turn.state.facts;
  const entry = entries[place];
  if (!entry || entry.takenBack) return report(turn, 'note', 'note', `There is no entry to take back: ${reason}`);
  setEntries(
    turn,
    entries.map((one, index) => (index === place ? { ...one, takenBack: true } : one)),
  );
  if (entry.act.kind === 'oil-temperature')
    turn.effects.push({ kind: 'oil-temperature-taken-back', timeUs: entry.timeUs });
  const code = entry.act.kind === 'inspected' ? 'inspection-taken-back' : 'taken-back';
  report(turn, code, 'warn', `Taken back: ${entryText(entry.act).replace(/\.$/, '')}. Why: ${reason}`);
}

/** The entries, and what those that stand come to: the newest of each kind counts, every observation does. */
function setEntries(turn: Turn, entries: readonly Entry[]): void {
  const acts = entries.flatMap(({ act, takenBack, over }) => (takenBack || over ? [] : [act]));
  const newest = <Kind extends EntryAct['kind']>(kind: Kind): Extract<EntryAct, { kind: Kind }> | undefined =>
    acts.findLast((act): act is Extract<EntryAct, { kind: Kind }> => act.kind === kind);
  const collected = newest('collected');
  setFacts(turn, {
    entries,
    observations: acts.flatMap((act) => (act.kind === 'observation' ? [act.observation] : [])),
    collected: collected ? { volumeM3: collected.volumeM3, overS: collected.overS } : null,
    strokes: newest('strokes')?.count ?? null,
    oilPumpedM3: newest('oil-pumped')?.volumeM3 ?? null,
    inspected: newest('inspected') !== undefined,
  });
}
