import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { oldNode, unfitBinary } from '../../src/cli/node-fit.js';

const root = path.resolve(import.meta.dirname, '../..');
const manifest = JSON.parse(readFileSync(path.join(root, 'package.json'), 'utf8'));

describe('the Node.js that it runs on', () => {
  it.each(['18.20.8', '20.12.0', '20.20.2', '21.7.3', '22.11.0'])('%s is too old', (version) => {
    expect(oldNode(version)).toContain(`needs Node.js 22.12 or newer; this is ${version}`);
  });

  it.each(['22.12.0', '22.23.5', '23.0.0', '24.22.3', '26.12.1', '100.0.0'])('%s will do', (version) => {
    expect(oldNode(version)).toBeNull();
  });

  it('is the one that package.json asks for', () => {
    expect(manifest.engines.node).toBe('>=22.12');
  });

  it('of a clone is the one in node_modules/.bin, and the tests run on it', () => {
    const pinned = JSON.parse(readFileSync(path.join(root, '.ci/node/package.json'), 'utf8')).optionalDependencies;
    const versions = Object.values<string>(pinned).map((version) => version.split('.')[0]);
    expect(new Set(versions)).toEqual(new Set(['24']));
    expect(execFileSync('node', ['-p', 'process.versions.node'], { encoding: 'utf8' }).trim()).toBe(
      process.versions.node,
    );
  });
});

describe('a binary that does not fit', () => {
  const require = createRequire(import.meta.url);
  const failure = (file: string): unknown => {
    try {
      require(file);
    } catch (error) {
      return error;
    }
    throw new Error('it was loaded');
  };

  it('is told as that, also where it is the cause of another error', () => {
    const file = path.join(mkdtempSync(path.join(tmpdir(), 'binary-')), 'other.node');
    writeFileSync(file, 'of another machine');
    const error = failure(file);
    expect(unfitBinary(error)).toMatch(/a binary is missing or made for another machine; this is Node\.js \d/);
    expect(unfitBinary(new Error('the store cannot be written', { cause: error }))).toContain(file);
  });

  it('that is missing is told the same; other errors are not', () => {
    expect(unfitBinary(failure('./build/Release/better_sqlite3.node'))).toContain('better_sqlite3.node');
    expect(unfitBinary(failure('./nowhere.js'))).toBeNull();
    expect(unfitBinary(new Error('no'))).toBeNull();
  });
});
