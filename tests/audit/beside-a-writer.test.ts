import { join } from 'node:path';
import { describe, expect, it, vi } from 'vitest';
import { verifyStore } from '../../src/audit/index.js';
import { openStore, type Store, type TestWriter } from '../../src/record/index.js';
import { newStore, sampleHeader, sampleResult, scratchFolder } from '../record/sample-test.js';
import { inputsWithNote, person, sampleJudge } from './sample-store.js';

const folder = scratchFolder();

/** A store with one test that is still running, open to its writer and to a reader. */
function running(name: string): { writer: Store; test: TestWriter; reader: Store } {
  const path = join(folder, `${name}.db`);
  const writer = newStore(path);
  const test = writer.beginTest(sampleHeader('T-2026-0001', { origin: 'live' }));
  for (const input of inputsWithNote(1, 4)) test.append(input);
  test.flush();
  return { writer, test, reader: openStore(path, { mode: 'read' }) };
}

describe('a store verified while a test runs', () => {
  it('and is sealed while it is looked at: as it stood before', () => {
    const { writer, test, reader } = running('sealed');
    const acts = reader.acts.bind(reader);
    let unsealed = true;
    vi.spyOn(reader, 'acts').mockImplementation((...about) => {
      if (unsealed && about[0] === 'test started') {
        unsealed = false;
        test.finish(sampleResult(inputsWithNote(1, 4)));
      }
      return acts(...about);
    });
    const report = verifyStore(reader, sampleJudge);
    expect(report.problems).toEqual([]);
    expect(report.notChecked.join('\n')).toContain('T-2026-0001: never sealed');
    expect(verifyStore(reader, sampleJudge)).toMatchObject({ problems: [], counts: { verdicts: 1 } });
    for (const store of [reader, writer]) store.close();
  });

  it('and another begins after the tests were listed: it is no line about a test that is not there', () => {
    const { writer, reader } = running('begun');
    const { raw } = reader;
    vi.spyOn(reader, 'raw', 'get').mockReturnValue(raw);
    const names = raw.testNames.bind(raw);
    vi.spyOn(raw, 'testNames').mockImplementationOnce(() => {
      const listed = names();
      writer.beginTest(sampleHeader('T-2026-0002'));
      return listed;
    });
    expect(verifyStore(reader, sampleJudge).problems).toEqual([]);
    expect(verifyStore(reader, sampleJudge).counts.tests).toBe(2);
    for (const store of [reader, writer]) store.close();
  });

  it('and somebody is enrolled and signs after the check began: the key is known', () => {
    const { writer, test, reader } = running('signed');
    const { head } = test.finish(sampleResult(inputsWithNote(1, 4)));
    const qa = person('m.lindqvist', 'Maria Lindqvist', 'qa');
    const progress = (): void => {
      writer.addSigner(qa.record);
      writer.addSignature(qa.sign('T-2026-0001', head, 'reviewed and released'));
    };
    expect(verifyStore(reader, sampleJudge, { progress })).toMatchObject({ problems: [], counts: { signatures: 1 } });
    for (const store of [reader, writer]) store.close();
  });
});
