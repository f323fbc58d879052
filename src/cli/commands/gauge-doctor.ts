import type { PortSettings } from '../../../drivers/serial/index.js';
import { softwareVersion } from '../../bench/index.js';
import { looksLikeText, readCapture } from '../../gauge/index.js';
import type { CommonOptions } from '../common-options.js';
import { exitCodes } from '../exit-codes.js';
import { commandName, remark, say, sayJson } from '../output.js';
import { choosePort } from './gauge-port.js';

export interface DoctorOptions extends CommonOptions {
  readonly path?: string;
  readonly baud?: number;
  readonly seconds: number;
}

/** What came at one line setting. */
interface Heard {
  readonly line: string;
  readonly bytes: number;
  /** Lines a second; null with fewer than three. */
  readonly linesPerS: number | null;
  /** Longest pause between lines as a share of the usual one; above 1.8 a line is missing. */
  readonly longestGap: number | null;
  /** As text with its control signs written out, or as hexadecimal. */
  readonly sample: readonly string[];
  readonly guess: Readonly<Record<string, unknown>> | null;
  readonly confidence: string | null;
  readonly why: readonly string[];
  /** Standard deviation of what was read, in pascals. */
  readonly noisePa: number | null;
}

/** `dwellmark gauge doctor`: what is heard on a port, as text that can be put into a mail. It writes nothing. */
export async function run(options: DoctorOptions): Promise<void> {
  const path = options.path ?? (await choosePort(false));
  const { usualLineSettings } = await import('../../../drivers/serial/index.js');
  const settings = usualLineSettings.filter(({ baudRate }) => options.baud === undefined || baudRate === options.baud);
  const tried =
    settings.length > 0 ? settings : [{ ...(usualLineSettings[0] as Setting), baudRate: options.baud ?? 9600 }];
  const heard: Heard[] = [];
  for (const line of tried) {
    remark(`listening at ${named(line)} for ${options.seconds} s ...`);
    heard.push(await listen({ path, ...line }, options.seconds));
    if (heard.at(-1)?.guess) break;
  }
  const understood = heard.some(({ guess }) => guess !== null);
  if (!understood) process.exitCode = exitCodes.gauge;
  if (options.json) return sayJson({ path, heard });
  say(`${commandName} ${softwareVersion}, Node ${process.version}, ${process.platform} ${process.arch}`);
  say(`Port ${path}`);
  for (const one of heard) for (const text of reportOf(one)) say(text);
  if (heard.every(({ bytes }) => bytes === 0))
    say('Nothing came: the gauge is off, not plugged in, or wants to be asked. It was not asked anything.');
}

type Setting = Omit<PortSettings, 'path'>;

const named = ({ baudRate, dataBits, parity, stopBits }: Setting): string =>
  `${baudRate} baud ${dataBits}${parity.charAt(0).toUpperCase()}${stopBits}`;

async function listen(settings: PortSettings, seconds: number): Promise<Heard> {
  const { LineSplitter, SerialLine } = await import('../../../drivers/serial/index.js');
  const pieces: Buffer[] = [];
  const ends: Record<'\n' | '\r', number[]> = { '\n': [], '\r': [] };
  const splitters = (['\n', '\r'] as const).map(
    (terminator) =>
      new LineSplitter({ ...settings, terminator, maxLineBytes: 512 }, (_, timeUs) => ends[terminator].push(timeUs)),
  );
  const port = new SerialLine(settings, {
    bytes: (piece, timeUs) => {
      if (pieces.length < 2000) pieces.push(piece);
      for (const splitter of splitters) splitter.take(piece, timeUs);
    },
    fault: () => {},
    reopened: () => {},
  });
  await port.open();
  await new Promise((resolve) => setTimeout(resolve, seconds * 1000));
  await port.close();
  const bytes = Buffer.concat(pieces);
  const capture = readCapture(bytes);
  const proposal = capture?.proposal;
  const endsUs = ends['\n'].length > 0 ? ends['\n'] : ends['\r'];
  const gaps = endsUs.slice(1).map((time, index) => time - (endsUs[index] as number));
  const usual = gaps.toSorted((a, b) => a - b)[Math.floor(gaps.length / 2)];
  const values = proposal?.readings.flatMap(({ pressurePa }) => (pressurePa === null ? [] : [pressurePa])) ?? [];
  const mean = values.reduce((sum, value) => sum + value, 0) / Math.max(1, values.length);
  const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / Math.max(1, values.length - 1);
  return {
    line: named(settings),
    bytes: bytes.length,
    linesPerS: usual === undefined || gaps.length < 2 ? null : 1e6 / usual,
    longestGap: usual === undefined || gaps.length < 2 ? null : Math.max(...gaps) / usual,
    sample: sampleOf(bytes, capture?.lines),
    guess: proposal ? { ...proposal.settings } : null,
    confidence: proposal?.confidence ?? null,
    why: proposal ? [...proposal.why, ...(proposal.ask ? [proposal.ask.because] : [])] : [],
    noisePa: values.length > 2 ? Math.sqrt(variance) : null,
  };
}

/** Five lines, or the first 64 bytes where there are no lines. */
function sampleOf(bytes: Buffer, lines: readonly string[] | undefined): readonly string[] {
  if (bytes.length === 0) return [];
  if (lines && lines.length > 0) return lines.slice(0, 5).map((line) => JSON.stringify(line.slice(0, 120)));
  if (looksLikeText(bytes)) return [JSON.stringify(bytes.toString('latin1', 0, 120))];
  return [
    bytes
      .subarray(0, 64)
      .toString('hex')
      .replace(/..(?=.)/g, '$& '),
  ];
}

function reportOf({ line, bytes, sample, guess, confidence, why, linesPerS, longestGap, noisePa }: Heard): string[] {
  if (bytes === 0) return [`${line}: nothing`];
  const rate = linesPerS === null ? '' : `, ${linesPerS.toFixed(1)} lines/s`;
  const missing = longestGap !== null && longestGap > 1.8 ? ', lines are missing' : '';
  return [
    `${line}: ${bytes} bytes${rate}${missing}`,
    ...sample.map((text) => `  ${text}`),
    ...(guess === null
      ? ['  not understood']
      : [`  guess (${confidence}): ${JSON.stringify(guess)}`, ...why.map((reason) => `  because ${reason}`)]),
    ...(noisePa === null ? [] : [`  noise ${Math.round(noisePa)} Pa (standard deviation)`]),
  ];
}
