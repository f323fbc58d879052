import { writeSync } from 'node:fs';
import { createServer } from 'node:net';

/**
 * A gauge in a process of its own: its value is the milliseconds since a time on the computer's monotonic clock. With a
 * rate it sends lines in its own beat to the descriptor it was given (3), and what it could not send in time at once;
 * without one it answers Modbus over TCP, at the port that it writes to its output.
 */
const perS = Number(process.argv[2]);
const sinceNs = BigInt(process.argv[3] ?? 0);
const answerMs = 5;

const nowMs = (): number => Number(process.hrtime.bigint() - sinceNs) / 1e6;

if (perS > 0) {
  const startMs = nowMs();
  let count = 0;
  setInterval(() => {
    for (; count < ((nowMs() - startMs) * perS) / 1000; count += 1) writeSync(3, `${nowMs().toFixed(2)} bar\r\n`);
  }, 5);
} else {
  const server = createServer((socket) =>
    socket.on('data', (question) =>
      setTimeout(() => {
        const answer = Buffer.from([
          question[0] ?? 0,
          question[1] ?? 0,
          0,
          0,
          0,
          7,
          question[6] ?? 0,
          3,
          4,
          0,
          0,
          0,
          0,
        ]);
        answer.writeFloatBE(nowMs(), 9);
        socket.write(answer);
      }, answerMs),
    ),
  );
  server.listen(0, '127.0.0.1', () => process.stdout.write(`${JSON.stringify(server.address())}\n`));
}
