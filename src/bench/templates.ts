import { existsSync, readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { fileLimits, readGivenFile, sha256Hex } from '../record/index.js';
import { DwellmarkError } from '../units/index.js';

/** A procedure's file as it was found. */
export interface ProcedureFile {
  readonly file: string;
  readonly text: string;
  readonly sha256: string;
  /** These are the very bytes that dwellmark ships under this name. */
  readonly asShipped: boolean;
}

/** The installed package: two folders up from src/bench, three from dist/src/bench. */
export const packageRoot: string = findPackageRoot(path.dirname(fileURLToPath(import.meta.url)));

/** The procedures and certificate layouts that come with dwellmark. */
export const shippedTemplates: string = path.join(packageRoot, 'templates');

function findPackageRoot(from: string): string {
  if (existsSync(path.join(from, 'package.json'))) return from;
  const up = path.dirname(from);
  if (up === from) throw new Error('dwellmark is not installed as a package');
  return findPackageRoot(up);
}

/**
 * Finds a procedure by a template's id or by a path. A shop's own copy in `templates/` beside its shop file goes
 * before the shipped one; a path is taken from the job file's folder.
 * @throws DwellmarkError (`input`) when there is none, with the names that there are.
 */
export function findProcedure(name: string, jobFolder: string, shopFolder: string | null): ProcedureFile {
  const isPath = name.endsWith('.toml') || name.includes('/') || name.includes(path.sep);
  const candidates = isPath
    ? [path.resolve(jobFolder, name)]
    : [
        shopFolder === null ? null : path.join(shopFolder, 'templates', `${name}.toml`),
        path.join(shippedTemplates, `${name}.toml`),
      ];
  const file = candidates.find((candidate) => candidate !== null && existsSync(candidate));
  if (!file) {
    const known = procedureNames(shopFolder).join(', ');
    throw new DwellmarkError('input', `there is no procedure "${name}"`, {
      place: { key: 'procedure' },
      advice: isPath
        ? 'Check the path; it is taken from the folder of the job file.'
        : `Known: ${known}. Or give the path of a file.`,
    });
  }
  const bytes = readGivenFile(file, { what: 'procedure', most: fileLimits.text });
  return {
    file,
    text: bytes.toString('utf8'),
    sha256: sha256Hex(bytes),
    asShipped: isShipped(path.basename(file), bytes),
  };
}

/** Ids of the procedures at hand. */
export function procedureNames(shopFolder: string | null): string[] {
  const folders = [shippedTemplates, ...(shopFolder === null ? [] : [path.join(shopFolder, 'templates')])];
  const names = folders
    .filter((folder) => existsSync(folder))
    .flatMap((folder) => readdirSync(folder))
    .filter((file) => file.endsWith('.toml') && !file.startsWith('certificate'))
    .map((file) => file.slice(0, -'.toml'.length));
  return [...new Set(names)].sort();
}

function isShipped(name: string, bytes: Buffer): boolean {
  const shipped = path.join(shippedTemplates, name);
  return existsSync(shipped) && readFileSync(shipped).equals(bytes);
}
