import { closeSync, cpSync, mkdtempSync, openSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { expect } from 'vitest';
import { dwellmark, type Said } from '../cli/command-line.js';

const logs = path.resolve(import.meta.dirname, '../../sample-logs');
export const words = 'four grey herons waiting';

/** A shop made by the commands alone, to be copied for each forger. */
export interface Shop {
  readonly folder: string;
  /** A failed test, a passed one that is signed and has a certificate, and a passed one that waits. */
  readonly failed: string;
  readonly certified: string;
  readonly waiting: string;
  readonly certificate: string;
}

/** Runs a command in a shop. Each line of `typed` is a passphrase on a file descriptor. */
export async function inShop(folder: string, args: readonly string[], typed?: readonly string[]): Promise<Said> {
  if (typed === undefined) return dwellmark(...args, '--shop', folder);
  const secrets = mkdtempSync(path.join(tmpdir(), 'dwellmark-typed-'));
  const file = path.join(secrets, 'typed');
  writeFileSync(file, typed.map((line) => `${line}\n`).join(''));
  const fd = openSync(file, 'r');
  try {
    return await dwellmark(...args, '--shop', folder, '--passphrase-fd', String(fd));
  } finally {
    closeSync(fd);
    rmSync(secrets, { recursive: true });
  }
}

export async function made(folder: string, args: readonly string[], typed?: readonly string[]): Promise<string> {
  const said = await inShop(folder, [...args, '--json'], typed);
  expect(said.err).toBe('');
  return said.out;
}

export async function makeShop(): Promise<Shop> {
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-forgeries-'));
  await made(folder, ['init', '--yes', '--name', 'Harrow Fell Hydraulics', '--signer', 'Ines Okafor'], [words]);
  const imported = async (log: string): Promise<string> => {
    const args = ['import', path.join(logs, `${log}.csv`), '--job', path.join(logs, `${log}.job.toml`), '--port', 'A'];
    return (JSON.parse(await made(folder, [...args, '--technician', 'Marek Dunn'])) as { test: string }).test;
  };
  const [failed, certified, waiting] = [
    await imported('piston-seal'),
    await imported('tight'),
    await imported('tight'),
  ];
  const released = ['--signer', 'qa', '--meaning', 'reviewed and released'];
  await made(folder, ['sign', certified, ...released], [words]);
  const paper = await made(folder, ['certificate', certified, '-o', path.join(folder, 'paper.pdf')]);
  return { folder, failed, certified, waiting, certificate: (JSON.parse(paper) as { number: string }).number };
}

/** The same shop in a folder of its own. */
export function copied(shop: Shop): Shop {
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-forged-'));
  cpSync(shop.folder, folder, { recursive: true });
  return { ...shop, folder };
}
