import { describe, expect, it } from 'vitest';
import { beginHold, type HoldInput, promptFor, step } from '../../src/holdtest/index.js';
import { pressurePa } from '../../src/units/index.js';
import { act, codes, dwells, fullDwell, mix, outcomes, run } from './run-hold.js';
import { samplePlan, samplePort, sampleStage } from './sample-plan.js';
import { asInputs, drawTrace, type Leg } from './sample-trace.js';

/** The last rise is at 52.9 s: the dwell of 120 s is over at 172.9 s. */
const up: readonly Leg[] = [
  { s: 5, toBar: 0 },
  { s: 48, toBar: 242 },
];
const [beganS, overS] = [52.9, 172.9];
const down: readonly Leg[] = [
  { s: 8, toBar: 0 },
  { s: 15, toBar: 0 },
];
const inputsOf = (...legs: readonly Leg[]): HoldInput[] => asInputs(drawTrace([...up, ...legs]));
const unattended = (...legs: readonly Leg[]) => run(samplePlan(), inputsOf(...legs));
const attended = samplePlan({ attendance: 'attended' });

describe('a hold that nobody stands at', () => {
  it.each([
    { what: 'let go at once after its time', heldS: 121 },
    { what: 'left for ten minutes more', heldS: 720 },
  ])('$what is watched until then, and its dwell ends with its time', ({ heldS }) => {
    const ran = unattended({ s: heldS, toBar: 241.5 }, ...down);
    expect(outcomes(ran)).toEqual([fullDwell({ tail: 'released' })]);
    expect(dwells(ran)[0]).toMatchObject({ beganS, endS: overS });
    expect(ran.phases).toEqual(['ready', 'ramp', 'stabilise', 'dwell', 'bleed-down', 'done']);
    const bleedDown = ran.effects.find((e) => e.kind === 'event' && e.event.phase === 'bleed-down');
    expect(bleedDown?.kind === 'event' && bleedDown.event.timeUs / 1e6).toBeCloseTo(53 + heldS + 4, 0);
  });

  it('whose readings end under pressure belongs to the dwell up to there', () => {
    expect(outcomes(unattended({ s: 400, toBar: 241 }))).toEqual([fullDwell({ tail: 'all' })]);
    expect(outcomes(unattended({ s: 400, toBar: 241 }, { s: 2, toBar: 180 }))).toEqual([
      fullDwell({ tail: 'released' }),
    ]);
  });

  it.each<{ what: string; legs?: readonly Leg[]; gone?: boolean; fault?: boolean }>([
    {
      what: 'a rise',
      legs: [
        { s: 200, toBar: 241.8 },
        { s: 1, toBar: 244 },
        { s: 60, toBar: 244 },
      ],
    },
    { what: 'a gap', gone: true },
    { what: 'a fault', fault: true },
  ])('is not spoilt by $what after its time, but nothing after it belongs to the hold', ({ legs, gone, fault }) => {
    const drawn = drawTrace([...up, ...(legs ?? [{ s: 260, toBar: 241.8 }]), ...down]);
    const readings = gone ? drawn.filter(({ timeUs }) => timeUs < 200e6 || timeUs > 215e6) : drawn;
    const inputs = mix(
      asInputs(readings),
      ...(fault
        ? [
            {
              kind: 'fault',
              fault: { timeUs: 220e6, code: 'unplugged', text: 'The cable was pulled.', effect: 'void' },
            } satisfies HoldInput,
          ]
        : []),
    );
    const ran = run(samplePlan(), inputs);
    expect(outcomes(ran)).toEqual([fullDwell({ tail: 'none' })]);
    expect(dwells(ran)[0]).toMatchObject({ beganS, endS: overS });
    expect(ran.effects.some((e) => e.kind === 'event' && e.event.grade === 'void')).toBe(false);
    const told = ran.effects.flatMap((e) => (e.kind === 'event' && e.event.grade === 'warn' ? [e.event.text] : []));
    expect(told[0]).toMatch(/^After the demanded time, so the dwell stands: /);
  });

  it.each<[string, HoldInput]>([
    ['stopped', act(230, { kind: 'stop', reason: 'shift is over' })],
    ['ended', act(230, { kind: 'end-dwell', reason: 'shift is over' })],
    ['forced to bleed down', act(230, { kind: 'force', to: 'bleed-down', reason: 'shift is over' })],
    ['looked at', act(230, { kind: 'inspected' })],
    ['cut off', { kind: 'end', timeUs: 230e6, why: 'interrupted' }],
  ])('has run in full when it is %s after its time', (_how, input) => {
    const before = inputsOf({ s: 170, toBar: 241.8 }).slice(0, -1);
    const ran = run(samplePlan(), mix(before, input));
    expect(outcomes(ran)).toEqual([fullDwell({ tail: 'all' })]);
    expect(dwells(ran)[0]).toMatchObject({ endS: overS });
  });

  it('may fall below the pressure that must be kept once it is let go, and not before', () => {
    const stage = sampleStage({ neverBelowPa: pressurePa(230e5) });
    const plan = samplePlan({ ports: [samplePort({ stages: [stage] })] });
    const kept = run(plan, inputsOf({ s: 150, toBar: 241.8 }, ...down));
    expect(codes(kept)).not.toContain('below-test-pressure');
    expect(outcomes(kept)).toEqual([fullDwell()]);
    expect(codes(run(plan, inputsOf({ s: 119, toBar: 225 }, { s: 60, toBar: 225 }, ...down)))).toContain(
      'below-test-pressure',
    );
  });

  it('goes on to the next stage at once when its time is over', () => {
    const low = sampleStage({ name: 'low' });
    const plan = samplePlan({ ports: [samplePort({ stages: [low, sampleStage({ targetPa: pressurePa(260e5) })] })] });
    const ran = run(plan, inputsOf({ s: 300, toBar: 241.8 }));
    expect(ran.phases).toEqual(['ready', 'ramp', 'stabilise', 'dwell', 'ramp', 'done']);
    expect(outcomes(ran)[0]).toEqual(fullDwell({ tail: 'all' }));
    expect(dwells(ran)[0]?.endS).toBeCloseTo(overS, 6);
  });

  it('is asked to be bled down, and no inspection is waited for', () => {
    const plan = samplePlan();
    const later = inputsOf({ s: 170, toBar: 241.8 })
      .slice(0, -1)
      .reduce((state, input) => step(plan, state, input).state, beginHold(1));
    expect(later.phase).toMatchObject({ name: 'dwell', timeDone: true });
    expect(promptFor(plan, later).text).toBe(
      'The time is over. Bleed down slowly at the bench valve; until then the hold is watched.',
    );
  });
});

