import { mkdirSync, renameSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import {
  createSimulatedGauge,
  cylinderOnBench,
  type LeakLaw,
  type LineFault,
  laminarLeak,
  type OperatorScript,
  openPtyPair,
  type PtyPair,
  plainShape,
  type SentLine,
  type SimulatedGauge,
  type SimulatedInstrument,
  speak,
} from '../../drivers/simulated/index.js';

/** A small cylinder whose whole test takes half a minute a port: 60 bar, three seconds of settling, a short dwell. */
const measures = { boreM: 0.04, rodM: 0.022, strokeM: 0.1, lineM3: 0.05e-3 };
const targetPa = 60e5;
const millilitrePerMinute = 1e-6 / 60;

const instrument: SimulatedInstrument = {
  pressure: { unit: 'bar', resolution: 0.01, rangeLowPa: -1e5, rangeHighPa: 100e5, lagS: 0.02, whitePa: 400 },
  oil: { lagS: 1, noiseK: 0.005, resolutionK: 0.01 },
  serial: 'BL-1001',
};

export interface QuickBenchOptions {
  readonly dwellS: number;
  readonly attended: boolean;
  readonly ports: readonly ('A' | 'B')[];
  /** Leak past the piston seal at the test pressure, mL/min; as a law of the bench. */
  readonly leakMlPerMin?: number;
  readonly ratePerS?: number;
  readonly speed?: 'as fast as possible';
  /** How long the gauge stands vented before the pump starts when nobody says so, s. */
  readonly ventedS?: number;
  /** How long the cylinder stays shut in when nobody says when to let go, s. */
  readonly holdS?: number;
  readonly faults?: readonly LineFault[];
}

const leak = (mlPerMin: number): LeakLaw => laminarLeak(mlPerMin * millilitrePerMinute, targetPa);

/** The simulated bench with that cylinder on it. */
export function quickGauge(options: QuickBenchOptions, seed = 3): SimulatedGauge {
  const script: OperatorScript = {
    stages: [{ targetPa, overshoot: 0.02, pauseS: 0, holdS: options.holdS ?? options.dwellS + 8 }],
    ventedS: options.ventedS ?? 3,
    bleedS: 5,
    attended: options.attended,
    pumpRampPaPerS: 8e5,
  };
  const changes = {
    leaks: options.leakMlPerMin === undefined ? {} : { pistonSeal: leak(options.leakMlPerMin) },
    heat: { compressionHeat: false },
  };
  const bench = (port: 'A' | 'B') => cylinderOnBench(port, measures, script, changes);
  return createSimulatedGauge({
    ports: {
      ...(options.ports.includes('A') ? { A: bench('A') } : {}),
      ...(options.ports.includes('B') ? { B: bench('B') } : {}),
    },
    instrument,
    seed,
    ratePerS: options.ratePerS ?? 10,
    speed: options.speed ?? 1,
  });
}

const procedure = (dwellS: number): string => `
id = "quick-hold"
title = "Quick hold at 1.5 x rated pressure"
revision = "1"
source = "Figures for trying things out; no shop's rule."
oil_temperature_change = "0.02 K"
prepare = ["Compare the serial stamped on the cylinder with the job.", "Purge: three slow full strokes at low pressure."]

[[stage]]
name = "proof"
target = "1.5 x rated"
below = "2 %"
above = "5 %"
ramp_max = "20 bar/s"
stabilise = { rate = "30 bar/min", for = "3 s", give_up_after = "1 min" }
dwell = "${dwellS} s"
allowed_decay = { drop = "2 %" }
decision = "guarded"
look = ["rod seal and wiper", "gland O-ring, port bosses, welds"]

[bleed_down]
below = "2 bar"
for = "2 s"
`;

const job = (ports: readonly ('A' | 'B')[]): string => `
work_order = "WO-31"
customer = "Lower Weir Farm"
procedure = "quick-hold.toml"
gauge = "BL-1001"
units = "bar"

[cylinder]
serial = "LW-77"
maker = "Calder Rams"
model = "CR 40/22-100"
bore = "40 mm"
rod = "22 mm"
stroke = "100 mm"
rated_pressure = "40 bar"

[fluid]
kind = "ISO VG 46"
${ports
  .map(
    (port) => `
[[port]]
name = "${port}"
position = "${port === 'A' ? 'extended' : 'retracted'}"
opposite = "open"
line_volume = "0.05 L"
`,
  )
  .join('')}`;

/** Writes shop, job and procedure into a folder; the gauge is read from `device`. Returns the job's path. */
export function writeQuickShop(folder: string, device: string, options: QuickBenchOptions): string {
  mkdirSync(folder, { recursive: true });
  // Whole at once: another program may be reading it.
  writeFileSync(
    path.join(folder, 'shop.next'),
    `name = "Harrow Fell Hydraulics"
units = "bar"

[[gauge]]
serial = "BL-1001"
range = "0..100 bar"
resolution = "0.01 bar"
accuracy = "0.1 %FS"
driver = "ascii-stream"
simulated = true
[gauge.line]
path = "${device}"
baud_rate = 115200
pattern = "{pressure} {unit} {oil} {oil_unit}"
unit = "bar"
terminator = "\\r\\n"
`,
  );
  renameSync(path.join(folder, 'shop.next'), path.join(folder, 'dwellmark.toml'));
  writeFileSync(path.join(folder, 'quick-hold.toml'), procedure(options.dwellS));
  const file = path.join(folder, 'job.toml');
  writeFileSync(file, job(options.ports));
  return file;
}

export interface QuickBench {
  readonly job: string;
  readonly device: string;
  readonly gauge: SimulatedGauge;
  readonly pair: PtyPair;
  /** Every line that left the instrument, once it has nothing more to say. */
  readonly sent: Promise<readonly SentLine[]>;
  close(): Promise<void>;
}

/** A shop in a folder with its gauge speaking on a pseudo-terminal, from now on. */
export async function openQuickBench(folder: string, options: QuickBenchOptions): Promise<QuickBench> {
  const pair = await openPtyPair();
  const gauge = quickGauge(options);
  await gauge.open();
  const shape = { ...plainShape, decimals: 2, width: 8 };
  const sent = speak(gauge.items(), pair, { shape, baud: 115_200, faults: options.faults ?? [] });
  return {
    job: writeQuickShop(folder, pair.path, options),
    device: pair.path,
    gauge,
    pair,
    sent,
    close: async () => {
      await gauge.close();
      await sent;
      pair.close();
    },
  };
}
