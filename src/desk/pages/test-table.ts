import { type Html, heads, html, table, verdictMark } from '../../page/index.js';
import type { TestLine } from '../../record/index.js';

/** Tests as rows, each with a way to it. */
export function testTable(caption: string, lines: readonly TestLine[], wanted?: (line: TestLine) => string): Html {
  const head = heads('Test', 'Started', 'Cylinder', 'Customer', 'Verdict', wanted ? 'Waits for' : 'Papers');
  return table(
    caption,
    head,
    lines.map(
      (
        line,
      ) => html`<tr><th scope="row"><a href="/tests/${encodeURIComponent(line.test)}">${line.test}</a></th><td class="figure">${line.startedAt.slice(0, 16).replace('T', ' ')}</td><td>${line.serial}</td><td>${line.customer}</td><td>${
        line.verdict === null ? 'not sealed' : verdictMark(line.verdict, line.verdict)
      }${line.voided ? ' void' : null}</td><td>${wanted ? wanted(line) : line.certificates.join(', ')}</td></tr>
`,
    ),
  );
}
