import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** Path of a shipped file of `templates/certificate`, found upwards from here, from source as from the built program. */
export function templateFile(name: string): string {
  for (let folder = dirname(fileURLToPath(import.meta.url)); ; folder = dirname(folder)) {
    const candidate = join(folder, 'templates', 'certificate', name);
    if (existsSync(candidate)) return candidate;
    if (folder === dirname(folder)) throw new Error(`templates/certificate/${name} is not part of this installation`);
  }
}
