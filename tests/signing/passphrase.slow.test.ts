import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { spawn } from '@lydell/node-pty';
import { expect, test } from 'vitest';

const face = pathToFileURL(join(import.meta.dirname, '../../src/signing/index.ts')).href;
const program = `
  const { readPassphrase } = await import('${face}');
  const typed = await readPassphrase({ prompt: 'Passphrase of ada: ' });
  console.log('length ' + typed.length + ', ends in ' + typed.slice(-4));
`;

test('on a real terminal, what is typed is read and not one character of it is shown', async () => {
  const args = ['--import', 'tsx', '--input-type=module', '--eval', program];
  const terminal = spawn(process.execPath, args, { name: 'xterm', cols: 80, rows: 24 });
  let screen = '';
  const ended = new Promise<number>((resolve) => terminal.onExit(({ exitCode }) => resolve(exitCode)));
  terminal.onData((text) => {
    screen += text;
    if (text.includes('Passphrase of ada: ')) terminal.write('wet gasketz\x7fs, öl\r');
  });
  expect(await ended).toBe(0);
  expect(screen).toBe('Passphrase of ada: \r\nlength 15, ends in , öl\r\n');
});
