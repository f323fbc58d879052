import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';

let known: Promise<string> | undefined;

/** The page's script: as it was built, or bundled now where this runs from its sources. */
export function pageProgram(): Promise<string> {
  known ??= read();
  return known;
}

async function read(): Promise<string> {
  const built = path.join(import.meta.dirname, 'browser', 'page-program.js');
  if (existsSync(built)) return readFileSync(built, 'utf8');
  const { bundledProgram } = (await import(`./browser/bundle.js`)) as typeof import('./browser/bundle.js');
  return bundledProgram();
}
