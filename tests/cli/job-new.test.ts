import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { jobQuestions } from '../../src/bench/index.js';
import { jobOptions, optionOf } from '../../src/cli/program/job-options.js';
import { type Job, readJob } from '../../src/procedure/index.js';
import { chance } from '../procedure/seeded.js';
import { dwellmark } from './command-line.js';

let folder = '';
const jobs = (): readonly string[] =>
  readdirSync(folder).includes('jobs') ? readdirSync(path.join(folder, 'jobs')) : [];
const make = (...args: readonly string[]) => dwellmark('job', 'new', '--shop', folder, ...args);
const all: Readonly<Record<string, string>> = {
  serial: 'LW-77',
  work_order: 'WO-31',
  customer: 'Lower Weir Farm',
  bore: '63',
  rod: '36',
  stroke: '250',
  rated_pressure: '160',
};
const options = (answers: Readonly<Record<string, string>>): string[] =>
  Object.entries(answers).flatMap(([key, text]) => [optionOf(key), text]);
async function made(...args: readonly string[]): Promise<Job> {
  const { code, out, err } = await make(...args, '--yes', '--json');
  expect(err).not.toMatch(/^dwellmark:/m);
  expect(code).toBe(0);
  const { job: file } = JSON.parse(out) as { job: string };
  return readJob(readFileSync(file, 'utf8'), { file });
}

beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-job-new-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
beforeEach(() => {
  rmSync(path.join(folder, 'jobs'), { recursive: true, force: true });
  rmSync(path.join(folder, 'orders.csv'), { force: true });
  writeFileSync(
    path.join(folder, 'dwellmark.toml'),
    'name = "Harrow Fell Hydraulics"\n[[gauge]]\nserial = "SN 1"\nrange = "0..400 bar"\nresolution = "0.1 bar"\naccuracy = "0.25 %FS"\n',
  );
});

