import { readFileSync } from 'node:fs';
import path from 'node:path';
import { packageRoot } from './templates.js';

/** The version in package.json. */
export const softwareVersion: string = readVersion();

function readVersion(): string {
  const read: unknown = JSON.parse(readFileSync(path.join(packageRoot, 'package.json'), 'utf8'));
  return typeof read === 'object' && read !== null && 'version' in read ? String(read.version) : 'unknown';
}
