import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { dwellmark } from './command-line.js';

const logs = path.resolve(import.meta.dirname, '../../sample-logs');
const good = readFileSync(path.join(logs, 'tight.job.toml'), 'utf8').replace(
  'tight.procedure.toml',
  path.join(logs, 'tight.procedure.toml'),
);
let folder = '';

beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-refusals-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** The sample job with one thing changed, as a file. */
function job(name: string, from: string | RegExp, to: string): string {
  const text = good.replace(from, to);
  expect(text).not.toBe(good);
  const file = path.join(folder, `${name}.toml`);
  writeFileSync(file, text);
  return file;
}

const importWith = (jobFile: string, ...more: readonly string[]) =>
  dwellmark('import', path.join(logs, 'tight.csv'), '--job', jobFile, '--port', 'A', '--no-store', ...more);

describe('what is wrong is said in one to three lines, with its place, and nothing is kept', () => {
  it.each<{ what: string; from: string | RegExp; to: string; says: RegExp }>([
    { what: 'an unknown key', from: /customer /, to: 'custommer ', says: /unknown key "custommer".*\n.*"customer"/s },
    { what: 'a rod as thick as the bore', from: /rod\s+= "\d+ mm"/, to: 'rod = "100 mm"', says: /cylinder\.rod.*rod/s },
    { what: 'a unit missing', from: /bore\s+= "\d+ mm"/, to: 'bore = "100"', says: /cylinder\.bore.*has no unit/s },
    {
      what: 'a procedure nobody knows',
      from: /procedure\s+= ".*"/,
      to: 'procedure = "no-such-thing"',
      says: /no procedure "no-such-thing".*Known: .*cylinder-proof/s,
    },
    { what: 'text that is no TOML', from: '[cylinder]', to: '[cylinder', says: /:\d+:\d+.*TOML/s },
    { what: 'an unknown fluid', from: 'ISO VG 46', to: 'ISO VG 47', says: /fluid\.kind.*ISO VG 46/s },
  ])('$what', async ({ what, from, to, says }) => {
    const said = await importWith(job(what.replaceAll(' ', '-'), from, to));
    expect(said.code).toBe(2);
    expect(said.out).toBe('');
    expect(said.err).toMatch(says);
    expect(said.err.trimEnd().split('\n').length).toBeLessThanOrEqual(3);
  });

  it('a job file that is not there', async () => {
    const said = await importWith(path.join(folder, 'none.toml'));
    expect(said).toMatchObject({ code: 2, out: '' });
    expect(said.err).toContain('none.toml');
  });

  it('a port that the job lacks, and one that no cylinder has', async () => {
    const only = job('only-a', /\[\[port\]\]\nname\s+= "B"[^[]*/, '');
    const said = await dwellmark('import', path.join(logs, 'tight.csv'), '--job', only, '--port', 'B', '--no-store');
    expect(said.code).toBe(2);
    expect(said.err).toContain('port B');
    expect((await dwellmark('import', 'x.csv', '--job', only, '--port', 'C', '--no-store')).code).toBe(2);
  });

  it('a mistyped option', async () => {
    const said = await importWith(path.join(logs, 'tight.job.toml'), '--dwel', '600');
    expect(said.code).toBe(2);
    expect(said.err).toContain("unknown option '--dwel'");
  });

  it('no shop anywhere', async () => {
    const said = await dwellmark('list', '--shop', folder);
    expect(said.code).toBe(2);
    expect(said.err).toContain('dwellmark init');
  });

  it('a bad log leaves no test behind', async () => {
    const shop = path.join(folder, 'shop');
    expect((await dwellmark('init', '--yes', '--shop', shop)).code).toBe(0);
    const jobFile = path.join(logs, 'tight.job.toml');
    const said = await dwellmark(
      'import',
      path.join(logs, 'bad-line.csv'),
      '--job',
      jobFile,
      '--port',
      'A',
      '--shop',
      shop,
    );
    expect(said.code).toBe(2);
    expect(said.err).toMatch(/bad-line\.csv:403:8/);
    expect(JSON.parse((await dwellmark('list', '--shop', shop, '--json')).out)).toEqual([]);
  });

  it('init does not write over a shop', async () => {
    const shop = path.join(folder, 'twice');
    await dwellmark('init', '--yes', '--shop', shop);
    const before = readdirSync(shop);
    const said = await dwellmark('init', '--yes', '--shop', shop);
    expect(said.code).toBe(2);
    expect(said.err).toContain('there is a shop here already');
    expect(readdirSync(shop)).toEqual(before);
    expect(existsSync(path.join(shop, 'dwellmark.toml'))).toBe(true);
  });

  it('nobody to ask: the missing option is named', async () => {
    const said = await dwellmark('init', '--shop', path.join(folder, 'asking'));
    expect(said.code).toBe(2);
    expect(said.err).toContain('--name');
  });
});
