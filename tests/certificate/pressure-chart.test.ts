import { expect, test } from 'vitest';
import { dwellCharts } from '../../src/certificate/chart/dwell-charts.js';
import { thinOut } from '../../src/certificate/chart/thin-out.js';
import { traceChart } from '../../src/certificate/chart/trace-chart.js';
import { certificateContent } from '../../src/certificate/content/certificate-content.js';
import { pressureDifferencePa, pressurePa } from '../../src/units/index.js';
import { samplePass, sampleThreeStages } from './sample-content.js';

const same = (value: number): number => value;
const times = (count: number, stepUs: number): Float64Array =>
  Float64Array.from({ length: count }, (_, i) => i * stepUs);

test('thinning keeps every spike: a single reading of 99 among 100,000 zeros', () => {
  const values = new Float64Array(100_000);
  values[56_789] = 99;
  const points = thinOut(times(100_000, 100_000), values, 0, 1e10, 300, same, same);
  expect(points.length).toBeLessThanOrEqual(600);
  expect(Math.max(...points.map((point) => point.y))).toBe(99);
});

test('a gap in time and a reading without a value break the line', () => {
  const time = Float64Array.of(0, 1e5, 2e5, 3e5, 9e6, 9.1e6, 9.2e6, 9.3e6);
  const values = Float64Array.of(1, 2, 3, 4, 5, Number.NaN, 7, 8);
  const points = thinOut(time, values, 0, 1e7, 1000, same, same);
  expect(points.map((point) => point.y)).toEqual([1, 2, 3, 4, Number.NaN, 5, Number.NaN, 7, 8]);
});

test('few readings are all drawn', () => {
  const values = Float64Array.of(3, 1, 2);
  expect(thinOut(times(3, 1e6), values, 0, 2e6, 100, same, same).map((point) => point.y)).toEqual([3, 1, 2]);
});

const story = certificateContent(samplePass()).chart.story;

test('the trace runs from zero to zero with both ports in one scale and every line patterned', () => {
  const { data } = traceChart(story, 510);
  const [pressure, target, allowed, overpressure] = data.datasets;
  expect(Math.max(...(pressure?.data ?? []).map(({ y }) => y))).toBeGreaterThan(240);
  expect(pressure?.data[0]?.y).toBeCloseTo(0, 0);
  expect(pressure?.data.at(-1)?.y).toBeCloseTo(0, 0);
  const drawn = (set: typeof target): number[] => (set?.data ?? []).map(({ y }) => y).filter((y) => !Number.isNaN(y));
  expect(drawn(target)).toEqual([240, 240, 240, 240]);
  // 240.5 bar at the start, 4.8 bar allowed, and 0.11 bar by the oil that cooled.
  expect(drawn(allowed).map((y) => y.toFixed(1))).toEqual(['235.6', '235.6', '235.6', '235.6']);
  expect(allowed?.label).toBe('allowed decay, with heat and creep');
  expect(drawn(overpressure)).toHaveLength(4);
  const dashes = data.datasets.map((set) => JSON.stringify(set.borderDash));
  expect(new Set(dashes).size).toBe(dashes.length);
  expect(data.datasets.every((set) => set.pointRadius === 0)).toBe(true);
});

test('the fit falls by the stated rate, heat included, through the centre of the readings', () => {
  const [a] = dwellCharts(story, 250);
  const fit = a?.chart.data.datasets[1]?.data ?? [];
  expect(fit[0]?.x).toBe(0);
  expect((fit[0]?.y ?? 0) - (fit.at(-1)?.y ?? 0)).toBeCloseTo(0.3, 2);
});

test.each([
  { fell: 9.2, lost: 0.4, within: true },
  { fell: 4.6, lost: 5.3, within: false },
  { fell: 3.1, lost: 3.1, within: true },
])(
  'the readings end on that side of the limit on which the loss is: fell $fell bar, lost $lost',
  ({ fell, lost, within }) => {
    const input = samplePass();
    const ports = input.result.ports.map((port) => ({
      ...port,
      stages: port.stages.map((stage) => ({
        ...stage,
        endPa: pressurePa((stage.startPa ?? 0) - fell * 1e5),
        plainDropPa: pressureDifferencePa(fell * 1e5),
        dropPa: pressureDifferencePa(lost * 1e5),
      })),
    }));
    const { story } = certificateContent({ ...input, result: { ...input.result, ports } }).chart;
    const holds = story.spans.flatMap((span) => span.holds);
    expect(holds).toHaveLength(2);
    for (const [i, hold] of holds.entries())
      expect((ports[i]?.stages[0]?.endPa ?? 0) > (hold.limitPa ?? 0)).toBe(within);
  },
);

test('dwells of the same stage share one scale', () => {
  const charts = dwellCharts(certificateContent(sampleThreeStages()).chart.story, 160);
  const height = (label: string): number => {
    const scale = charts.find((chart) => chart.label === label)?.chart.options?.scales?.y;
    return Number(scale?.max) - Number(scale?.min);
  };
  expect(charts).toHaveLength(7);
  expect(height('Port A, attempt 2\u00a0· proof')).toBeCloseTo(height('Port B\u00a0· proof'), 9);
  expect(height('Port B\u00a0· proof')).not.toBeCloseTo(height('Port B\u00a0· low pressure'), 1);
});
