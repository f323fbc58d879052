/**
 * A bench to try `dwellmark test` on: writes a shop into a folder and lets its gauge speak on a pseudo-terminal until
 * it is ended. Lines on stdin work the valves: `begin A`, `release`, `top up`, `stop`.
 *
 *     npx tsx tests/bench-live/simulated-gauge.ts FOLDER [--attended] [--dwell 10] [--ports AB] [--leak 0.5] [--rate 10]
 */
import { createInterface } from 'node:readline';
import { parseArgs } from 'node:util';
import { openQuickBench } from './quick-bench.js';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    attended: { type: 'boolean', default: false },
    dwell: { type: 'string', default: '10' },
    ports: { type: 'string', default: 'AB' },
    leak: { type: 'string' },
    rate: { type: 'string', default: '10' },
    hold: { type: 'string' },
  },
});
const [folder] = positionals;
if (folder === undefined) throw new Error('name a folder for the shop');
const bench = await openQuickBench(folder, {
  dwellS: Number(values.dwell),
  attended: values.attended,
  ports: [...values.ports].filter((name): name is 'A' | 'B' => name === 'A' || name === 'B'),
  ratePerS: Number(values.rate),
  ...(values.leak === undefined ? {} : { leakMlPerMin: Number(values.leak) }),
  ...(values.hold === undefined ? {} : { holdS: Number(values.hold) }),
});
process.stdout.write(`job ${bench.job}\ngauge on ${bench.device}\n`);
createInterface({ input: process.stdin }).on('line', (line) => {
  const [word, port] = line.trim().split(' ');
  if (word === 'begin' && (port === 'A' || port === 'B')) bench.gauge.operate({ kind: 'begin', port });
  else if (word === 'release') bench.gauge.operate({ kind: 'release' });
  else if (word === 'top') bench.gauge.operate({ kind: 'top up' });
  else if (word === 'stop') bench.gauge.operate({ kind: 'stop' });
  process.stdout.write(`${bench.gauge.hand.port} ${bench.gauge.hand.phase}\n`);
});
