import { describe, expect, test } from 'vitest';
import { maySign } from '../../src/signing/index.js';
import type { SigningQuestion } from '../../src/signing/may-sign.js';

const strict = { selfReview: false, releaseOnlyPass: false };
const ada = { id: 'ada', name: 'Ada Ortmann', role: 'technician' } as const;
const adaAsQa = { id: 'ada-qa', name: 'Ada  ORTMANN', role: 'qa' } as const;
const quentin = { id: 'quentin', name: 'Quentin Abel', role: 'qa' } as const;
const wanda = { id: 'wanda', name: 'Wanda Irving', role: 'witness' } as const;
const root = { id: 'root', name: 'Rolf Ott', role: 'administrator' } as const;
const question: SigningQuestion = {
  rules: strict,
  technician: 'Ada Ortmann',
  signer: quentin,
  meaning: 'reviewed and released',
  verdict: 'pass',
  revokedAt: null,
  rejectedBy: null,
};

describe('who may sign what', () => {
  test.each<[string, Partial<SigningQuestion>]>([
    ['the technician, that it was performed', { signer: ada, meaning: 'performed' }],
    ['the technician named by id', { signer: ada, meaning: 'performed', technician: 'ada' }],
    ['QA, a release', {}],
    ['QA, a rejection of a pass', { meaning: 'rejected' }],
    ['QA, the release of a fail report', { verdict: 'fail' }],
    ['a witness, an invalid test', { signer: wanda, meaning: 'witnessed', verdict: 'invalid' }],
    ['the same person as QA, where the shop allows it', { signer: adaAsQa, rules: { ...strict, selfReview: true } }],
    [
      'QA, a rejection where only a pass is released',
      { meaning: 'rejected', verdict: 'fail', rules: { ...strict, releaseOnlyPass: true } },
    ],
  ])('may: %s', (_, change) => {
    expect(maySign({ ...question, ...change })).toBeNull();
  });

  test.each<[string, Partial<SigningQuestion>, RegExp]>([
    ['a revoked key', { revokedAt: '2026-02-01T08:00:00Z' }, /Quentin Abel was revoked on 2026-02-01T08:00:00Z/],
    [
      'a technician releasing',
      { signer: { ...ada, id: 'tom', name: 'Tom' } },
      /signed by the role qa; Tom is technician/,
    ],
    ['QA witnessing', { meaning: 'witnessed' }, /signed by the role witness/],
    ['an administrator, anything', { signer: root, meaning: 'performed' }, /Rolf Ott is administrator/],
    ['whoever ran it, as QA under a second id', { signer: adaAsQa }, /ran this test and can't review it/],
    ['whoever ran it, rejecting it', { signer: adaAsQa, meaning: 'rejected' }, /can't review it/],
    [
      'whoever ran it, as witness, even where self-review is allowed',
      { signer: { ...ada, role: 'witness' }, meaning: 'witnessed', rules: { ...strict, selfReview: true } },
      /can't be its witness/,
    ],
    [
      'another technician, performed',
      { signer: { ...ada, id: 'tom', name: 'Tom' }, meaning: 'performed' },
      /only Ada Ortmann/,
    ],
    ['a release of what somebody rejected', { rejectedBy: 'Ines Okafor' }, /Ines Okafor rejected this test/],
    [
      'a release of a fail where only a pass is released',
      { verdict: 'fail', rules: { ...strict, releaseOnlyPass: true } },
      /verdict is fail/,
    ],
  ])('may not: %s', (_, change, why) => {
    expect(maySign({ ...question, ...change })).toMatch(why);
  });
});
