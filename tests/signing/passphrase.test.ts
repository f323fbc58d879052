import { EventEmitter } from 'node:events';
import { closeSync, mkdtempSync, openSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, onTestFinished, test } from 'vitest';
import { readNewPassphrase, readPassphrase } from '../../src/signing/index.js';

/** A terminal that notes its modes and what was given back to it. */
class TypedOn extends EventEmitter {
  readonly isTTY = true;
  isRaw = false;
  readonly modes: boolean[] = [];
  readonly givenBack: string[] = [];
  paused = true;
  setRawMode(mode: boolean): this {
    this.isRaw = mode;
    this.modes.push(mode);
    return this;
  }
  resume(): this {
    this.paused = false;
    return this;
  }
  pause(): this {
    this.paused = true;
    return this;
  }
  unshift(chunk: Buffer): void {
    this.givenBack.push(chunk.toString());
  }
  type(...chunks: (string | Buffer)[]): void {
    for (const chunk of chunks) this.emit('data', Buffer.from(chunk));
  }
}

function terminal() {
  const keyboard = new TypedOn();
  const shown: string[] = [];
  const source = {
    prompt: 'Passphrase of ada: ',
    keyboard: keyboard as never,
    screen: { write: (text: string) => shown.push(`${keyboard.isRaw ? 'echo off' : 'echo on'}: ${text}`) },
  };
  return { keyboard, shown, source };
}

function descriptorOf(content: string): number {
  const dir = mkdtempSync(join(tmpdir(), 'passphrase-'));
  writeFileSync(join(dir, 'lines'), content);
  const fd = openSync(join(dir, 'lines'), 'r');
  onTestFinished(() => {
    closeSync(fd);
    rmSync(dir, { recursive: true });
  });
  return fd;
}

describe('a passphrase typed on a terminal', () => {
  test('is read in raw mode, shown nowhere, and the terminal is left as it was', async () => {
    const { keyboard, shown, source } = terminal();
    const answer = readPassphrase(source);
    keyboard.type('wet ', 'gaskets\r');
    expect(await answer).toBe('wet gaskets');
    expect(shown).toEqual(['echo off: Passphrase of ada: ', 'echo on: \n']);
    expect(keyboard.modes).toEqual([true, false]);
    expect(keyboard.paused).toBe(true);
    expect(keyboard.listenerCount('data')).toBe(0);
  });

  test.each([
    ['backspace takes back one whole character', 'Öl€\x7f\x7fx\r', 'Öx'],
    ['Ctrl-U starts again', 'wrong\x15right\n', 'right'],
    ['arrow and function keys add nothing', 'ab\x1b[Dc\x1bOPd\x1b[3~e\r', 'abcde'],
    ['Ctrl-D after a character is passed over', 'ab\x04c\r', 'abc'],
    ['an empty line is an empty passphrase', '\r', ''],
  ])('%s', async (_, keys, expected) => {
    const { keyboard, source } = terminal();
    const answer = readPassphrase(source);
    keyboard.type(keys);
    expect(await answer).toBe(expected);
  });

  test('a character cut in two by the line arrives whole', async () => {
    const { keyboard, source } = terminal();
    const answer = readPassphrase(source);
    const euro = Buffer.from('€');
    keyboard.type(euro.subarray(0, 1), euro.subarray(1), '\r');
    expect(await answer).toBe('€');
  });

  test('what was typed ahead after Enter is left for the next question', async () => {
    const { keyboard, source } = terminal();
    const answer = readPassphrase(source);
    keyboard.type('first\r\nsecond');
    expect(await answer).toBe('first');
    expect(keyboard.givenBack).toEqual(['second']);
  });

  test.each(['\x03', 'abc\x03', '\x04'])(
    'giving up with %j is wrong use, and the terminal is left as it was',
    async (keys) => {
      const { keyboard, source } = terminal();
      const answer = readPassphrase(source);
      keyboard.type(keys);
      await expect(answer).rejects.toMatchObject({ code: 'usage', message: 'no passphrase was given' });
      expect(keyboard.isRaw).toBe(false);
    },
  );

  test('a terminal that closes is wrong use', async () => {
    const { keyboard, source } = terminal();
    const answer = readPassphrase(source);
    keyboard.emit('end');
    await expect(answer).rejects.toMatchObject({ code: 'usage' });
  });

  test('a new one is typed twice, and a difference is refused', async () => {
    for (const [second, outcome] of [
      ['wet gaskets\r', 'same'],
      ['wet gasket\r', 'differ'],
    ] as const) {
      const { keyboard, source } = terminal();
      const answer = readNewPassphrase(source).catch((error: Error) => error.message);
      keyboard.type('wet gaskets\r');
      await new Promise((resolve) => setImmediate(resolve));
      keyboard.type(second);
      expect(await answer).toBe(outcome === 'same' ? 'wet gaskets' : 'the two passphrases differ');
    }
  });
});

describe('a passphrase without a terminal', () => {
  test('comes from a file descriptor, one line each', async () => {
    const fd = descriptorOf('wet gaskets\r\nÖl auf Öl\n');
    expect(await readPassphrase({ prompt: '', fd })).toBe('wet gaskets');
    expect(await readNewPassphrase({ prompt: '', fd })).toBe('Öl auf Öl');
    await expect(readPassphrase({ prompt: '', fd })).rejects.toMatchObject({ code: 'usage' });
  });

  test('a line without an end is longer than a passphrase', async () => {
    const fd = descriptorOf('x'.repeat(5000));
    await expect(readPassphrase({ prompt: '', fd })).rejects.toThrow(/longer than 1024 bytes/);
  });

  test('a descriptor that is not open is wrong use', async () => {
    await expect(readPassphrase({ prompt: '', fd: 777 })).rejects.toThrow(
      /file descriptor 777 can't be read \(EBADF\)/,
    );
  });

  test('is never asked for: the refusal names the option', async () => {
    const keyboard = Object.assign(new TypedOn(), { isTTY: false });
    await expect(readPassphrase({ prompt: '', keyboard: keyboard as never })).rejects.toMatchObject({
      code: 'usage',
      advice: expect.stringContaining('--passphrase-fd N'),
    });
    expect(keyboard.modes).toEqual([]);
  });
});
