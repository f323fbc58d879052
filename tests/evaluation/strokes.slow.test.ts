import { describe, expect, it } from 'vitest';
import { Agreement, type OnStrokes, strokeRun } from './stroke-ensemble.js';

const seeds = Number(process.env.DWELLMARK_STROKE_SEEDS ?? 20);
const first = Number(process.env.DWELLMARK_STROKE_FIRST_SEED ?? 1);
/** Stated at 95 %; with so few strokes, three of one cylinder alike, less by chance. */
const enough = 0.9;

interface Found {
  strokes: number;
  truly: number;
  /** Saw-teeth seen where the piston slipped, and where it did not. */
  slipsSeen: number;
  slipsImagined: number;
  readonly breakAway: Agreement;
  readonly running: Agreement;
  readonly amplitude: Agreement;
}

async function foundIn(what: OnStrokes, changes?: Parameters<typeof strokeRun>[2]): Promise<Found> {
  const found: Found = {
    strokes: 0,
    truly: 0,
    slipsSeen: 0,
    slipsImagined: 0,
    breakAway: new Agreement(),
    running: new Agreement(),
    amplitude: new Agreement(),
  };
  for (let seed = first; seed < first + seeds; seed++) {
    const { port, truth } = await strokeRun(what, seed, changes);
    found.truly += truth.filter(({ breakAwayPa }) => breakAwayPa !== null).length;
    for (const stroke of port.strokes ?? []) {
      found.strokes += 1;
      const real = truth.find(({ fromUs, endUs }) => stroke.startUs >= fromUs && stroke.startUs <= endUs);
      if (!real) throw new Error('a stroke was seen when none was made');
      found.breakAway.add(stroke.breakAwayPa, stroke.breakAwayUncertaintyPa, real.breakAwayPa);
      found.running.add(stroke.runningPa, stroke.runningUncertaintyPa, real.runningPa);
      if (stroke.stickSlip.seen !== 'yes') continue;
      if (real.slips === 0) found.slipsImagined += 1;
      else found.slipsSeen += 1;
      found.amplitude.add(stroke.stickSlip.amplitudePa, stroke.stickSlip.amplitudeUncertaintyPa, real.slipPa);
    }
  }
  process.stderr.write(
    `${what}: ${found.strokes} of ${found.truly} strokes; break-away ${shown(found.breakAway)}, running ${shown(found.running)}, amplitude ${shown(found.amplitude)}; stick-slip ${found.slipsSeen} right, ${found.slipsImagined} imagined\n`,
  );
  return found;
}

const shown = ({ within, of }: Agreement): string => `${within} of ${of} within`;

describe(`${seeds} cylinders drawn by chance, three slow strokes each, either port`, () => {
  it('without stick-slip: seen, within the stated uncertainty, and none imagined', async () => {
    const found = await foundIn('smooth');
    expect(found.strokes).toBeGreaterThanOrEqual(0.9 * found.truly);
    expect(found.breakAway.share).toBeGreaterThanOrEqual(enough);
    expect(found.running.share).toBeGreaterThanOrEqual(enough);
    expect(found.slipsImagined).toBeLessThanOrEqual(0.02 * found.strokes);
  });

  it('with stick-slip: seen as such, its height within the stated uncertainty', async () => {
    const found = await foundIn('sticking');
    expect(found.strokes).toBeGreaterThanOrEqual(0.95 * found.truly);
    expect(found.slipsSeen).toBeGreaterThanOrEqual(0.9 * found.strokes);
    expect(found.breakAway.share).toBeGreaterThanOrEqual(enough);
    expect(found.amplitude.share).toBeGreaterThanOrEqual(enough);
  });

  it('let go half way, or gone on into the test: seen all the same', async () => {
    const half = await foundIn('smooth', { script: { letGoAt: 0.5, count: 1 } });
    expect(half.strokes).toBeGreaterThanOrEqual(0.85 * half.truly);
    const into = await foundIn('smooth', { script: { intoTest: true, count: 1 } });
    expect(into.strokes).toBeGreaterThanOrEqual(0.85 * into.truly);
  });

  it.each(['shut valve', 'no cylinder', 'at its stop'] as const)('%s: nothing is reported', async (what) =>
    expect((await foundIn(what)).strokes).toBe(0),
  );
});
