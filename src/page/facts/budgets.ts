import type { Figures, Words } from '../../certificate/index.js';
import type { BudgetLine, StageResult, TestResult } from '../../evaluation/index.js';
import { formatNumber } from '../../units/index.js';
import type { SayPage } from '../words/page-words.js';

/** The budget of one quantity of one dwell. */
export interface BudgetTable {
  readonly caption: string;
  readonly lines: readonly BudgetRow[];
  readonly expanded: string | null;
}

export interface BudgetRow {
  readonly name: string;
  readonly u: string;
  readonly degreesOfFreedom: string;
  readonly distribution: string;
  readonly basis: string;
  /** Share of the combined variance, 0 to 1. */
  readonly share: number;
  readonly shareText: string;
}

/** Budgets of every dwell that was judged, the drop's first. */
export const budgets = (result: TestResult, words: Words, figures: Figures, say: SayPage): readonly BudgetTable[] =>
  result.ports.flatMap(({ port, stages }) =>
    stages.flatMap((stage) =>
      (['drop', 'leak', 'level'] as const).flatMap((of) => {
        const lines = stage.budget.filter((line) => line.of === of);
        if (lines.length === 0) return [];
        const hold = say('page.port-stage', { port, stage: words.term(stage.name) });
        return [
          {
            caption: say('budget.caption', { what: say(`budget.of.${of}`), hold }),
            lines: rows(lines, figures, say),
            expanded: expandedText(of, stage, figures, say),
          },
        ];
      }),
    ),
  );

function rows(lines: readonly BudgetLine[], figures: Figures, say: SayPage): readonly BudgetRow[] {
  const variance = lines.reduce((sum, { u }) => sum + u ** 2, 0);
  return lines.map((line) => {
    const share = variance > 0 ? line.u ** 2 / variance : 0;
    return {
      name: line.name,
      u: quantity(line.of, line.u, figures),
      degreesOfFreedom:
        line.degreesOfFreedom === null ? say('budget.infinite') : figures.local(formatNumber(line.degreesOfFreedom, 0)),
      distribution: line.distribution,
      basis: figures.spelled(line.basis),
      share,
      shareText: `${figures.local(formatNumber(share * 100, share < 0.0995 ? 1 : 0))}\u00a0%`,
    };
  });
}

const quantity = (of: BudgetLine['of'], si: number, figures: Figures): string =>
  of === 'leak' ? figures.spelled(`{flow:${si}}`) : figures.difference(si);

function expandedText(of: BudgetLine['of'], stage: StageResult, figures: Figures, say: SayPage): string | null {
  const expanded = {
    drop: stage.dropUncertaintyPa,
    leak: stage.leakUncertaintyM3PerS,
    level: stage.levelUncertaintyPa,
  }[of];
  const k = of === 'level' ? 2 : stage.coverageFactor;
  if (expanded === null || k === null) return null;
  return say('budget.expanded', { u: quantity(of, expanded, figures), k: figures.local(formatNumber(k, 2)) });
}
