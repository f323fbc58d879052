import { describe, expect, it } from 'vitest';
import { HoldRun, type RunNews } from '../../../src/bench/index.js';
import { benchScreen } from '../../../src/cli/screen/bench-screen.js';
import { BenchMemory, type BenchView } from '../../../src/cli/screen/bench-view.js';
import { frameText } from '../../../src/cli/screen/paint-line.js';
import { eventLines } from '../../../src/cli/screen/plain-report.js';
import { Judgement } from '../../../src/evaluation/index.js';
import { faultAt, faultEffects, type GaugeFaultCode, pressurePa, type Reading } from '../../../src/gauge/index.js';
import type { HoldEventCode } from '../../../src/holdtest/index.js';
import type { TestPlan } from '../../../src/procedure/index.js';
import { unitSystems } from '../../../src/units/index.js';
import { quickPlan } from '../../bench-live/quick-plan.js';

const quick = quickPlan('attended', 30);
/** The same, with a low-pressure band that must not be overshot and a level that must be kept. */
const strict: TestPlan = {
  ...quick,
  ports: quick.ports.map((port) => ({
    ...port,
    stages: port.stages.map((stage) => ({
      ...stage,
      voidAbovePa: pressurePa(62.5e5),
      neverBelowPa: pressurePa(59.5e5),
    })),
  })),
};
const header = {
  test: 'T-2026-0007',
  customer: 'Lower Weir Farm',
  cylinder: { serial: 'LW-77' },
  technician: 'R. Sand',
  origin: 'live',
} as BenchView['header'];

/** A test fed reading by reading at 10 Hz, with what its screen shows after each. */
class Shown {
  readonly #plan: TestPlan;
  readonly #memory = new BenchMemory();
  readonly hold: HoldRun;

  /** The screen, the bell and the plain lines with the very input that raised the first alarm of a rule. */
  readonly firstSeen = new Map<HoldEventCode, { screen: string; rung: boolean; lines: string }>();
  #timeUs = 0;

