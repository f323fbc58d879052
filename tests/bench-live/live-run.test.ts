import { describe, expect, it } from 'vitest';
import { HoldRun, LiveRun } from '../../src/bench/index.js';
import type { LiveRunOptions } from '../../src/bench/live-run.js';
import { Judgement } from '../../src/evaluation/index.js';
import { type GaugeDriver, type GaugeItem, ItemQueue, pressurePa } from '../../src/gauge/index.js';
import type { HoldInput } from '../../src/holdtest/index.js';
import type { TestWriter } from '../../src/record/index.js';
import { DwellmarkError } from '../../src/units/index.js';
import { quickPlan } from './quick-plan.js';

const plan = quickPlan('attended');

/** A gauge whose readings the test hands out, and that knows when it was closed. */
class HandFed implements GaugeDriver {
  readonly queue = new ItemQueue();
  closed = 0;
  #timeUs = 0;

  async open() {
    return { driver: 'hand', source: 'by hand', unit: 'bar', channels: { opposite: false, oil: false } };
  }

  items(): AsyncIterable<GaugeItem> {
    return this.queue;
  }

  async close(): Promise<void> {
    this.closed += 1;
    this.queue.end();
  }

  show(...bars: number[]): void {
    for (const bar of bars) {
      this.#timeUs += 100_000;
      const reading = {
        timeUs: this.#timeUs,
        pressurePa: pressurePa(bar * 1e5),
        oppositePa: null,
        oilK: null,
        flags: 0,
      };
      this.queue.push({ kind: 'reading', reading });
    }
  }
}

function bench(options: Partial<LiveRunOptions> = {}, writer: TestWriter | null = null) {
  const gauge = new HandFed();
  const inputs: HoldInput[] = [];
  const hold = new HoldRun(new Judgement(plan), writer, ({ input }) => inputs.push(input));
  const live = new LiveRun({ driver: gauge, hold, endWhenDone: false, giveUpAfterS: null, ...options });
  return { gauge, hold, live, inputs };
}

const soon = () => new Promise((go) => setTimeout(go, 20));

describe('a run at the bench', () => {
  it('ends when it is told to, even when the gauge gives nothing, and closes the gauge', async () => {
    const { gauge, live, inputs } = bench();
    const run = live.run();
    live.end('complete');
    expect(await run).toEqual({ why: 'complete', gaugeFailure: null });
    expect(gauge.closed).toBeGreaterThan(0);
    expect(inputs.at(-1)).toMatchObject({ kind: 'end', why: 'complete' });
  });

  it('after a stop under pressure still watches the bleed-down, then ends as stopped', async () => {
    const { gauge, live, hold } = bench();
    const run = live.run();
    live.act({ kind: 'continue' });
    gauge.show(...Array(15).fill(0), 10, 20, 30);
    await soon();
    expect(hold.state.phase.name).toBe('ramp');
    live.act({ kind: 'stop', reason: 'hose weeps' });
    expect(hold.state.phase.name).toBe('bleed-down');
    gauge.show(20, ...Array(30).fill(0));
    expect((await run).why).toBe('stopped');
    expect(hold.result().ports[0]).toMatchObject({ verdict: 'invalid', attempt: 1 });
    expect(hold.result().ports[1]).toMatchObject({ verdict: 'inconclusive', attempt: 0 });
  });

  it('puts what a person does after the readings that came before it', async () => {
    const { gauge, live, inputs } = bench();
    const run = live.run();
    gauge.show(0, 0);
    await soon();
    live.act({ kind: 'note', text: 'a note' });
    gauge.show(0);
    await soon();
    live.end('complete');
    await run;
    expect(inputs.map(({ kind }) => kind)).toEqual(['reading', 'reading', 'operator', 'reading', 'end']);
    const times = inputs.map((input) =>
      input.kind === 'reading' ? input.reading.timeUs : 'timeUs' in input ? input.timeUs : 0,
    );
    expect(times[2]).toBeGreaterThanOrEqual(times[1] ?? 0);
  });

  it('gives up a gauge that falls silent where nobody stands, and says so', async () => {
    const { gauge, live } = bench({ giveUpAfterS: 1 });
    const run = live.run();
    gauge.show(0);
    const end = await run;
    expect(end.why).toBe('interrupted');
    expect(end.gaugeFailure).toMatch(/^no reading for \d s$/);
  });

  it('is interrupted, not lost, when a driver throws', async () => {
    const { live, hold } = bench({
      driver: {
        open: async () => ({ driver: 'x', source: 'x', unit: 'bar', channels: { opposite: false, oil: false } }),
        // biome-ignore lint/correctness/useYield: it fails before it gives anything
        async *items() {
          throw new Error('cable on fire');
        },
        close: async () => {},
      },
    });
    expect(await live.run()).toEqual({ why: 'interrupted', gaugeFailure: 'the driver failed: cable on fire' });
    expect(hold.result().verdict).toBe('inconclusive');
  });

  it('is over at once when the record takes nothing any more: nothing goes on unrecorded', async () => {
    const full = new DwellmarkError('refused', 'the disk is full');
    const writer = {
      append: () => {
        throw full;
      },
      flush: () => {},
    } as unknown as TestWriter;
    const { gauge, live } = bench({}, writer);
    const run = live.run();
    gauge.show(0);
    await expect(run).rejects.toBe(full);
    expect(gauge.closed).toBeGreaterThan(0);
  });
});
