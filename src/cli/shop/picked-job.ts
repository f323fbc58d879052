import { existsSync, readdirSync } from 'node:fs';
import path from 'node:path';
import type { Shop } from '../../bench/index.js';
import { readJob } from '../../procedure/index.js';
import { fileLimits, readGivenText } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';
import { choose } from '../ask.js';
import { remark } from '../output.js';

/**
 * The job file that somebody means: its path, or the work order or cylinder serial of one in `jobs/` of the shop, as a
 * barcode scanner types it. Several of one work order are asked for by cylinder.
 * @throws DwellmarkError (`input`) when there is none, (`usage`) when there are several and nobody can be asked.
 */
export async function pickedJob(given: string, shop: Shop): Promise<string> {
  const wanted = given.trim();
  if (existsSync(wanted) || /\.toml$|[/\\]/i.test(wanted)) return wanted;
  const folder = path.join(shop.folder, 'jobs');
  const files = existsSync(folder) ? readdirSync(folder).filter((name) => name.endsWith('.toml')) : [];
  const read = files.map((name) => ({ file: path.join(folder, name), facts: factsOf(path.join(folder, name)) }));
  const same = (text: string): boolean => text.toLowerCase() === wanted.toLowerCase();
  const found = read.filter(({ facts }) => facts !== null && (same(facts.workOrder) || same(facts.serial)));
  const file = found.length > 1 ? await chosen(wanted, found) : found[0]?.file;
  if (file !== undefined) {
    remark(`${wanted}: ${file}`);
    return file;
  }
  const unread = read.filter(({ facts }) => facts === null).map((each) => path.basename(each.file));
  throw new DwellmarkError('input', `no job with work order or cylinder serial "${wanted}"`, {
    place: { file: folder },
    advice: `${unread.length === 0 ? '' : `Not readable: ${unread.join(', ')}. `}Name the job file, or write the job there.`,
  });
}

interface JobFacts {
  readonly workOrder: string;
  readonly serial: string;
}

/** Null for a file that is no job. */
function factsOf(file: string): JobFacts | null {
  try {
    const { workOrder, cylinder } = readJob(readGivenText(file, { what: 'job', most: fileLimits.text }), { file });
    return { workOrder, serial: cylinder.serial };
  } catch (cause) {
    if (cause instanceof DwellmarkError) return null;
    throw cause;
  }
}

async function chosen(
  wanted: string,
  found: readonly { readonly file: string; readonly facts: JobFacts | null }[],
): Promise<string> {
  const names = found.map(({ file, facts }) => `cylinder ${facts?.serial} (${path.basename(file)})`);
  const name = await choose(`Which job of ${wanted}`, names, 'the name of the job file');
  return found[names.indexOf(name)]?.file ?? '';
}
