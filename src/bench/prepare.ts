import path from 'node:path';
import type { PortName } from '../hydraulics/index.js';
import {
  type GaugeSpec,
  type Job,
  type MadePlan,
  makePlan,
  type Procedure,
  readJob,
  readProcedure,
  type TestPlan,
} from '../procedure/index.js';
import { fileLimits, readGivenText } from '../record/index.js';
import { gaugesOfJob } from './gauges-of-job.js';
import type { Shop } from './shop.js';
import { findProcedure, type ProcedureFile } from './templates.js';

/** A job with everything it names, read and made into a plan. */
export interface Prepared extends MadePlan {
  readonly job: Job;
  readonly jobFile: string;
  readonly jobText: string;
  readonly procedure: Procedure;
  readonly procedureFile: ProcedureFile;
  /** With the calibration in force on the day. */
  readonly gauge: GaugeSpec;
}

export interface PrepareOptions {
  readonly jobFile: string;
  /** What stands in the file, where it is not on the disk. */
  readonly jobText?: string;
  readonly shop: Shop | null;
  readonly ports?: readonly PortName[];
  readonly attendance: TestPlan['attendance'];
  /** ISO date against which the calibration is held. */
  readonly on: string;
  /** A procedure in the place of the job's own. */
  readonly procedure?: string;
}

/**
 * Reads a job file, its procedure and its gauge, and makes the plan.
 * @throws DwellmarkError (`input`) with file, line and key.
 */
export function prepare(options: PrepareOptions): Prepared {
  const { shop, ports, attendance, on } = options;
  const jobFile = path.resolve(options.jobFile);
  const jobText = options.jobText ?? readText(jobFile, 'job file');
  const job = readJob(jobText, { file: options.jobFile });
  const procedureFile = findProcedure(options.procedure ?? job.procedure, path.dirname(jobFile), shop?.folder ?? null);
  const procedure = readProcedure(procedureFile.text, { file: procedureFile.file });
  const tested = job.ports.filter(({ port }) => ports === undefined || ports.includes(port));
  const gauges = gaugesOfJob(job, tested, shop, on);
  const made = makePlan({
    job,
    procedure,
    procedureSha256: procedureFile.sha256,
    asShipped: procedureFile.asShipped,
    ...gauges,
    ...(shop === null ? {} : { calibration: shop.calibration }),
    attendance,
    on,
    files: { job: options.jobFile, procedure: procedureFile.file },
    ...(ports === undefined ? {} : { ports }),
  });
  return { ...made, job, jobFile, jobText, procedure, procedureFile, gauge: gauges.gauge };
}

function readText(file: string, what: string): string {
  return readGivenText(file, { what, most: fileLimits.text });
}
