import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { verifyStore } from '../../../src/audit/index.js';
import { judgeStored, prepare, type RunNews, readShop, shopFileName, startLive } from '../../../src/bench/index.js';
import { eventLines } from '../../../src/cli/screen/plain-report.js';
import type { TestResult } from '../../../src/evaluation/index.js';
import type { GaugeFault, Reading } from '../../../src/gauge/index.js';
import { openStore, type RawLine } from '../../../src/record/index.js';
import { unitSystems } from '../../../src/units/index.js';
import { Cable } from '../../drivers/pty.js';
import { writeQuickShop } from '../quick-bench.js';
import { type SentLine, TalkingGauge } from './talking-gauge.js';

/** What somebody who spoils a test can do and see while it runs. */
export interface Spoiling {
  readonly gauge: TalkingGauge;
  readonly cable: Cable;
  readonly phase: () => string;
  readonly faults: readonly GaugeFault[];
}

/** A test that is over, and everything it left. */
export interface SpoiltTest {
  readonly result: TestResult;
  /** As the person at the bench read it. */
  readonly said: readonly string[];
  readonly faults: readonly GaugeFault[];
  readonly sent: readonly SentLine[];
  readonly trace: readonly Reading[];
  readonly rawLines: readonly RawLine[];
  readonly problems: readonly string[];
}

const gaugeLine = (device: string): string => `path = "${device}"
baud_rate = 115200
pattern = "{serial} {status} {pressure} {unit} {checksum}"
checksum = "xor"
unit = "bar"
rate_per_s = 20
`;

/**
 * A whole unattended test over a pseudo-terminal, wired as the command `test` wires it; `spoil` is called once it has
 * begun, and the pressure is let go when it is done.
 */
export async function runSpoilt(
  spoil: (at: Spoiling) => Promise<void>,
  options: { readonly dwellS?: number; readonly noZero?: number } = {},
): Promise<SpoiltTest> {
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-fault-'));
  const cable = await Cable.lay();
  try {
    const jobFile = writeQuickShop(folder, cable.path, { dwellS: options.dwellS ?? 8, attended: false, ports: ['A'] });
    writeFileSync(
      path.join(folder, shopFileName),
      `name = "Harrow Fell Hydraulics"
[[gauge]]
serial = "BL-1001"
range = "0..100 bar"
resolution = "0.01 bar"
accuracy = "0.1 %FS"
driver = "ascii-stream"
[gauge.line]
${gaugeLine(cable.path)}`,
    );
    const shop = readShop(path.join(folder, shopFileName));
    const prepared = prepare({ jobFile, shop, attendance: 'unattended', on: '2026-03-14' });
    const faults: GaugeFault[] = [];
    const said: string[] = [];
    const tell = (news: RunNews): void => {
      if (news.input.kind === 'fault') faults.push(news.input.fault);
      said.push(...eventLines(news, unitSystems.bar));
    };
    const shared = { prepared, shop, technician: 'R. Sand', overruled: null, endWhenDone: true } as const;
    const started = await startLive({ ...shared, tell, giveUpAfterS: 30 });
    const gauge = new TalkingGauge(cable);
    if (options.noZero !== undefined) gauge.trouble = { offBar: options.noZero };
    const talking = gauge.talk();
    const running = started.live.run();
    await spoil({ gauge, cable, phase: () => started.hold.state.phase.name, faults });
    gauge.release();
    await running;
    gauge.stop();
    await talking;
    started.seal();
    started.close();
    return { ...left(path.join(folder, 'record.db'), started.header.test), said, faults, sent: gauge.sent };
  } finally {
    await cable.unplug();
    rmSync(folder, { recursive: true, force: true });
  }
}

function left(file: string, test: string): Pick<SpoiltTest, 'result' | 'trace' | 'rawLines' | 'problems'> {
  const store = openStore(file, { mode: 'read' });
  try {
    const { result } = store.test(test);
    if (!result) throw new Error('the test was not sealed');
    const problems = verifyStore(store, judgeStored).problems.map((one) => JSON.stringify(one));
    return { result, trace: [...store.trace(test)], rawLines: [...store.rawLines(test)], problems };
  } finally {
    store.close();
  }
}
