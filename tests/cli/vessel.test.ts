import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { readJob } from '../../src/procedure/index.js';
import { DwellmarkError } from '../../src/units/index.js';
import { chance } from '../procedure/seeded.js';
import { dwellmark } from './command-line.js';

const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-vessel-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const job = `work_order = "WO-61"
customer = "Tarn Quarry Plant"
procedure = "cylinder-proof"
[gauge]
serial = "SN 1"
range = "0..400 bar"
resolution = "0.01 bar"
accuracy = "0.1 %FS"
[cylinder]
kind = "vessel"
serial = "MB-12"
model = "manifold block"
volume = "0.35 L"
rated_pressure = "160 bar"
parts = ["body", "plugs 1 to 6", "cartridge seats A and B"]
[fluid]
bulk_modulus = "1.5 GPa"
expansion = "7.0e-4 /K"
[[port]]
name = "A"
line_volume = "0.05 L"
line_stiffness = "1000 GPa"
`;
const file = (name: string, text: string): string => {
  const where = path.join(folder, name);
  writeFileSync(where, text);
  return where;
};

describe('a vessel', () => {
  it('is planned by its stated volume: oil, stiffness and parts, and no piston', async () => {
    const { out, code, err } = await dwellmark('plan', file('plan.toml', job), '--json');
    expect(code, err).toBe(0);
    const { figures, cautions } = JSON.parse(out);
    const [port] = figures.ports;
    // By hand, V p / K: 0.4 L x 240 bar / 1.5 GPa = 6.40 mL.
    expect(port.oilM3 * 1e6).toBeCloseTo(6.4, 1);
    expect(port).toMatchObject({
      position: 'no piston',
      rodForceN: 0,
      thrustOn: null,
      oppositePa: null,
      covers: ['body', 'plugs 1 to 6', 'cartridge seats A and B'],
      notCovered: [],
    });
    expect(port.remarks.join(' ')).toContain('behind a closed spool');
    expect(JSON.stringify(cautions)).not.toContain('open port');
    const shown = await dwellmark('plan', path.join(folder, 'plan.toml'));
    expect(shown.out).not.toMatch(/piston (?:extended|no piston)|port B|gland/);
  });

  it.each([
    ['tight', 0, 'pass', 0],
    ['leaking 0.3 mL/min', 0.3, 'fail', 1],
  ])('%s is judged on a log of its pressure', async (_, leakMlPerMin, verdict, exit) => {
    const seed = Math.floor(Math.random() * 2 ** 31);
    process.stdout.write(`vessel: seed ${seed}\n`);
    const { normal } = chance(seed);
    // Physics of this test's own: rise in 60 s, then Q K / V; 0.3 mL/min of 0.4 L at 1.5 GPa is 11.25 bar/min.
    const fall = (leakMlPerMin / 60) * 1e-6 * (1.5e9 / 0.4e-3) * 1e-5;
    const rows = Array.from({ length: 4800 }, (_, index) => {
      const s = index / 10;
      const level =
        s < 20
          ? 0
          : s < 80
            ? 4.05 * (s - 20)
            : s < 450
              ? 243 - fall * (s - 80)
              : Math.max(0, 243 - fall * 370 - 60 * (s - 450));
      return `${s.toFixed(1)},${(level + 0.005 * normal()).toFixed(2)}`;
    });
    const log = file('log.csv', `time_s,pressure_bar\n${rows.join('\n')}\n`);
    const args = [
      'import',
      log,
      '--job',
      file('job.toml', job),
      '--no-store',
      '--inspected',
      '--technician',
      'R. Sand',
    ];
    const { code, out, err } = await dwellmark(...args, '--json');
    expect(code, err + out.slice(0, 2000)).toBe(exit);
    const [port] = JSON.parse(out).ports;
    expect(port).toMatchObject({
      verdict,
      position: 'no piston',
      covers: ['body', 'plugs 1 to 6', 'cartridge seats A and B'],
    });
    const [stage] = port.stages;
    const [leak, u] = [stage.leakM3PerS * 6e7, stage.leakUncertaintyM3PerS * 6e7];
    expect(Math.abs(leak - leakMlPerMin)).toBeLessThanOrEqual(Math.max(u, 0.02));
    expect(JSON.stringify(port)).not.toMatch(/gland|rod seal|piston seal/);
    const shown = await dwellmark(...args);
    expect(shown.out).toContain('Port A (vessel)');
  });

  it.each([
    ['model = "manifold block"', 'model = "hose assembly"', 'cylinder.model', 'stretches and creeps'],
    ['"plugs 1 to 6"', '"bladder accumulator"', 'cylinder.parts', 'hides a leak'],
    ['kind = "vessel"', 'kind = "hose"', 'cylinder.kind', 'looks like a leak'],
    ['kind = "vessel"', 'kind = "accumulator"', 'cylinder.kind', 'pressure vessels'],
    ['volume = "0.35 L"\n', '', 'cylinder.volume', '"volume" is missing'],
    [/^parts.*\n/m, '', 'cylinder.parts', '"parts" is missing'],
    ['volume = "0.35 L"', 'volume = "0.35 L"\nbore = "40 mm"', 'cylinder.bore', 'a vessel has no "bore"'],
    ['name = "A"', 'name = "B"', 'port[1].name', 'pressed up at port A only'],
    ['name = "A"', 'name = "A"\nposition = "extended"', 'port[1].position', 'no piston'],
    ['name = "A"', 'name = "A"\nopposite = "blocked"', 'port[1].opposite', 'no other port'],
    [
      'kind = "vessel"',
      'kind = "plunger"\nbore = "40 mm"\nstroke = "100 mm"',
      'cylinder.volume',
      'belongs to a vessel',
    ],
  ] as const)('%s as %s is refused', (from, to, key, said) => {
    const read = (): unknown => readJob(job.replace(from, to), { file: 'job.toml' });
    expect(read).toThrow(DwellmarkError);
    expect(read).toThrow(said);
    try {
      read();
    } catch (error) {
      expect((error as DwellmarkError).place).toMatchObject({ file: 'job.toml', key });
    }
  });

  it('has no limit by bore', async () => {
    const { code, err } = await dwellmark(
      'plan',
      file('bore.toml', job.replace('cylinder-proof', 'collected-by-bore')),
    );
    if (code === 2) expect(err).toContain('a vessel has none');
    else expect(code).toBe(0);
  });

  it('gets a paper that names volume and parts, and no piston', async () => {
    const shop = path.join(folder, 'shop');
    expect((await dwellmark('init', '--yes', '--shop', shop)).code).toBe(0);
    const log = path.join(folder, 'log.csv');
    const stored = await dwellmark('import', log, '--job', path.join(folder, 'job.toml'), '--shop', shop, '--json');
    const { test } = JSON.parse(stored.out) as { test: string };
    const paper = path.join(folder, 'paper.pdf');
    const { code, err } = await dwellmark('certificate', test, '--draft', '-o', paper, '--shop', shop);
    expect(code, err).toBe(0);
    expect(readFileSync(paper).subarray(0, 8).toString()).toBe('%PDF-1.7');
    expect((await dwellmark('verify', test, '--shop', shop)).code).toBe(0);
  });
});
