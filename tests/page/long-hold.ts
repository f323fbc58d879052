import { judgementOf } from '../../src/audit/index.js';
import { evaluationVersion } from '../../src/evaluation/index.js';
import type { Reading } from '../../src/gauge/index.js';
import type { HoldInput } from '../../src/holdtest/index.js';
import { bundleLines, openStore, type Store, type TestHeader } from '../../src/record/index.js';
import { pressurePa } from '../../src/units/index.js';
import { person } from '../audit/sample-store.js';
import { samplePlan, samplePort, sampleStage } from '../holdtest/sample-plan.js';
import { sampleHeader, steadyClock } from '../record/sample-test.js';

/** A header with one hold on A whose dwell takes so long. */
export function longHoldHeader(test: string, dwellS: number, over: Partial<TestHeader> = {}): TestHeader {
  const plan = samplePlan({ ports: [samplePort({ stages: [sampleStage({ dwellS })] })] });
  return sampleHeader(test, { plan, software: { version: '0.1.0', evaluation: evaluationVersion }, ...over });
}

/** A hold at so many readings a second: zero, a rise of 40 s, settling, the dwell, and down again; 240 s and the dwell. */
export function* longHold(header: TestHeader, perSecond: number): Iterable<HoldInput> {
  const stage = header.plan.ports[0]?.stages[0];
  if (!stage) throw new Error('the plan has no stage');
  const [zeroS, rampS, settleS, endS] = [20, 40, 120, 60];
  const totalS = zeroS + rampS + settleS + stage.dwellS + endS;
  let seed = 1;
  for (let index = 0; index < totalS * perSecond; index += 1) {
    const s = index / perSecond;
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    const noise = (seed / 2 ** 32 - 0.5) * 12_000;
    const up = Math.min(1, Math.max(0, (s - zeroS) / rampS));
    const fallen = Math.max(0, s - zeroS - rampS) * (1e5 / stage.dwellS);
    const level = s > totalS - endS + 10 ? 0 : up * (stage.targetPa + 2e5) - fallen;
    const reading: Reading = {
      timeUs: Math.round(s * 1e6),
      pressurePa: pressurePa(Math.round((level + noise) / 1000) * 1000),
      oppositePa: null,
      oilK: null,
      flags: 0,
    };
    yield { kind: 'reading', reading };
  }
  yield { kind: 'end', timeUs: Math.round(totalS * 1e6), why: 'end of trace' };
}

/** Runs it, seals it, has it signed; its bundle. */
export function longHoldBundle(path: string, header: TestHeader, perSecond: number): string {
  const store: Store = openStore(path, { mode: 'write', ...steadyClock() });
  const technician = person('j.okafor', 'J. Okafor', 'technician');
  const qa = person('m.lindqvist', 'Maria Lindqvist', 'qa');
  store.addSigner(technician.record);
  store.addSigner(qa.record);
  const writer = store.beginTest(header);
  const judgement = judgementOf(header);
  for (const input of longHold(header, perSecond)) {
    writer.append(input);
    judgement.add(input);
  }
  const { head } = writer.finish(judgement.result());
  store.addSignature(technician.sign(header.test, head, 'performed'));
  store.addSignature(qa.sign(header.test, head, 'reviewed and released'));
  const bundle = [...bundleLines(store, header.test)].join('');
  store.close();
  return bundle;
}
