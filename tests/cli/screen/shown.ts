import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { HoldRun, prepare, type RunNews, readShop } from '../../../src/bench/index.js';
import { BenchMemory, type BenchView } from '../../../src/cli/screen/bench-view.js';
import { Judgement } from '../../../src/evaluation/index.js';
import type { OperatorAct, PhaseName } from '../../../src/holdtest/index.js';
import { unitSystems } from '../../../src/units/index.js';
import { type QuickBenchOptions, quickGauge, writeQuickShop } from '../../bench-live/quick-bench.js';

export interface Moment {
  readonly phase: PhaseName;
  view(): BenchView;
  act(act: OperatorAct): void;
}

/**
 * A two-port test on the simulated bench, as fast as it goes, with somebody at the keys: after each reading `look` sees
 * what the screen would show and may act. Prompts are followed where `look` does not do it.
 */
export async function showTest(
  options: Partial<QuickBenchOptions>,
  look: (moment: Moment) => void,
  units: keyof typeof unitSystems = 'bar',
  tell: (news: RunNews) => void = () => {},
): Promise<BenchView> {
  const set: QuickBenchOptions = {
    dwellS: 10,
    attended: false,
    ports: ['A', 'B'],
    ...options,
    speed: 'as fast as possible',
  };
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-screen-'));
  try {
    const jobFile = writeQuickShop(folder, '/dev/null', set);
    const shop = readShop(path.join(folder, 'dwellmark.toml'));
    const prepared = prepare({ jobFile, shop, attendance: 'attended', on: '2026-03-14', ports: [...set.ports] });
    const memory = new BenchMemory();
    const hold = new HoldRun(new Judgement(prepared.plan), null, (news) => {
      memory.take(news);
      tell(news);
    });
    const { cylinder, customer } = prepared.job;
    const view = (): BenchView => ({
      ...memory.shown,
      header: { test: 'T-2026-0007', customer, cylinder, technician: 'R. Sand', origin: 'simulated' },
      plan: prepared.plan,
      system: unitSystems[units],
      state: hold.state,
      early: hold.early(),
      stages: hold.stages,
      strokes: hold.strokes,
      result: hold.state.phase.name === 'done' ? hold.result() : null,
      mode: 'bench',
      flash: false,
      bell: true,
    });
    const gauge = quickGauge(set);
    await gauge.open();
    for await (const item of gauge.items()) {
      hold.take(item);
      look({ phase: hold.state.phase.name, view, act: (act) => hold.act(act) });
      const { phase } = hold.state;
      if (phase.name === 'ready' && !phase.confirmed) hold.act({ kind: 'continue' });
      if (phase.name === 'dwell' && phase.timeDone) hold.act({ kind: 'inspected' });
    }
    return view();
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
