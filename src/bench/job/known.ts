import { existsSync, readdirSync } from 'node:fs';
import path from 'node:path';
import { type Job, readJob, readProcedure, readToml } from '../../procedure/index.js';
import { fileLimits, openStore, readGivenText, type Store } from '../../record/index.js';
import { DwellmarkError, type UnitSystem, unitSystems } from '../../units/index.js';
import type { Shop } from '../shop.js';
import { findProcedure, procedureNames } from '../templates.js';
import { answersOf, type JobTable, withoutOrder } from './job-table.js';
import type { Answers } from './questions.js';

/** What a new job can take from the shop. */
export interface ShopKnows {
  readonly system: UnitSystem;
  /** The last job of that cylinder. */
  readonly former: FormerJob | null;
  /** Why it was tested then. */
  readonly lastPurpose: string | undefined;
  /** The newest customers first. */
  readonly customers: readonly string[];
  readonly procedures: readonly { readonly id: string; readonly title: string }[];
  readonly gauges: readonly string[];
  /** Pump and booster of the newest job. */
  readonly bench: Answers;
}

export interface FormerJob {
  /** `test T-2026-0007` or the job's file. */
  readonly from: string;
  /** All that it says but for the order it was made for. */
  readonly table: JobTable;
}

/** A job file of the shop; null for one that can't be read. */
export interface JobFile {
  readonly file: string;
  readonly job: Job | null;
  readonly text: string;
}

/** Every file in `jobs/`, by name. */
export function jobFiles(shop: Shop): readonly JobFile[] {
  const folder = path.join(shop.folder, 'jobs');
  const names = existsSync(folder) ? readdirSync(folder).filter((name) => name.endsWith('.toml')) : [];
  return names.sort().map((name) => {
    const file = path.join(folder, name);
    try {
      const text = readGivenText(file, { what: 'job', most: fileLimits.text });
      return { file, text, job: readJob(text, { file }) };
    } catch (cause) {
      if (cause instanceof DwellmarkError) return { file, text: '', job: null };
      throw cause;
    }
  });
}

/** The customers, procedures and gauges of a shop, and the former job of a cylinder where its serial is known. */
export function shopKnows(shop: Shop, serial: string | undefined): ShopKnows {
  const store = existsSync(shop.database) ? openStore(shop.database, { mode: 'read' }) : null;
  try {
    const files = jobFiles(shop);
    const former = serial === undefined ? null : formerJob(store, files, serial);
    return {
      system: unitSystems[shop.units],
      former: former && { from: former.from, table: withoutOrder(former.table) },
      lastPurpose: former === null ? undefined : String(former.table.purpose ?? ''),
      customers: customersOf(store, files),
      procedures: proceduresOf(shop),
      gauges: shop.gauges.map(({ spec }) => spec.serial),
      bench: benchOf(store, files),
    };
  } finally {
    store?.close();
  }
}

/** The newest test of the cylinder, else a job file that was not tested yet. */
function formerJob(store: Store | null, files: readonly JobFile[], serial: string): FormerJob | null {
  const same = (text: string): boolean => text.trim().toLowerCase() === serial.trim().toLowerCase();
  const test = store?.tests({ serial }).find((line) => same(line.serial))?.test;
  if (test !== undefined && store !== null) {
    const { jobText } = store.test(test).header;
    return { from: `test ${test}`, table: readToml(jobText, { file: test }).data };
  }
  const file = files.filter(({ job }) => job !== null && same(job.cylinder.serial)).at(-1);
  return file === undefined
    ? null
    : { from: path.basename(file.file), table: readToml(file.text, { file: file.file }).data };
}

/** As the newest test has it, else as a job file has it that states any. */
function benchOf(store: Store | null, files: readonly JobFile[]): Answers {
  const [newest] = store?.tests({ limit: 1 }) ?? [];
  const texts = [
    ...(newest === undefined || store === null ? [] : [store.test(newest.test).header.jobText]),
    ...files.filter(({ job }) => job !== null).map(({ text }) => text),
  ];
  const answers = texts.map((text) => answersOf(readToml(text, { file: 'job' }).data));
  const last = (key: string): string | undefined => answers.find((one) => one[key] !== undefined)?.[key];
  return { booster_stroke: last('booster_stroke'), pump_flow: last('pump_flow') };
}

const mostCustomers = 9;

function customersOf(store: Store | null, files: readonly JobFile[]): readonly string[] {
  const tested = store?.tests({ limit: 500 }).map(({ customer }) => customer) ?? [];
  const asked = files.flatMap(({ job }) => (job === null ? [] : [job.customer]));
  return [...new Set([...tested, ...asked])].slice(0, mostCustomers);
}

/** Every procedure that tests a cylinder, the shop's own first. */
function proceduresOf(shop: Shop): ShopKnows['procedures'] {
  return procedureNames(shop.folder).flatMap((id) => {
    try {
      const found = findProcedure(id, shop.folder, shop.folder);
      const { title, subject } = readProcedure(found.text, { file: found.file });
      return subject === 'plugged lines' ? [] : [{ id, title }];
    } catch (cause) {
      if (cause instanceof DwellmarkError) return [];
      throw cause;
    }
  });
}

/** Serials that were tested or are in a job under that work order; and whether it is a serial itself. */
export function scanned(shop: Shop, scan: string): { readonly isSerial: boolean; readonly serials: readonly string[] } {
  const same = (text: string): boolean => text.trim().toLowerCase() === scan.trim().toLowerCase();
  const store = existsSync(shop.database) ? openStore(shop.database, { mode: 'read' }) : null;
  try {
    const tests = [...(store?.tests({ serial: scan }) ?? []), ...(store?.tests({ workOrder: scan }) ?? [])];
    const jobs = jobFiles(shop).flatMap(({ job }) =>
      job === null ? [] : [{ serial: job.cylinder.serial, workOrder: job.workOrder }],
    );
    const all = [...tests, ...jobs];
    return {
      isSerial: all.some(({ serial }) => same(serial)),
      serials: [...new Set(all.filter(({ workOrder }) => same(workOrder)).map(({ serial }) => serial))],
    };
  } finally {
    store?.close();
  }
}
