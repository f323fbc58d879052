import { createInterface } from 'node:readline/promises';
import { DwellmarkError } from '../units/index.js';

/** Throws a DwellmarkError for an answer that can't be. */
export type AnswerCheck = (answer: string) => unknown;

/**
 * Asks a person on the terminal, again while the answer can't be. When nobody can be asked, says which option is
 * missing instead.
 * @throws DwellmarkError (`usage`) without a terminal, (`refused`) when the person leaves.
 */
export async function ask(
  question: string,
  option: string,
  preset = '',
  check: AnswerCheck = () => {},
): Promise<string> {
  demandTerminal(question, option);
  for (;;) {
    const answer = (await answerTo(`${question}${preset === '' ? '' : ` [${preset}]`}: `)) || preset;
    const wrong = troubleWith(answer, check);
    if (wrong === null) return answer;
    process.stderr.write(`${wrong.message}.${wrong.advice === undefined ? '' : ` ${wrong.advice}`}\n`);
  }
}

async function answerTo(question: string): Promise<string> {
  const terminal = createInterface({ input: process.stdin, output: process.stderr });
  try {
    return (await terminal.question(question)).trim();
  } catch (cause) {
    if (!(cause instanceof Error && cause.name === 'AbortError')) throw cause;
    process.stderr.write('\n');
    throw new DwellmarkError('refused', 'left at a question', {
      advice: 'Nothing was done about it; run it again when you like.',
      cause,
    });
  } finally {
    terminal.close();
  }
}

function troubleWith(answer: string, check: AnswerCheck): DwellmarkError | null {
  try {
    check(answer);
    return null;
  } catch (error) {
    if (error instanceof DwellmarkError) return error;
    throw error;
  }
}

/** Asks for one of several, by number or by its words; the preset by Enter alone. */
export async function choose<T extends string>(
  question: string,
  choices: readonly T[],
  option: string,
  preset?: T,
): Promise<T> {
  demandTerminal(question, option);
  for (const [i, choice] of choices.entries()) process.stderr.write(`  ${i + 1}  ${choice}\n`);
  const usual = preset === undefined ? '' : String(choices.indexOf(preset) + 1);
  for (;;) {
    const answer = await ask(question, option, usual);
    const found = choices[Number(answer) - 1] ?? choices.find((choice) => choice === answer);
    if (found !== undefined) return found;
    process.stderr.write(`Type a number from 1 to ${choices.length}.\n`);
  }
}

/** Yes or no; no when nothing is typed. */
export async function confirm(question: string, option: string): Promise<boolean> {
  const answer = await ask(`${question} (y/n)`, option, '', (text) => {
    if (!/^(?:y|yes|n|no|)$/i.test(text)) throw new DwellmarkError('usage', 'Type y for yes or n for no');
  });
  return /^y/i.test(answer);
}

function demandTerminal(question: string, option: string): void {
  if (process.stdin.isTTY) return;
  throw new DwellmarkError('usage', `${question}: there is no terminal to ask on`, {
    advice: `Give it with ${option}.`,
  });
}
