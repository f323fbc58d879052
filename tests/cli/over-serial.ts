import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { type LineShape, openPtyPair, type SentLine, speak } from '../../drivers/simulated/index.js';
import type { ResultJson } from '../../src/cli/report/result-json.js';
import type { GaugeItem, Reading } from '../../src/gauge/index.js';
import { startProgram, until, withStore } from '../bench-live/bench-process.js';

/** A test of a job on a gauge that sends its own clock with every reading: a quarter of an hour goes by in seconds. */
export interface SpokenTest {
  /** Job and, where it is not a shipped one, its procedure: texts of files. */
  readonly job: string;
  readonly procedure?: { readonly id: string; readonly text: string };
  readonly gauge: {
    readonly serial: string;
    readonly range: string;
    readonly resolution: string;
    readonly accuracy: string;
  };
  readonly items: AsyncIterable<GaugeItem>;
  readonly shape: LineShape;
}

export interface Heard {
  readonly result: ResultJson;
  readonly code: number | null;
  readonly trace: readonly Reading[];
  /** What the instrument had sent by the end of the test. */
  readonly sent: readonly SentLine[];
}

/** Runs `dwellmark test --unattended` in a folder on what a pseudo-terminal brings. */
export async function testOverSerial(folder: string, spoken: SpokenTest): Promise<Heard> {
  const { procedure, gauge, shape } = spoken;
  const pty = await openPtyPair();
  mkdirSync(path.join(folder, 'templates'));
  if (procedure) writeFileSync(path.join(folder, 'templates', `${procedure.id}.toml`), procedure.text);
  const job = path.join(folder, 'job.toml');
  writeFileSync(job, spoken.job);
  writeFileSync(
    path.join(folder, 'dwellmark.toml'),
    `name = "Harrow Fell Hydraulics"

[[gauge]]
serial = "${gauge.serial}"
range = "${gauge.range}"
resolution = "${gauge.resolution}"
accuracy = "${gauge.accuracy}"
driver = "ascii-stream"
[gauge.line]
path = "${pty.path}"
baud_rate = 115200
pattern = "{elapsed} s {pressure} {unit}${shape.oilDecimals === undefined ? '' : ' {oil} C'}"
unit = "${shape.unit}"
`,
  );
  const args = ['test', job, '--unattended', '--json', '--technician', 'Marek Dunn', '--shop', folder];
  const { child, said } = startProgram(args);
  let over = false;
  const left = new Promise<number | null>((resolve) => child.on('close', resolve));
  void left.then(() => {
    over = true;
  });
  await until('the test has begun', () => {
    if (over) throw new Error(`the test ended before it began: ${said()}`);
    try {
      return withStore(folder, (store) => store.unfinished().length > 0);
    } catch {
      return false;
    }
  });
  const sent: SentLine[] = [];
  void speak(spoken.items, pty, { shape, onSent: (line) => sent.push(line) }).catch(() => undefined);
  const code = await left;
  pty.close();
  const text = said();
  const result = JSON.parse(text.slice(text.indexOf('\n{\n') + 1, text.lastIndexOf('\n}') + 2)) as ResultJson;
  return { result, code, trace: withStore(folder, (store) => [...store.trace(result.test)]), sent };
}

/** What of the sent lines a trace holds, on the clock of that trace. */
export function asSent({ trace, sent }: Heard): Reading[] {
  const startUs = (trace[0]?.timeUs ?? 0) - (sent[0]?.timeUs ?? 0);
  return sent.slice(0, trace.length).map(({ reading }) => ({ ...reading, timeUs: reading.timeUs + startUs }));
}
