/**
 * The answer to a question that is the same each time (`--help`, `gauge add --help`, `--version`), or null where
 * dwellmark must start for it. The build writes them into `prepared-answers.json`. The whole program loads 31 modules before it can print its help; this loads none:
 * `getBuiltinModule`, because an import of `node:fs` loads the streams too.
 */
export function preparedAnswer(args: readonly string[]): string | null {
  const last = args.at(-1) ?? '';
  if (!['--help', '-h', '--version', '-V'].includes(last)) return null;
  const asked = [...args.slice(0, -1), last === '-h' ? '--help' : last === '-V' ? '--version' : last].join(' ');
  try {
    const { readFileSync } = process.getBuiltinModule('fs');
    const answers = JSON.parse(readFileSync(new URL('prepared-answers.json', import.meta.url), 'utf8'));
    return answers[asked] ?? null;
  } catch {
    return null; // Run from its sources.
  }
}
