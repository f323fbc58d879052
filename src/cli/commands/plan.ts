import { findShop, prepare } from '../../bench/index.js';
import type { PortName } from '../../hydraulics/index.js';
import {
  cardLines,
  cautionLines,
  cautionsOf,
  dangersOf,
  namedFacts,
  type Procedure,
  planLines,
  stepLines,
  wrap,
} from '../../procedure/index.js';
import { DwellmarkError, unitSystems } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { exitCodes } from '../exit-codes.js';
import { say, sayJson, spellAll } from '../output.js';
import { pickedJob } from '../shop/picked-job.js';

export interface PlanOptions extends CommonOptions {
  readonly port?: PortName;
  readonly full?: boolean;
}

/** `dwellmark plan`: the card for the bench, or with `--full` all of the plan. A job with its own gauge needs no shop. */
export async function run(job: string, options: PlanOptions): Promise<void> {
  const shop = shopIfAny(options.shop);
  const {
    figures,
    findings,
    job: read,
    procedure,
    plan,
  } = prepare({
    jobFile: shop === null ? job : await pickedJob(job, shop),
    shop,
    attendance: 'attended',
    on: new Date().toISOString().slice(0, 10),
    ...(options.port === undefined ? {} : { ports: [options.port] }),
  });
  const system = unitSystems[read.units ?? shop?.units ?? 'bar'];
  const ports = read.ports.filter(({ port }) => plan.ports.some((planned) => planned.port === port));
  if (options.json)
    sayJson({
      figures,
      findings: spellAll(findings, system),
      facts: read.facts,
      steps: stepsOf(procedure),
      cautions: spellAll(cautionsOf(read, ports, procedure.subject), system),
    });
  else if (options.full !== true)
    for (const line of cardLines(figures, findings, dangersOf(read, ports, procedure.subject), system)) say(line);
  else {
    const parts = [
      planLines(figures, findings, system),
      namedFacts(read.facts).flatMap(([name, text], index) => [
        ...(index === 0 ? ['JOB'] : []),
        ...wrap(`${name.padEnd(17)} ${text}`, 2, 20),
      ]),
      stepLines(procedure),
      cautionLines(read, ports, procedure.subject, system),
    ];
    for (const line of parts
      .filter((lines) => lines.length > 0)
      .flatMap((lines, index) => (index === 0 ? lines : ['', ...lines])))
      say(line);
  }
  process.exitCode = findings.some((finding) => finding.grade === 'stop') ? exitCodes.undecided : exitCodes.done;
}

const stepsOf = ({ prepare: before, stages, finish }: Procedure) => ({
  prepare: before,
  stages: stages.map(({ name, prepare: beforeStage, look }) => ({ name, prepare: beforeStage, look })),
  finish,
});

function shopIfAny(given: string | undefined): ReturnType<typeof findShop> | null {
  if (given !== undefined) return findShop(given);
  try {
    return findShop(undefined);
  } catch (error) {
    if (error instanceof DwellmarkError && error.code === 'usage') return null;
    throw error;
  }
}
