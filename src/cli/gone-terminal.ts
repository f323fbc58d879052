import { closeSync, openSync } from 'node:fs';
import { devNull } from 'node:os';
import { isatty } from 'node:tty';

/**
 * Node gives a terminal its settings back when a program ends, and aborts where there is no terminal any more to take
 * them: a window that was closed while a test ran. What was a terminal and is none at the end is let go before.
 */
export function letGoOfGoneTerminal(): void {
  const terminals = [0, 1, 2].filter((fd) => isatty(fd));
  process.once('exit', () => {
    for (const fd of terminals) {
      if (isatty(fd)) continue;
      closeSync(fd);
      openSync(devNull, 'r+');
    }
  });
}
