import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { dwellmark } from './command-line.js';

const sample = path.resolve(import.meta.dirname, '../../sample-logs/tight.job.toml');
let folder = '';
const plan = (job: string) => dwellmark('plan', job, '--shop', folder, '--json');
const cylinder = async (job: string): Promise<string> => {
  const { out, err } = await plan(job);
  expect(out, err).not.toBe('');
  return err;
};

beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-picked-'));
  mkdirSync(path.join(folder, 'jobs'));
  writeFileSync(path.join(folder, 'dwellmark.toml'), 'name = "Harrow Fell Hydraulics"\n');
  const text = readFileSync(sample, 'utf8');
  const job = (name: string, workOrder: string, serial: string) =>
    writeFileSync(
      path.join(folder, 'jobs', name),
      text
        .replace(/work_order *= *".*"/, `work_order = "${workOrder}"`)
        .replace('"TQ-3381"', `"${serial}"`)
        .replace('tight.procedure.toml', 'cylinder-proof'),
    );
  job('ram-12.toml', 'WO-2207', 'TQ-3381');
  job('ram-13.toml', 'WO-2208', 'TQ-3382');
  job('ram-14.toml', 'WO-2208', 'TQ-3383');
  writeFileSync(path.join(folder, 'jobs/broken.toml'), 'work_order = \n');
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('a job is picked', () => {
  it.each(['WO-2207', 'wo-2207', ' WO-2207 ', 'TQ-3381'])('by "%s", as a scanner types it', async (typed) => {
    expect(await cylinder(typed)).toContain('ram-12.toml');
  });

  it('by a serial where several have the work order', async () => {
    expect(await cylinder('TQ-3383')).toContain('ram-14.toml');
  });

  it('by nobody where several have it and nobody can be asked', async () => {
    const { code, err } = await plan('WO-2208');
    expect(code).toBe(2);
    expect(err).toContain('Which job of WO-2208');
  });

  it('by the path of its file, also where a work order has that name', async () => {
    cpSync(path.join(folder, 'jobs/ram-13.toml'), path.join(folder, 'other.toml'));
    expect((await plan(path.join(folder, 'other.toml'))).err).not.toContain('ram-');
    expect((await plan(path.join(folder, 'none.toml'))).code).toBe(2);
  });

  it('by no part of a work order, and it says which files it could not read', async () => {
    const { code, err } = await plan('WO-220');
    expect(code).toBe(2);
    expect(err).toContain('no job with work order or cylinder serial "WO-220"');
    expect(err).toContain('Not readable: broken.toml');
  });
});
