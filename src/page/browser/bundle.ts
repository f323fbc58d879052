import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { build, type Plugin } from 'esbuild';
import { shippedTexts } from '../../certificate/index.js';

/** Packages that may go into the page; whatever else the sources name must not be reached by what the page runs. */
const allowed = new Set(['uplot', 'canonicalize', 'zod']);
const nothing = 'nothing';

/**
 * A page's script: the same sources as the command line's, for a browser. Modules of node and packages that no
 * browser needs become empty; if anything of them were used, this fails.
 * @param entry the file that it begins with.
 */
export async function bundled(entry: string): Promise<string> {
  const { outputFiles, metafile } = await build({
    entryPoints: [entry],
    bundle: true,
    minify: true,
    format: 'iife',
    platform: 'browser',
    target: 'es2022',
    charset: 'ascii',
    legalComments: 'none',
    write: false,
    metafile: true,
    logLevel: 'error',
    plugins: [emptied],
    // Packed: what somebody replaces in the page's text must not reach the words that the text is checked against.
    define: { packedWords: JSON.stringify(Buffer.from(JSON.stringify(shippedTexts())).toString('base64')) },
  });
  const text = outputFiles[0]?.text ?? '';
  const reached = Object.values(metafile.outputs).flatMap(({ inputs }) =>
    Object.entries(inputs).filter(([name, { bytesInOutput }]) => name.startsWith(`${nothing}:`) && bytesInOutput > 0),
  );
  if (reached.length > 0) throw new Error(`the page's script reaches ${reached.map(([name]) => name).join(', ')}`);
  const foreign = /\b(?:Buffer\.|process\.|require\()/.exec(text);
  if (foreign) throw new Error(`the page's script uses ${foreign[0]}`);
  if (text.includes('<!--') || /<\/script/i.test(text)) throw new Error("the page's script would end its element");
  return text.trimEnd();
}

const emptied: Plugin = {
  name: 'empty what no browser has',
  setup({ onResolve, onLoad }) {
    onResolve({ filter: /^[^./]/ }, ({ path: name, kind }) => {
      const own = name.startsWith('@') ? name.split('/', 2).join('/') : (name.split('/', 1)[0] ?? name);
      if (kind === 'entry-point' || allowed.has(own)) return undefined;
      return { path: name, namespace: nothing, sideEffects: false };
    });
    onLoad({ filter: /.*/, namespace: nothing }, () => ({ contents: '', loader: 'js' }));
  },
};

/** `tsx src/page/browser/bundle.ts ENTRY …`: writes each beside the compiled sources in `dist`. */
if (process.argv[1] === fileURLToPath(import.meta.url))
  for (const entry of process.argv.slice(2)) {
    const file = path.join('dist', entry.replace(/\.ts$/, '.js'));
    mkdirSync(path.dirname(file), { recursive: true });
    writeFileSync(file, await bundled(path.resolve(entry)));
  }
