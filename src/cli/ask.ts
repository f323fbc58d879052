import { createInterface } from 'node:readline/promises';
import { DwellmarkError } from '../units/index.js';

/**
 * Asks a person on the terminal. When nobody can be asked, says which option is missing instead.
 * @throws DwellmarkError (`usage`).
 */
export async function ask(question: string, option: string, preset = ''): Promise<string> {
  demandTerminal(question, option);
  const terminal = createInterface({ input: process.stdin, output: process.stderr });
  try {
    const answer = (await terminal.question(`${question}${preset === '' ? '' : ` [${preset}]`}: `)).trim();
    return answer === '' ? preset : answer;
  } finally {
    terminal.close();
  }
}

/** Asks for one of several, by number or by its words. */
export async function choose<T extends string>(question: string, choices: readonly T[], option: string): Promise<T> {
  demandTerminal(question, option);
  for (const [i, choice] of choices.entries()) process.stderr.write(`  ${i + 1}  ${choice}\n`);
  for (;;) {
    const answer = await ask(question, option);
    const found = choices[Number(answer) - 1] ?? choices.find((choice) => choice === answer);
    if (found !== undefined) return found;
    process.stderr.write(`Type a number from 1 to ${choices.length}.\n`);
  }
}

/** Yes or no; no when nothing is typed. */
export async function confirm(question: string, option: string): Promise<boolean> {
  return /^y(es)?$/i.test(await ask(`${question} (y/n)`, option));
}

function demandTerminal(question: string, option: string): void {
  if (process.stdin.isTTY) return;
  throw new DwellmarkError('usage', `${question}: there is no terminal to ask on`, {
    advice: `Give it with ${option}.`,
  });
}
