import { CommanderError } from 'commander';
import { DwellmarkError, describePlace, type ErrorCode } from '../units/index.js';
import { exitCodes } from './exit-codes.js';
import { unfitBinary } from './node-fit.js';

const codes: Readonly<Record<ErrorCode, number>> = {
  usage: exitCodes.usage,
  input: exitCodes.usage,
  refused: exitCodes.usage,
  altered: exitCodes.altered,
  gauge: exitCodes.gauge,
};

/** Says on stderr, in one to three lines, what went wrong, where and what to do. Returns the exit code. */
export function reportFailure(error: unknown, debug: boolean): number {
  // commander has spoken already: help and version leave with 0, a mistyped option with 2.
  if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : exitCodes.usage;
  const unfit = unfitBinary(error);
  if (unfit !== null) {
    console.error(unfit);
    if (debug && error instanceof Error) console.error(error.stack);
    return exitCodes.usage;
  }
  if (error instanceof DwellmarkError) {
    // A driver of the shop's own may bring an error without `others`.
    for (const { message, place, advice } of [error, ...(error.others ?? [])]) {
      const spot = describePlace(place);
      console.error(spot === '' ? `dwellmark: ${message}` : `dwellmark: ${spot}: ${message}`);
      if (advice !== undefined) console.error(`  ${advice}`);
    }
    if (debug) console.error(withCauses(error));
    return codes[error.code];
  }
  console.error(
    `dwellmark: something went wrong that should not: ${error instanceof Error ? error.message : String(error)}`,
  );
  console.error('  Nothing that was recorded before is lost. Run it again with --debug to see where.');
  if (debug) console.error(withCauses(error));
  return exitCodes.usage;
}

/** Where an error came from, and every error behind it. */
function withCauses(error: unknown): string {
  if (!(error instanceof Error)) return String(error);
  const own = error.stack ?? error.message;
  return error.cause === undefined ? own : `${own}\ncaused by: ${withCauses(error.cause)}`;
}
