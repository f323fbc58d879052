import {
  type Answered,
  begin,
  type Dialogue,
  dialogueLines,
  type Key,
  type OpenDialogue,
  press,
  pressScanned,
} from './dialogue.js';
import { harmless, type Line, span, spread } from './frame.js';
import { fitFrame } from './paint-line.js';
import type { Terminal } from './terminal.js';

/** Left with Escape or Ctrl-C, or nobody is there any more. */
export type Left = 'left';

/** Rows that a page keeps for its title and its last line. */
const furniture = 4;

/** A text to be read. */
export interface Page {
  readonly title: string;
  readonly lines: readonly Line[];
  /** What Enter says at its end. */
  readonly last: string;
  /** A letter that says something else, and what it says. */
  readonly other?: { readonly key: string; readonly word: string };
}

/** Shows a text, screen by screen, and waits for Enter at the end of each. */
export async function readPage(
  terminal: Terminal,
  { title, lines, last, other }: Page,
): Promise<'read' | 'other' | Left> {
  let from = 0;
  return until<'read' | 'other'>(terminal, {
    draw: () => {
      const { columns, rows } = terminal.size;
      const room = Math.max(1, rows - furniture);
      const more = from + room < lines.length;
      const shown = lines.slice(from, from + room);
      while (shown.length < room) shown.push([]);
      const how: Line = [span(' Enter', 'bold'), span(more ? ' read on' : ` ${last}`, 'dim')];
      const otherwise: Line = other ? [span(`   ${other.key}`, 'bold'), span(` ${other.word}`, 'dim')] : [];
      const leave: Line = [
        span('Esc', 'bold'),
        span(columns < 80 || other ? ' leave ' : ' leave, nothing is recorded ', 'dim'),
      ];
      return [pageTitle(title, columns), [], ...shown, [], spread([...how, ...otherwise], leave, columns)];
    },
    key: (key) => {
      if (key.name === 'escape' || key.text === '/') return 'left';
      if (other && key.text === other.key) return 'other';
      if (key.name !== 'return' && key.name !== 'enter' && key.text !== '0') return null;
      const room = Math.max(1, terminal.size.rows - furniture);
      if (from + room >= lines.length) return 'read';
      from += room;
      return null;
    },
  });
}

/** Asks a dialogue on a page of its own. */
export async function askOnPage<T extends object>(
  terminal: Terminal,
  above: readonly Line[],
  dialogue: Dialogue<T>,
): Promise<T | Left> {
  const first = begin(dialogue);
  if ('outcome' in first) return first.outcome;
  if (!('open' in first)) return 'left';
  let open: OpenDialogue<T> = first.open;
  const taken = (answered: Answered<T>): T | Left | null => {
    if ('outcome' in answered) return answered.outcome;
    if ('left' in answered) return 'left';
    open = answered.open;
    return null;
  };
  return until<T>(terminal, {
    draw: () => {
      const { columns, rows } = terminal.size;
      return [...above, [], ...dialogueLines(open, columns, rows - above.length - 1)];
    },
    key: (key) => taken(press(open, key)),
    scanned: (text, entered) => taken(pressScanned(open, text, entered)),
  });
}

const pageTitle = (title: string, columns: number): Line => {
  const text = ` ${harmless(title)}`;
  return [span(text + ' '.repeat(Math.max(0, columns - text.length)), 'band')];
};

function until<T>(
  terminal: Terminal,
  page: {
    readonly draw: () => readonly Line[];
    readonly key: (key: Key) => T | Left | null;
    readonly scanned?: (text: string, entered: boolean) => T | Left | null;
  },
): Promise<T | Left> {
  return new Promise((resolve) => {
    const draw = (): void => {
      const { columns, rows } = terminal.size;
      terminal.draw(fitFrame(page.draw(), columns, rows));
    };
    const end = (outcome: T | Left): void => {
      process.off('SIGTERM', leave);
      process.off('SIGHUP', leave);
      terminal.listen({ key: () => {}, resized: () => {}, hungUp: () => {} });
      resolve(outcome);
    };
    const after = (outcome: T | Left | null): void => {
      if (outcome !== null) end(outcome);
      else draw();
    };
    const leave = (): void => end('left');
    process.on('SIGTERM', leave);
    process.on('SIGHUP', leave);
    terminal.listen({
      key: (key) => after(key.ctrl && key.name === 'c' ? 'left' : page.key(key)),
      scanned: (text, entered) => after(page.scanned?.(text, entered) ?? null),
      resized: draw,
      hungUp: leave,
    });
    draw();
  });
}
