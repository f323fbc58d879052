import { beforeAll, describe, expect, it } from 'vitest';
import { begin, press } from '../../../../src/cli/screen/dialogue.js';
import { lineWidth } from '../../../../src/cli/screen/frame.js';
import { frameText } from '../../../../src/cli/screen/paint-line.js';
import { goToDialogue, secondsOf } from '../../../../src/cli/screen/replay/go-to.js';
import { Player } from '../../../../src/cli/screen/replay/player.js';
import { type ReplayView, replayScreen } from '../../../../src/cli/screen/replay/replay-screen.js';
import { makeTape, phaseMarks, type Tape } from '../../../../src/cli/screen/replay/tape.js';
import type { HoldInput } from '../../../../src/holdtest/index.js';
import type { TestPlan } from '../../../../src/procedure/index.js';
import type { TestHeader } from '../../../../src/record/index.js';
import { pressureDifferencePa, unitSystems } from '../../../../src/units/index.js';
import { showTest } from '../shown.js';

let tape: Tape;
let stricter: TestPlan;
/** What the live screen showed at the end of each phase, by the number of inputs so far. */
const live = new Map<number, string>();

const { bar } = unitSystems;
const wide = { columns: 120, rows: 40 };
const terms = { colour: true, unicode: true };

/** The same plan, but only 0.1 bar of decay is allowed. */
function stricterThan(plan: TestPlan): TestPlan {
  const ports = plan.ports.map((port) => ({
    ...port,
    stages: port.stages.map((stage) => ({
      ...stage,
      allowed: [{ kind: 'drop' as const, dropPa: pressureDifferencePa(1e4), source: 'a stricter customer' }],
    })),
  }));
  return { ...plan, procedure: { ...plan.procedure, id: 'stricter', revision: '2' }, ports };
}

beforeAll(async () => {
  const inputs: HoldInput[] = [];
  let plan: TestPlan | undefined;
  await showTest(
    { leakMlPerMin: 0.02, dwellS: 20 },
    ({ view }) => {
      plan ??= view().plan;
    },
    'bar',
    ({ input, state }) => {
      inputs.push(input);
      if (inputs.length % 150 === 0) live.set(inputs.length, JSON.stringify(state));
    },
  );
  if (!plan) throw new Error('no plan');
  const header = {
    test: 'T-2026-0007',
    customer: 'Lower Weir Farm',
    cylinder: { serial: 'LW-77' },
    technician: 'R. Sand',
    origin: 'simulated',
    plan,
    benchCheck: null,
  } as unknown as TestHeader;
  tape = makeTape(header, inputs);
  stricter = stricterThan(plan);
});

const screenOf = (player: Player, size = wide): string => {
  const view: ReplayView = {
    own: player.view(bar),
    beside: player.viewBeside(bar),
    besideName: 'stricter, revision 2',
    at: player.at,
    speed: player.speed,
    paused: player.paused,
    marksS: tape.marks.map(({ timeUs }) => (timeUs - tape.startUs) / 1e6),
    comparison: 'Recomputed: the same as stored, to the last bit.',
  };
  const frame = replayScreen(view, size, terms);
  expect(frame.lines).toHaveLength(size.rows);
  for (const line of frame.lines) expect(lineWidth(line)).toBeLessThanOrEqual(size.columns);
  return frameText(frame).join('\n').replaceAll('\u00a0', ' ');
};

