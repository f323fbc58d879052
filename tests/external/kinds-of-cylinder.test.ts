import { describe, expect, it } from 'vitest';
import type { PortFigures } from '../../src/procedure/plan/figures.js';
import { planned } from '../procedure/sample-job.js';

type Changes = NonNullable<Parameters<typeof planned>[0]>;
type Change = readonly [string, string];

function portOf(job: Changes['job'] = [], rest: Omit<Changes, 'job'> = {}): PortFigures {
  const [port] = planned({ job, ...rest }).figures.ports;
  if (!port) throw new Error('the plan has no port');
  return port;
}

/** Oil of 1.5 GPa at every pressure, with the density and heat of an ISO VG 46: 875 kg/m3, 1900 J/(kg K). */
const stated: Change = ['kind = "ISO VG 46"', 'kind = "ISO VG 46"\nbulk_modulus = "1.5 GPa"'];
const noLine: Change = ['line_volume = "0.4 L"\n', 'line_volume = "0 L"\n'];
const noBarrel: Change = ['barrel_outside = "120 mm"\n', ''];
const kind = (lines: string): Change => ['serial = "C-1042"', `serial = "C-1042"\n${lines}`];
const atB: Change = ['name = "A"\nposition = "extended"', 'name = "B"\nposition = "retracted"'];
const noOpposite: Change = ['opposite = "open"\n', ''];
const circle = (mm: number): number => (Math.PI / 4) * mm ** 2;

/**
 * Each kind with its formula, computed by hand: thrust area x 240 bar, oil of the whole stroke of 500 mm, and what bears
 * the thrust. Area in mm2, oil in mL.
 */
const kinds: readonly {
  readonly name: string;
  readonly job: readonly Change[];
  readonly areaMm2: number;
  readonly oilMl: number;
  readonly bears: PortFigures['thrustOn'];
}[] = [
  { name: 'double-acting at A: pi/4 D2', job: [], areaMm2: circle(100), oilMl: 3926.99, bears: 'head' },
  { name: 'double-acting at B: pi/4 (D2 - d2)', job: [atB], areaMm2: 5390.99, oilMl: 2695.49, bears: 'cap' },
  {
    name: 'double-rod: pi/4 (D2 - d2)',
    job: [kind('kind = "double-rod"')],
    areaMm2: 5390.99,
    oilMl: 2695.49,
    bears: 'head',
  },
  {
    name: 'single-acting: pi/4 D2',
    job: [kind('kind = "single-acting"')],
    areaMm2: circle(100),
    oilMl: 3926.99,
    bears: 'head',
  },
  {
    name: 'single-acting pull: pi/4 (D2 - d2), at B',
    job: [kind('kind = "single-acting pull"'), atB],
    areaMm2: 5390.99,
    oilMl: 2695.49,
    bears: 'cap',
  },
  {
    // A rod of 56 mm that is its own piston; oil stands around it in the barrel of 100 mm.
    name: 'plunger: pi/4 d2 for the thrust, the whole barrel for the oil',
    job: [kind('kind = "plunger"'), noOpposite],
    areaMm2: circle(56),
    oilMl: 3926.99,
    bears: 'end stops',
  },
  {
    // 100 mm over 300 mm and 80 mm over 200 mm: 2356.19 + 1005.31 mL; with equal strokes it would be 3220.13.
    name: 'telescopic: each stage its area times its own stroke',
    job: [
      kind('kind = "telescopic"\nstage_bores = ["100 mm", "80 mm"]\nstage_strokes = ["300 mm", "200 mm"]'),
      ['rod = "56 mm"\n', ''],
    ],
    areaMm2: circle(100),
    oilMl: 3361.5,
    bears: 'end stops',
  },
  {
    // Rings (100, 80) over 300 mm and (80, 56) over 200 mm: 848.23 + 512.71 mL.
    name: 'double-acting telescopic at B: each ring times its own stroke',
    job: [kind('kind = "telescopic"\nstage_bores = ["100 mm", "80 mm"]\nstage_strokes = ["300 mm", "200 mm"]'), atB],
    areaMm2: circle(100) - circle(80),
    oilMl: 1360.94,
    bears: 'cap',
  },
];

