import { readFileSync } from 'node:fs';
import { deserialize } from 'node:v8';
import type * as dwells from '../../src/certificate/chart/dwell-charts.js';
import type * as whole from '../../src/certificate/chart/trace-chart.js';
import type * as content from '../../src/certificate/content/certificate-content.js';
import type { CertificateInput } from '../../src/certificate/input.js';
import type * as fonts from '../../src/certificate/pages/fonts.js';
import type * as rendering from '../../src/certificate/render.js';
import type * as bareScript from './bare-chart-pdf.js';

/** What one process measured. */
export interface Timing {
  readonly wallMs: number;
  readonly cpuMs: number;
  readonly bytes: number;
}

const [side, inputFile = '', built = '', bareFile = '', times = '1'] = process.argv.slice(2);
const input = deserialize(readFileSync(inputFile)) as CertificateInput;

const rooms = async () => ({
  ...((await import(`${built}/certificate/content/certificate-content.js`)) as typeof content),
  ...((await import(`${built}/certificate/render.js`)) as typeof rendering),
});

/** Loading modules counts; making the charts' data does not count for the bare script. */
async function ours(): Promise<Timing> {
  return timed(async () => {
    const { certificateContent, renderCertificate } = await rooms();
    return renderCertificate(certificateContent(input));
  });
}

async function many(): Promise<Timing> {
  const { certificateContent, renderCertificate } = await rooms();
  const first = await renderCertificate(certificateContent(input));
  return timed(async () => {
    for (let index = 0; index < Number(times); index++) {
      const next = await renderCertificate(certificateContent(input));
      if (!next.equals(first)) throw new Error('the same certificate came out with other bytes');
    }
    return first;
  });
}

async function bare(): Promise<Timing> {
  const { certificateContent } = (await import(
    `${built}/certificate/content/certificate-content.js`
  )) as typeof content;
  const { dwellCharts } = (await import(`${built}/certificate/chart/dwell-charts.js`)) as typeof dwells;
  const { traceChart } = (await import(`${built}/certificate/chart/trace-chart.js`)) as typeof whole;
  const { fontFile } = (await import(`${built}/certificate/pages/fonts.js`)) as typeof fonts;
  const { bareChartPdf } = (await import(bareFile)) as typeof bareScript;
  const { chart, results } = certificateContent(input);
  const placed = [
    { chart: traceChart(chart.story, 510), size: [510, 130], at: [40, 40] } as const,
    ...dwellCharts(chart.story, 160).map(
      (dwell, index) => ({ chart: dwell.chart, size: [160, 80], at: [40 + index * 170, 200] }) as const,
    ),
  ];
  const rows = results.rows.map((row) => [
    `${row.label} ${row.unit}`,
    ...row.cells.map((cell) => (cell.kind === 'word' ? cell.word : `${cell.figure} ± ${cell.plusMinus}`)),
  ]);
  return timed(() => bareChartPdf(placed, rows, fontFile('regular')));
}

async function timed(render: () => Promise<Buffer>): Promise<Timing> {
  const cpu = process.cpuUsage();
  const start = performance.now();
  const { length } = await render();
  const wallMs = performance.now() - start;
  const used = process.cpuUsage(cpu);
  return { wallMs, cpuMs: (used.user + used.system) / 1000, bytes: length };
}

process.stdout.write(JSON.stringify(await { ours, many, bare }[side as 'ours' | 'many' | 'bare']()));
