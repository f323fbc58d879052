import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { compareHolds, type HoldSide } from '../../src/audit/history/compare-holds.js';
import type { StageResult } from '../../src/evaluation/index.js';
import { dwellmark } from '../cli/command-line.js';
import { chance } from '../procedure/seeded.js';

const mlPerMin = 1e-6 / 60;

/** A hold as a bench with these figures reports it. Leaks in mL/min, standard uncertainties. */
function side(at: {
  readonly leak: number;
  readonly dropU: number;
  readonly pa?: number;
  readonly oilK?: number | null;
  readonly volumeRelU?: number;
  readonly stiffnessRelU?: number;
  readonly allowed?: number;
  readonly basis?: string;
}): HoldSide {
  const { leak, dropU, pa = 240e5, oilK = null, volumeRelU = 0.01, stiffnessRelU = 0.08, allowed = 0.5 } = at;
  const [volumeM3, bulkModulusPa] = [4e-3, 1.5e9];
  const perPa = volumeM3 / bulkModulusPa / 300;
  const dropPa = (leak * mlPerMin) / perPa;
  const stage = {
    name: 'proof',
    verdict: 'pass',
    startPa: pa + dropPa / 2,
    endPa: pa - dropPa / 2,
    dropPa,
    coverageFactor: 2,
    leakM3PerS: leak * mlPerMin,
    leakUncertaintyM3PerS: 2 * Math.hypot(dropU, leak * Math.hypot(volumeRelU, stiffnessRelU)) * mlPerMin,
    allowedDropPa: (allowed * mlPerMin) / perPa,
    budget: [{ of: 'leak', name: 'pressure drop', u: dropU * mlPerMin }],
  } as unknown as StageResult;
  return {
    stage,
    oilK,
    trapped: {
      volumeM3,
      volumeUM3: volumeRelU * volumeM3,
      bulkModulusPa,
      bulkModulusUPa: stiffnessRelU * bulkModulusPa,
      thermalPaPerK: 9e5,
      thermalUPaPerK: 1e5,
      basis: at.basis ?? 'chamber and lines',
    },
  };
}

const compared = (found: HoldSide, left: HoldSide) => {
  const made = compareHolds(found, left);
  if (made === null) throw new Error('not compared');
  return { ...made, difference: made.differenceM3PerS / mlPerMin, u: made.differenceUM3PerS / mlPerMin };
};

describe('a leak as found and as left', () => {
  it('says better, worse, the same, or that it can not tell', () => {
    const oilK = 303.15;
    const word = (found: number, left: number, dropU: number) =>
      compared(side({ leak: found, dropU, oilK }), side({ leak: left, dropU, oilK })).word;
    expect(word(2, 0.05, 0.02)).toBe('better');
    expect(word(0.05, 2, 0.02)).toBe('worse');
    expect(word(0.03, 0.02, 0.01)).toBe('same');
    expect(word(0.3, 0.25, 0.2)).toBe("can't tell");
  });

  it('takes volume and stiffness as common where both plans state the same, and the difference is sharper for it', () => {
    const [found, left] = [side({ leak: 2, dropU: 0.01, oilK: 300 }), side({ leak: 1.9, dropU: 0.01, oilK: 300 })];
    const other = side({ leak: 1.9, dropU: 0.01, oilK: 300, basis: 'another line' });
    // By hand: each leak has 8.06 % of V/K; apart they add to 2 x 0.0806 x hypot(2, 1.9) = 0.445 mL/min.
    expect(compared(found, other).u).toBeGreaterThan(0.445);
    expect(compared(found, left).u).toBeLessThan(0.25);
  });

  it('takes the leak as found to the pressure and the oil temperature of the hold as left', () => {
    const left = side({ leak: 0.1, dropU: 0.001, oilK: 300 });
    // Between a gap (3.0) and a hole (root 3): e to the mean of the logarithms, 3 ** 0.75.
    const at80 = compared(side({ leak: 1, dropU: 0.001, pa: 80e5, oilK: 300 }), left);
    expect(at80.foundM3PerS / mlPerMin).toBeCloseTo(3 ** 0.75, 2);
    // Oil 20 K warmer now: a gap leaks e to the 1.2 as much by its thinner oil, a hole the same.
    const warm = compared(side({ leak: 1, dropU: 0.001, oilK: 280 }), left);
    expect(warm.foundM3PerS / mlPerMin).toBeCloseTo(Math.exp(0.6), 3);
    const alike = compared(side({ leak: 1, dropU: 0.001, oilK: 300 }), left);
    expect(compared(side({ leak: 1, dropU: 0.001 }), left).u).toBeGreaterThan(2 * alike.u);
  });

  it('does not compare what has no leak, or can not be judged', () => {
    const good = side({ leak: 1, dropU: 0.1 });
    const invalid = { ...good, stage: { ...good.stage, verdict: 'invalid' } } as HoldSide;
    const none = { ...good, stage: { ...good.stage, leakM3PerS: null } } as HoldSide;
    expect([compareHolds(good, invalid), compareHolds(none, good)]).toEqual([null, null]);
  });

  it('covers the true difference in 95 of 100 of 1,000 pairs of holds drawn by chance', () => {
    const seed = Math.floor(Math.random() * 2 ** 31);
    process.stdout.write(`pairs as found and as left: seed ${seed}\n`);
    const { between, normal, uniform } = chance(seed);
    // An ISO VG 46 oil by Vogel's law through 46 mm2/s at 40 °C and 6.8 mm2/s at 100 °C (common practice, no source).
    const viscosity = (kelvin: number): number => {
      const [b, c] = [(Math.log(46 / 6.8) * (313.15 - 178) * (373.15 - 178)) / 60, 178];
      return 46 * Math.exp(b / (kelvin - c) - b / (313.15 - c));
    };
    let covered = 0;
    let told = 0;
    let improved = 0;
    for (let pair = 0; pair < 1000; pair += 1) {
      const isGap = uniform() < 0.5;
      const flow = (size: number, pa: number, kelvin: number): number =>
        isGap ? size * (pa / 240e5) * (viscosity(303.15) / viscosity(kelvin)) : size * Math.sqrt(pa / 240e5);
      const size = 10 ** between(-2, 1);
      const repaired = [0, between(0, 0.2), between(0.8, 1.25), between(1.25, 3)][Math.floor(uniform() * 4)] ?? 0;
      const [pf, pl] = [240e5 * between(0.9, 1.1), 240e5 * between(0.9, 1.1)];
      const measured = uniform() < 0.5;
      const tl = between(293, 308);
      const tf = measured ? between(293, 308) : tl + between(-7, 7);
      const [trueFound, trueLeft] = [flow(size, pf, tf), flow(size * repaired, pl, tl)];
      const [volumeRelU, stiffnessRelU] = [0.01, between(0.04, 0.1)];
      // What V/K really is, over what the plan says; one cylinder, one oil, two fillings.
      const oil = 1 + volumeRelU * normal() - stiffnessRelU * normal();
      const report = (leak: number, pa: number, oilK: number): HoldSide => {
        const dropU = 0.01 + 0.02 * uniform();
        const filled = oil * (1 + 1.5e9 * 0.003 * Math.abs(normal()) * (101_325 / (101_325 + pa) ** 2));
        return side({
          leak: leak / filled + dropU * normal(),
          dropU,
          pa,
          oilK: measured ? oilK + 0.5 * normal() : null,
          volumeRelU,
          stiffnessRelU,
        });
      };
      const made = compared(report(trueFound, pf, tf), report(trueLeft, pl, tl));
      const truth = trueLeft - flow(size, pl, tl);
      if (Math.abs(made.difference - truth) <= made.u) covered += 1;
      if (size > 0.5 && repaired < 0.2) {
        improved += 1;
        if (made.word === 'better') told += 1;
      }
    }
    process.stdout.write(`covered ${covered} of 1000; better told in ${told} of ${improved} repairs\n`);
    expect(covered).toBeGreaterThanOrEqual(940);
    expect(told / improved).toBeGreaterThan(0.95);
  });
});