describe('a hold that somebody stands at', () => {
  it('is void when the pressure is let go before the inspection is confirmed, also after its time', () => {
    const ran = run(attended, inputsOf({ s: 200, toBar: 241.8 }, ...down));
    expect(outcomes(ran)).toEqual([
      { kind: 'voided', reason: expect.stringContaining('let go'), lossCounts: true, released: true },
    ]);
  });

  it('is cut short by a stop after its time as before it', () => {
    const ran = run(attended, mix(inputsOf({ s: 200, toBar: 241.8 }), act(230, { kind: 'stop', reason: 'hose' })));
    expect(outcomes(ran)[0]).toMatchObject({ kind: 'cut short', reason: 'stopped: hose' });
  });
});

describe('a dwell that is void', () => {
  it.each<{ what: string; legs: readonly Leg[]; fault?: true; released: boolean; lossCounts: boolean }>([
    {
      what: 'a top-up',
      legs: [
        { s: 80, toBar: 241.9 },
        { s: 0.5, toBar: 243 },
        { s: 90, toBar: 242.9 },
      ],
      released: false,
      lossCounts: true,
    },
    { what: 'a release', legs: [{ s: 80, toBar: 241.9 }, ...down], released: true, lossCounts: true },
    {
      what: 'a fault of the gauge, with another dwell begun after it',
      legs: [{ s: 170, toBar: 241.9 }],
      fault: true,
      released: false,
      lossCounts: true,
    },
    {
      what: 'a fault of the gauge, with none begun after it',
      legs: [{ s: 110, toBar: 241.9 }],
      fault: true,
      released: false,
      lossCounts: false,
    },
  ])('by $what says whether what was lost before still counts', ({ legs, fault, released, lossCounts }) => {
    const pulled: HoldInput = {
      kind: 'fault',
      fault: { timeUs: 140e6, code: 'unplugged', text: 'The cable was pulled.', effect: 'void' },
    };
    const ran = run(samplePlan(), mix(inputsOf(...legs), ...(fault ? [pulled] : [])));
    expect(outcomes(ran)).toEqual([{ kind: 'voided', reason: expect.any(String), lossCounts, released }]);
  });

  it.each([
    { judge: 'leak', kinds: ['full'], began: 2 },
    { judge: 'plain drop', kinds: ['voided'], began: 1 },
  ] as const)('by a fault makes room for a whole one where "$judge" is judged: $kinds', ({ judge, kinds, began }) => {
    const plan = samplePlan({ ports: [samplePort({ stages: [sampleStage(judge === 'leak' ? {} : { judge })] })] });
    const pulled: HoldInput = {
      kind: 'fault',
      fault: { timeUs: 140e6, code: 'unplugged', text: 'The cable was pulled.', effect: 'void' },
    };
    const ran = run(plan, mix(inputsOf({ s: 400, toBar: 241.9 }, ...down), pulled));
    expect(outcomes(ran).map(({ kind }) => kind)).toEqual(kinds);
    const starts = ran.effects.flatMap((effect) => (effect.kind === 'dwell-began' ? [effect.startUs] : []));
    expect(starts).toHaveLength(began);
    if (began === 2) expect(starts[1]).toBeGreaterThan(140e6);
  });

  it.each([1, 2, 10])('by a top-up about the moment at which it begins begins again from there, at %d Hz', (hz) => {
    for (let afterS = 27; afterS <= 37; afterS += 0.5) {
      const topUp = [
        { s: afterS, toBar: 241.9 },
        { s: 1, toBar: 243.4 },
        { s: 240, toBar: 243.2 },
      ];
      const ran = run(samplePlan(), asInputs(drawTrace([...up, ...topUp, ...down], { hz })));
      expect(outcomes(ran)).toEqual([fullDwell({ tail: 'released' })]);
      const roseS = 53 + afterS;
      const [dwell] = dwells(ran);
      expect(dwell?.beganS, `topped up at ${roseS} s`).toBeGreaterThanOrEqual(roseS);
      expect(dwell?.beganS, `topped up at ${roseS} s`).toBeLessThanOrEqual(roseS + 5);
    }
  });

  it('by a gap keeps what was lost before', () => {
    const readings = drawTrace([...up, { s: 170, toBar: 241.8 }]).filter(
      ({ timeUs }) => timeUs < 120e6 || timeUs > 126e6,
    );
    expect(outcomes(run(samplePlan(), asInputs(readings)))).toEqual([
      { kind: 'voided', reason: expect.stringContaining('no reading for'), lossCounts: true, released: false },
    ]);
  });
});

