import type { BudgetRow } from '../facts/budgets.js';
import type { PageFacts } from '../facts/page-facts.js';
import { type Html, html } from '../html.js';
import { heads, section, table } from './parts.js';

/** The budgets of uncertainty, each line with its share of the variance as a bar. */
export const uncertainty = ({ say, budgets }: PageFacts): Html =>
  section(
    'uncertainty',
    say('budget.title'),
    budgets.length === 0
      ? html`<p>${say('budget.empty')}</p>`
      : html`<p>${say('budget.intro')}</p>
${budgets.map(({ caption, lines, expanded }) => [
  table(
    caption,
    heads(
      say('budget.line'),
      say('budget.u'),
      say('budget.share'),
      say('budget.dof'),
      say('budget.distribution'),
      say('budget.basis'),
    ),
    lines.map(budgetRow),
  ),
  expanded === null
    ? null
    : html`<p class="expanded">${expanded}</p>
`,
])}`,
  );

const budgetRow = ({ name, u, share, shareText, degreesOfFreedom, distribution, basis }: BudgetRow): Html =>
  html`<tr><th scope="row">${name}</th><td class="figure">${u}</td><td class="share"><svg viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true" focusable="false"><rect class="ground" width="100" height="8"/><rect class="bar" width="${(share * 100).toFixed(2)}" height="8"/></svg><span>${shareText}</span></td><td class="figure">${degreesOfFreedom}</td><td>${distribution}</td><td class="wide">${basis}</td></tr>
`;
