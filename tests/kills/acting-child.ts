import { closeSync, openSync, writeSync } from 'node:fs';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { pathToFileURL } from 'node:url';

/**
 * Does one kind of act after another in a shop, by the built program's own commands, until it is killed. After what a
 * command says there stands a line `done CODE`: from then on the act is acknowledged.
 */
const [kind = '', shop = '', folder = '', pauseMs = '0'] = process.argv.slice(2);
const root = path.resolve(import.meta.dirname, '../..');
const logs = path.join(root, 'sample-logs');
const built = (file: string): string => pathToFileURL(path.join(root, 'dist/src', file)).href;
const { runCommand } = (await import(built('cli/run.js'))) as typeof import('../../src/cli/run.js');
const { openStore } = (await import(built('record/index.js'))) as typeof import('../../src/record/index.js');

async function act(...args: readonly string[]): Promise<void> {
  process.exitCode = undefined;
  const code = await runCommand([...args, '--shop', shop, '--json']);
  writeSync(1, `done ${code}\n`);
}

const importLog = (): Promise<void> =>
  act('import', path.join(logs, 'tight.csv'), '--job', path.join(logs, 'tight.job.toml'), '--port', 'A');

/** The oldest sealed test of which nobody has taken care yet. */
function waiting(
  done: (test: { signatures: number; certificates: readonly unknown[] }) => boolean,
): string | undefined {
  const store = openStore(path.join(shop, 'record.db'), { mode: 'read' });
  try {
    return store.tests({ order: 'oldest first' }).find((test) => test.head !== null && !done(test))?.test;
  } finally {
    store.close();
  }
}

async function sign(): Promise<void> {
  const test = waiting(({ signatures }) => signatures > 0);
  if (test === undefined) return importLog();
  const words = openSync(path.join(shop, 'words'), 'r');
  const meaning = ['--signer', 'qa', '--meaning', 'reviewed and released'];
  await act('sign', test, ...meaning, '--passphrase-fd', String(words));
  closeSync(words);
}

async function certificate(): Promise<void> {
  const test = waiting(({ certificates }) => certificates.length > 0);
  await (test === undefined ? importLog() : act('certificate', test, '-o', `${folder}${path.sep}`));
}

let count = 0;
const acts: Readonly<Record<string, () => Promise<void>>> = {
  import: importLog,
  sign,
  certificate,
  backup: () => act('backup', path.join(folder, `${process.pid}-${count++}.db`)),
  push: () => act('archive', 'push'),
};

for (;;) {
  await acts[kind]?.();
  await sleep(Number(pauseMs));
}
