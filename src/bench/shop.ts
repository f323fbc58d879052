import { existsSync, statSync } from 'node:fs';
import path from 'node:path';
import { z } from 'zod';
import type { CertificateDemand } from '../certificate/index.js';
import {
  type CalibrationPolicy,
  type GaugeSpec,
  gaugeOf,
  gaugeTable,
  type OilProbeSpec,
  probeOf,
  probeTable,
  readToml,
  refusal,
  shaped,
  usualCalibrationPolicy,
  words,
} from '../procedure/index.js';
import { fileLimits, readGivenText } from '../record/index.js';
import type { SignatureRules } from '../signing/index.js';
import { DwellmarkError, type UnitSystemName, unitSystems } from '../units/index.js';
import { type Hooks, hooksSchema } from './hooks.js';

/** A shop as its `dwellmark.toml` states it. Paths are absolute. */
export interface Shop {
  readonly file: string;
  readonly folder: string;
  readonly name: string;
  readonly address: string;
  readonly bench: string;
  /** Age from which a bench check no longer counts, days. */
  readonly benchCheckDays: number;
  readonly units: UnitSystemName;
  readonly paper: 'A4' | 'Letter';
  readonly language: 'en' | 'de';
  readonly database: string;
  readonly keys: string;
  /** Prefix of certificate numbers, `HF`. */
  readonly series: string;
  readonly logo: string | null;
  readonly accent: string | null;
  /** Address of the archive of many benches, or null. */
  readonly archive: string | null;
  readonly signatures: SignatureRules & { readonly required: readonly SignatureNeed[] };
  readonly calibration: CalibrationPolicy;
  /** What a certificate needs beside a pass; without it the paper is a test report. */
  readonly certificate: readonly CertificateDemand[];
  /** More keys of a foot switch, a keypad or a scanner, and the word of what each does. */
  readonly keymap: Readonly<Record<string, string>>;
  /** Commands or addresses that get what was sealed and issued. */
  readonly hooks: Hooks;
  readonly gauges: readonly ShopGauge[];
  readonly probes: readonly ShopProbe[];
}

export type SignatureNeed = 'performed' | 'reviewed and released' | 'witnessed';

/** A gauge the shop knows: what it is and how to read it. */
export interface ShopGauge extends ReadHow {
  readonly spec: GaugeSpec;
}

/** An oil probe that the shop knows. */
export interface ShopProbe extends ReadHow {
  readonly spec: OilProbeSpec;
}

/** How an instrument is read. */
export interface ReadHow {
  readonly driver: string;
  /** The `[gauge.line]` table as it stands there; the driver checks it. */
  readonly settings: Readonly<Record<string, unknown>>;
  /** No real oil behind it: tests made with it say so on every page. */
  readonly simulated: boolean;
}

export const shopFileName = 'dwellmark.toml';

const unitNames = Object.keys(unitSystems) as [UnitSystemName, ...UnitSystemName[]];

const grade = z.enum(['stop', 'warn', 'note']);

const readHow = {
  driver: words('"ascii-stream"').optional(),
  line: z.record(z.string(), z.unknown()).default({}),
  simulated: z.boolean().default(false),
};

