import { readFileSync } from 'node:fs';
import path from 'node:path';
import { Judgement, type StageResult, type Verdict } from '../../src/evaluation/index.js';
import { type Reading, supervise, supervisionLimits, supervisionStart } from '../../src/gauge/index.js';
import type { HoldInput } from '../../src/holdtest/index.js';
import { makePlan, readJob, readProcedure, type TestPlan } from '../../src/procedure/index.js';
import { pressurePa, temperatureK } from '../../src/units/index.js';
import type { Row } from './gauge-chain.js';
import type { Hold } from './hold.js';
import type { HoldSpec } from './hold-spec.js';

/** What the program made of a log. Times on the log's clock, s. */
export interface Outcome {
  readonly verdict: Verdict;
  readonly reason: string;
  readonly stageReason: string | null;
  readonly dropPa: number | null;
  readonly uncertaintyPa: number | null;
  readonly allowedPa: number | null;
  readonly dwellStartS: number | null;
  readonly dwellEndS: number | null;
  /** Time of the reading at which the stage was judged. */
  readonly decidedAtS: number | null;
  readonly stage: StageResult | null;
}

const template = path.resolve(import.meta.dirname, '../../templates/cylinder-proof.toml');
const shipped = readFileSync(template, 'utf8');

/** The shipped procedure with the hold's own dwell, and its settling rate where that was edited. */
export function procedureText({ test: { dwellS, settleBarPerMin } }: HoldSpec): string {
  const dwelling = shipped.replace(/^(dwell *= )"[^"]*"/m, (line, key) =>
    dwellS === 300 && line.includes('"5 min"') ? line : `${key}"${dwellS} s"`,
  );
  if (settleBarPerMin === undefined) return dwelling;
  return dwelling.replace(/(stabilise *= \{ rate = )"[^"]*"/, `$1"${settleBarPerMin} bar/min"`);
}

/** A job as a shop would write it for this cylinder and this gauge: nominal figures, and nothing of the truth. */
export function jobText({ cylinder, gauge }: HoldSpec, procedure = 'cylinder-proof'): string {
  const mm = (metres: number): string => `"${Number((metres * 1e3).toFixed(3))} mm"`;
  const bar = (pa: number): string => `${Number((pa / 1e5).toFixed(4))}`;
  return `work_order = "WO-1"
customer = "Invented Plant"
procedure = "${procedure}"
[gauge]
serial = "G-1"
range = "0..${bar(gauge.rangePa)} bar"
resolution = "${bar(gauge.resolutionPa)} bar"
accuracy = "0.25 %FS"
[cylinder]
serial = "C-1"
bore = ${mm(cylinder.boreM)}
rod = ${mm(cylinder.rodM)}
stroke = ${mm(cylinder.strokeM)}
rated_pressure = "${bar(cylinder.ratedPa)} bar"
${cylinder.wallStated ? `barrel_outside = ${mm(cylinder.boreM + 2 * cylinder.wallM)}\n` : ''}[fluid]
kind = "ISO VG 46"
[[port]]
name = "${cylinder.port}"
position = "${cylinder.port === 'A' ? 'extended' : 'retracted'}"
opposite = "open"
line_volume = "${Number((cylinder.lineM3 * 1e3).toFixed(4))} L"
`;
}

export function planOf(spec: HoldSpec): TestPlan {
  const job = readJob(jobText(spec), { file: 'job.toml' });
  if (job.gauge.kind !== 'stated') throw new Error('the job states its gauge');
  const procedure = readProcedure(procedureText(spec), { file: 'procedure.toml' });
  return makePlan({
    job,
    procedure,
    procedureSha256: '0'.repeat(64),
    asShipped: procedureText(spec) === shipped,
    gauge: job.gauge.spec,
    attendance: 'unattended',
  }).plan;
}

/** Whole microseconds, pascals and millikelvins, from the first row on, as the program's own reader of logs has them. */
export function asReading(row: Row, firstS: number): Reading {
  return {
    timeUs: Math.round((row.timeS - firstS) * 1e6),
    pressurePa: pressurePa(Math.round(row.bar * 1e5) + 0),
    oppositePa: null,
    oilK: row.celsius === null ? null : temperatureK(Math.round((row.celsius + 273.15) * 1000) / 1000),
    flags: 0,
  };
}

/** Judges the log of a hold in process, supervised as an imported log is. Nothing but plan and log goes in. */
export function runHold({ spec, rows }: Pick<Hold, 'spec' | 'rows'>): Outcome {
  const plan = planOf(spec);
  const judgement = new Judgement(plan);
  const supervision = supervisionStart();
  const limits = supervisionLimits({ ...plan.gauge, mode: 'when-stable' });
  let decidedAtS: number | null = null;
  let lastUs = 0;
  const firstS = rows[0]?.timeS ?? 0;
  const take = (input: HoldInput): void => {
    judgement.add(input);
    if (decidedAtS === null && judgement.stages.length > 0) decidedAtS = lastUs / 1e6;
  };
  for (const row of rows) {
    const reading = asReading(row, firstS);
    lastUs = reading.timeUs;
    take({ kind: 'reading', reading });
    for (const fault of supervise(supervision, { kind: 'reading', reading }, limits)) take({ kind: 'fault', fault });
  }
  take({ kind: 'end', timeUs: lastUs, why: 'end of trace' });
  const result = judgement.result();
  const port = result.ports[0];
  const stage = port?.stages.at(-1) ?? null;
  const startUs = stage?.dwellStartUs ?? null;
  const dwellS = stage?.dwellS ?? null;
  return {
    verdict: result.verdict,
    reason: port?.reason ?? '',
    stageReason: stage?.reason ?? null,
    dropPa: stage?.dropPa ?? null,
    uncertaintyPa: stage?.dropUncertaintyPa ?? null,
    allowedPa: stage?.allowedDropPa ?? null,
    dwellStartS: startUs === null ? null : startUs / 1e6 + firstS,
    dwellEndS: startUs === null || dwellS === null ? null : startUs / 1e6 + firstS + dwellS,
    decidedAtS,
    stage,
  };
}