describe('kinds of cylinder, bore 100, rod 56, stroke 500 mm, 240 bar (computed)', () => {
  it.each(kinds)('$name', ({ job, areaMm2, oilMl, bears }) => {
    const port = portOf([...job, noLine, noBarrel]);
    expect(port.rodForceN).toBeCloseTo(areaMm2 * 24, -1);
    expect(port.trapped.volumeM3 * 1e6).toBeCloseTo(oilMl, 1);
    expect(port.fillM3).toBe(port.trapped.volumeM3);
    expect(port.thrustOn).toBe(bears);
  });

  it('telescopic at mid-stroke: the first stage has moved its 250 of 300 mm, pi/4 100 2 x 250 = 1963.50 mL', () => {
    const stages = kind('kind = "telescopic"\nstage_bores = ["100 mm", "80 mm"]\nstage_strokes = ["300 mm", "200 mm"]');
    const half: Change = ['"extended"', '"mid-stroke restrained"'];
    const port = portOf([stages, ['rod = "56 mm"\n', ''], half, noLine, noBarrel]);
    expect(port.trapped.volumeM3 * 1e6).toBeCloseTo(1963.5, 1);
  });

  it('double-acting telescopic at A: 100 over 80 makes 1/(1 - 0.8 2) = 2.778 times in the ring, 80 over 56 1.961 times', () => {
    const port = portOf([kind('kind = "telescopic"\nstage_bores = ["100 mm", "80 mm"]')]);
    expect((port.ringsPa ?? 0) / port.testPa).toBeCloseTo(2.778, 3);
  });
});

describe('oil, heat and strokes (100/56 x 500 mm, 1.5 GPa; computed)', () => {
  it('heat of compression falls by the stiffness of all together: 28.9 bar, and not the 31.1 bar of a rigid barrel', () => {
    // gamma2 T p K/(rho c) = (7e-4)2 x 293.15 x 240 bar x K/(875 x 1900); K = 1/(1/1.5 + 0.9076/17.71) GPa.
    const port = portOf([stated]);
    expect(port.heatFallPa / 1e5).toBeCloseTo(28.88, 1);
    const rigid = portOf([stated, noBarrel]);
    expect(rigid.heatFallPa / 1e5).toBeCloseTo(31.1, 1);
  });

  it("booster strokes from the pump's pressure on: 45, and not the 112 from zero", () => {
    // V/K dp: 65.45 mL to 250 bar, 26.18 mL from 150 bar on; 0.585 mL a stroke.
    const strokesOf = (pump: string) =>
      portOf([stated, noBarrel, noLine, ['relief = "250 bar"', `${pump}booster_stroke = "0.585 mL"`]], {
        procedure: [['"1.5 x rated"', '"250 bar"']],
      }).boosterStrokes;
    expect(strokesOf('')).toBe(112);
    expect(strokesOf('pump_pressure = "150 bar"\n')).toBe(45);
  });

  it('oil to pump by the secant, leak by the tangent: ISO VG 46 to 250 bar, 1.528 and 1.655 GPa', () => {
    // S = 1.5 + 5.6 x (250 - 200) bar; tangent S (S - p)/S0 with S0 = 1.5 GPa - 5.6 x 200 bar. V p/S = 64.25 mL.
    const port = portOf([noBarrel, noLine, ['0..400', '0..600']], { procedure: [['"1.5 x rated"', '"250 bar"']] });
    expect(port.oilM3 * 1e6).toBeCloseTo(64.25, 1);
    expect(port.trapped.bulkModulusPa / 1e9).toBeCloseTo(1.655, 3);
  });

  it('chamber and line of 4.327 L fill in 2 min 10 s at 2 L/min', () => {
    const port = portOf([['relief = "250 bar"', 'relief = "250 bar"\npump_flow = "2 L/min"']]);
    expect(port.fillM3 * 1e3).toBeCloseTo(4.327, 3);
    expect(port.fillS).toBeCloseTo(129.8, 1);
  });

  it('2 L/min would raise 3.927 L of 1.5 GPa by 127 bar/s: more than 10 bar/s, so the pump works on its relief valve', () => {
    // K/V Q = 1.5e9/3.92699e-3 x 2e-3/60 Pa/s.
    const pumped: Change = ['relief = "250 bar"', 'relief = "250 bar"\npump_flow = "2 L/min"'];
    const { plan, findings } = planned({ job: [stated, noBarrel, noLine, pumped] });
    expect(plan.ports[0]?.stiffness.flowAtMost).toBe(true);
    expect(findings.find(({ code }) => code === 'pump-on-relief')?.text).toContain('{rate:12730000}');
    const slow: Change = ['relief = "250 bar"', 'relief = "250 bar"\npump_flow = "100 mL/min"'];
    const direct = planned({ job: [stated, noBarrel, noLine, slow] });
    expect(direct.plan.ports[0]?.stiffness.flowAtMost).toBeUndefined();
    expect(direct.findings.some(({ code }) => code === 'pump-on-relief')).toBe(false);
  });
});

