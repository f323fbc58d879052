import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { prepare, type RunNews, readShop, shopFileName, startLive } from '../../../src/bench/index.js';
import { eventLines } from '../../../src/cli/screen/plain-report.js';
import type { GaugeFaultCode } from '../../../src/gauge/index.js';
import { unitSystems } from '../../../src/units/index.js';
import { Cable } from '../../drivers/pty.js';
import { writeQuickShop } from '../quick-bench.js';
import type { FaultCase } from './fault-cases.js';
import { inDwell, leftInRecord, type SpoiltTest } from './spoilt-test.js';
import { TalkingGauge } from './talking-gauge.js';

const gaugeLine = (device: string): string => `path = "${device}"
baud_rate = 115200
pattern = "{serial} {status} {pressure} {unit} {checksum}"
checksum = "xor"
unit = "bar"
rate_per_s = 20
`;

/** A shop with that gauge on a cable. Returns the job's path. */
export function writeFaultyShop(folder: string, cable: Cable, dwellS = 10): string {
  const job = writeQuickShop(folder, cable.path, { dwellS, attended: false, ports: ['A'] });
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
  return job;
}

/** A folder and a cable for one test, gone afterwards. */
export async function atFaultyBench<T>(work: (folder: string, cable: Cable) => Promise<T>): Promise<T> {
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-fault-'));
  const cable = await Cable.lay();
  try {
    return await work(folder, cable);
  } finally {
    await cable.unplug();
    rmSync(folder, { recursive: true, force: true });
  }
}

/** The instrument on its cable, with what is wrong from the start. */
export function gaugeOn(cable: Cable, { noZero }: Pick<FaultCase, 'noZero'>): TalkingGauge {
  const gauge = new TalkingGauge(cable);
  if (noZero !== undefined) gauge.trouble = { offBar: noZero };
  return gauge;
}

/**
 * A whole unattended test over a pseudo-terminal, wired as the command `test` wires it; the fault comes in its dwell,
 * and the pressure is let go when it is over.
 */
export const runSpoilt = (faultCase: FaultCase): Promise<SpoiltTest> =>
  atFaultyBench(async (folder, cable) => {
    const jobFile = writeFaultyShop(folder, cable);
    const shop = readShop(path.join(folder, shopFileName));
    const prepared = prepare({ jobFile, shop, attendance: 'unattended', on: '2026-03-14' });
    const codes: GaugeFaultCode[] = [];
    const said: string[] = [];
    const tell = (news: RunNews): void => {
      if (news.input.kind === 'fault') codes.push(news.input.fault.code);
      said.push(...eventLines(news, unitSystems.bar));
    };
    const shared = { prepared, shop, technician: 'R. Sand', overruled: null, endWhenDone: true } as const;
    const started = await startLive({ ...shared, tell, giveUpAfterS: 30 });
    const gauge = gaugeOn(cable, faultCase);
    const talking = gauge.talk();
    const running = started.live.run();
    const phase = () => started.hold.state.phase;
    const timeOver = () => {
      const now = phase();
      return now.name === 'dwell' && now.timeDone;
    };
    const at = { gauge, cable, phase: () => phase().name, timeOver, faults: () => codes };
    await inDwell(at);
    await faultCase.spoil(at);
    gauge.release();
    await running;
    gauge.stop();
    await talking;
    started.seal();
    started.close();
    return { ...leftInRecord(folder, started.header.test), said, sent: gauge.sent, gaugePausedS: gauge.longestPauseS };
  });
