import { closeSync, copyFileSync, mkdtempSync, openSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { expect } from 'vitest';
import { dwellmark } from '../cli/command-line.js';

const logs = path.resolve(import.meta.dirname, '../../sample-logs');
export const words = 'four grey herons waiting';

/** A shop with an inspector and tests imported from logs, one of them with markup in what people typed. */
export async function deskShop(): Promise<{ folder: string; tests: string[] }> {
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-desk-'));
  const secret = path.join(folder, 'words');
  writeFileSync(secret, `${words}\n`);
  const fd = openSync(secret, 'r');
  const made = await dwellmark(
    ...['init', '--yes', '--name', 'Harrow Fell Hydraulics', '--signer', 'Ines Okafor', '--shop', folder],
    ...['--passphrase-fd', String(fd)],
  );
  closeSync(fd);
  expect(made.code, made.err).toBe(0);
  const shopFile = path.join(folder, 'dwellmark.toml');
  const gauge = '[[gauge]]\nserial = "SN 9"\nrange = "0..400 bar"\nresolution = "0.1 bar"\naccuracy = "0.1 %FS"\n';
  writeFileSync(shopFile, `${readFileSync(shopFile, 'utf8')}\n${gauge}`);
  copyFileSync(path.join(logs, 'tight.procedure.toml'), path.join(folder, 'tight.procedure.toml'));
  const tests: string[] = [];
  for (const [log, customer] of [
    ['tight', null],
    ['tight', 'Tarn <b>Quarry</b> "Plant" <script>alert(1)</script>'],
  ] as const) {
    const job = path.join(folder, `${tests.length}.toml`);
    const text = readFileSync(path.join(logs, `${log}.job.toml`), 'utf8');
    writeFileSync(
      job,
      customer === null ? text : text.replace(/^customer *= .*$/m, `customer = ${JSON.stringify(customer)}`),
    );
    const said = await dwellmark(
      'import',
      path.join(logs, `${log}.csv`),
      '--job',
      job,
      '--port',
      'A',
      '--shop',
      folder,
      '--json',
    );
    expect(said.err).toBe('');
    tests.push((JSON.parse(said.out) as { test: string }).test);
  }
  return { folder, tests };
}
