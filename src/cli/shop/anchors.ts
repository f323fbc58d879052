import { existsSync } from 'node:fs';
import { type OutsideAnchor, outsideAnchor } from '../../audit/index.js';
import { fileLimits, readGivenFile } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';
import { asClaimed } from './read-file.js';

/**
 * What `--anchor` was given: `41:9f2c…` as it is printed on a certificate, or a file that carries such a mark.
 * @throws DwellmarkError (`usage`) when it is neither.
 */
export async function anchorsOf(given: readonly string[] = []): Promise<OutsideAnchor[]> {
  const anchors: OutsideAnchor[] = [];
  for (const text of given) anchors.push(existsSync(text) ? await asClaimed(text, () => anchorIn(text)) : markOf(text));
  return anchors;
}

/** A record's page carries its bundle, and the bundle the mark. */
async function anchorIn(file: string): Promise<OutsideAnchor> {
  const bytes = readGivenFile(file, { what: 'anchor', most: fileLimits.record });
  if (bytes.subarray(0, 15).toString('latin1').toLowerCase() !== '<!doctype html>') return outsideAnchor(bytes, file);
  const { openPage } = await import('../../page/index.js');
  return outsideAnchor(Buffer.from(openPage(bytes.toString('utf8')).bundle), file);
}

function markOf(text: string): OutsideAnchor {
  const match = /^(\d+):([0-9a-f]{64})$/i.exec(text.replace(/\s/g, ''));
  if (!match?.[1] || !match[2])
    throw new DwellmarkError('usage', `"${text}" is not a ledger position and head, and no file`, {
      place: { key: '--anchor' },
      advice: 'Write POSITION:HEAD as printed on the certificate, the head with its 64 digits, or name its PDF.',
    });
  const mark = { position: Number(match[1]), head: match[2].toLowerCase() };
  return { from: 'the command line', marks: [mark], sealed: null, problems: [] };
}
