import { spawnSync } from 'node:child_process';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { expect, it } from 'vitest';
import { buildProgram } from '../../src/cli/program.js';
import { commandTree } from '../../src/cli/reference/command-tree.js';
import { dwellmark } from './command-line.js';

// From dist: beside the answers that the build wrote.
const built = pathToFileURL(path.resolve(import.meta.dirname, '../../dist/src/cli/prepared-answer.js'));
const { preparedAnswer } = (await import(built.href)) as typeof import('../../src/cli/prepared-answer.js');
const main = path.resolve(import.meta.dirname, '../../dist/src/cli/main.js');

it('the help that the build prepared is what the program says, of every command', async () => {
  const tree = commandTree(buildProgram());
  expect(tree.length).toBeGreaterThan(35);
  for (const { words } of tree) {
    const { out, code } = await dwellmark(...words, '--help');
    expect(code).toBe(0);
    expect(preparedAnswer([...words, '-h']), words.join(' ')).toBe(out);
    expect(preparedAnswer([...words, '--help'])).toBe(out);
  }
  expect(preparedAnswer(['-V'])).toBe((await dwellmark('--version')).out);
  for (const asked of [[], ['list'], ['no-such-command', '--help'], ['list', '--json', '--help']])
    expect(preparedAnswer(asked)).toBeNull();
});

it('is printed by the installed program', () => {
  const { stdout, stderr, status } = spawnSync(process.execPath, [main, 'gauge', 'add', '--help'], {
    encoding: 'utf8',
  });
  expect({ stdout, stderr, status }).toEqual({
    stdout: preparedAnswer(['gauge', 'add', '--help']),
    stderr: '',
    status: 0,
  });
});
