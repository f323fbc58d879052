import { describe, expect, it } from 'vitest';
import { isInspected, type StageResult } from '../../src/evaluation/index.js';
import type { HoldEvent } from '../../src/holdtest/index.js';

const proof = { name: 'proof', dwellStartUs: 200e6 } as StageResult;
const event = (code: HoldEvent['code'], stage: string | null, s: number): HoldEvent => ({
  ...{ code, stage, timeUs: s * 1e6, grade: 'note', text: '', port: 'A', attempt: 1 },
  phase: 'dwell',
});

describe('a dwell counts as looked at', () => {
  it.each([
    { what: 'confirmed in it', events: [event('inspected', 'proof', 260)], looked: true },
    { what: 'confirmed in the low stage before it', events: [event('inspected', 'low', 60)], looked: false },
    { what: 'confirmed while its pressure rose', events: [event('inspected', 'proof', 150)], looked: false },
    { what: 'confirmed after the release', events: [event('inspected', null, 500)], looked: false },
    {
      what: 'confirmed and taken back',
      events: [event('inspected', 'proof', 260), event('inspection-taken-back', 'proof', 270)],
      looked: false,
    },
    {
      what: 'taken back and confirmed again',
      events: [event('inspection-taken-back', 'proof', 250), event('inspected', 'proof', 260)],
      looked: true,
    },
    { what: 'never', events: [], looked: false },
  ])('$what: $looked', ({ events, looked }) => expect(isInspected(proof, events)).toBe(looked));
});
