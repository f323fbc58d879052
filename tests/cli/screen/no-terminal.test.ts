import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { prepare, readShop } from '../../../src/bench/index.js';
import { run } from '../../../src/cli/commands/test.js';
import { preparationPages } from '../../../src/cli/screen/preparation.js';
import { keepShift, shiftGoingOn } from '../../../src/cli/screen/shift.js';
import { unitSystems } from '../../../src/units/index.js';
import { writeQuickShop } from '../../bench-live/quick-bench.js';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-plain-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const job = (device = '/dev/null') => writeQuickShop(folder, device, { dwellS: 10, attended: false, ports: ['A'] });

describe('dwellmark test where there is no terminal', () => {
  it('asks nothing: it says which option is missing, and records nothing', async () => {
    await expect(run(job(), { shop: folder })).rejects.toMatchObject({
      code: 'usage',
      advice: expect.stringContaining('--unattended'),
    });
    expect(readdirSync(folder)).not.toContain('record.db');
  });

  it('refuses a plan that says stop, unless somebody overrules it by name', async () => {
    const impossible = job();
    writeFileSync(impossible, readFileSync(impossible, 'utf8').replace('"40 bar"', '"90 bar"'));
    await expect(run(impossible, { shop: folder, unattended: true })).rejects.toMatchObject({
      code: 'refused',
      message: expect.stringContaining('gauge-range'),
    });
    await expect(run(impossible, { shop: folder, unattended: true, overrule: 'trial' })).rejects.toMatchObject({
      code: 'usage',
      advice: 'Give it with --technician NAME.',
    });
  });

  it('leaves no test behind when the gauge is not there', async () => {
    await expect(run(job('/dev/no-such-port'), { shop: folder, unattended: true })).rejects.toMatchObject({
      code: 'gauge',
      message: 'there is no serial port /dev/no-such-port',
    });
    await expect(run(undefined, { shop: folder, resume: true, unattended: true })).resolves.toBeUndefined();
  });

  it('wants a job, or --resume', async () => {
    await expect(run(undefined, {})).rejects.toMatchObject({ code: 'usage', message: 'which job?' });
  });
});

describe('who tests', () => {
  const technician = (nowMs: number) => shiftGoingOn(folder, nowMs)?.technician ?? null;

  it('is kept for a shift of twelve hours, and no longer', () => {
    keepShift(folder, 'R. Sand', [], 1_000);
    keepShift(folder, 'R. Sand', [], 1_000 + 11 * 3_600_000);
    expect(technician(1_000 + 11.9 * 3_600_000)).toBe('R. Sand');
    expect(technician(1_000 + 12.1 * 3_600_000)).toBeNull();
    expect(technician(0)).toBeNull();
  });

  it('is asked again when the file is gone or damaged', () => {
    expect(technician(0)).toBeNull();
    writeFileSync(path.join(folder, '.dwellmark-shift.json'), '{"technician":');
    expect(technician(0)).toBeNull();
  });
});

describe('preparation', () => {
  const shown = (before: readonly string[]) => {
    const jobFile = writeQuickShop(folder, '/dev/no-such-port', { dwellS: 4, attended: true, ports: ['A'] });
    const shop = readShop(path.join(folder, 'dwellmark.toml'));
    const prepared = prepare({ jobFile, shop, attendance: 'attended', on: '2026-03-14' });
    const pages = preparationPages(prepared, unitSystems.bar, 80, before);
    return pages.map(({ title, lines }) => ({
      title,
      text: lines
        .flat()
        .map(({ text }) => text)
        .join(' '),
    }));
  };
  const caution = 'Nobody in line with the rod, the plugs or the hose ends.';

  it('is in full for the first test of a shift and short afterwards, and what was not read yet is shown', () => {
    const full = shown([]);
    expect(full.map(({ title }) => title)).toEqual([
      'What the plan says of this test',
      'Take care',
      'Before the first pressure',
    ]);
    expect(full[1]?.text).toContain(caution);
    keepShift(folder, 'R. Sand', [caution], 5_000);
    const short = shown(shiftGoingOn(folder, 6_000)?.read ?? []);
    expect(short.map(({ title }) => title)).toEqual(['What the plan says of this test', 'Before the first pressure']);
    const [plan = { text: '' }, steps = { text: '' }] = short;
    expect(plan.text).not.toContain(' note ');
    expect(steps.text).not.toContain(caution);
    expect(steps.text).toContain('Cautions as you read them in this shift: 1.');
    expect(steps.text).toContain('Your local codes and licensed practice come first.');
    expect(steps.text).toContain('Purge: three slow full strokes at low pressure.');
  });

  it('is in full for somebody else', () => {
    keepShift(folder, 'R. Sand', [caution], 5_000);
    keepShift(folder, 'M. Aldous', ['another'], 6_000);
    expect(shiftGoingOn(folder, 7_000)).toEqual({ technician: 'M. Aldous', read: ['another'], atMs: 6_000 });
  });
});
