import { DwellmarkError } from '../../units/index.js';
import { type FoundGauge, type GaugeAddOptions, given, lineKeys, sayTry } from './found-gauge.js';
import { knownBefore, shapeOf } from './shape-keys.js';

/**
 * Sets up a gauge that answers a text command: tries line settings, ends and checksums until it does.
 * @throws DwellmarkError (`gauge`) when no answer that can be read comes.
 */
export async function askedGauge(path: string, options: GaugeAddOptions): Promise<FoundGauge> {
  const { tryRequests } = await import('../../../drivers/ascii-poll/index.js');
  const { usualLineSettings } = await import('../../../drivers/serial/index.js');
  const written = await given(options.request, {
    question: 'Command that asks for a reading, as its manual says ({address} and {checksum} may stand in it)',
    option: '--request',
    ...(options.yes === undefined ? {} : { yes: options.yes }),
  });
  const request = written.replaceAll('\\r', '\r').replaceAll('\\n', '\n');
  const address = request.includes('{address}')
    ? await given(options.address, { question: 'Address set on the gauge', option: '--address', preset: '01' })
    : undefined;
  const { baud } = options;
  const answered = await tryRequests(
    path,
    { request, ...(address === undefined ? {} : { address }) },
    {
      ...(baud === undefined ? {} : { lines: usualLineSettings.filter(({ baudRate }) => baudRate === baud) }),
      known: knownBefore(options),
      onTry: sayTry('asking'),
    },
  );
  if (!answered)
    throw new DwellmarkError('gauge', `nothing that can be read answers ${JSON.stringify(written)} on ${path}`, {
      advice: 'Check the command, the address, and that the gauge is set to answer and not to talk by itself.',
    });
  const { keys, ...shape } = await shapeOf(answered.proposal, answered.lines, options);
  return {
    driver: 'ascii-poll',
    ...shape,
    line: {
      path,
      ...lineKeys(answered.line),
      request: answered.request,
      ...(address === undefined ? {} : { address }),
      ...(answered.requestChecksum === 'none' ? {} : { request_checksum: answered.requestChecksum }),
      terminator: answered.terminator,
      ...keys,
    },
  };
}
