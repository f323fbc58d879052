import { availableParallelism } from 'node:os';
import { configDefaults, defineConfig } from 'vitest/config';

const [major = 0] = process.versions.node.split('.').map(Number);
if (major < 22)
  throw new Error(
    `Node.js ${process.versions.node} is too old: npm test and npx vitest take the one of node_modules/.bin`,
  );

/** Slow suites end in `.slow.test.ts`: `npm run test:slow` runs them, `npm test` does not. */
const slow = process.env.DWELLMARK_SUITE === 'slow';

export default defineConfig({
  test: {
    include: slow ? ['tests/**/*.slow.test.ts'] : ['tests/**/*.test.ts'],
    exclude: slow ? configDefaults.exclude : [...configDefaults.exclude, 'tests/**/*.slow.test.ts'],
    // One more than there are cores: many fast tests wait for a line or a clock, and leave their core to another.
    maxWorkers: availableParallelism() + (slow ? 0 : 1),
    // Test files of one worker share their modules: half of the time went into loading them again.
    isolate: false,
    testTimeout: slow ? 600_000 : 30_000,
    hookTimeout: 60_000,
  },
});
