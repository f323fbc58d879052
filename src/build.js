/**
 * Builds `dist`: what TypeScript compiles, the scripts of pages bundled for a browser, help and the manual page.
 * `node src/build.js --clean` begins from nothing. Where development modules are not installed (`npm ci --omit=dev`)
 * there is nothing to build with: `dist` stays as it is, and what nothing loads is taken out of the modules.
 */
import { spawnSync } from 'node:child_process';
import { chmodSync, copyFileSync, existsSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { trim } from './trim-modules.js';

const root = path.resolve(import.meta.dirname ?? '.', '..');
const modules = path.join(root, 'node_modules');
const program = path.join(root, 'dist/src/cli/main.js');

/** Runs a module's script on this Node, and ends with its exit code when it fails. */
function run(script, ...args) {
  const { status } = spawnSync(process.execPath, [path.join(modules, script), ...args], {
    cwd: root,
    stdio: 'inherit',
  });
  if (status !== 0) process.exit(status ?? 1);
}

/** Writes what src/cli/prepared-answer.ts reads: the help of each command, and the version, by the words that ask it. */
async function prepareAnswers() {
  const { buildProgram } = await import(pathToFileURL(path.join(root, 'dist/src/cli/program.js')).href);
  const program = buildProgram();
  const answers = { '--version': `${program.version()}\n` };
  const prepare = (command, words) => {
    const pieces = [];
    command.configureOutput({ writeOut: (piece) => pieces.push(piece) });
    command.outputHelp();
    answers[[...words, '--help'].join(' ')] = pieces.join('');
    for (const below of command.commands) prepare(below, [...words, below.name()]);
  };
  prepare(program, []);
  writeFileSync(path.join(root, 'dist/src/cli/prepared-answers.json'), JSON.stringify(answers));
}

if (existsSync(path.join(modules, 'typescript')) && existsSync(path.join(modules, 'tsx'))) {
  if (process.argv.includes('--clean')) rmSync(path.join(root, 'dist'), { recursive: true, force: true });
  run('typescript/bin/tsc', '-p', 'tsconfig.build.json');
  run('tsx/dist/cli.mjs', 'src/page/browser/bundle.ts', 'src/page/browser/main.ts', 'src/desk/browser/live.ts');
  chmodSync(program, 0o755);
  const help = path.join(root, 'src/help');
  for (const name of readdirSync(help).filter((file) => file.endsWith('.md')))
    copyFileSync(path.join(help, name), path.join(root, 'dist/src/help', name));
  await prepareAnswers();
  const { stdout } = spawnSync(process.execPath, [program, 'man']);
  if (stdout.length > 0) writeFileSync(path.join(root, 'dist/dwellmark.1'), stdout);
} else {
  const musl = process.platform === 'linux' && process.report.getReport().header.glibcVersionRuntime === undefined;
  trim(modules, { os: process.platform, cpu: process.arch, musl });
  if (!existsSync(program))
    process.stderr.write('dist is not built: that needs the development modules (npm ci, then npm run build)\n');
}
