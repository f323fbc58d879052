import { type BundleReport, type Judge, verifyBundle } from '../audit/index.js';
import { answeredNow } from '../signing/index.js';
import { recordPage } from './record-page.js';
import { openPage } from './write-page.js';

export type PageReport = BundleReport;

/**
 * Checks a page with this program, not with its own: the record in it, and every text of it against that record.
 * @param program the script that this program would put into a page
 * @param version this program's version: another one may write the same record otherwise
 * @throws DwellmarkError (`input`) when the text is no page of a test.
 */
export function verifyPage(text: string, judge: Judge | null, program: string, version: string): PageReport {
  const { bundle, setting, program: own, page } = openPage(text);
  const report = verifyBundle(bundle, judge);
  const asWritten = answeredNow(recordPage(bundle, setting, own)) === page;
  const otherVersion = setting.program !== version;
  const checked = [...report.checked];
  const notChecked = [...report.notChecked];
  const problems = [...report.problems];
  if (asWritten) checked.push('every text, figure and line of the page against its record');
  else if (otherVersion)
    notChecked.push(`what the page shows: dwellmark ${setting.program} wrote it, and this is ${version}`);
  else problems.push({ where: 'page', what: 'it shows something else than its record says' });
  if (own === program) checked.push("the page's own script: as this program writes it");
  else if (otherVersion) notChecked.push("the page's own script: don't rely on what it says");
  else problems.push({ where: 'page', what: "its script is not this program's: don't rely on what it says" });
  return { ...report, checked, notChecked, problems };
}
