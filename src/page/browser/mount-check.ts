import type { Problem } from '../../audit/index.js';
import type { SayPage } from '../words/page-words.js';
import { found } from './element.js';
import type { News } from './messages.js';
import { differences } from './same-page.js';
import { showCheck } from './show-check.js';

export interface CheckOptions {
  readonly say: SayPage;
  readonly decimal: string;
  /** Begins the check. */
  readonly begin: () => void;
  /** The page as it came. */
  readonly delivered: string;
}

/** The button that checks, its progress and its outcome. Returns who takes the worker's news. */
export function mountCheck({ say, decimal, begin, delivered }: CheckOptions): (news: News) => void {
  found('check-live').hidden = false;
  found('check-still').hidden = true;
  const button = found('check-button') as HTMLButtonElement;
  const progress = found('check-progress') as HTMLProgressElement;
  const result = found('check-result');
  let begunMs = 0;
  button.addEventListener('click', () => {
    button.disabled = true;
    progress.hidden = false;
    progress.value = 0;
    begunMs = performance.now();
    result.textContent = say('check.running');
    begin();
  });
  const end = (): void => {
    button.disabled = false;
    progress.hidden = true;
  };
  return (news) => {
    if (news.news === 'progress') {
      progress.max = Math.max(1, news.all);
      progress.value = news.done;
      return;
    }
    if (news.news === 'failed' && news.of !== 'view') {
      const problem = { where: 'record', what: `cannot be read: ${news.why}` };
      const counts = { tests: 0, readings: 0, links: 0, verdicts: 0, signatures: 0, certificates: 0, ledgerLines: 0 };
      const report = { problems: [problem], checked: [], notChecked: [], unproven: [], counts };
      if (begunMs > 0) showCheck(result, report, null, sinceBegun(), decimal, say);
      end();
      return;
    }
    if (news.news !== 'checked') return;
    const { report, verdict, page, head } = news;
    const where = page === null ? ['record'] : differences(delivered, page);
    const problems: Problem[] = where.map((part) => ({
      where: `page, ${part}`,
      what: 'it shows something else than the record says',
    }));
    const whole = {
      ...report,
      problems: [...report.problems, ...problems],
      checked: [...report.checked, ...(where.length === 0 ? [say('check.page-same')] : [])],
    };
    const { about } = report;
    const record = about && { test: about.test, cylinder: about.cylinder, customer: about.customer, verdict };
    showCheck(result, whole, record, sinceBegun(), decimal, say);
    mountCompare(say, head);
    end();
  };

  function sinceBegun(): number {
    return (performance.now() - begunMs) / 1000;
  }
}

/** Holds a record hash typed off a certificate against this record's. */
function mountCompare(say: SayPage, head: string): void {
  const form = found('compare') as HTMLFormElement;
  const input = found('compare-head') as HTMLInputElement;
  form.hidden = false;
  form.onsubmit = (event) => {
    event.preventDefault();
    const typed = input.value.replace(/\s/g, '').toLowerCase();
    const outcome = !/^[0-9a-f]{64}$/.test(typed)
      ? say('check.compare-form')
      : typed === head
        ? say('check.compare-same')
        : say('check.compare-other');
    found('compare-result').textContent = outcome;
  };
}
