import { readFileSync } from 'node:fs';
import path from 'node:path';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { run } from '../../src/cli/commands/import-log.js';
import type { ResultJson } from '../../src/cli/report/result-json.js';
import type { DwellmarkError } from '../../src/units/index.js';

const folder = path.resolve(import.meta.dirname, '../../sample-logs');

interface Row {
  readonly log: string;
  readonly job: string;
  readonly options: string;
  readonly verdict: string;
  readonly exit: number;
}

/** The table of the folder's own README: what a user reads there is what is tested. */
const rows: Row[] = readFileSync(path.join(folder, 'README.md'), 'utf8')
  .split('\n')
  .filter((line) => /^\| \S+\.csv /.test(line))
  .map((line) => {
    const [, log = '', job = '', options = '', verdict = '', exit = ''] = line.split('|').map((cell) => cell.trim());
    return { log, job, options: options.replaceAll('`', ''), verdict, exit: Number(exit) };
  });

const option = (options: string, name: string) => new RegExp(`--${name} (\\S+)`).exec(options)?.[1];

async function imported({ log, job, options }: Row): Promise<ResultJson> {
  const pieces: string[] = [];
  vi.spyOn(process.stdout, 'write').mockImplementation((piece) => pieces.push(String(piece)) > 0);
  const port = option(options, 'port');
  const columns = option(options, 'columns');
  await run(path.join(folder, log), {
    job: path.join(folder, `${job}.job.toml`),
    technician: 'Marek Dunn',
    store: false,
    json: true,
    ...(port === 'A' || port === 'B' ? { port } : {}),
    ...(columns === undefined ? {} : { columns }),
  });
  return JSON.parse(pieces.join('')) as ResultJson;
}

afterEach(() => {
  vi.restoreAllMocks();
  process.exitCode = undefined;
});

describe('the sample logs', () => {
  it('are twelve, and every one of them is in the table', () => {
    expect(rows).toHaveLength(12);
  });

  it.each(rows.filter(({ exit }) => exit !== 2))('$log gives $verdict, exit $exit', async (row) => {
    const result = await imported(row);
    expect(result.verdict).toBe(row.verdict);
    expect(process.exitCode).toBe(row.exit);
  });

  it('bad-line.csv is refused with file, line and column', async () => {
    const [row] = rows.filter(({ exit }) => exit === 2);
    const refused = row ? await imported(row).catch((error: DwellmarkError) => error) : null;
    expect(refused).toMatchObject({ code: 'input', place: { line: 403, column: 8 } });
    expect((refused as DwellmarkError).place.file).toContain('bad-line.csv');
  });

  it('spike.csv says what was left out', async () => {
    const [row] = rows.filter(({ log }) => log === 'spike.csv');
    const result = row ? await imported(row) : null;
    expect(result?.ports[0]?.stages[0]?.flags.find(({ code }) => code === 'spikes')?.count).toBe(1);
  });
});
