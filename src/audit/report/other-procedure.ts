import { gaugesOfPlan, makePlan, readJob, readProcedure, type TestPlan } from '../../procedure/index.js';
import { sha256Hex, type TestHeader } from '../../record/index.js';
import { judgeStored } from '../judge-stored.js';
import type { OtherProcedure } from './judged.js';

/**
 * A procedure file, made ready to judge stored tests by: on the job, the gauges and the ports as they were.
 * @param text the file's text
 * @param file its name, for errors
 * @throws DwellmarkError (`input`) when it is no procedure; its judge, when a test's job and it don't go together.
 */
export function otherProcedure(text: string, file: string): OtherProcedure {
  const procedure = readProcedure(text, { file });
  const sha256 = sha256Hex(Buffer.from(text, 'utf8'));
  const { id, title, revision, source } = procedure;
  const planOf = (header: TestHeader): TestPlan =>
    makePlan({
      job: readJob(header.jobText, { file: `job of ${header.test}` }),
      procedure,
      procedureSha256: sha256,
      asShipped: false,
      ...gaugesOfPlan(header.plan),
      attendance: header.plan.attendance,
      ports: header.plan.ports.map(({ port }): TestPlan['ports'][number]['port'] => port),
    }).plan;
  return {
    id,
    title,
    revision,
    source,
    sha256,
    planOf,
    judge: (header, inputs) => judgeStored({ ...header, plan: planOf(header) }, inputs),
  };
}
