import type { LevelRun, OpenLevel } from './stroke-state.js';

/** A fall counts as sudden within this time of the top, s. */
const suddenUs = 2e6;
/** Means kept of one level; beyond, neighbours are joined. */
const cellsKept = 64;
const firstCellUs = 500_000;
/** A tooth rises at least so many times longer than it falls. */
const slowerRise = 2;

/** A level that begins with its first reading, `reached` by then. */
export const freshLevel = (us: number, pa: number, reached: OpenLevel['reached'] = { pa, us }): OpenLevel => ({
  topPa: pa,
  topUs: us,
  reached,
  lowPa: pa,
  fellPa: 0,
  teeth: 0,
  zigzag: { up: true, pa, us, fromUs: us, legBeforeUs: 0 },
  cells: [],
  cellUs: firstCellUs,
  open: null,
});

/**
 * A level with one more reading at or below its top.
 * @param stepPa what counts as a turn of the pressure, clear of the noise
 */
export function heldOn(level: OpenLevel, us: number, pa: number, stepPa: number): OpenLevel {
  const lowPa = Math.min(level.lowPa, pa);
  const fellPa = us - level.topUs <= suddenUs ? level.topPa - lowPa : level.fellPa;
  return { ...level, lowPa, fellPa, ...turned(level, us, pa, stepPa), ...celled(level, us, pa) };
}

function turned(level: OpenLevel, us: number, pa: number, stepPa: number): Pick<OpenLevel, 'zigzag' | 'teeth'> {
  const { zigzag, teeth } = level;
  const further = zigzag.up ? pa >= zigzag.pa : pa <= zigzag.pa;
  if (further) return { teeth, zigzag: { ...zigzag, pa, us } };
  if (Math.abs(pa - zigzag.pa) < stepPa) return { teeth, zigzag };
  const legUs = zigzag.us - zigzag.fromUs;
  const tooth = !zigzag.up && zigzag.legBeforeUs >= slowerRise * legUs;
  return {
    teeth: tooth ? teeth + 1 : teeth,
    zigzag: { up: !zigzag.up, pa, us, fromUs: zigzag.us, legBeforeUs: legUs },
  };
}

function celled(
  { cells, cellUs, open }: OpenLevel,
  us: number,
  pa: number,
): Pick<OpenLevel, 'cells' | 'cellUs' | 'open'> {
  if (!open || us - open.startUs < cellUs)
    return {
      cells,
      cellUs,
      open: open ? { startUs: open.startUs, sumPa: open.sumPa + pa, n: open.n + 1 } : { startUs: us, sumPa: pa, n: 1 },
    };
  const all = [...cells, open.sumPa / open.n];
  const fresh = { startUs: us, sumPa: pa, n: 1 };
  if (all.length < cellsKept) return { cells: all, cellUs, open: fresh };
  const joined = all.flatMap((cell, i) => (i % 2 === 1 ? [(cell + (all[i - 1] ?? cell)) / 2] : []));
  return { cells: joined, cellUs: 2 * cellUs, open: fresh };
}

/** The level as it stands when it ends. Null when it never lasted for two means. */
export function runOf(level: OpenLevel, toUs: number): LevelRun | null {
  const { cells } = level;
  if (cells.length < 2) return null;
  const sorted = cells.toSorted((a, b) => a - b);
  const middle = Math.floor(cells.length / 2);
  const mean = (part: readonly number[]): number => part.reduce((sum, pa) => sum + pa, 0) / part.length;
  return {
    fromUs: level.topUs,
    reached: level.reached,
    toUs,
    topPa: level.topPa,
    fellPa: level.fellPa,
    teeth: level.teeth,
    levelPa: sorted[middle] ?? level.topPa,
    halvesPa: [mean(cells.slice(0, middle)), mean(cells.slice(middle))],
  };
}
