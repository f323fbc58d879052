import { availableParallelism } from 'node:os';
import { configDefaults, defineConfig } from 'vitest/config';
import type { Reporter } from 'vitest/node';

const [major = 0] = process.versions.node.split('.').map(Number);
if (major < 22)
  throw new Error(
    `Node.js ${process.versions.node} is too old: npm test and npx vitest take the one of node_modules/.bin`,
  );

/** Slow suites end in `.slow.test.ts`: `npm run test:slow` runs them, `npm test` does not. */
const slow = process.env.DWELLMARK_SUITE === 'slow';

/** Names what failed once more below everything else: a log is read from its end, and may be cut in its middle. */
const failuresLast: Reporter = {
  onTestRunEnd(modules) {
    const failed = modules.flatMap((module) => [
      ...module.errors().map(({ message }) => `${module.relativeModuleId}: ${message}`),
      ...[...module.children.allTests('failed')].map(
        (test) => `${module.relativeModuleId} > ${test.fullName}: ${test.result().errors?.[0]?.message ?? ''}`,
      ),
    ]);
    process.on('exit', () => {
      for (const line of failed) console.error('failed:', line.slice(0, 400));
    });
  },
};

export default defineConfig({
  test: {
    reporters: ['default', failuresLast],
    // Of the slow suites each test is slow: only the files are listed.
    slowTestThreshold: slow ? 600_000 : 300,
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
