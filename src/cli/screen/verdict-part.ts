import type { PortResult, Verdict } from '../../evaluation/index.js';
import { spell } from '../../units/index.js';
import { driftText } from '../report/result-text.js';
import type { BenchView } from './bench-view.js';
import { harmless, type Line, type Style, span, wrapText } from './frame.js';

export const verdictStyle: Readonly<Record<Verdict, Style>> = {
  pass: 'good',
  fail: 'bad',
  inconclusive: 'warn',
  invalid: 'warn',
};

const verdictBand: Readonly<Record<Verdict, Style>> = {
  pass: 'good-band',
  fail: 'bad-band',
  inconclusive: 'warn-band',
  invalid: 'warn-band',
};

/** Once the ports are done: the verdict of each in plain words, the leak where one could be told, what to try. */
export function verdictLines(view: BenchView, width: number, rows: number): Line[] {
  const lines = verdictText(view, width, rows);
  while (lines.length < rows) lines.push([]);
  return lines;
}

/** The same without blank lines under it: at most `rows` lines, the advice left away where they would not do. */
export function verdictText(view: BenchView, width: number, rows: number): Line[] {
  const ports = view.result?.ports ?? [];
  const advised = ports.flatMap((port) => portLines(port, view, width, true));
  const lines = advised.length <= rows ? advised : ports.flatMap((port) => portLines(port, view, width, false));
  return lines.slice(0, Math.max(0, rows));
}

function portLines(port: PortResult, { system }: BenchView, width: number, withAdvice: boolean): Line[] {
  const attempt = port.attempt > 1 ? `, attempt ${port.attempt}` : '';
  const lines: Line[] = [
    [
      span(`   Port ${port.port}${attempt}: `, 'bold'),
      span(` ${port.verdict.toUpperCase()} `, verdictBand[port.verdict]),
    ],
  ];
  for (const text of wrapText(harmless(spell(port.reason, system)), width - 8)) lines.push([span(`     ${text}`)]);
  const leaking = port.stages.findLast((stage) => stage.leakM3PerS !== null);
  if (leaking?.leakM3PerS != null && leaking.leakUncertaintyM3PerS !== null)
    for (const text of wrapText(
      spell(
        `leak {flow:${leaking.leakM3PerS}} ± {flow:${leaking.leakUncertaintyM3PerS}} (95 %)${driftText(leaking)}`,
        system,
      ),
      width - 8,
    ))
      lines.push([span(`     ${text}`)]);
  const next = leaking?.diagnosis?.tryNext ?? [];
  if (withAdvice && port.verdict !== 'pass' && next.length > 0)
    for (const text of wrapText(spell(`try: ${next.join('; ')}`, system), width - 8))
      lines.push([span(`     ${text}`, 'dim')]);
  return lines;
}
