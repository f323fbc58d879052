import { type BundleReport, type Judge, verifyBundle } from '../audit/index.js';
import { shippedTexts } from '../certificate/index.js';
import { answeredNow } from '../signing/index.js';
import type { PageSetting } from './facts/page-facts.js';
import { recordPage } from './record-page.js';
import { openPage } from './write-page.js';

export type PageReport = BundleReport;

/**
 * Checks a page with this program, not with its own: the record in it, and every text of it against that record, in this
 * program's words and never in those that a page brings.
 * @param program the script that this program would put into a page
 * @param version this program's version: another one may write the same record otherwise
 * @throws DwellmarkError (`input`) when the text is no page of a test.
 */
export function verifyPage(text: string, judge: Judge | null, program: string, version: string): PageReport {
  const { bundle, setting, program: own, page } = openPage(text);
  const report = verifyBundle(bundle, judge);
  const checked = [...report.checked];
  const unproven = [...report.unproven];
  const problems = [...report.problems];
  if (writtenAgain(bundle, setting, own) === page)
    checked.push('every text, figure and line of the page: written again from its record, and the same');
  else if (own !== program && setting.program !== version)
    unproven.push(
      `what the page shows was NOT compared with its record: dwellmark ${setting.program} wrote it, and this is ${version}. Compare it with the lines above`,
    );
  else problems.push({ where: 'page', what: 'it shows something else than its record says' });
  if (own === program) checked.push("the page's own script: as this program writes it");
  else if (setting.program !== version)
    unproven.push("the page's own script is not this program's: don't rely on what it says");
  else problems.push({ where: 'page', what: "its script is not this program's: don't rely on what it says" });
  return { ...report, checked, unproven, problems };
}

/** The page as this program would write it; null when its setting is none that this program could have written. */
function writtenAgain(bundle: string, setting: PageSetting, own: string): string | null {
  try {
    return answeredNow(recordPage(bundle, setting, own, shippedTexts()));
  } catch {
    return null;
  }
}
