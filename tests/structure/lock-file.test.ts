import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';

interface Locked {
  readonly resolved?: string;
  readonly integrity?: string;
  readonly link?: boolean;
  readonly gypfile?: boolean;
}

const text = readFileSync(path.resolve(import.meta.dirname, '../../package-lock.json'), 'utf8');
const packages = Object.entries<Locked>(JSON.parse(text).packages);

describe('package-lock.json', () => {
  it('names no host: packages come from the registry that a machine is set up with', () => {
    expect(text).not.toContain('.tgz');
    expect(packages.filter(([, { resolved }]) => resolved?.includes(':'))).toEqual([]);
  });

  it('has a hash of every package that is fetched', () => {
    const without = packages.filter(
      ([name, { integrity, link }]) => name.startsWith('node_modules/') && !link && !integrity,
    );
    expect(without).toEqual([]);
  });

  it('lets nobody compile SQLite: npm leaves this line out when it writes the file, put it back by hand', () => {
    // better-sqlite3 carries its binaries and says "gypfile": false in its package.json, which `npm ci` does not read.
    expect(packages.find(([name]) => name === 'node_modules/better-sqlite3')?.[1].gypfile).toBe(false);
  });
});