  constructor(plan: TestPlan = quick) {
    this.#plan = plan;
    this.hold = new HoldRun(new Judgement(plan), null, (news) => this.#tell(news));
  }

  show(...bars: readonly (number | null)[]): this {
    for (const bar of bars) this.#reading({ pressurePa: bar === null ? null : pressurePa(bar * 1e5) });
    return this;
  }

  opposite(bar: number, other: number): this {
    return this.#reading({ pressurePa: pressurePa(bar * 1e5), oppositePa: pressurePa(other * 1e5) });
  }

  silentFor(seconds: number): this {
    this.#timeUs += seconds * 1e6;
    return this;
  }

  fault(code: GaugeFaultCode): this {
    this.hold.take({ kind: 'fault', fault: faultAt(this.#timeUs + 1, code, `the gauge did this: ${code}`) });
    return this;
  }

  /** Vented, and pumped up to 60 bar, or to where it is said. */
  up(toBar = 60): this {
    this.show(...Array(15).fill(0));
    this.hold.act({ kind: 'continue' });
    return this.show(...Array(15).fill(0), ...Array.from({ length: toBar + 1 }, (_, bar) => bar));
  }

  /** Settled, into the dwell at 61 bar. */
  dwell(): this {
    this.up().show(...Array(60).fill(61));
    expect(this.hold.state.phase.name).toBe('dwell');
    return this;
  }

  get screen(): string {
    const view: BenchView = {
      ...this.#memory.shown,
      header,
      plan: this.#plan,
      system: unitSystems.bar,
      state: this.hold.state,
      early: this.hold.early(),
      stages: this.hold.stages,
      strokes: this.hold.strokes,
      result: null,
      mode: 'bench',
      flash: false,
      bell: true,
    };
    const frame = benchScreen(view, { columns: 80, rows: 24 }, { colour: true, unicode: true });
    return frameText(frame).join('\n').replaceAll('\u00a0', ' ');
  }

  #tell(news: RunNews): void {
    this.#memory.take(news);
    const rung = this.#memory.heard() === 'alarm';
    for (const { code } of news.state.alarms)
      if (!this.firstSeen.has(code))
        this.firstSeen.set(code, { screen: this.screen, rung, lines: eventLines(news, unitSystems.bar).join('\n') });
  }

  #reading(change: Partial<Reading>): this {
    this.#timeUs += 100_000;
    this.hold.take({
      kind: 'reading',
      reading: { timeUs: this.#timeUs, pressurePa: null, oppositePa: null, oilK: null, flags: 0, ...change },
    });
    return this;
  }
}

const voiding = (Object.keys(faultEffects) as GaugeFaultCode[]).filter((code) => faultEffects[code] === 'void');
const milder = (Object.keys(faultEffects) as GaugeFaultCode[]).filter((code) => faultEffects[code] !== 'void');

/** Every rule of the phases that raises an alarm, and the inputs after which it must stand on the screen. */
const rules: readonly (readonly [HoldEventCode, (shown: Shown) => Shown, string])[] = [
  ['overpressure', (shown) => shown.dwell().show(65, 65), 'is above the limit of 63.6 bar. Stop pumping.'],
  ['opposite-pressure', (shown) => shown.dwell().opposite(61, 30), '30.0 bar at the other port'],
  ['pressure-lost', (shown) => shown.dwell().show(20), 'Dwell void: the pressure fell to 20.0 bar'],
  [
    'data-gap',
    (shown) => shown.dwell().silentFor(3).show(61),
    'The dwell counts for nothing: no reading for 3.1 s. Another one begins.',
  ],
  ['topped-up', (shown) => shown.dwell().show(...Array(20).fill(61), ...Array(31).fill(61.6)), 'as if topped up'],
  [
    'valve-moved',
    (shown) => shown.dwell().show(...Array(30).fill(61), ...Array(91).fill(60)),
    'as if a valve was moved',
  ],
  [
    'zero-out-of-tolerance',
    (shown) => {
      shown.show(...Array(15).fill(0.6));
      shown.hold.act({ kind: 'continue' });
      return shown.show(...Array(15).fill(0.6), 10);
    },
    'The vented gauge reads 0.600 bar, outside its zero tolerance',
  ],
  [
    'external-leak',
    (shown) => {
      shown.dwell().hold.act({ kind: 'observation', observation: { point: 'tie rods', amount: 'run' } });
      return shown;
    },
    'Oil outside at the tie rods: run',
  ],
  [
    'stopped',
    (shown) => {
      shown.dwell().hold.act({ kind: 'stop', reason: 'hose weeps' });
      return shown;
    },
    'Stopped by the operator: hose weeps',
  ],
  [
    'interrupted',
    (shown) => {
      shown.dwell().hold.end('interrupted');
      return shown;
    },
    'The test was cut off: the program or the power went.',
  ],
];

/** Rules of procedures that have a low-pressure band or a level to keep, and a way to the same alarm elsewhere. */
const strictRules: typeof rules = [
  ['low-stage-void', (shown) => shown.up(55).show(63), 'this low-pressure stage starts again from zero'],
  [
    'low-stage-void',
    (shown) => shown.up().show(...Array(10).fill(60), 63),
    'bleed to zero, this low-pressure stage starts again',
  ],
  ['below-test-pressure', (shown) => shown.dwell().show(59.4), 'is below the test pressure that must be kept'],
  ['pressure-lost', (shown) => shown.up().show(...Array(10).fill(60), 20), 'before it had settled'],
];

/** Each rule with a way to raise it. */
const raised = [
  ...rules.map(([code, until, text]) => ({ code, text, raise: () => until(new Shown()) })),
  ...strictRules.map(([code, until, text]) => ({ code, text, raise: () => until(new Shown(strict)) })),
];
/** Each fault of the gauge with the dwell that it voids. */
const faulted = voiding.map((code) => ({ code, raise: () => new Shown().dwell().fault(code) }));

describe('an alarm at the bench', () => {
  it.each(raised)(
    'of the rule $code is on the screen with the input that raises it, and rings',
    ({ code, text, raise }) => {
      const seen = raise().firstSeen.get(code);
      expect(seen?.screen).toMatch(/ ALARM( \(\d\))? {2}/);
      expect(seen?.screen.replace(/\s+/g, ' ')).toContain(text);
      expect(seen?.screen).toContain('a acknowledge');
      expect(seen?.lines).toContain('ALARM');
      expect(seen?.rung).toBe(true);
    },
  );

  it.each(voiding)('of the gauge fault %s is there at once, in the dwell and before it', (code) => {
    for (const shown of [new Shown().dwell(), new Shown().show(0, 0, 0)]) {
      shown.fault(code);
      expect(shown.screen).toMatch(/ ALARM/);
      expect(shown.screen.replace(/\s+/g, ' ')).toContain(`the gauge did this: ${code}`);
    }
  });

  it.each(milder)('is not raised by %s, which is told among the events', (code) => {
    const shown = new Shown().dwell().fault(code);
    expect(shown.screen).not.toContain('ALARM');
    expect(shown.screen).toContain(`the gauge did this: ${code}`);
  });

  it.each([...raised, ...faulted])(
    '$code stays through readings, bleed-down and the next port until acknowledged',
    ({ code, raise }) => {
      const shown = raise();
      const over = shown.hold.state.phase.name === 'done';
      const standing = shown.hold.state.alarms.length;
      for (const bar of [40, 40, 0, 0, 0, 0]) {
        shown.show(...Array(10).fill(bar));
        expect(shown.screen).toMatch(/ ALARM/);
        expect(shown.hold.state.alarms.length).toBeGreaterThanOrEqual(standing);
      }
      if (!over) expect(shown.hold.state.phase.name).not.toBe('dwell');
      shown.hold.act({ kind: 'acknowledge' });
      expect(shown.screen).not.toContain('ALARM');
      shown.hold.end('stopped');
      const kept = shown.hold.result().ports.flatMap((port) => port.events.map((event) => event.code as string));
      expect(kept).toContain(Object.hasOwn(faultEffects, code) ? 'gauge-fault' : code);
    },
  );

  it('shows the newest in full, and how many stand before it', () => {
    const shown = new Shown().dwell().show(65, 65).fault('silent');
    expect(shown.screen).toContain('ALARM (2)');
    expect(shown.screen.replace(/\s+/g, ' ')).toContain(
      'The dwell counts for nothing: the gauge did this: silent. Another one begins.',
    );
  });
});
