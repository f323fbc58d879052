import { describe, expect, it, vi } from 'vitest';
import { tellTests } from '../../src/cli/commands/list.js';
import type { TestLine } from '../../src/record/index.js';

const pass: TestLine = {
  test: 'T-2026-0001',
  startedAt: '2026-03-02T09:00:00.000+01:00',
  customer: 'Tarn "Quarry" Plant',
  serial: 'TQ-3394',
  workOrder: 'WO-1',
  gauge: 'SN 40117',
  technician: 'P. Brenkeld',
  procedure: 'cylinder-proof',
  origin: 'live',
  verdict: 'pass',
  head: 'ab'.repeat(32),
  readings: 3000,
  signatures: 2,
  certificates: ['C-2026-0001', 'C-2026-0002'],
  voided: false,
};
const cutOff: TestLine = {
  ...pass,
  test: 'T-2026-0002',
  serial: 'TQ-1',
  verdict: null,
  head: null,
  readings: null,
  signatures: 0,
  certificates: [],
};

function told(...[tests, form, none]: Parameters<typeof tellTests>): string {
  const out: string[] = [];
  const spy = vi.spyOn(process.stdout, 'write').mockImplementation((piece) => out.push(String(piece)) > 0);
  tellTests(tests, form, none);
  spy.mockRestore();
  return out.join('');
}

describe('a list of tests', () => {
  it('is a line a test, in columns', () => {
    expect(told([pass, cutOff], {}, '').split('\n')).toEqual([
      'T-2026-0001  2026-03-02 09:00  TQ-3394  Tarn "Quarry" Plant  PASS  C-2026-0001 C-2026-0002',
      'T-2026-0002  2026-03-02 09:00  TQ-1     Tarn "Quarry" Plant  not sealed',
      '',
    ]);
  });

  it('is CSV with a head, each line of it ended', () => {
    expect(told([pass, cutOff], { csv: true }, '').split('\n')).toEqual([
      'test,started_at,customer,cylinder_serial,work_order,gauge,technician,procedure,origin,verdict,readings,signatures,certificates,voided,record',
      `T-2026-0001,2026-03-02T09:00:00.000+01:00,"Tarn ""Quarry"" Plant",TQ-3394,WO-1,SN 40117,P. Brenkeld,cylinder-proof,live,pass,3000,2,C-2026-0001 C-2026-0002,false,${pass.head}`,
      'T-2026-0002,2026-03-02T09:00:00.000+01:00,"Tarn ""Quarry"" Plant",TQ-1,WO-1,SN 40117,P. Brenkeld,cylinder-proof,live,,,0,,false,',
      '',
    ]);
  });

  it('may be as long as it likes', () => {
    const many = Array<TestLine>(150_000).fill(pass);
    expect(told(many, {}, '').length).toBe(150_000 * told([pass], {}, '').length);
  });

  it('of nothing says so to a person, and is empty for a program', () => {
    expect(told([], {}, 'No test is like that.')).toBe('No test is like that.\n');
    expect(told([], { json: true }, 'x')).toBe('[]\n');
    expect(told([], { csv: true }, 'x').split('\n')).toHaveLength(2);
  });
});