describe('job new', () => {
  it('has an option for every question, and no other', () => {
    expect(Object.keys(jobOptions).sort()).toEqual([...new Set(jobQuestions.map(({ key }) => key))].sort());
  });

  it('takes bare numbers in the units of the shop and proposes the rest', async () => {
    const job = await made(...options(all));
    expect(job.cylinder).toMatchObject({
      kind: 'double-acting',
      boreM: 0.063,
      rodM: expect.closeTo(0.036, 9),
      ratedPressurePa: 160e5,
    });
    expect(job).toMatchObject({ procedure: 'cylinder-proof', gauge: { kind: 'known', serial: 'SN 1' } });
    expect(job.ports).toEqual([
      { port: 'A', position: 'extended', opposite: 'open' },
      { port: 'B', position: 'retracted', opposite: 'open' },
    ]);
    expect(job.facts).toEqual({ purpose: 'as received' });
    expect(jobs()).toEqual(['WO-31-LW-77-as-received.toml']);
  });

  it('proposes the former job of that serial, but not its order, and after repair once it was received', async () => {
    const first = await made(
      ...options({
        ...all,
        condition: 'leaks at the gland',
        line_volume: '0.3 L',
        booster_stroke: '9',
        maker: 'Calder Rams',
      }),
      ...options({ seal_kit: 'SK 63/36', order: 'PO 1', torque: 'head, 450 N m, TW 12' }),
    );
    expect(first.facts.torques).toEqual([{ part: 'head', torque: '450 N m', tool: 'TW 12' }]);
    const second = await made('lw-77', '--work-order', 'WO-32', '--work-done', 'resealed');
    expect(second.cylinder).toEqual(first.cylinder);
    expect(second.ports).toEqual(first.ports);
    expect(second.bench).toEqual({ boosterStrokeM3: 9e-6 });
    expect(second).toMatchObject({ workOrder: 'WO-32', customer: 'Lower Weir Farm', condition: '' });
    expect(second.facts).toEqual({ purpose: 'after repair', workDone: 'resealed' });
    const another = await made(...options({ ...all, serial: 'LW-78' }));
    expect(another.bench).toEqual(first.bench);
    expect(another.cylinder.maker).toBe('');
  });

  it('reads the row of a list of orders, whatever its separator, and names columns that it does not know', async () => {
    writeFileSync(
      path.join(folder, 'orders.csv'),
      '\uFEFFWork order;Serial;Customer;Bore;Rod;Stroke;Rated pressure;Colour\nWO-40;TQ-1;"Tarn; Quarry";80 mm;56;300;160;red\nWO-40;TQ-2;Tarn;40;22;100;160;\n',
    );
    const { cylinder, customer, workOrder } = await made('TQ-1');
    expect([cylinder.boreM, cylinder.rodM, customer, workOrder]).toEqual([0.08, 0.056, 'Tarn; Quarry', 'WO-40']);
    const several = await make('WO-40', '--yes');
    expect([several.code, several.err]).toEqual([2, expect.stringContaining('Which cylinder of WO-40')]);
    expect(several.err).toContain('not used: Colour');
    const none = await make('WO-41', '--yes', '--orders', path.join(folder, 'orders.csv'));
    expect([none.code, none.err]).toEqual([2, expect.stringContaining('no row with work order or serial "WO-41"')]);
  });

  it('makes a vessel of its volume and parts, and a cylinder that oil pulls in', async () => {
    const { bore: _b, rod: _r, stroke: _s, ...others } = all;
    const vessel = await made(...options({ ...others, kind: 'vessel', volume: '0.35', parts: 'body, plugs 1 to 6' }));
    expect(vessel.cylinder).toMatchObject({ kind: 'vessel', volumeM3: 0.35e-3, parts: ['body', 'plugs 1 to 6'] });
    expect(vessel.ports).toEqual([{ port: 'A', position: 'no piston', opposite: 'open' }]);
    const again = await made('LW-77', '--work-order', 'WO-32');
    expect([again.cylinder, again.ports]).toEqual([vessel.cylinder, vessel.ports]);
    const pulled = await made(...options({ ...all, serial: 'P-1', kind: 'single-acting pull' }));
    expect(pulled.ports).toEqual([{ port: 'B', position: 'retracted', opposite: 'open' }]);
  });

  it.each([
    ['nothing to ask on', [], 'there is no terminal to ask on'],
    [
      'what is missing',
      ['--yes', '--serial', 'X'],
      '--work-order, --customer, --bore, --rod, --stroke, --rated-pressure',
    ],
    [
      'a rod as thick as the bore',
      [...options({ ...all, rod: '63' }), '--yes'],
      "--rod: The measures can't be: the rod is not thinner",
    ],
    ['a word for a length', [...options({ ...all, bore: 'wide' }), '--yes'], '--bore: "wide'],
    ['a negative stroke', [...options({ ...all, stroke: '-4' }), '--yes'], '--stroke: "-4" is not more than zero'],
    ['an unknown purpose', [...options({ ...all, purpose: 'warranty' }), '--yes'], 'One of: as received, after repair'],
    ['an unknown gauge', [...options({ ...all, gauge: 'SN 2' }), '--yes'], 'One of: SN 1'],
    ['one stage', [...options({ ...all, kind: 'telescopic', stage_bores: '100' }), '--yes'], 'at least two stages'],
    ['stages that grow', [...options({ ...all, kind: 'telescopic', stage_bores: '80 100' }), '--yes'], 'largest first'],
    ['a port that is not there', [...options({ ...all, kind: 'single-acting', ports: 'B' }), '--yes'], '--ports: "B"'],
    ['a control character', [...options({ ...all, customer: 'a\u001b[2J' }), '--yes'], 'control character'],
    ['a torque of pressure', [...options({ ...all, torque: 'head, 450 bar, TW' }), '--yes'], 'is not a torque'],
  ])('refuses %s and writes nothing', async (_, args, said) => {
    const { code, err } = await make(...args);
    expect(code).toBe(2);
    expect(err).toContain(said);
    expect(err.trim().split('\n').length).toBeLessThan(4);
    expect(jobs()).toEqual([]);
  });

  it('writes what was answered, whatever the cylinder, and proposes the same again', async () => {
    const seed = Math.floor(Math.random() * 2 ** 31);
    process.stdout.write(`random jobs: seed ${seed}\n`);
    const { between, uniform } = chance(seed);
    const one = <T>(from: readonly T[]): T => from[Math.floor(uniform() * from.length)] as T;
    for (let count = 0; count < 12; count += 1) {
      const kind = one(['double-acting', 'double-rod', 'single-acting', 'plunger', 'telescopic']);
      const bore = Math.round(between(30, 320));
      const stages = [bore, Math.round(bore * 0.8), Math.round(bore * 0.6)];
      const hasRod = kind === 'double-acting' || kind === 'double-rod' || (kind === 'telescopic' && uniform() < 0.5);
      const stand = one(['end of stroke', 'end of stroke, rod restrained', 'mid-stroke, rod restrained']);
      const line = Math.round(between(0, 900));
      const words = one(['"quoted" \\ back', 'Ångström & Søn', "it's = [x]", '#1; a,b', '- 5']);
      const job = await made(
        ...options({ ...all, serial: `R-${seed}-${count}`, kind, customer: words, position: stand }),
        ...options(kind === 'telescopic' ? { stage_bores: stages.join(one([' ', ',', '/'])) } : { bore: `${bore}` }),
        ...(hasRod ? ['--rod', `${Math.round(bore * 0.45)} mm`] : ['--rod', '']),
        ...options({ line_volume: `${line} mL`, stroke: `${Math.round(between(50, 2500))}` }),
      );
      expect(job.customer).toBe(words);
      expect(job.cylinder).toMatchObject({ kind, boreM: expect.closeTo(bore / 1000, 9) });
      expect(job.cylinder.rodM).toBeCloseTo(hasRod ? Math.round(bore * 0.45) / 1000 : 0, 9);
      expect(job.ports.map(({ port }) => port)).toEqual(
        kind === 'single-acting' || kind === 'plunger' || (kind === 'telescopic' && !hasRod) ? ['A'] : ['A', 'B'],
      );
      for (const { port, position, restrained, lineVolumeM3 } of job.ports) {
        const end = port === 'A' ? 'extended' : 'retracted';
        expect(position).toBe(stand.startsWith('mid') ? 'mid-stroke restrained' : end);
        expect(restrained).toBe(stand.includes('stroke, rod') && !stand.startsWith('mid') ? true : undefined);
        expect(lineVolumeM3).toBeCloseTo(line * 1e-6, 12);
      }
      const again = await made(job.cylinder.serial, '--work-order', 'WO-31', '--purpose', 'as received');
      expect({ ...again, facts: {} }).toEqual({ ...job, facts: {} });
    }
  });
});
