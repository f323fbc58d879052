import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { cells, seedOf } from './cells/index.js';
import { csvOf } from './gauge-chain.js';
import { jobText, procedureText } from './run-hold.js';
import { trialsKept } from './trial.js';

/**
 * Writes holds as logs, each with its job, its procedure and its truth, for `dwellmark import`:
 * `npx tsx tests/second-world/write-logs.ts KIND N SEED DIR`. KIND is part of the name of a cell.
 */
const [kind, count, seed, folder] = process.argv.slice(2);
const print = (line: string): boolean => process.stdout.write(`${line}\n`);
if (!kind || !count || !seed || !folder) {
  print('usage: npx tsx tests/second-world/write-logs.ts KIND N SEED DIR; KIND is part of one of:');
  for (const { group, name } of cells) print(`  ${group}: ${name}`);
  process.exit(2);
}
const cell = cells.find(({ group, name }) => `${group}: ${name}`.includes(kind));
if (!cell) throw new Error(`no cell has "${kind}" in its name`);
mkdirSync(folder, { recursive: true });
for (let hold = 0; hold < Number(count); hold += 1) {
  const kept = trialsKept(() => cell.run(seedOf(Number(seed), cell, hold)));
  const base = path.join(folder, `${kind.replace(/[^a-z0-9.]+/gi, '-')}-${hold + 1}`);
  const { spec, rows } = kept.hold;
  writeFileSync(`${base}.csv`, csvOf(rows, spec.gauge.resolutionPa));
  writeFileSync(`${base}.procedure.toml`, procedureText(spec));
  writeFileSync(`${base}.job.toml`, jobText(spec, `./${path.basename(base)}.procedure.toml`));
  writeFileSync(`${base}.truth.json`, `${JSON.stringify({ ...kept.trial, spec }, null, 1)}\n`);
  const { verdict, trueShare, error, reason } = kept.trial;
  print(`${base}.csv port ${spec.cylinder.port}: ${verdict}, true loss ${trueShare.toFixed(3)} x the limit, ${reason}`);
  if (error !== null) print(`  stated less true: ${error.toFixed(2)} U`);
}