/** What a shop file may say, key by key. */
export const shopSchema = z.strictObject({
  name: words('"Harrow Fell Hydraulics"'),
  address: z.string().default(''),
  bench: z.string().default('Bench 1'),
  bench_check_days: z.int().positive().default(30),
  units: z.enum(unitNames).default('bar'),
  paper: z.enum(['A4', 'Letter']).default('A4'),
  language: z.enum(['en', 'de']).default('en'),
  database: words('"record.db"').default('record.db'),
  keys: words('"keys"').default('keys'),
  series: z
    .string()
    .regex(/^[A-Z0-9]{1,8}$/, 'use 1 to 8 capital letters and digits')
    .default('C'),
  logo: z.string().optional(),
  archive: z.string().optional(),
  accent: z
    .string()
    .regex(/^#[0-9a-fA-F]{6}$/, 'write a colour as "#1f4e5f"')
    .optional(),
  signatures: z
    .strictObject({
      required: z.array(z.enum(['performed', 'reviewed and released', 'witnessed'])).default(['reviewed and released']),
      self_review: z.boolean().default(false),
      release_only_pass: z.boolean().default(false),
    })
    .prefault({}),
  calibration: z
    .strictObject({
      missing: grade.default(usualCalibrationPolicy.missing),
      out_of_date: grade.default(usualCalibrationPolicy.outOfDate),
      not_covering: grade.default(usualCalibrationPolicy.notCovering),
      notice_days: z.int().nonnegative().default(usualCalibrationPolicy.noticeDays),
    })
    .prefault({}),
  certificate: z
    .strictObject({ calibration_required: z.boolean().default(true), inspection_required: z.boolean().default(true) })
    .prefault({}),
  keymap: z.record(z.string().min(1), z.string()).default({}),
  hooks: hooksSchema.prefault({}),
  gauge: z.array(z.strictObject({ ...gaugeTable.shape, ...readHow })).default([]),
  probe: z.array(z.strictObject({ ...probeTable.shape, ...readHow })).default([]),
});

/**
 * Finds the shop of a command: the folder given, else `DWELLMARK_SHOP`, else the nearest `dwellmark.toml` upwards.
 * @throws DwellmarkError (`usage`) when there is none.
 */
export function findShop(given: string | undefined, from: string = process.cwd()): Shop {
  const named = given ?? process.env.DWELLMARK_SHOP;
  if (named !== undefined && named !== '') {
    const file = existsSync(named) && statSync(named).isFile() ? named : path.join(named, shopFileName);
    if (!existsSync(file))
      throw new DwellmarkError('usage', `there is no ${shopFileName} in ${named}`, {
        advice: `Run \`dwellmark init --shop ${named}\` to make one.`,
      });
    return readShop(path.resolve(file));
  }
  const found = upwards(path.resolve(from));
  if (!found)
    throw new DwellmarkError('usage', `no ${shopFileName} here or in any folder above`, {
      advice: "Run `dwellmark init` in the shop's folder, or name it with --shop DIR.",
    });
  return readShop(found);
}

/** The same where there may be none: null then. A shop that is named must be there. */
export function findShopIfAny(given: string | undefined): Shop | null {
  try {
    return findShop(given);
  } catch (cause) {
    const named = given !== undefined || Boolean(process.env.DWELLMARK_SHOP);
    if (!named && cause instanceof DwellmarkError && cause.code === 'usage') return null;
    throw cause;
  }
}

function upwards(folder: string): string | null {
  const file = path.join(folder, shopFileName);
  if (existsSync(file)) return file;
  const up = path.dirname(folder);
  return up === folder ? null : upwards(up);
}

/** Reads a shop file. @throws DwellmarkError (`input`) naming file, line and key. */
export function readShop(file: string): Shop {
  const document = readToml(readGivenText(file, { what: 'shop file', most: fileLimits.text }), { file });
  const shop = shaped(document, shopSchema);
  const folder = path.dirname(file);
  const gauges = shop.gauge.map((entry, index): ShopGauge => {
    const { driver, line, simulated, ...table } = entry;
    const spec = gaugeOf(table);
    if ('key' in spec) throw refusal(document, ['gauge', index, spec.key], spec.message, spec.advice);
    return { spec, driver: driver ?? 'ascii-stream', settings: line, simulated };
  });
  const probes = shop.probe.map(({ driver, line, simulated, ...table }): ShopProbe => {
    return { spec: probeOf(table), driver: driver ?? 'ascii-stream', settings: line, simulated };
  });
  const serials = [...gauges, ...probes].map(({ spec }) => spec.serial);
  const twice = serials.findIndex((serial, index) => serials.indexOf(serial) < index);
  if (twice >= 0)
    throw refusal(
      document,
      twice < gauges.length ? ['gauge', twice, 'serial'] : ['probe', twice - gauges.length, 'serial'],
      `gauge ${serials[twice]} is listed twice`,
    );
  return {
    file,
    folder,
    name: shop.name,
    address: shop.address,
    bench: shop.bench,
    benchCheckDays: shop.bench_check_days,
    units: shop.units,
    paper: shop.paper,
    language: shop.language,
    database: path.resolve(folder, shop.database),
    keys: path.resolve(folder, shop.keys),
    series: shop.series,
    logo: shop.logo === undefined ? null : path.resolve(folder, shop.logo),
    accent: shop.accent ?? null,
    archive: shop.archive ?? null,
    signatures: {
      required: shop.signatures.required,
      selfReview: shop.signatures.self_review,
      releaseOnlyPass: shop.signatures.release_only_pass,
    },
    calibration: {
      missing: shop.calibration.missing,
      outOfDate: shop.calibration.out_of_date,
      notCovering: shop.calibration.not_covering,
      noticeDays: shop.calibration.notice_days,
    },
    keymap: shop.keymap,
    certificate: [
      ...(shop.certificate.calibration_required ? (['calibration'] as const) : []),
      ...(shop.certificate.inspection_required ? (['inspection'] as const) : []),
    ],
    hooks: shop.hooks,
    gauges,
    probes,
  };
}

/** A known gauge by its serial. @throws DwellmarkError (`input`). */
export const gaugeOfShop = (shop: Shop | null, serial: string): ShopGauge =>
  shop?.gauges.find(({ spec }) => spec.serial === serial) ?? notInShop(shop, serial);

/** A known gauge or oil probe by its serial. @throws DwellmarkError (`input`). */
export const instrumentOfShop = (shop: Shop, serial: string): ShopGauge | ShopProbe =>
  [...shop.gauges, ...shop.probes].find(({ spec }) => spec.serial === serial) ?? notInShop(shop, serial);

function notInShop(shop: Shop | null, serial: string): never {
  const known = [...(shop?.gauges ?? []), ...(shop?.probes ?? [])].map(({ spec }) => spec.serial);
  throw new DwellmarkError(
    'input',
    shop === null
      ? `gauge "${serial}" is only a name, and there is no shop file`
      : `gauge "${serial}" is not in ${shop.file}`,
    {
      place: { key: 'gauge' },
      advice:
        known.length > 0
          ? `Known: ${known.join(', ')}. Add it with \`dwellmark gauge add\`, or put a [gauge] table into the job.`
          : 'Add it with `dwellmark gauge add`, or put a [gauge] table into the job.',
    },
  );
}
