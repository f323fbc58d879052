import { describe, expect, it } from 'vitest';
import { createAsciiStream } from '../../../drivers/ascii-stream/index.js';
import { type HeardGauge, listenForGauge } from '../../../drivers/serial/index.js';
import { isAbsolute, type KnownBefore, type LineProposal } from '../../../src/gauge/index.js';
import { Collected } from '../collect.js';
import { chance } from '../fuzz/spoilt-answers.js';
import { Cable, sleep } from '../pty.js';
import { type Exhibit, exhibits } from './line-shapes.js';

const seed = Math.floor(Math.random() * 2 ** 31);
const lineSettings = [{ baudRate: 9600, dataBits: 8, parity: 'none', stopBits: 1 }] as const;

/** A gauge that talks by itself until it is unplugged; `sent` holds what it has said. */
async function display({ line, digits = 1, about = 253, factor }: Exhibit) {
  const next = chance(seed);
  const cable = await Cable.lay();
  const sent = { pa: new Set<number>(), oilC: new Set<number>(), oppositePa: new Set<number>() };
  let talking = true;
  const done = (async () => {
    for (let i = 0; talking; i += 1) {
      const p = Number((about * (1 - i / 1e5) + (next() - 0.5) * about * 0.002).toFixed(digits));
      const t = Number((23 + 0.3 * next()).toFixed(1));
      sent.pa.add(Math.round(p * factor));
      sent.oppositePa.add(Math.round(Number((p / 100).toFixed(1)) * factor));
      sent.oilC.add(t);
      await cable.send(line({ p, t, i })).catch(() => {});
      await sleep(4);
    }
  })();
  const unplug = async (): Promise<void> => {
    talking = false;
    await done;
    await cable.unplug();
  };
  return { path: cable.path, sent, unplug };
}

const askedOf = (proposal: LineProposal, known: KnownBefore = {}): string | undefined =>
  proposal.ask?.what ??
  (proposal.otherwise ? 'kind' : proposal.unitSeen || known.unit !== undefined ? undefined : 'unit');

const isRefused = (heard: HeardGauge | undefined): boolean =>
  !heard?.proposal || isAbsolute(heard.proposal.unknownUnit ?? '');

/** Hears, asks as it must, reads ten readings by what was proposed, and demands that every one was sent. */
async function visit(exhibit: Exhibit): Promise<void> {
  const { path, sent, unplug } = await display(exhibit);
  const hear = (known: KnownBefore = {}) => listenForGauge(path, { listenMs: 3000, lineSettings, known });
  try {
    const first = await hear(exhibit.known);
    expect(isRefused(first), `refused: ${JSON.stringify(first?.lines.slice(0, 3))}`).toBe(exhibit.refused ?? false);
    if (exhibit.refused || !first?.proposal) return;
    expect(askedOf(first.proposal, exhibit.known), first.proposal.ask?.because).toBe(exhibit.asks?.what);
    const heard = exhibit.asks ? await hear(exhibit.asks.answer) : first;
    const proposal = heard?.proposal;
    if (!heard || !proposal) throw new Error('nothing heard after the answer');
    expect(askedOf(proposal, exhibit.asks?.answer ?? exhibit.known)).toBeUndefined();
    const driver = createAsciiStream({ path, ...proposal.settings, terminator: heard.terminator });
    await driver.open();
    try {
      const seen = new Collected(driver);
      await seen.until(() => seen.readings.length >= 10, 20_000);
      const strange = seen.readings.filter(
        ({ pressurePa, oppositePa, oilK }) =>
          pressurePa === null ||
          !sent.pa.has(pressurePa) ||
          (exhibit.opposite ? oppositePa === null || !sent.oppositePa.has(oppositePa) : oppositePa !== null) ||
          (exhibit.oil
            ? oilK === null || ![...sent.oilC].some((t) => Math.abs(kelvins(t, exhibit.oil) - oilK) < 0.01)
            : oilK !== null),
      );
      expect(strange.slice(0, 1), JSON.stringify(proposal.settings)).toEqual([]);
      expect(seen.faults.slice(0, 2)).toEqual([]);
    } finally {
      await driver.close();
    }
  } finally {
    await unplug();
  }
}

const kelvins = (value: number, unit: Exhibit['oil']): number =>
  unit === 'F' ? ((value - 32) * 5) / 9 + 273.15 : unit === 'K' ? value : value + 273.15;

describe.concurrent(`the gauge museum, seed ${seed}`, () => {
  it.each(exhibits)('$name', async (exhibit) => {
    await visit(exhibit);
  });

  it('has 80 exhibits, nine of ten read right at the first proposal', () => {
    expect(exhibits.length).toBeGreaterThanOrEqual(80);
    const mustBeRight = exhibits.filter(({ asks, refused }) => !asks && !refused);
    expect(mustBeRight.length / exhibits.length).toBeGreaterThanOrEqual(0.9);
  });
});
