import { ask } from '../ask.js';

const refreshMs = 700;

/**
 * Lets a person pick a row of a table that lives while the question stands: each row begins with its number, and is
 * written again as its values change.
 * @param look the rows as they are now; called again until the answer is there.
 * @param preset number of the row proposed, from 1.
 * @returns number of the row, from 0.
 * @throws DwellmarkError (`usage`) when there is no terminal.
 */
export async function pickLive(
  first: readonly string[],
  look: () => Promise<readonly string[]>,
  asked: { readonly question: string; readonly option: string; readonly preset: number },
): Promise<number> {
  let answered = false;
  const screen = process.stderr;
  for (const row of first) screen.write(`${row}\n`);
  const living = async (): Promise<void> => {
    while (!answered) {
      await new Promise((resolve) => setTimeout(resolve, refreshMs));
      // A device that misses one question keeps its old row; the next look is in a moment.
      const rows = answered ? [] : await look().catch(() => []);
      if (answered || rows.length !== first.length || !screen.isTTY) continue;
      const painted = rows.map((row) => `\r\u001b[K${row}`).join('\n');
      screen.write(`\u001b7\u001b[${first.length}A${painted}\u001b8`);
    }
  };
  const running = process.stdin.isTTY ? living() : Promise.resolve();
  try {
    for (;;) {
      const number = Number(await ask(asked.question, asked.option, String(asked.preset)));
      if (Number.isInteger(number) && number >= 1 && number <= first.length) return number - 1;
      // Written over the wrong answer: the rows must stay where they are.
      screen.write('\u001b[A\r\u001b[K');
    }
  } finally {
    answered = true;
    await running;
  }
}
