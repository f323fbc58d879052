import { readFile, stat } from 'node:fs/promises';
import { DwellmarkError } from '../../src/gauge/index.js';

/** What the system said when a port would not open, as an error for the person who must act. */
export async function openError(path: string, cause: Error): Promise<DwellmarkError> {
  const said = cause.message;
  const fail = (message: string, advice: string): DwellmarkError =>
    new DwellmarkError('gauge', message, { place: { key: 'path' }, advice, cause });
  if (/no such file|file not found|unknown error code 2\b/i.test(said))
    return fail(`there is no serial port ${path}`, 'Is the gauge plugged in? "dwellmark gauge list" shows the ports.');
  if (/permission denied/i.test(said)) {
    const group = await groupOf(path);
    return fail(
      `no permission to open ${path}`,
      group === undefined
        ? 'Ask who keeps this computer for the right to use serial ports.'
        : `Join the group that owns it, "sudo usermod -aG ${group} $USER", and log in again.`,
    );
  }
  if (/cannot lock|temporarily unavailable|access (is )?denied|busy/i.test(said))
    return fail(
      `${path} is in use by another program`,
      'Close the other program, or the other dwellmark, and try again.',
    );
  if (/inappropriate ioctl|not a tty|invalid argument/i.test(said))
    return fail(`${path} is not a serial port, or does not take these line settings`, 'Check path and baud_rate.');
  return fail(`${path} would not open: ${said}`, 'Check path, cable and line settings.');
}

async function groupOf(path: string): Promise<string | undefined> {
  try {
    const { gid } = await stat(path);
    const line = (await readFile('/etc/group', 'utf8')).split('\n').find((row) => row.split(':')[2] === String(gid));
    return line?.split(':')[0];
  } catch {
    return undefined;
  }
}
