/**
 * Pictures of the screen at the bench in every phase, from a simulated test as fast as it goes, drawn by the code that
 * draws the screen:
 *
 *     npm run pictures                                           # those in templates/pictures/screen
 *     npx tsx tests/cli/screen/picture.ts FOLDER [columns] [rows]
 */
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { dialogueOf } from '../../../src/cli/screen/act-dialogues.js';
import { benchScreen } from '../../../src/cli/screen/bench-screen.js';
import type { BenchView } from '../../../src/cli/screen/bench-view.js';
import { begin, dialogueLines } from '../../../src/cli/screen/dialogue.js';
import type { Line } from '../../../src/cli/screen/frame.js';
import { keyHelp } from '../../../src/cli/screen/key-help.js';
import { helpOf } from '../../../src/cli/screen/key-words.js';
import { fitFrame } from '../../../src/cli/screen/paint-line.js';
import { Player } from '../../../src/cli/screen/replay/player.js';
import { replayScreen } from '../../../src/cli/screen/replay/replay-screen.js';
import { makeTape } from '../../../src/cli/screen/replay/tape.js';
import { type HoldInput, promptFor } from '../../../src/holdtest/index.js';
import type { TestHeader } from '../../../src/record/index.js';
import { pressureDifferencePa } from '../../../src/units/index.js';
import { frameSvg } from './frame-svg.js';
import { showTest } from './shown.js';

const [folder = '.', columns = '100', rows = '30'] = process.argv.slice(2);
const size = { columns: Number(columns), rows: Number(rows) };
const terms = { colour: true, unicode: true };
const count = new Map<string, number>();
const inputs: HoldInput[] = [];

function write(name: string, view: BenchView, over: readonly Line[] = []): void {
  const { lines } = benchScreen(view, size, terms);
  const frame = fitFrame([...lines.slice(0, size.rows - over.length), ...over], size.columns, size.rows);
  writeFileSync(path.join(folder, `${name}.svg`), frameSvg(frame));
}

/** Where oil was seen: the list that stands over the lower part of the screen. */
function tickList(view: BenchView): readonly Line[] {
  const asked = begin(
    dialogueOf('observation', { plan: view.plan, system: view.system, phase: 'dwell', facts: view.state.facts }),
  );
  return 'open' in asked ? dialogueLines(asked.open, size.columns, size.rows - 10) : [];
}

/** Readings into each phase at which its picture is taken. */
const moment: Readonly<Record<string, number>> = { ready: 20, ramp: 120, stabilise: 25, dwell: 260, 'bleed-down': 81 };

const end = await showTest(
  { dwellS: 40, leakMlPerMin: 0.02 },
  ({ phase, view, act }) => {
    const seen = (count.get(phase) ?? 0) + 1;
    count.set(phase, seen);
    if (seen === moment[phase]) write(phase, view());
    if (phase !== 'dwell') return;
    if (seen === 280)
      write('keys', view(), keyHelp('Keys', helpOf(promptFor(view().plan, view().state).keys), size).lines);
    if (seen === 290) write('oil-seen', view(), tickList(view()));
    if (seen === 300) act({ kind: 'observation', observation: { point: 'gland O-ring', amount: 'weep' } });
    if (seen === 301) write('alarm', view());
    if (seen === 310) act({ kind: 'acknowledge' });
  },
  'bar',
  ({ input }) => inputs.push(input),
);
write('done', end);

const allowed = [{ kind: 'drop' as const, dropPa: pressureDifferencePa(4e4), source: 'a stricter customer' }];
const other = {
  ...end.plan,
  ports: end.plan.ports.map((port) => ({ ...port, stages: port.stages.map((stage) => ({ ...stage, allowed })) })),
};
const tape = makeTape({ ...end.header, plan: end.plan, benchCheck: null } as TestHeader, inputs);
const player = new Player(tape, { speed: 10, other });
player.toIndex(tape.marks.findLast(({ phase }) => phase === 'dwell')?.index ?? 0);
player.toTime(player.at.s - 4);
player.pause(true);
const replay = {
  own: player.view(end.system),
  beside: player.viewBeside(end.system),
  besideName: 'stricter, revision 2',
  at: player.at,
  speed: player.speed,
  paused: player.paused,
  marksS: tape.marks.map(({ timeUs }) => (timeUs - tape.startUs) / 1e6),
  comparison: '',
};
writeFileSync(path.join(folder, 'replay.svg'), frameSvg(replayScreen(replay, size, terms)));
