import { existsSync, readdirSync, readFileSync, renameSync, rmSync, statSync } from 'node:fs';
import path from 'node:path';
import { type Store, sha256Hex } from '../../record/index.js';

/** As `waitingFile` names them. */
const waitingName = /^\.((.+?)(-label)?\.pdf)\.(\d+)\.part$/;

/**
 * Clears up after a run that was cut off while papers waited for their names: a paper that the ledger knows takes its
 * place now, with its label; anything else goes, because its number was never given out.
 * @returns the files that took their place.
 */
export function settleWaiting(store: Store, folder: string): readonly string[] {
  if (!existsSync(folder)) return [];
  const left = readdirSync(folder).filter((name) => !isRunning(Number(waitingName.exec(name)?.[4] ?? process.pid)));
  if (left.length === 0) return [];
  const issued = new Set(store.certificates().map(({ pdfSha256 }) => pdfSha256));
  const isIssued = (file: string): boolean => statSync(file).isFile() && issued.has(sha256Hex(readFileSync(file)));
  const placed: string[] = [];
  // Labels come last: theirs is the fate of their paper.
  for (const name of left.toSorted((a, b) => Number(isLabel(a)) - Number(isLabel(b)))) {
    const [, file = '', stem = ''] = waitingName.exec(name) ?? [];
    const [waiting, place, paper] = [name, file, `${stem}.pdf`].map((part) => path.join(folder, part)) as [
      string,
      string,
      string,
    ];
    const stays = isLabel(name) ? existsSync(paper) && isIssued(paper) : isIssued(waiting);
    if (stays && existsSync(place)) continue;
    if (stays) {
      renameSync(waiting, place);
      placed.push(place);
    } else rmSync(waiting, { force: true });
  }
  return placed;
}

const isLabel = (name: string): boolean => waitingName.exec(name)?.[3] !== undefined;

function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}
