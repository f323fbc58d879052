import { setTimeout as sleep } from 'node:timers/promises';
import { otherProcedure } from '../../audit/index.js';
import { findShop, judgementOf, softwareVersion } from '../../bench/index.js';
import { evaluationVersionOf, type TestResult } from '../../evaluation/index.js';
import type { HoldInput } from '../../holdtest/index.js';
import { canonicalJson, openStore, type StoredTest } from '../../record/index.js';
import { spell, spellDuration } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { systemOf } from '../customer-units.js';
import { exitCodes, verdictExit } from '../exit-codes.js';
import { remark, say, sayJson } from '../output.js';
import { resultJson } from '../report/result-json.js';
import { resultLines } from '../report/result-text.js';
import { readProcedureFile } from '../shop/read-file.js';

export interface ReplayOptions extends CommonOptions {
  readonly speed?: number;
  readonly procedure?: string;
}

/** `dwellmark replay`: the same inputs through the same phases and the same evaluation. */
export async function run(test: string, options: ReplayOptions): Promise<void> {
  const store = openStore(findShop(options.shop).database, { mode: 'read' });
  try {
    const stored = store.test(test);
    const { header, result } = stored;
    const system = systemOf(header);
    const judgement = judgementOf(header);
    let lastUs: number | null = null;
    for (const input of store.inputs(test)) {
      if (options.speed !== undefined && input.kind === 'reading') {
        if (lastUs !== null) await sleep(Math.max(0, (input.reading.timeUs - lastUs) / 1000 / options.speed));
        lastUs = input.reading.timeUs;
      }
      for (const effect of judgement.add(input))
        if (effect.kind === 'event' && !options.json)
          remark(
            `${spellDuration(effect.event.timeUs / 1e6).padStart(12)}  port ${effect.event.port}  ${effect.event.phase.padEnd(10)}  ${spell(effect.event.text, system)}`,
          );
    }
    const again = judgement.result();
    const same = result !== null && canonicalJson(again) === canonicalJson(result);
    const other = options.procedure === undefined ? null : judgeBy(options.procedure, stored, store.inputs(test));
    if (options.json)
      sayJson({
        ...resultJson(test, again, null, system),
        same,
        storedVerdict: result?.verdict ?? null,
        otherProcedure: other ? resultJson(test, other, null, system) : null,
      });
    else {
      for (const line of resultLines(again, system)) say(line);
      say(comparison(stored, same));
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

const sameEvaluation = ({ header }: StoredTest): boolean =>
  header.software.evaluation === evaluationVersionOf(header.plan);

function comparison(stored: StoredTest, same: boolean): string {
  if (stored.result === null) return 'The test was never sealed: there is no stored verdict to compare with.';
  if (same) return 'Recomputed: the same as stored, to the last bit.';
  if (!sameEvaluation(stored))
    return `Recomputed by evaluation ${evaluationVersionOf(stored.header.plan)} (dwellmark ${softwareVersion}); it was judged by ${stored.header.software.evaluation} as ${stored.result.verdict}.`;
  return `NOT the same as stored (${stored.result.verdict}): run \`dwellmark verify ${stored.header.test}\`.`;
}

/** The stored inputs judged by another procedure, on the stored job and gauges. */
function judgeBy(file: string, stored: StoredTest, inputs: Iterable<HoldInput>): TestResult {
  return otherProcedure(readProcedureFile(file), file).judge(stored.header, inputs);
}
