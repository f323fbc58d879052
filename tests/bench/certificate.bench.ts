/**
 * Prints how long one certificate takes cold (a fresh process, modules loaded within the time) beside a bare script
 * that draws the same charts and a table, and how long each of 200 takes in one process.
 * Run: npx tsx tests/bench/certificate.bench.ts
 */
import { execFileSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { samplePass } from '../certificate/sample-content.js';

const repeats = 3;
const many = 200;

interface Timing {
  readonly wallMs: number;
  readonly cpuMs: number;
  readonly bytes: number;
}

const side = process.argv[2];
if (side === 'ours') report(await ours());
else if (side === 'bare') report(await bare());
else await compare();

async function ours(): Promise<Timing> {
  const input = samplePass();
  return timed(async () => {
    const { certificateContent, renderCertificate } = await import('../../src/certificate/index.js');
    return renderCertificate(certificateContent(input));
  });
}

async function bare(): Promise<Timing> {
  const { certificateContent } = await import('../../src/certificate/content/certificate-content.js');
  const { dwellCharts, traceChart } = await import('../../src/certificate/pressure-chart.js');
  const { fontFile } = await import('../../src/certificate/pages/fonts.js');
  const { bareChartPdf } = await import('./bare-chart-pdf.js');
  const content = certificateContent(samplePass());
  const { story } = content.chart;
  const charts = [
    { chart: traceChart(story, 510), size: [510, 130], at: [40, 40] } as const,
    ...dwellCharts(story, 160).map(
      ({ chart }, index) => ({ chart, size: [160, 80], at: [40 + index * 170, 200] }) as const,
    ),
  ];
  const rows = content.results.rows.map((row) => [
    `${row.label} ${row.unit}`,
    ...row.cells.map((cell) => (cell.kind === 'word' ? cell.word : `${cell.figure} ± ${cell.plusMinus}`)),
  ]);
  return timed(() => bareChartPdf(charts, rows, fontFile('regular')));
}

async function timed(render: () => Promise<Buffer>): Promise<Timing> {
  const cpu = process.cpuUsage();
  const start = performance.now();
  const { length } = await render();
  const wallMs = performance.now() - start;
  const used = process.cpuUsage(cpu);
  return { wallMs, cpuMs: (used.user + used.system) / 1000, bytes: length };
}

function report(timing: Timing): void {
  process.stdout.write(JSON.stringify(timing));
}

async function compare(): Promise<void> {
  const runs = { ours: [] as Timing[], bare: [] as Timing[] };
  for (let repeat = 0; repeat < repeats; repeat++)
    for (const name of ['ours', 'bare'] as const) runs[name].push(inChild(name));
  const [ourMs, bareMs] = [median(runs.ours.map((run) => run.wallMs)), median(runs.bare.map((run) => run.wallMs))];
  const [ourCpu, bareCpu] = [median(runs.ours.map((run) => run.cpuMs)), median(runs.bare.map((run) => run.cpuMs))];
  line(
    'one certificate, cold',
    `${ourMs.toFixed(0)} ms`,
    `cpu ${ourCpu.toFixed(0)} ms`,
    `${runs.ours[0]?.bytes} bytes`,
  );
  line(
    'bare chart and table, cold',
    `${bareMs.toFixed(0)} ms`,
    `cpu ${bareCpu.toFixed(0)} ms`,
    `${runs.bare[0]?.bytes} bytes`,
  );
  line('ratio', (ourMs / bareMs).toFixed(2), `cpu ${(ourCpu / bareCpu).toFixed(2)}`, 'aim 1.5');
  await inOneProcess();
}

async function inOneProcess(): Promise<void> {
  const { certificateContent, renderCertificate } = await import('../../src/certificate/index.js');
  const input = samplePass();
  const first = await renderCertificate(certificateContent(input));
  const each = await timed(async () => {
    let last = first;
    for (let index = 0; index < many; index++) last = await renderCertificate(certificateContent(input));
    if (!last.equals(first)) throw new Error('the same certificate came out with other bytes');
    return last;
  });
  line(
    `${many} in one process, each`,
    `${(each.wallMs / many).toFixed(1)} ms`,
    `cpu ${(each.cpuMs / many).toFixed(1)} ms`,
    'aim 60 ms',
  );
}

function inChild(name: 'ours' | 'bare'): Timing {
  const file = fileURLToPath(import.meta.url);
  return JSON.parse(execFileSync(process.execPath, ['--import', 'tsx', file, name], { encoding: 'utf8' })) as Timing;
}

function median(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[values.length >> 1] ?? Number.NaN;
}

function line(...cells: readonly string[]): void {
  process.stdout.write(`${cells.map((cell, index) => cell.padEnd(index === 0 ? 30 : 14)).join('')}\n`);
}
