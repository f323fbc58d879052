import type { Verdict } from '../../evaluation/index.js';
import { paint } from '../output.js';

const colours = { pass: 'green', fail: 'red', inconclusive: 'yellow', invalid: 'yellow' } as const;

/** PASS, FAIL, INCONCLUSIVE, INVALID: capitals, and a colour where there is one. */
export const verdictWord = (verdict: Verdict): string => paint(verdict.toUpperCase(), 'bold', colours[verdict]);
