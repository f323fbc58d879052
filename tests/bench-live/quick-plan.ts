import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { prepare, readShop } from '../../src/bench/index.js';
import type { TestPlan } from '../../src/procedure/index.js';
import { writeQuickShop } from './quick-bench.js';

/** The plan of the quick bench, both ports. */
export function quickPlan(attendance: TestPlan['attendance'], dwellS = 10): TestPlan {
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-plan-'));
  try {
    const jobFile = writeQuickShop(folder, '/dev/null', { dwellS, attended: true, ports: ['A', 'B'] });
    return prepare({ jobFile, shop: readShop(path.join(folder, 'dwellmark.toml')), attendance, on: '2026-03-14' }).plan;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
