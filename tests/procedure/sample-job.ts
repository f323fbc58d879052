import { readFileSync } from 'node:fs';
import path from 'node:path';
import { type Job, type MadePlan, makePlan, readJob, readProcedure } from '../../src/procedure/index.js';
import type { PlanDemand } from '../../src/procedure/plan/make-plan.js';

/** A 100/56 x 500 cylinder rated 160 bar at an invented shop, one hold on A. Line 1 is `work_order`. */
export const jobText = `work_order = "WO-2207"
customer = "Tarn Plant Hire"
procedure = "cylinder-proof"

[gauge]
serial = "SN 40117"
range = "0..400 bar"
resolution = "0.1 bar"
accuracy = "0.25 %FS"

[gauge.calibration]
certificate = "CAL-0311"
laboratory = "Ullock Calibration"
date = 2026-03-14
due = 2027-03-14

[cylinder]
serial = "C-1042"
bore = "100 mm"
rod = "56 mm"
stroke = "500 mm"
rated_pressure = "160 bar"
barrel_outside = "120 mm"

[fluid]
kind = "ISO VG 46"

[bench]
relief = "250 bar"

[[port]]
name = "A"
position = "extended"
opposite = "open"
line_volume = "0.4 L"
`;

/** The job with pieces of its text replaced; a piece that is not there is a mistake in the test. */
export function changed(text: string, changes: readonly (readonly [string, string])[]): string {
  return changes.reduce((now, [from, to]) => {
    if (!now.includes(from)) throw new Error(`the text has no ${from}`);
    return now.replace(from, to);
  }, text);
}

export const lineOf = (text: string, piece: string): number => text.slice(0, text.indexOf(piece)).split('\n').length;

export const templateNames = [
  'cylinder-proof',
  'low-then-proof',
  'pump-then-booster',
  'customer-limit',
  'bench-check',
  'routine-look',
  'three-minute-hold',
  'collected-by-bore',
] as const;

export const templateText = (id: string): string =>
  readFileSync(path.resolve(import.meta.dirname, '../../templates', `${id}.toml`), 'utf8');

/** The plan of the sample job, with changes to the job's text and to its procedure's. */
export function planned(
  change: {
    readonly job?: readonly (readonly [string, string])[];
    readonly template?: string;
    readonly procedure?: readonly (readonly [string, string])[];
    readonly demand?: Partial<PlanDemand>;
  } = {},
): MadePlan & { readonly job: Job } {
  const job = readJob(changed(jobText, change.job ?? []), { file: 'job.toml' });
  const text = changed(templateText(change.template ?? 'cylinder-proof'), change.procedure ?? []);
  const procedure = readProcedure(text, { file: 'procedure.toml' });
  if (job.gauge.kind !== 'stated') throw new Error('the sample job states its gauge');
  const made = makePlan({
    job,
    procedure,
    procedureSha256: '0'.repeat(64),
    asShipped: true,
    gauge: job.gauge.spec,
    attendance: 'attended',
    on: '2026-11-25',
    ...change.demand,
  });
  return { ...made, job };
}

/** Port B beside port A. */
export const portB: readonly [string, string] = [
  'line_volume = "0.4 L"\n',
  'line_volume = "0.4 L"\n\n[[port]]\nname = "B"\nposition = "retracted"\nopposite = "open"\nline_volume = "0.4 L"\n',
];
