import { recall } from '../../audit/index.js';
import { findShop, judgeStored } from '../../bench/index.js';
import { openStore } from '../../record/index.js';
import type { CommonOptions } from '../common-options.js';
import { say, sayJson } from '../output.js';

export interface RecallCommandOptions extends CommonOptions {
  readonly gauge: string;
  readonly since?: string;
  readonly until?: string;
  readonly readsHigh?: number;
  readonly offsetBar?: number;
}

/** `dwellmark recall`: every test and certificate that leans on a gauge, and which verdicts would change. */
export function run(options: RecallCommandOptions): void {
  const { gauge, since, until, readsHigh, offsetBar } = options;
  const store = openStore(findShop(options.shop).database, { mode: 'read' });
  try {
    const stated = readsHigh !== undefined || offsetBar !== undefined;
    const error = { fraction: (readsHigh ?? 0) / 100, offsetPa: (offsetBar ?? 0) * 1e5 };
    const question = {
      gauge,
      since: since ?? '1970-01-01',
      ...(until === undefined ? {} : { until }),
      ...(stated ? { error } : {}),
    };
    const lines = [...recall(store, question, judgeStored)];
    if (options.json) return sayJson(lines);
    if (lines.length === 0) return say(`No test leans on gauge ${gauge} in that time.`);
    for (const line of lines) {
      const again = line.verdictIfTrue === null ? '' : line.changes ? `, would be ${line.verdictIfTrue}` : ', stays';
      const papers = line.certificates.map(({ number, voided }) => (voided ? `${number} (void)` : number)).join(' ');
      const decided = line.disposition
        ? `decided: ${line.disposition.decision} (${line.disposition.by})`
        : 'not decided';
      say(
        `${line.test}  ${line.startedAt.slice(0, 10)}  ${line.customer}, cylinder ${line.serial}  ${line.verdict ?? 'not sealed'}${again}  ${papers}  ${decided}`,
      );
    }
    say(
      `${lines.length} tests, ${lines.filter(({ changes }) => changes).length} verdicts would change, ${lines.filter(({ disposition }) => !disposition).length} not decided.`,
    );
  } finally {
    store.close();
  }
}
