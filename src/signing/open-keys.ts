import { readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';

/** Rights of everybody but the owner. */
const others = 0o077;

/**
 * Files of a keys folder that others on this computer may read or change, the folder among them; and a root's key that
 * is not sealed. Where the system knows no such rights there are none.
 */
export function openKeyFiles(dir: string): readonly string[] {
  if (process.platform === 'win32') return [];
  const isOpen = (path: string): boolean => ((statSync(path, { throwIfNoEntry: false })?.mode ?? 0) & others) !== 0;
  let names: string[];
  try {
    names = readdirSync(dir);
  } catch {
    return [];
  }
  const secret = names.filter((name) => /\.person\.json$|\.key\.(pem|json)$/.test(name));
  const open = secret.map((name) => join(dir, name)).filter(isOpen);
  return isOpen(dir) && open.length > 0 ? [dir, ...open] : open;
}