describe('a valve moved in the dwell', () => {
  const moved = (bar: number): readonly Leg[] => [
    { s: 0.5, toBar: bar },
    { s: 20, toBar: bar - 0.02 },
  ];

  it('is an alarm and counted, and the dwell goes on to its end', () => {
    const once = unattended({ s: 50, toBar: 241.9 }, ...moved(239), { s: 80, toBar: 238.9 }, ...down);
    expect(outcomes(once)).toEqual([fullDwell({ suddenFalls: 1 })]);
    expect(once.effects).toContainEqual({
      kind: 'event',
      event: expect.objectContaining({ code: 'valve-moved', grade: 'alarm', phase: 'dwell' }),
    });
    const twice = unattended({ s: 50, toBar: 241.9 }, ...moved(239), ...moved(236), { s: 80, toBar: 235.9 }, ...down);
    expect(outcomes(twice)).toEqual([fullDwell({ suddenFalls: 2 })]);
  });

  it('is none when the fall goes on, nor after the time', () => {
    const leak = unattended({ s: 50, toBar: 241.9 }, { s: 100, toBar: 205 }, ...down);
    expect(outcomes(leak)).toEqual([fullDwell()]);
    expect(codes(leak)).not.toContain('valve-moved');
    const late = unattended({ s: 130, toBar: 241.8 }, ...moved(239), ...down);
    expect(outcomes(late)).toEqual([fullDwell()]);
    expect(codes(late)).not.toContain('valve-moved');
  });
});
