import { writeSync } from 'node:fs';
import { lineAt } from './gauge-line.js';

/**
 * The device of the gauge benchmark, a process of its own: writes so many lines to the descriptor it was given (3),
 * at once or at a rate, and ends when its standard input does.
 */
const count = Number(process.argv[2]);
const perS = Number(process.argv[3]);

/**
 * A port that is full is tried again soon: it holds some 12 kB, and a reader that finds it empty would be measured
 * waiting for this process.
 */
const fullMs = 0.1;

function send(bytes: Uint8Array): void {
  const clock = new Int32Array(new SharedArrayBuffer(4));
  for (let rest = bytes; rest.length > 0; ) {
    try {
      rest = rest.subarray(writeSync(3, rest, 0, Math.min(rest.length, 4096)));
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EAGAIN') throw error;
      Atomics.wait(clock, 0, 0, fullMs);
    }
  }
}

// All lines are made before the first is sent: what is measured is the reader.
const lines = Array.from({ length: count }, (_, index) => Buffer.from(lineAt(index)));
if (perS === 0) send(Buffer.concat(lines));
else
  for (const line of lines) {
    send(line);
    await new Promise((resolve) => setTimeout(resolve, 1000 / perS));
  }
