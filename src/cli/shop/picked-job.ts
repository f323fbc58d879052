import { existsSync } from 'node:fs';
import path from 'node:path';
import { type JobFile, jobFiles, type Shop } from '../../bench/index.js';
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
  const read = jobFiles(shop);
  const same = (text: string): boolean => text.toLowerCase() === wanted.toLowerCase();
  const found = read.filter(({ job }) => job !== null && (same(job.workOrder) || same(job.cylinder.serial)));
  const file = found.length > 1 ? await chosen(wanted, found) : found[0]?.file;
  if (file !== undefined) {
    remark(`${wanted}: ${file}`);
    return file;
  }
  const unread = read.filter(({ job }) => job === null).map((each) => path.basename(each.file));
  throw new DwellmarkError('input', `no job with work order or cylinder serial "${wanted}"`, {
    place: { file: path.join(shop.folder, 'jobs') },
    advice: `${unread.length === 0 ? '' : `Not readable: ${unread.join(', ')}. `}Name the job file, or make the job: dwellmark job new ${wanted}`,
  });
}

async function chosen(wanted: string, found: readonly JobFile[]): Promise<string> {
  const names = found.map(({ file, job }) => `cylinder ${job?.cylinder.serial} (${path.basename(file)})`);
  const name = await choose(`Which job of ${wanted}`, names, 'the name of the job file');
  return found[names.indexOf(name)]?.file ?? '';
}
