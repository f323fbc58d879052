import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { run } from '../../../src/cli/commands/test.js';
import { keepPerson, personOfShift } from '../../../src/cli/screen/shift.js';
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
  it('is kept for a shift of twelve hours, and no longer', () => {
    keepPerson(folder, 'R. Sand', 1_000);
    expect(personOfShift(folder, 1_000 + 11.9 * 3_600_000)).toBe('R. Sand');
    expect(personOfShift(folder, 1_000 + 12.1 * 3_600_000)).toBeNull();
    expect(personOfShift(folder, 0)).toBeNull();
  });

  it('is asked again when the file is gone or damaged', () => {
    expect(personOfShift(folder, 0)).toBeNull();
    writeFileSync(path.join(folder, '.dwellmark-shift.json'), '{"technician":');
    expect(personOfShift(folder, 0)).toBeNull();
  });
});