describe('what a kind can not do (computed: geometry)', () => {
  const refused = (job: readonly Change[]) => () => planned({ job: [...job] });
  const stages = 'kind = "telescopic"\nstage_bores = ["100 mm", "80 mm"]';

  it.each<[string, readonly Change[], RegExp]>([
    [
      'a push cylinder at B',
      [kind('kind = "single-acting"'), atB],
      /single-acting cylinder is pressed up at port A only/,
    ],
    [
      'a pull cylinder at A',
      [kind('kind = "single-acting pull"')],
      /single-acting pull cylinder is pressed up at port B/,
    ],
    [
      'a pull cylinder without a rod',
      [kind('kind = "single-acting pull"'), atB, ['rod = "56 mm"\n', '']],
      /"rod" is missing/,
    ],
    [
      'a pull cylinder with its breather closed',
      [kind('kind = "single-acting pull"'), atB, ['opposite = "open"', 'opposite = "blocked"']],
      /stays open: bypass shows there/,
    ],
    ['stage strokes without stages', [kind('stage_strokes = ["250 mm", "250 mm"]')], /has no stages/],
    ['a stroke too few', [kind(`${stages}\nstage_strokes = ["500 mm"]`)], /each stage bore needs one stage stroke/],
    [
      'strokes that do not add up',
      [kind(`${stages}\nstage_strokes = ["300 mm", "250 mm"]`)],
      /do not add up to the stroke \(stroke 500 mm; stage_strokes 300 mm, 250 mm\)/,
    ],
    ['a stroke below zero', [kind(`${stages}\nstage_strokes = ["600 mm", "-100 mm"]`)], /stage stroke|more than zero/],
  ])('%s is refused', (_, job, message) => expect(refused(job)).toThrow(message));

  it('a push cylinder at B is told how a pull cylinder is written', () => {
    try {
      planned({ job: [kind('kind = "single-acting"'), atB] });
    } catch (error) {
      expect((error as { advice?: string }).advice).toContain('kind = "single-acting pull"');
      return;
    }
    throw new Error('not refused');
  });

  it('a pull cylinder loads the rod end, and says nothing of the cap', () => {
    const port = portOf([kind('kind = "single-acting pull"'), atB]);
    expect(port.covers).toContain('rod seal');
    expect(port.notCovered).toEqual(['cap']);
    expect(port.remarks.join(' ')).toContain('breather or drain');
  });

  it('retract rings above their rating are a stop with port B open, until somebody says that their oil can leave', () => {
    const rings = (more: string, rated = '160 bar') =>
      planned({
        job: [
          kind(`${stages}\nend_stops = "by the maker"${more}`),
          ['rated_pressure = "160 bar"', `rated_pressure = "${rated}"`],
        ],
        procedure: [['"1.5 x rated"', '"150 bar"']],
      }).findings.find(({ code }) => code === 'retract-rings');
    expect(rings('')).toMatchObject({ grade: 'stop', text: expect.stringContaining('also with port B open') });
    expect(rings('\nretract_passages = "stay open: drawing 12"')).toMatchObject({
      grade: 'note',
      text: expect.stringContaining('by: stay open: drawing 12'),
    });
    // 150 bar x 2.778 = 416.7 bar.
    expect(rings('', '417 bar')?.grade).toBe('note');
  });
});
