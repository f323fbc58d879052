import { randomInt } from 'node:crypto';
import { parseArgs } from 'node:util';
import { printSecondWorld } from '../second-world/tables.js';

/**
 * How true the verdicts are on holds of another simulator, tests/second-world, on a seed drawn anew at each run:
 * `npm run bench:truth -- --holds 400 --seed N --only REGEX`; `--only` takes the cells whose names match.
 */
const { values } = parseArgs({
  options: {
    holds: { type: 'string', default: '400' },
    seed: { type: 'string', default: String(randomInt(1, 2 ** 31)) },
    only: { type: 'string', default: '' },
  },
});
await printSecondWorld(
  { holds: Number(values.holds), seed: Number(values.seed), only: new RegExp(values.only) },
  (line) => process.stdout.write(`${line}\n`),
);
