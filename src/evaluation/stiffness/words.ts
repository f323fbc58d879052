import type { PortPlan } from '../../procedure/index.js';
import type { StiffnessFinding } from '../result.js';
import type { ExpectedRise } from './check-stiffness.js';
import type { SolidOil } from './oil-taken.js';

const percent = (share: number): string => `${(share * 100).toFixed(share < 0.1 ? 1 : 0)} %`;

const knownBy: Readonly<Record<SolidOil['knownBy'], string>> = {
  measured: 'as measured',
  strokes: "by the booster's strokes",
  steps: 'by the strokes that the rise shows',
  flow: "by the pump's flow and the time of the rise",
};

/** How much went in and how much is needed, both up to the last target. */
function oilFigures(port: PortPlan, expected: ExpectedRise, seen: SolidOil): string {
  const targetPa = port.stages.at(-1)?.targetPa ?? 0;
  const most = seen.mostM3PerPa * targetPa;
  const [quick, slow] = [expected.quickM3PerPa * targetPa, expected.slowM3PerPa * targetPa];
  return `${knownBy[seen.knownBy]} the rise takes {volume:${most}} of oil to {pressure:${targetPa}}, where the cylinder needs {volume:${quick}} pumped quickly to {volume:${slow}} slowly`;
}

/** Less oil than the cylinder needs. */
export function stiffWords(port: PortPlan, expected: ExpectedRise, seen: SolidOil, finding: StiffnessFinding): string {
  const figures = oilFigures(port, expected, seen);
  const targetPa = port.stages.at(-1)?.targetPa ?? 0;
  const line = expected.line === null ? null : `{volume:${expected.line.m3PerPa * targetPa}}`;
  if (line === null) return `${figures}: a shut valve, no cylinder on the hose, or another volume`;
  switch (finding) {
    case 'less than the line':
      return `${figures}, and the hose alone ${line}: not even the hose was joined to the gauge, a valve is shut before it`;
    case 'line alone':
      return `${figures}, and the hose alone ${line}: only the hose was pressed; the valve at the cylinder is shut, or no cylinder is on the hose (pressure and oil are the same for both)`;
    case 'smaller volume':
      return `${figures}, and the hose alone ${line}: another volume than the job says, such as a piston at the other end or another cylinder`;
    default:
      return `${figures}, but the hose alone takes ${line}, too close to tell whether the cylinder was joined to the gauge`;
  }
}

/** Trapped air over its limit. */
export function airWords(port: PortPlan, share: number, limit: number): string {
  const { volumeM3 } = port.trapped;
  return `the rise is bowed as by ${percent(share)} of free air ({volume:${share * volumeM3}} of {volume:${volumeM3}}, where ${percent(limit)} is allowed): purge and try again`;
}

/** Enough oil, or too much of it. */
export function oilWords(
  port: PortPlan,
  expected: ExpectedRise,
  seen: SolidOil,
  finding: 'cylinder' | 'more oil',
  detectable: number | null,
): string {
  const figures = oilFigures(port, expected, seen);
  if (finding === 'cylinder') return `${figures}; ${bowWords(detectable)}`;
  const air = detectable === null ? 'trapped air, ' : '';
  return `${figures}: ${air}a soft hose, a leak, a piston that is not bottomed, or oil that passes it into a shut-off volume`;
}

/** The pump delivered more than the cylinder needs, as it does on its relief valve. */
export const flowAtMostWords = (
  port: PortPlan,
  expected: ExpectedRise,
  seen: SolidOil,
  detectable: number | null,
): string =>
  `${oilFigures(port, expected, seen)}, at the most: what a pump delivers may leave over its relief valve, so the readings do not show by themselves that the gauge was joined to the cylinder; ${bowWords(detectable)}`;

/** How much oil went in is not known. */
export const notKnownWords = (detectable: number | null): string =>
  `how much oil the rise took is not known, so the readings do not show by themselves that the gauge was joined to the cylinder; ${bowWords(detectable)}`;

/** What the bow of the rise, or its absence, can say. */
const bowWords = (detectable: number | null): string =>
  detectable === null
    ? 'the readings do not show the beginning of the rise well enough to see trapped air'
    : `at a steady flow ${percent(Math.ceil(detectable * 1000) / 1000)} of free air or more would have bowed it, and it is not`;
