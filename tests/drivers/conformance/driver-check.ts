import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { DriverModule } from '../../../src/gauge/index.js';
import { type DriverCheck, rulesFor } from './rules.js';

/**
 * Tells whether a driver keeps the contract: `npx tsx tests/drivers/conformance/driver-check.ts FILE`. The file
 * exports `driver`, and `check`, which says what its instrument sends and what must be read of it (see `DriverCheck`).
 */
const file = process.argv[2];
if (file === undefined) {
  process.stderr.write('Which driver? Give the file that exports `driver` and `check`.\n');
  process.exit(2);
}
const module = (await import(pathToFileURL(resolve(file)).href)) as { driver?: DriverModule; check?: DriverCheck };
const { driver, check } = module;
if (!driver || !check) {
  process.stderr.write(`${file} exports no ${driver ? '`check`' : '`driver`'}.\n`);
  process.exit(2);
}
let broken = 0;
for (const rule of rulesFor(check)) {
  const error = await rule.check(driver, check).then(
    () => undefined,
    (cause: unknown) => (cause instanceof Error ? cause.message : String(cause)),
  );
  process.stdout.write(
    `${error === undefined ? 'kept  ' : 'broken'}  ${rule.name}${error === undefined ? '' : `: ${error}`}\n`,
  );
  if (error !== undefined) broken += 1;
}
process.stdout.write(
  broken === 0 ? `${driver.name} keeps the contract.\n` : `${driver.name} breaks ${broken} rules.\n`,
);
process.exit(broken === 0 ? 0 : 1);
