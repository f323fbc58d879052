/** The oldest Node.js that dwellmark runs on; package.json says the same. */
const oldest: readonly [major: number, minor: number] = [22, 12];

/**
 * What to tell where Node.js is too old, or null.
 * @param version as `process.versions.node` has it.
 * @example oldNode('20.19.5')?.split('\n')[0] // 'dwellmark: needs Node.js 22.12 or newer; this is 20.19.5'
 */
export function oldNode(version: string): string | null {
  const [major = 0, minor = 0] = version.split('.').map(Number);
  if (major > oldest[0] || (major === oldest[0] && minor >= oldest[1])) return null;
  return `dwellmark: needs Node.js ${oldest.join('.')} or newer; this is ${version}
  Install a newer one. In a clone, npx dwellmark and npm run take the one of node_modules/.bin.`;
}

/** What to tell when a binary (SQLite, serial port, terminal) did not load; null where the error has another cause. */
export function unfitBinary(error: unknown): string | null {
  if (!(error instanceof Error)) return null;
  const { code } = error as NodeJS.ErrnoException;
  const notLoaded = code === 'ERR_DLOPEN_FAILED';
  const notThere =
    (code === 'MODULE_NOT_FOUND' && /\.node'/.test(error.message)) || /No native build was found/.test(error.message);
  if (!notLoaded && !notThere) return unfitBinary(error.cause);
  const here = `Node.js ${process.versions.node} on ${process.platform} ${process.arch}`;
  const [reason = ''] = error.message.split('\n');
  return `dwellmark: a binary is missing or made for another machine; this is ${here}
  ${reason}
  Install the modules again on this computer with this Node.js (npm ci, or npm install -g again).`;
}
