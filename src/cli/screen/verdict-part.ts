import type { Verdict } from '../../evaluation/index.js';
import { spell } from '../../units/index.js';
import type { BenchView } from './bench-view.js';
import { type Line, type Style, span, wrapText } from './frame.js';

export const verdictStyle: Readonly<Record<Verdict, Style>> = {
  pass: 'good',
  fail: 'bad',
  inconclusive: 'warn',
  invalid: 'warn',
};

/** Once the ports are done: the verdict of each in plain words, and the leak where one could be told. */
export function verdictLines(view: BenchView, width: number, rows: number): Line[] {
  const { result, system } = view;
  const lines: Line[] = [[]];
  for (const port of result?.ports ?? []) {
    const attempt = port.attempt > 1 ? `, attempt ${port.attempt}` : '';
    lines.push([
      span(`   Port ${port.port}${attempt}: `, 'bold'),
      span(port.verdict.toUpperCase(), verdictStyle[port.verdict]),
    ]);
    for (const text of wrapText(spell(port.reason, system), width - 8)) lines.push([span(`     ${text}`)]);
    const leaking = port.stages.findLast((stage) => stage.leakM3PerS !== null);
    if (leaking?.leakM3PerS != null && leaking.leakUncertaintyM3PerS !== null)
      lines.push([
        span(spell(`     leak {flow:${leaking.leakM3PerS}} ± {flow:${leaking.leakUncertaintyM3PerS}} (95 %)`, system)),
      ]);
    const next = leaking?.diagnosis?.tryNext ?? [];
    if (port.verdict !== 'pass' && next.length > 0)
      for (const text of wrapText(`try: ${next.join('; ')}`, width - 8)) lines.push([span(`     ${text}`, 'dim')]);
  }
  while (lines.length < rows) lines.push([]);
  return lines.slice(0, Math.max(0, rows));
}
