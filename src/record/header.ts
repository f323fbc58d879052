import type { GaugeDescription } from '../gauge/index.js';
import type { Cylinder, Fluid } from '../hydraulics/index.js';
import type { Finding, JobFacts, TestPlan } from '../procedure/index.js';

/** The first link of a test's chain: everything as it was when the test started. Plain JSON, hashed as RFC 8785. */
export interface TestHeader {
  readonly format: 'dwellmark test 1';
  /** `T-2026-0007`: unique in the shop's store. */
  readonly test: string;
  readonly shop: { readonly name: string; readonly address: string };
  readonly bench: string;
  /** Wall clock at the start, ISO 8601 with offset, and what kept it. */
  readonly startedAt: string;
  readonly clock: string;
  /** The person who ran it. */
  readonly technician: string;
  readonly workOrder: string;
  readonly customer: string;
  /** Absent where the job gives none. */
  readonly customerAddress?: string;
  readonly cylinder: Cylinder & { readonly serial: string; readonly maker: string; readonly model: string };
  readonly condition: string;
  readonly received: string | null;
  /** Absent where the job states none. */
  readonly facts?: JobFacts;
  readonly fluid: Fluid;
  readonly plan: TestPlan;
  /** What spoke against the test before it began, and who overruled it and why. */
  readonly findings: readonly (Finding & { readonly overruled?: { readonly by: string; readonly why: string } })[];
  readonly gauge: GaugeDescription;
  /** Units the customer reads. */
  readonly units: string;
  /** Words of the job and the procedure as they were read, byte for byte. */
  readonly jobText: string;
  readonly procedureText: string;
  readonly software: { readonly version: string; readonly evaluation: string };
  /** How the readings came: `live`, `imported`, `simulated`; a simulated test says so on every page. */
  readonly origin: 'live' | 'imported' | 'simulated';
  /** Newest bench check, named on the certificate. */
  readonly benchCheck: { readonly test: string; readonly leakM3PerS: number; readonly at: string } | null;
}
