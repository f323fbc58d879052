import type { Fact, Figures, Words } from '../../certificate/index.js';
import type { RecordRead } from '../read-record.js';
import type { SayPage } from '../words/page-words.js';

/** What identifies the record: hashes, counts, where the ledger stood, who judged. */
export function recordFacts({ header, seal, head, ledger, acts }: RecordRead, figures: Figures, say: SayPage): Fact[] {
  const certificates = acts.filter(({ kind }) => kind === 'certificate issued');
  const { version, evaluation } = header.software;
  return [
    { label: say('record.test'), value: header.test },
    { label: say('record.hash'), value: head },
    { label: say('record.header'), value: seal.header },
    { label: say('record.chain'), value: seal.chain },
    {
      label: say('record.entries'),
      value: say('record.entries-text', { links: seal.links, readings: seal.readings }),
    },
    { label: say('record.sealed'), value: figures.moment(seal.sealedAt) },
    { label: say('record.ledger'), value: say('record.ledger-text', { ...ledger }) },
    { label: say('record.judged'), value: say('record.judged-text', { version, evaluation }) },
    {
      label: say('record.certificates'),
      value:
        certificates
          .map(({ subject, at }) => say('record.certificate', { number: subject ?? '', date: figures.moment(at) }))
          .join('; ') || say('page.none'),
    },
  ];
}

/** What stands above everything: a void mark, a simulated gauge, an imported log. */
export function notices({ header, acts }: RecordRead, words: Words, figures: Figures, say: SayPage): string[] {
  const { origin, gauge } = header;
  const voids = acts.flatMap(({ kind, at, subject, body }) => {
    const facts = { date: figures.date(at), by: String(body.by), reason: String(body.reason), number: subject ?? '' };
    if (kind === 'test voided') return [say('page.void-test', facts)];
    return kind === 'certificate voided' ? [say('page.void-certificate', facts)] : [];
  });
  if (origin === 'simulated') return [...voids, words.say('title.simulated')];
  return origin === 'imported' ? [...voids, words.say('title.imported', { source: gauge.source })] : voids;
}

/** How the readings came, what the calibration adds, and what spoke against the test. */
export function gaugeFacts({ header }: RecordRead, figures: Figures, say: SayPage): Fact[] {
  const corrections = header.plan.gauge.calibration?.corrections ?? [];
  const findings = header.findings.filter(({ grade }) => grade !== 'note');
  return [
    { label: say('gauge.driver'), value: header.gauge.driver },
    { label: say('gauge.source'), value: header.gauge.source },
    {
      label: say('gauge.stability'),
      value:
        corrections
          .map(({ atPa, addPa }) =>
            say('gauge.correction', { add: figures.plainDifference(addPa), at: figures.pressure(atPa) }),
          )
          .join('; ') || say('gauge.corrections-none'),
    },
    {
      label: say('gauge.findings'),
      value: findings.map(({ text }) => figures.spelled(text)).join(' ') || say('page.none'),
    },
  ];
}
