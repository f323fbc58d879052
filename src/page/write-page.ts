import { gunzipSync, gzipSync } from 'node:zlib';
import { shippedTexts } from '../certificate/index.js';
import { answeredNow } from '../signing/index.js';
import { DwellmarkError } from '../units/index.js';
import type { PageSetting } from './facts/page-facts.js';
import { placeOf, recordPage } from './record-page.js';

const recordStart = `<script type="application/gzip" id="${placeOf.record}">`;
const recordEnd = '</script></body></html>\n';

/**
 * A test's record as one HTML file that needs nothing beside it: the page, its script, and the record itself
 * (compressed, base64) from which the script checks it.
 * @param bundle the record as a bundle
 * @throws DwellmarkError (`input`, `altered`) when the text is no bundle.
 */
export function writePage(bundle: string, setting: PageSetting, program: string): string {
  const page = answeredNow(recordPage(bundle, setting, program, shippedTexts()));
  return `${page}${recordStart}${gzipSync(bundle, { level: 6 }).toString('base64')}${recordEnd}`;
}

/** A page taken apart. */
export interface OpenedPage {
  readonly bundle: string;
  readonly setting: PageSetting;
  readonly program: string;
  /** The page without the record at its end. */
  readonly page: string;
}

/** @throws DwellmarkError (`input`) when the text is no such page, (`altered`) when its record can't be unpacked. */
export function openPage(text: string): OpenedPage {
  const at = text.lastIndexOf(recordStart);
  const end = text.lastIndexOf(recordEnd);
  const setting = between(text, `<script type="application/json" id="${placeOf.setting}">`);
  const program = between(text, `<script id="${placeOf.program}">`);
  if (at < 0 || end < at || setting === null || program === null)
    throw new DwellmarkError('input', 'this HTML file is no page of a test');
  try {
    return {
      bundle: gunzipSync(Buffer.from(text.slice(at + recordStart.length, end), 'base64')).toString('utf8'),
      setting: JSON.parse(setting) as PageSetting,
      program,
      page: text.slice(0, at),
    };
  } catch (cause) {
    throw new DwellmarkError('altered', "the record in this page can't be unpacked", { cause });
  }
}

function between(text: string, start: string): string | null {
  const from = text.indexOf(start);
  const to = text.indexOf('</script>', from);
  return from < 0 || to < 0 ? null : text.slice(from + start.length, to);
}
