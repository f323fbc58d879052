/**
 * Figures computed from a definition, asked of the functions, of a plan and of the simulated bench: each stands here
 * once, as printed, beside that definition. Cylinder 100/56 x 500 mm (3926.99 mL behind the piston), oil 1.5 GPa and
 * 7e-4 /K, 250 bar where no pressure is named.
 */
export const computed = {
  /** V p/K of the oil alone, and with the wall of a 100/120 mm barrel in series, mL. */
  oilMl: '65.4',
  oilWithBarrelMl: '71.0',
  /** Share of free air, and what it adds: V x share x (1 - 1.01325/251.01325), mL. */
  airAddsMl: [
    [0.005, '19.6'],
    [0.01, '39.1'],
  ],
  /** Oil and barrel wall (Lamé, open ends, E 207 GPa, nu 0.3) in series, GPa. */
  stiffnessWithBarrelGPa: '1.383',
  /** V/K dp/dt of 5 bar in 5 min, mL/min; back, 0.2 mL/min in bar/min. */
  leakOf5BarIn5Min: '0.261799',
  barPerMinOf200UL: '0.764',
  /** The same of 100 in3, 250 000 psi, 100 psi in 10 min, mL/min. */
  leakOf100PsiIn10Min: '0.0655483',
  /** 0.02 mL/min on 0.15 L of plugged lines, and with the cylinder on, bar/min. */
  benchLeakOnLines: '2.0',
  benchLeakOnCylinder: '0.074',
  /** K gamma in a rigid chamber, bar/K. */
  barPerK: '10.5',
  /** Dead volume behind a piston without a seal, mL, and the fall dead/(V + dead) p, bar. */
  fallsIntoDead: [
    [20, '1.27'],
    [50, '3.14'],
    [200, '12.1'],
  ],
  /** gamma T p/(rho cp) at 300 K, 870 kg/m3, 1900 J/(kg K), K; and that times gamma Kt, bar. */
  heatK: '3.18',
  heatGoesBar: '29.4',
  /** p D2/(D2 - d2) behind a blocked rod end at 160 bar, bar; of 3 and 2 in at 2000 psi, psi. */
  blocked10056Bar: '233.1',
  blocked10070Bar: '313.7',
  blocked3And2InPsi: '3600',
  /** Push and pull at 160 bar, kN. */
  pushKN: '125.66',
  pullKN: '86.26',
} as const;