const logs = path.resolve(import.meta.dirname, '../../sample-logs');
let folder = '';

describe('dwellmark compare', () => {
  beforeAll(async () => {
    folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-compare-'));
    const run = async (...args: readonly string[]) => {
      const said = await dwellmark(...args, '--shop', folder);
      expect([0, 1, 3], said.err).toContain(said.code);
    };
    await run('init', '--yes');
    const hold = async (log: string, purpose: string): Promise<void> => {
      const file = path.join(folder, `${log}.toml`);
      const text = readFileSync(path.join(logs, `${log}.job.toml`), 'utf8')
        .replace(
          /^procedure *= *"(.*)"/m,
          (_, name) => `purpose = "${purpose}"\nprocedure = "${path.join(logs, name)}"`,
        )
        .replace(/^serial *= "(?!HF).*"/m, 'serial = "TQ-77"');
      writeFileSync(file, text);
      await run('import', path.join(logs, `${log}.csv`), '--job', file, '--port', 'A', '--technician', 'R. Sand');
    };
    await hold('piston-seal', 'as received');
    await hold('tight', 'after repair');
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it('finds the last pair of a cylinder, tells what became of it, and sets one page', async () => {
    const file = path.join(folder, 'pair.pdf');
    const { code, out, err } = await dwellmark('compare', 'tq-77', '--shop', folder, '-o', file);
    expect(err).toBe('');
    expect(code).toBe(0);
    expect(out).toMatch(/as found {2}T-\d+-0001.*as received/);
    expect(out).toMatch(/as left {3}T-\d+-0002.*after repair/);
    expect(out).toMatch(/difference {2}−\d.*: BETTER/);
    expect(readFileSync(file).subarray(0, 8).toString()).toBe('%PDF-1.7');
    const again = await dwellmark('compare', 'tq-77', '--shop', folder, '-o', file);
    expect([again.code, again.err]).toEqual([2, expect.stringContaining('there is a file already')]);
    const [, year = ''] = /T-(\d+)-0001/.exec(out) ?? [];
    const turned = await dwellmark('compare', `t-${year}-2`, `t-${year}-1`, '--shop', folder, '--json');
    expect(JSON.parse(turned.out)).toMatchObject({
      stages: [{ compared: { word: 'worse' } }],
      notes: expect.arrayContaining(['The test named as found is the newer of the two.']),
    });
  });

  it.each([
    ['a cylinder that was never tested', ['NO-1'], 'there is no sealed test of a cylinder NO-1'],
    ['a test that is not there', ['T-2026-0099', 'T-2026-0098'], 'T-2026-0099'],
  ])('refuses %s', async (_, args, said) => {
    const { code, err } = await dwellmark('compare', ...args, '--shop', folder);
    expect(code).toBe(2);
    expect(err).toContain(said);
  });
});
