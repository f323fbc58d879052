import { execFileSync, spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { screenWidth } from '../../src/cli/output.js';
import { numberOf } from '../../src/cli/program/command.js';
import { buildProgram } from '../../src/cli/program.js';
import { commandTree } from '../../src/cli/reference/command-tree.js';
import { completionScript } from '../../src/cli/reference/completion.js';
import { dwellmark } from './command-line.js';

const root = path.resolve(import.meta.dirname, '../..');

describe('numbers as they are typed', () => {
  it.each([
    ['t-2026-7', 'T-2026-0007'],
    ['T-2026-0007', 'T-2026-0007'],
    ['T-2026-00007', 'T-2026-0007'],
    ['hf-2026-12', 'HF-2026-0012'],
    ['T-2026-12345', 'T-2026-12345'],
    ['T-2026-0', 'T-2026-0000'],
  ])('%s is %s', (typed, number) => expect(numberOf(typed)).toBe(number));

  it.each(['papers/t-2026-7.pdf', 't-26-7', 'audit.txt', 'T-2026-', ''])('%s is no number', (text) =>
    expect(numberOf(text)).toBe(text),
  );
});

it.each([
  [{ columns: 0 }, 80],
  [{}, 80],
  [{ columns: 132 }, 132],
])('a terminal of %o is drawn for %d columns', (stream, columns) => expect(screenWidth(stream)).toBe(columns));

describe('a job with several mistakes', () => {
  it('names them all, each with its line and what to do', async () => {
    const file = path.join(mkdtempSync(path.join(tmpdir(), 'job-')), 'job.toml');
    const job = readFileSync(path.join(root, 'templates/jobs/example.toml'), 'utf8');
    writeFileSync(
      file,
      job
        .replace('bore           = "100 mm"', 'bore           = 100')
        .replace('kind = "ISO VG 46"', 'knid = "ISO VG 46"')
        .replace('"extended" ', '"extendet" '),
    );
    const { code, err } = await dwellmark('plan', file);
    expect(code).toBe(2);
    expect(err).toMatch(/job\.toml:\d+.*cylinder\.bore.*bare number 100/);
    expect(err).toMatch(/job\.toml:\d+.*fluid\.knid.*unknown key/);
    expect(err).toMatch(/job\.toml:\d+.*position.*extendet/);
    expect(err.match(/^dwellmark: /gm)).toHaveLength(3);
    expect(err).not.toContain('more after');
  });
});

describe('stdin and stdout by a hyphen', () => {
  const program = [process.execPath, '--import', 'tsx', path.join(root, 'src/cli/main.ts')] as const;
  const run = (args: readonly string[], input: string) => {
    const [node, ...before] = program;
    return spawnSync(node, [...before, ...args], { input, encoding: 'utf8', cwd: root });
  };
  const log = readFileSync(path.join(root, 'sample-logs/tight.csv'), 'utf8');
  const folder = mkdtempSync(path.join(tmpdir(), 'stdin-'));
  for (const name of ['tight.job.toml', 'tight.procedure.toml'])
    cpSync(path.join(root, 'sample-logs', name), path.join(folder, name));

  it('a log comes from stdin, and is judged as from its file', () => {
    const rest = ['--job', path.join(folder, 'tight.job.toml'), '--port', 'A', '--no-store', '--json'];
    const piped = run(['import', '-', ...rest], log);
    const read = run(['import', 'sample-logs/tight.csv', ...rest], '');
    expect(piped.stderr).toBe(read.stderr);
    expect(JSON.parse(piped.stdout).verdict).toBe('pass');
    expect(JSON.parse(piped.stdout).ports).toEqual(JSON.parse(read.stdout).ports);
  });

  it('a log and a job can not both come from it', () => {
    const { status, stderr } = run(['import', '-', '--job', '-', '--no-store'], log);
    expect(status).toBe(2);
    expect(stderr).toContain('Stdin can stand for one file only.');
  });
});

describe('completion in a shell', () => {
  const file = path.join(mkdtempSync(path.join(tmpdir(), 'completion-')), 'dwellmark.bash');
  writeFileSync(file, completionScript('bash', commandTree(buildProgram())));
  const completed = (...words: readonly string[]): string[] => {
    const script = `source "${file}"; COMP_WORDS=(${words.map((word) => `'${word}'`).join(' ')}); COMP_CWORD=${words.length - 1}; _dwellmark; printf '%s\\n' "\${COMPREPLY[@]}"`;
    return execFileSync('bash', ['-c', script], { encoding: 'utf8', cwd: root }).split('\n').filter(Boolean);
  };

  it.each([
    [['dwellmark', 'exp'], ['export']],
    [['dwellmark', 'gauge', 'ca'], ['calibrate']],
    [['dwellmark', 'export', '--form'], ['--format']],
    [
      ['dwellmark', 'init', '--paper', ''],
      ['A4', 'Letter'],
    ],
    [['dwellmark', 'gauge', 'add', '--yes', '--dr'], ['--driver']],
    [['dwellmark', 'plan', 'sample-logs/READ'], ['sample-logs/README.md']],
  ])('%j', (words, expected) => expect(completed(...words)).toEqual(expected));
});

describe('about itself', () => {
  it('a topic, a command, a schema, the versions', async () => {
    expect((await dwellmark('help', 'trouble')).out).toContain('No permission for the port.');
    expect((await dwellmark('help', 'gauge', 'add')).out).toContain('Usage: dwellmark gauge add');
    const schema = JSON.parse((await dwellmark('help', '--schema', 'job-file')).out);
    expect(schema.properties.cylinder.properties.bore.description).toMatch(/^Inside diameter of the barrel/);
    expect(schema.required).toContain('work_order');
    const { node, sqlite } = JSON.parse((await dwellmark('version', '--json')).out);
    expect([node, sqlite]).toEqual([process.versions.node, expect.stringMatching(/^3\.\d+/)]);
    expect(await dwellmark('help', 'nothing')).toMatchObject({
      code: 2,
      err: expect.stringContaining('Known: install'),
    });
  });

  it('a page keeps to its width', async () => {
    const { out } = await dwellmark('help', 'shop-file', '--width', '60');
    expect(Math.max(...out.split('\n').map((line) => line.length))).toBeLessThanOrEqual(60);
  });
});
