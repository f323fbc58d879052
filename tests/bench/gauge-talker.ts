import { writeSync } from 'node:fs';

/**
 * The device of the gauge benchmark, a process of its own: writes so many lines to the descriptor it was given (3),
 * at once or at a rate, and ends when its standard input does.
 */
const count = Number(process.argv[2]);
const perS = Number(process.argv[3]);
const lineAt = (index: number): string => `${(250 - index / 1e4).toFixed(2).padStart(8)} bar  21.5 C\r\n`;

function send(text: string): void {
  let rest = Buffer.from(text);
  while (rest.length > 0) {
    try {
      rest = rest.subarray(writeSync(3, rest));
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EAGAIN') throw error;
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 1);
    }
  }
}

if (perS === 0) {
  for (let index = 0; index < count; index += 50)
    send(Array.from({ length: Math.min(50, count - index) }, (_, at) => lineAt(index + at)).join(''));
} else {
  for (let index = 0; index < count; index++) {
    send(lineAt(index));
    await new Promise((resolve) => setTimeout(resolve, 1000 / perS));
  }
}
