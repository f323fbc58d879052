/**
 * The known word that a mistyped one most likely stands for, or undefined when none is near enough.
 * @example nearWord('presure', ['pressure', 'port']) // 'pressure'
 */
export function nearWord(typed: string, known: readonly string[]): string | undefined {
  const plain = (word: string): string => word.toLowerCase().replaceAll('-', '_');
  const reach = typed.length < 2 ? 0 : Math.max(1, Math.floor(typed.length / 3));
  let best: { word: string; steps: number } | undefined;
  for (const word of known) {
    const steps = editSteps(plain(typed), plain(word));
    if (steps <= reach && (best === undefined || steps < best.steps)) best = { word, steps };
  }
  return best?.word;
}

/** Levenshtein distance: least number of letters to put in, take out or change. */
function editSteps(from: string, to: string): number {
  let row = Array.from({ length: to.length + 1 }, (_, index) => index);
  for (let i = 1; i <= from.length; i += 1) {
    const next = [i];
    for (let j = 1; j <= to.length; j += 1) {
      const change = (row[j - 1] ?? 0) + (from[i - 1] === to[j - 1] ? 0 : 1);
      next.push(Math.min(change, (row[j] ?? 0) + 1, (next[j - 1] ?? 0) + 1));
    }
    row = next;
  }
  return row[to.length] ?? 0;
}
