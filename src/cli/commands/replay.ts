import { setTimeout as sleep } from 'node:timers/promises';
import { checkedTest, otherProcedure } from '../../audit/index.js';
import { findShop, softwareVersion } from '../../bench/index.js';
import { evaluationVersion } from '../../evaluation/index.js';
import { systemOf } from '../../quality/index.js';
import { canonicalJson, openStore, type StoredTest } from '../../record/index.js';
import { spell, spellDuration, type UnitSystem } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { exitCodes, verdictExit } from '../exit-codes.js';
import { remark, say, sayJson } from '../output.js';
import { resultJson } from '../report/result-json.js';
import { resultLines } from '../report/result-text.js';
import { makeTape, type Tape } from '../screen/replay/tape.js';
import { readProcedureFile } from '../shop/read-file.js';

export interface ReplayOptions extends CommonOptions {
  readonly speed?: number;
  readonly procedure?: string;
}

/** On a screen a test is run through at ten times real time, unless another speed is asked for. */
const usualSpeed = 10;

/**
 * `dwellmark replay`: the same inputs through the same phases and the same evaluation, on the screen of the bench, or
 * in plain lines where nobody looks on.
 */
export async function run(test: string, options: ReplayOptions): Promise<void> {
  const store = openStore(findShop(options.shop).database, { mode: 'read' });
  try {
    // Without its verdict: whether that follows is what a replay says.
    const stored = checkedTest(store, test, null);
    const { header, result } = stored;
    const system = systemOf(header);
    const by =
      options.procedure === undefined ? null : otherProcedure(readProcedureFile(options.procedure), options.procedure);
    const tape = makeTape(header, store.inputs(test));
    const again = tape.result;
    const same = result !== null && canonicalJson(again) === canonicalJson(result);
    const told = comparison(stored, same);
    const other = by?.judge(header, tape.inputs) ?? null;
    if (options.json)
      sayJson({
        ...resultJson(test, again, null, system),
        same,
        storedVerdict: result?.verdict ?? null,
        otherProcedure: other ? resultJson(test, other, null, system) : null,
      });
    else {
      const beside = by ? { plan: by.planOf(header), name: `${by.id}, revision ${by.revision}` } : null;
      if (process.stdout.isTTY && process.stdin.isTTY)
        await (await import('../screen/replay/run-replay.js')).runReplay({
          tape,
          system,
          speed: options.speed ?? usualSpeed,
          other: beside,
          comparison: told,
        });
      else await inLines(tape, system, options.speed ?? null);
      for (const line of resultLines(again, system)) say(line);
      say(told);
      if (other) {
        say(`\nBy ${options.procedure} (beside the original, which stands):`);
        for (const line of resultLines(other, system)) say(line);
      }
    }
    process.exitCode =
      result !== null && !same && sameEvaluation(stored) ? exitCodes.altered : verdictExit((other ?? again).verdict);
  } finally {
    store.close();
  }
}

/** A line an event, at a speed (times real time) or as fast as it goes. */
async function inLines({ marks, startUs }: Tape, system: UnitSystem, speed: number | null): Promise<void> {
  let lastUs = startUs;
  for (const { timeUs, port, phase, text } of marks) {
    if (speed !== null) await sleep(Math.max(0, (timeUs - lastUs) / 1000 / speed));
    lastUs = timeUs;
    remark(`${spellDuration(timeUs / 1e6).padStart(12)}  port ${port}  ${phase.padEnd(10)}  ${spell(text, system)}`);
  }
}

const sameEvaluation = ({ header }: StoredTest): boolean => header.software.evaluation === evaluationVersion;

function comparison(stored: StoredTest, same: boolean): string {
  if (stored.result === null) return 'The test was never sealed: there is no stored verdict to compare with.';
  if (same) return 'Recomputed: the same as stored, to the last bit.';
  if (!sameEvaluation(stored))
    return `Recomputed by evaluation ${evaluationVersion} (dwellmark ${softwareVersion}); it was judged by ${stored.header.software.evaluation} as ${stored.result.verdict}.`;
  return `NOT the same as stored (${stored.result.verdict}): run \`dwellmark verify ${stored.header.test}\`.`;
}