describe('a replay', () => {
  it('stands at each input as the live test did, forwards and after stepping back', () => {
    const player = new Player(tape, { speed: 10 });
    expect(live.size).toBeGreaterThan(5);
    const counts = [...live.keys()];
    for (const count of [...counts, ...counts.toReversed()]) {
      player.toIndex(count - 1);
      expect(JSON.stringify(player.view(bar).state)).toBe(live.get(count));
    }
  });

  it('goes at its speed, stands still when told to, and stops at the end with the result of the tape', () => {
    const player = new Player(tape, { speed: 4 });
    player.advance(2.5);
    expect(player.at.s).toBeCloseTo(10, 6);
    player.pause();
    player.advance(60);
    expect(player.at.s).toBeCloseTo(10, 6);
    player.pause();
    player.changeSpeed(1);
    expect(player.speed).toBe(5);
    player.changeSpeed(-1);
    player.changeSpeed(-1);
    expect(player.speed).toBe(1);
    player.advance(1e5);
    expect(player).toMatchObject({ atEnd: true, paused: true });
    expect(player.view(bar).result).toEqual(tape.result);
  });

  it('steps from event to event, there and back', () => {
    const player = new Player(tape, { speed: 1 });
    const indices = [...new Set(tape.marks.map(({ index }) => index))];
    const there = indices.map(() => {
      player.nextEvent();
      return player.view(bar).events.at(-1)?.text;
    });
    expect(there.every((text) => text !== undefined)).toBe(true);
    const back = indices.slice(1).map(() => {
      player.previousEvent();
      return player.view(bar).events.at(-1)?.text;
    });
    expect(back).toEqual(there.slice(0, -1).toReversed());
    player.previousEvent();
    expect(player).toMatchObject({ at: { s: 0 }, paused: true });
  });

  it('goes to a phase of a port, or to a time', () => {
    const player = new Player(tape, { speed: 1 });
    const phases = phaseMarks(tape).filter(({ port }) => port === 'B');
    const names = phases.map(({ phase }) => phase);
    expect(names).toEqual(expect.arrayContaining(['ramp', 'stabilise', 'dwell', 'bleed-down']));
    const dialogue = goToDialogue(tape);
    const typed = (keys: string) => {
      let now = begin(dialogue);
      for (const char of keys)
        if ('open' in now) now = press(now.open, { name: char === '\n' ? 'return' : char, ctrl: false, text: char });
      if (!('outcome' in now)) throw new Error(`still asking after ${keys}`);
      return now.outcome;
    };
    const where = typed(`2${names.indexOf('dwell') + 1}`);
    if (!('index' in where)) throw new Error('a phase has an index');
    player.toIndex(where.index);
    expect(player.view(bar).state).toMatchObject({ portIndex: 1, phase: { name: 'dwell' } });
    expect(typed('3nonsense\n0:20\n')).toEqual({ s: 20 });
    player.toTime(20);
    expect(player.at.s).toBeCloseTo(20, 6);
  });

  it.each([
    ['4:30', 270],
    ['270', 270],
    ['1:02:03', 3723],
    ['12,5', 12.5],
    ['4:75', null],
    ['soon', null],
  ])('reads the time %s', (text, s) => {
    expect(secondsOf(text)).toBe(s);
  });
});

describe('the screen of a replay', () => {
  it('is the screen of the bench, with where it stands below it', () => {
    const player = new Player(tape, { speed: 10 });
    player.toIndex(tape.marks.find(({ phase }) => phase === 'dwell')?.index ?? 0);
    player.advance(1);
    const shown = screenOf(player, { columns: 80, rows: 24 });
    for (const fact of ['DWELL', 'target  60.0 bar', 'STANDING', 'Space go, stand', '← → event', 'g go to', 'replay'])
      expect(shown).toContain(fact);
    expect(shown).not.toContain('i inspected');
  });

  it.each([wide, { columns: 80, rows: 24 }])('judges by another procedure beside the original, at %o', (size) => {
    const player = new Player(tape, { speed: 10, other: stricter });
    player.toIndex(tape.marks.find(({ phase, port }) => phase === 'bleed-down' && port === 'A')?.index ?? 0);
    player.toTime(player.at.s - 2);
    const shown = screenOf(player, size);
    expect(shown).toMatch(
      /PASS LIKELY[\s\S]*Beside it, by stricter, revision 2; the original stands[\s\S]*(CERTAIN TO FAIL|FAIL LIKELY|CANNOT TELL YET)/,
    );
    player.toIndex(tape.inputs.length - 1);
    const end = screenOf(player, size);
    expect(end.match(/Port [AB]: {2}PASS/g)).toHaveLength(2);
    expect(end).toMatch(/Port [AB]: {2}(FAIL|INCONCLUSIVE)/);
    expect(end).toContain('quick-hold, revision 1: the original');
    expect(end).toContain('Recomputed: the same as stored, to the last bit.');
    const reason = player.viewBeside(bar)?.result?.ports[0]?.reason ?? '';
    expect(end.replace(/\s+/g, ' ')).toContain(reason.split(/[,;{]/)[0] ?? '-');
    expect(player.view(bar).result).toEqual(tape.result);
  });
});
