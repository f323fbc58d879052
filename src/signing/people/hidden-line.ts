import { StringDecoder } from 'node:string_decoder';
import type { ReadStream } from 'node:tty';

/** The part of a terminal that a passphrase is typed on. */
export type Keyboard = Pick<
  ReadStream,
  'isTTY' | 'isRaw' | 'setRawMode' | 'on' | 'off' | 'resume' | 'pause' | 'unshift'
>;

const interrupt = '\x03';
const endOfText = '\x04';
const backspace = '\b';
const eraseLine = '\x15';
const escapeKey = '\x1b';
const del = '\x7f';

/**
 * Reads one line from a terminal in raw mode, so that nothing of it is shown. Backspace and Ctrl-U correct, arrow
 * and function keys are passed over. What was typed ahead after Enter stays for the next reader.
 *
 * @returns null when the person gave up with Ctrl-C, or with Ctrl-D on an empty line.
 */
export function hiddenLine(keyboard: Keyboard): Promise<string | null> {
  const wasRaw = keyboard.isRaw;
  const decoder = new StringDecoder('utf8');
  const line = new HiddenLine();
  return new Promise((resolve) => {
    const leave = (typed: string | null, rest: string): void => {
      keyboard.off('data', onData);
      keyboard.off('end', onEnd);
      keyboard.setRawMode(wasRaw);
      keyboard.pause();
      if (rest !== '') keyboard.unshift(Buffer.from(rest, 'utf8'));
      resolve(typed);
    };
    const onEnd = (): void => leave(null, '');
    const onData = (chunk: Buffer | string): void => {
      const characters = [...(typeof chunk === 'string' ? chunk : decoder.write(chunk))];
      for (const [index, character] of characters.entries()) {
        const done = line.press(character);
        if (done === undefined) continue;
        const rest = characters.slice(index + 1).join('');
        leave(done, character === '\r' ? rest.replace(/^\n/, '') : rest);
        return;
      }
    };
    keyboard.setRawMode(true);
    keyboard.on('data', onData);
    keyboard.on('end', onEnd);
    keyboard.resume();
  });
}

/** The line as it grows, key by key. */
class HiddenLine {
  #characters: string[] = [];
  /** Inside an escape sequence of a function key: after ESC, or after ESC [ or ESC O until its last byte. */
  #sequence: 'none' | 'escape' | 'control' = 'none';

  /** The finished line, null when given up, undefined while it goes on. */
  press(character: string): string | null | undefined {
    if (character === interrupt) return null;
    if (this.#passOver(character)) return undefined;
    if (character === '\r' || character === '\n') return this.#characters.join('');
    if (character === endOfText) return this.#characters.length === 0 ? null : undefined;
    if (character === backspace || character === del) this.#characters.pop();
    else if (character === eraseLine) this.#characters = [];
    else if (character >= ' ') this.#characters.push(character);
    return undefined;
  }

  #passOver(character: string): boolean {
    if (this.#sequence === 'none') {
      if (character !== escapeKey) return false;
      this.#sequence = 'escape';
      return true;
    }
    if (this.#sequence === 'escape') {
      this.#sequence = character === '[' || character === 'O' ? 'control' : 'none';
      return this.#sequence === 'control';
    }
    if (character >= '@' && character <= '~') this.#sequence = 'none';
    return true;
  }
}
