// tests/second-world/chance.ts
var Chance = class _Chance {
  #state;
  #spare = null;
  constructor(seed) {
    this.#state = seed >>> 0;
  }
  /** A stream of its own, told by seed and name alone. */
  static of(seed, name) {
    let hash = 2166136261;
    for (const sign of `${seed}/${name}`) hash = Math.imul(hash ^ (sign.codePointAt(0) ?? 0), 16777619);
    const chance2 = new _Chance(hash);
    for (let i = 0; i < 8; i += 1) chance2.next();
    return chance2;
  }
  /** 0 to below 1 (mulberry32). */
  next() {
    this.#state = this.#state + 1831565813 >>> 0;
    let t2 = this.#state;
    t2 = Math.imul(t2 ^ t2 >>> 15, t2 | 1);
    t2 ^= t2 + Math.imul(t2 ^ t2 >>> 7, t2 | 61);
    return ((t2 ^ t2 >>> 14) >>> 0) / 4294967296;
  }
  between(low, high) {
    return low + (high - low) * this.next();
  }
  /** Equally likely in each octave. */
  octaves(low, high) {
    return low * (high / low) ** this.next();
  }
  /** Standard normal (Box and Muller). */
  normal() {
    if (this.#spare !== null) {
      const spare = this.#spare;
      this.#spare = null;
      return spare;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - this.next()));
    const angle = 2 * Math.PI * this.next();
    this.#spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  }
  chance(share) {
    return this.next() < share;
  }
  pick(choices) {
    const picked = choices[Math.floor(this.next() * choices.length)];
    if (picked === void 0) throw new Error("nothing to pick from");
    return picked;
  }
};

// tests/second-world/draw.ts
var sizes = [
  { bore: 40, rods: [22, 28], stroke: [150, 500], wall: [5, 7] },
  { bore: 63, rods: [36, 45], stroke: [200, 700], wall: [6, 9] },
  { bore: 100, rods: [56, 70], stroke: [300, 1e3], wall: [9, 14] },
  { bore: 160, rods: [90, 110], stroke: [400, 1500], wall: [14, 22] },
  { bore: 220, rods: [125, 160], stroke: [500, 2e3], wall: [20, 30] },
  { bore: 320, rods: [180, 220], stroke: [600, 2500], wall: [28, 45] }
];
var bores = sizes.map(({ bore }) => bore);
function drawHold(seed, fixed = {}) {
  const from = (name) => Chance.of(seed, name);
  const cylinder = drawCylinder(from("cylinder"), fixed.bores ?? bores);
  const targetPa = 1.5 * cylinder.ratedPa;
  const dwellS = fixed.dwellS ?? 300;
  const allowedShare = 0.02;
  const room = from("room");
  const roomK2 = 273.15 + room.between(15, 28);
  const probe = drawProbe(from("probe"), fixed.probe ?? null);
  const warmOil = drawOil(from("oil"), roomK2 + (probe ? room.between(-4, 8) : room.between(-0.5, 0.5)));
  const oil = fixed.heat === "none" ? { ...warmOil, expansionPerK: 1e-12, startK: roomK2 } : warmOil;
  return {
    seed,
    cylinder,
    test: { targetPa, dwellS, allowedShare },
    oil,
    airFraction: from("air").chance(0.5) ? 0 : from("air amount").octaves(2e-4, 3e-3),
    room: { startK: roomK2, driftKPerS: room.between(-0.5, 0.5) / 1200 },
    heat: drawHeat(from("heat")),
    creep: fixed.creep === "none" ? null : drawCreep(from("creep"), allowedShare * targetPa),
    leaks: [],
    operator: { ...drawOperator(from("operator plan"), targetPa, dwellS), ...fixed.operator },
    gauge: { ...drawGauge(from("gauge"), targetPa), ...fixed.gauge },
    probe
  };
}
function drawCylinder(c, among) {
  const bore = c.pick(among);
  const size = sizes.find((one) => one.bore === bore);
  if (!size) throw new Error(`no size of bore ${bore}`);
  const mm = ([low, high]) => Math.round(c.between(low, high)) / 1e3;
  return {
    boreM: bore / 1e3,
    rodM: c.pick(size.rods) / 1e3,
    strokeM: mm(size.stroke),
    wallM: mm(size.wall),
    port: c.pick(["A", "B"]),
    lineM3: Number(c.octaves(5e-5, 5e-4).toFixed(5)),
    lineModulusPa: c.octaves(6e8, 6e9),
    ratedPa: c.pick([16e6, 16e6, 21e6, 25e6]),
    wallStated: c.chance(0.5)
  };
}
function drawOil(c, startK) {
  const modulusRise = c.between(9, 12);
  return {
    modulusPa: 15e8 * c.between(0.92, 1.08) - modulusRise * 2e7 / 2,
    modulusRise,
    expansionPerK: 7e-4 * c.between(0.92, 1.08),
    densityKgPerM3: 870 * c.between(0.98, 1.02),
    heatJPerKgK: 1900 * c.between(0.96, 1.04),
    conductivityWPerMK: c.between(0.12, 0.14),
    viscosityM2PerS: 46e-6 * Math.exp(0.05 * (313.15 - startK)),
    startK
  };
}
function drawHeat(c) {
  return {
    flavour: c.pick(["lumped", "radial"]),
    convection: c.octaves(0.25, 4),
    nusselt: c.pick([
      { a: 0.55, n: 0.25 },
      { a: 0.3, n: 0.29 },
      { a: 0.13, n: 1 / 3 }
    ]),
    outsideWPerM2K: c.between(6, 14),
    lineApart: c.chance(0.3)
  };
}
function drawCreep(c, allowedPa2) {
  const lossPa = allowedPa2 * c.between(0, 0.3);
  return c.chance(0.5) ? { law: "power", lossPa, exponent: c.between(0.15, 0.5) } : { law: "logarithm", lossPa, timeS: c.octaves(3, 30) };
}
function drawPump(c, targetPa) {
  switch (c.pick(["steady", "hand", "booster"])) {
    case "steady":
      return { kind: "steady", paPerS: c.octaves(2e5, 9e5) };
    case "hand":
      return { kind: "hand", paPerS: c.octaves(2e5, 4e5), strokeS: c.between(0.8, 2), uneven: c.between(0.1, 0.3) };
    case "booster":
      return {
        kind: "booster",
        paPerS: c.octaves(3e5, 9e5),
        pauseAtPa: targetPa * c.between(0.5, 0.65),
        pauseS: c.between(3, 12),
        strokePa: c.between(2e5, 4e5),
        strokeS: c.between(0.8, 1.5)
      };
  }
}
var settleS = 630;
function drawOperator(c, targetPa, dwellS) {
  const pump = drawPump(c, targetPa);
  const over = c.chance(0.2);
  return {
    quietBeforeS: 15,
    pump,
    aimPa: targetPa * (over ? c.between(1.03, 1.038) : c.between(1.01, 1.03)),
    letBackToPa: over ? targetPa * c.between(1.008, 1.025) : null,
    topUps: [],
    feeds: [],
    valveShutAtS: null,
    heldS: dwellS + settleS,
    bleedTauS: c.between(2, 5)
  };
}
function drawGauge(c, targetPa) {
  const lineHz = c.pick([1, 2, 2, 5, 10]);
  const sdPa = c.octaves(2e3, 12e3);
  return {
    rangePa: targetPa < 28e6 ? 4e7 : 6e7,
    resolutionPa: c.pick([1e3, 5e3, 1e4, 1e4]),
    lineHz,
    updateHz: lineHz,
    jitter: c.pick([0, 0.01, 0.05]),
    noise: c.chance(0.7) ? { kind: "white", sdPa } : { kind: "ar1", sdPa, coefficient: c.between(0.3, 0.7) },
    filter: null,
    zeroOffsetPa: c.between(-1e4, 1e4),
    zeroCreepPaPerS: c.between(-5e3, 5e3) / 1e3
  };
}
function drawProbe(c, asked) {
  if (asked === null || asked === void 0) return null;
  const kind = asked;
  return {
    kind,
    lagS: kind === "lag" ? c.octaves(5, 60) : c.between(1, 4),
    resolutionK: kind === "steps" ? 0.1 : c.pick([1e-3, 0.01]),
    offsetK: kind === "offset" ? c.between(-3, 3) : c.between(-0.2, 0.2),
    noiseK: kind === "steps" ? c.between(0, 0.02) : c.between(1e-3, 0.01)
  };
}

// tests/second-world/geometry.ts
var steel = { modulusPa: 207e9, poisson: 0.3, densityKgPerM3: 7850, heatJPerKgK: 480, expansionPerK: 117e-7 };
var circle = (diameterM) => Math.PI * diameterM ** 2 / 4;
function barrelModulusPa(boreM2, outsideM) {
  const ratio = (outsideM ** 2 + boreM2 ** 2) / (outsideM ** 2 - boreM2 ** 2);
  return steel.modulusPa / (2 * (ratio + steel.poisson));
}
function chamberOf(c) {
  const outsideM = c.boreM + 2 * c.wallM;
  const boreM3 = circle(c.boreM) * c.strokeM;
  const rodM3 = c.port === "B" ? circle(c.rodM) * c.strokeM : 0;
  const chamberM3 = boreM3 - rodM3;
  const endsM = 0.02;
  const endArea = c.port === "B" ? circle(c.boreM) - circle(c.rodM) : circle(c.boreM);
  const steelHeat = steel.densityKgPerM3 * steel.heatJPerKgK;
  return {
    chamberM3,
    volumeM3: chamberM3 + c.lineM3,
    boreM3,
    rodM3,
    barrelAreaM2: Math.PI * c.boreM * c.strokeM + 2 * endArea,
    barrelHeatJPerK: steelHeat * ((circle(outsideM) - circle(c.boreM)) * c.strokeM + 2 * endArea * endsM),
    outsideAreaM2: Math.PI * outsideM * c.strokeM,
    rodAreaM2: c.port === "B" ? Math.PI * c.rodM * c.strokeM : 0,
    rodHeatJPerK: c.port === "B" ? steelHeat * rodM3 : 0,
    barrelModulusPa: barrelModulusPa(c.boreM, outsideM),
    gapM: c.port === "B" ? (c.boreM - c.rodM) / 2 : c.boreM
  };
}
var atmospherePa = 101325;
function compliance(cylinder, chamber, oil, airFraction, pressurePa2) {
  const absolutePa = Math.max(pressurePa2, 0) + atmospherePa;
  const airM3 = airFraction * chamber.volumeM3 * atmospherePa / absolutePa;
  return chamber.volumeM3 / (oil.modulusPa + oil.modulusRise * Math.max(pressurePa2, 0)) + chamber.boreM3 / chamber.barrelModulusPa + cylinder.lineM3 / cylinder.lineModulusPa + airM3 / absolutePa;
}

// tests/second-world/heat.ts
var standing = 5.78;
var gravity = 9.81;
var lineTauS = 90;
var lineToRoomTauS = 1200;
function nusselt(spec, chamber, differenceK) {
  const { oil, heat } = spec;
  const diffusivity = oil.conductivityWPerMK / (oil.densityKgPerM3 * oil.heatJPerKgK);
  const rayleigh = gravity * oil.expansionPerK * Math.abs(differenceK) * chamber.gapM ** 3 / (oil.viscosityM2PerS * diffusivity);
  return Math.max(standing, heat.convection * heat.nusselt.a * rayleigh ** heat.nusselt.n);
}
function heatField(spec, chamber) {
  return spec.heat.flavour === "lumped" ? new Lumped(spec, chamber) : new Radial(spec, chamber);
}
var Field = class {
  constructor(spec, chamber) {
    this.spec = spec;
    this.chamber = chamber;
    const { oil, heat, cylinder } = spec;
    this.heatPerM3 = oil.densityKgPerM3 * oil.heatJPerKgK;
    this.#lineShare = heat.lineApart ? cylinder.lineM3 / chamber.volumeM3 : 0;
    this.barrelK = oil.startK;
    this.rodK = oil.startK;
    this.#lineK = oil.startK;
    this.#lineWallK = oil.startK;
  }
  spec;
  chamber;
  heatPerM3;
  #lineK;
  #lineWallK;
  #lineShare;
  barrelK;
  rodK;
  /** Heat of this step from the chamber's oil into barrel and rod, J. */
  toBarrelJ = 0;
  toRodJ = 0;
  get oilK() {
    return this.chamberOilK * (1 - this.#lineShare) + this.#lineK * this.#lineShare;
  }
  warmingPerPa() {
    return this.spec.oil.expansionPerK * this.oilK / this.heatPerM3;
  }
  compress(kelvins) {
    this.warm(kelvins);
    this.#lineK += kelvins;
  }
  step(dtS, roomK2) {
    this.give(dtS);
    const { chamber, spec } = this;
    const toRoom2 = spec.heat.outsideWPerM2K * chamber.outsideAreaM2 * (this.barrelK - roomK2) * dtS;
    this.barrelK += (this.toBarrelJ - toRoom2) / chamber.barrelHeatJPerK;
    if (chamber.rodHeatJPerK > 0) this.rodK += this.toRodJ / chamber.rodHeatJPerK;
    const toWall2 = (this.#lineK - this.#lineWallK) * dtS / lineTauS;
    this.#lineK -= toWall2;
    this.#lineWallK += toWall2 + (roomK2 - this.#lineWallK) * dtS / lineToRoomTauS;
  }
};
var Lumped = class extends Field {
  #oilK = this.spec.oil.startK;
  #oilM3 = this.spec.heat.lineApart ? this.chamber.chamberM3 : this.chamber.volumeM3;
  get chamberOilK() {
    return this.#oilK;
  }
  warm(kelvins) {
    this.#oilK += kelvins;
  }
  give(dtS) {
    const { chamber } = this;
    this.toBarrelJ = this.#film(this.barrelK) * chamber.barrelAreaM2 * (this.#oilK - this.barrelK) * dtS;
    this.toRodJ = chamber.rodAreaM2 > 0 ? this.#film(this.rodK) * chamber.rodAreaM2 * (this.#oilK - this.rodK) * dtS : 0;
    this.#oilK -= (this.toBarrelJ + this.toRodJ) / (this.heatPerM3 * this.#oilM3);
  }
  /** W/(m2 K). */
  #film(steelK) {
    const { chamber, spec } = this;
    return nusselt(spec, chamber, this.#oilK - steelK) * spec.oil.conductivityWPerMK / chamber.gapM;
  }
};
var shells = 10;
var Radial = class extends Field {
  #shellK = new Float64Array(shells).fill(this.spec.oil.startK);
  #flow = new Float64Array(shells + 1);
  #innerM = this.chamber.rodAreaM2 > 0 ? this.spec.cylinder.rodM / 2 : 0;
  #stepM = (this.spec.cylinder.boreM / 2 - this.#innerM) / shells;
  #meanK = this.spec.oil.startK;
  get chamberOilK() {
    return this.#meanK;
  }
  warm(kelvins) {
    for (let i = 0; i < shells; i += 1) this.#shellK[i] = (this.#shellK[i] ?? 0) + kelvins;
    this.#meanK += kelvins;
  }
  give(dtS) {
    const { spec, chamber } = this;
    const turning = nusselt(spec, chamber, this.#meanK - this.barrelK) / standing;
    const conductivity = spec.oil.conductivityWPerMK * turning;
    const stable = 0.3 * this.#stepM ** 2 * this.heatPerM3 / conductivity;
    const rounds = Math.max(1, Math.ceil(dtS / stable));
    this.toBarrelJ = 0;
    this.toRodJ = 0;
    for (let round = 0; round < rounds; round += 1) this.#conduct(dtS / rounds, conductivity, spec.cylinder.strokeM);
    let sum2 = 0;
    let weight = 0;
    for (let i = 0; i < shells; i += 1) {
      const kelvins = this.#shellK[i] ?? 0;
      const area = this.#innerM + (i + 0.5) * this.#stepM;
      sum2 += kelvins * area;
      weight += area;
    }
    this.#meanK = sum2 / weight;
  }
  #conduct(dtS, conductivity, lengthM) {
    const flow2 = this.#flow;
    const perM = 2 * Math.PI * lengthM * conductivity * dtS;
    const [k, stepM] = [this.#shellK, this.#stepM];
    flow2[0] = this.#innerM > 0 ? perM * this.#innerM * (this.rodK - (k[0] ?? 0)) / (stepM / 2) : 0;
    for (let i = 1; i < shells; i += 1)
      flow2[i] = perM * (this.#innerM + i * stepM) * ((k[i - 1] ?? 0) - (k[i] ?? 0)) / stepM;
    flow2[shells] = perM * (this.#innerM + shells * stepM) * ((k[shells - 1] ?? 0) - this.barrelK) / (stepM / 2);
    for (let i = 0; i < shells; i += 1) {
      const heat = this.heatPerM3 * Math.PI * stepM * stepM * (2 * i + 1 + 2 * this.#innerM / stepM) * lengthM;
      k[i] = (k[i] ?? 0) + ((flow2[i] ?? 0) - (flow2[i + 1] ?? 0)) / heat;
    }
    this.toBarrelJ += flow2[shells] ?? 0;
    this.toRodJ -= flow2[0] ?? 0;
  }
};

// tests/second-world/losses.ts
var creepFromS = 15;
function creepPaPerS(creep2, dwellS, sinceS) {
  if (sinceS <= 0) return 0;
  const [from, to] = [creepFromS, creepFromS + dwellS];
  if (creep2.law === "power") {
    const scale = creep2.lossPa / (to ** creep2.exponent - from ** creep2.exponent);
    return scale * creep2.exponent * Math.max(sinceS, 1) ** (creep2.exponent - 1);
  }
  return creep2.lossPa / Math.log((creep2.timeS + to) / (creep2.timeS + from)) / (creep2.timeS + sinceS);
}
var power = { orifice: 0.5, gap: 1, constant: 0 };
function leakPaPerS(leak, atS, pressurePa2, testPa) {
  if (pressurePa2 <= 0) return 0;
  return courseOf(leak, atS) * (pressurePa2 / testPa) ** power[leak.law];
}
function courseOf({ course }, atS) {
  switch (course.kind) {
    case "steady":
      return course.paPerS;
    case "late":
      return atS >= course.fromS ? course.paPerS : 0;
    case "stopping":
      return atS < course.untilS ? course.paPerS : 0;
    case "growing": {
      const share = (atS - course.fromS) / course.overS;
      if (share <= 0) return 0;
      return course.totalPa * (course.power + 1) / course.overS * share ** course.power;
    }
    case "bursts": {
      const under = course.atS.filter((at) => atS >= at && atS < at + course.lastsS).length;
      return under * course.eachPa / course.lastsS;
    }
  }
}

// tests/second-world/operator.ts
var Operator = class {
  /** End of the ramp with what followed it at once; null before. */
  rampEndS = null;
  /** Last time that oil went in or out by hand before the hold ended, feeds apart. */
  lastRiseS = 0;
  #plan;
  #chance;
  #phase = "quiet";
  #strokeUntilS = 0;
  #strokePaPerS = 0;
  #pushUntilS = 0;
  #pausedUntilS = null;
  #topUp = 0;
  constructor(plan, chance2) {
    this.#plan = plan;
    this.#chance = chance2;
  }
  /** Nothing is shut yet: no pressure, whatever the temperatures do. */
  get vented() {
    return this.#phase === "quiet";
  }
  /** Oil is let out at the end. */
  get bleeding() {
    return this.#phase === "bleed";
  }
  paPerS(atS, pressurePa2) {
    const plan = this.#plan;
    if (this.#phase === "quiet" && atS >= plan.quietBeforeS) this.#phase = "pump";
    switch (this.#phase) {
      case "quiet":
        return 0;
      case "pump":
        if (pressurePa2 < plan.aimPa) return this.#pump(plan.pump, atS, pressurePa2);
        this.lastRiseS = atS;
        this.#phase = plan.letBackToPa === null ? "hold" : "let back";
        if (plan.letBackToPa === null) this.rampEndS = atS;
        return 0;
      case "let back":
        if (pressurePa2 > (plan.letBackToPa ?? 0)) return -3e5;
        this.#phase = "hold";
        this.rampEndS = atS;
        return 0;
      case "hold":
        return this.#hold(atS, pressurePa2);
      case "bleed":
        return -pressurePa2 / plan.bleedTauS;
    }
  }
  #hold(atS, pressurePa2) {
    const plan = this.#plan;
    const sinceS = atS - (this.rampEndS ?? 0);
    if (sinceS >= plan.heldS) {
      this.#phase = "bleed";
      return 0;
    }
    const topUp = plan.topUps[this.#topUp];
    if (topUp && sinceS >= topUp.afterS) {
      if (pressurePa2 < topUp.toPa) {
        this.lastRiseS = atS;
        return topUp.paPerS;
      }
      this.#topUp += 1;
    }
    let rate2 = 0;
    for (const feed of plan.feeds) {
      if (feed.kind === "steady") {
        if (atS >= feed.fromS && atS < feed.fromS + feed.overS) rate2 += feed.totalPa / feed.overS;
      } else for (const at of feed.atS) if (atS >= at && atS < at + feed.lastsS) rate2 += feed.eachPa / feed.lastsS;
    }
    return rate2;
  }
  #pump(pump, atS, pressurePa2) {
    if (pump.kind === "steady") return pump.paPerS;
    if (pump.kind === "hand") return this.#strokes(atS, pump.paPerS * pump.strokeS, pump.strokeS, pump.uneven);
    if (pressurePa2 < pump.pauseAtPa) return pump.paPerS;
    this.#pausedUntilS ??= atS + pump.pauseS;
    return atS < this.#pausedUntilS ? 0 : this.#strokes(atS, pump.strokePa, pump.strokeS, 0.15);
  }
  /** A stroke delivers in the first half of its time. */
  #strokes(atS, eachPa, lastsS, uneven) {
    if (atS >= this.#strokeUntilS) {
      const lasts = lastsS * Math.exp(uneven * this.#chance.normal());
      this.#strokeUntilS = atS + lasts;
      this.#strokePaPerS = eachPa * Math.exp(uneven * this.#chance.normal()) / (lasts / 2);
      this.#pushUntilS = atS + lasts / 2;
    }
    return atS < this.#pushUntilS ? this.#strokePaPerS : 0;
  }
};

// tests/second-world/physics.ts
var stepS = 0.1;
var afterS = 30;
function simulateCourse(spec, leaksUntilS = Number.POSITIVE_INFINITY) {
  const chamber = chamberOf(spec.cylinder);
  const field = heatField(spec, chamber);
  const operator = new Operator(spec.operator, Chance.of(spec.seed, "operator"));
  const { oil, cylinder, test, room } = spec;
  const longest3 = Math.ceil((spec.operator.quietBeforeS + 600 + spec.operator.heldS + 120) / stepS);
  const column = () => new Float64Array(longest3);
  const [cylinderPa, gaugePa, oilK2, barrelK, roomK2] = [column(), column(), column(), column(), column()];
  const [leakPa, creepPa, fedPa, heatPa] = [column(), column(), column(), column()];
  const cOf = (pressurePa2) => compliance(cylinder, chamber, oil, spec.airFraction, pressurePa2);
  const testC = cOf(test.targetPa);
  let [pa, leak, creep2, fed, heat] = [0, 0, 0, 0, 0];
  let shutPa = null;
  let [bledAtS, endS] = [0, Number.POSITIVE_INFINITY];
  let at = 0;
  for (; at < longest3 && at * stepS < endS; at += 1) {
    const timeS = at * stepS;
    const kelvins = room.startK + room.driftKPerS * timeS;
    const { valveShutAtS } = spec.operator;
    if (valveShutAtS !== null && timeS >= valveShutAtS) shutPa ??= pa;
    if (shutPa !== null && operator.bleeding) shutPa += -(shutPa * stepS) / spec.operator.bleedTauS;
    cylinderPa[at] = pa;
    gaugePa[at] = shutPa ?? pa;
    oilK2[at] = field.oilK;
    barrelK[at] = field.barrelK;
    roomK2[at] = kelvins;
    leakPa[at] = leak;
    creepPa[at] = creep2;
    fedPa[at] = fed;
    heatPa[at] = heat;
    const c = cOf(pa);
    const pumped = operator.paPerS(timeS, pa) * stepS * c;
    const sinceS = timeS - (operator.rampEndS ?? Number.POSITIVE_INFINITY);
    const crept = spec.creep && pa > 0 ? creepPaPerS(spec.creep, test.dwellS, sinceS) * stepS * testC : 0;
    let leaked = 0;
    for (const one of timeS < leaksUntilS ? spec.leaks : [])
      leaked += leakPaPerS(one, timeS, pa, test.targetPa) * stepS * testC;
    const beforeRodK = field.rodK;
    field.step(stepS, kelvins);
    const grown = oil.expansionPerK * chamber.volumeM3 * (field.oilK - (oilK2[at] ?? 0)) - 3 * steel.expansionPerK * (chamber.boreM3 * (field.barrelK - (barrelK[at] ?? 0)) - chamber.rodM3 * (field.rodK - beforeRodK));
    if (operator.vented) continue;
    const warming = field.warmingPerPa();
    const stiffC = c - chamber.volumeM3 * oil.expansionPerK * warming;
    const rise = (pumped - leaked - crept + grown) / stiffC;
    field.compress(warming * rise);
    pa += rise;
    leak += leaked / c;
    creep2 += crept / c;
    fed += pumped / c;
    heat += (grown + chamber.volumeM3 * oil.expansionPerK * warming * rise) / c;
    if (operator.bleeding && bledAtS === 0) bledAtS = timeS;
    if (bledAtS > 0 && endS === Number.POSITIVE_INFINITY && (shutPa ?? pa) < 1e4) endS = timeS + afterS;
    if (pa < 0) pa = 0;
  }
  const cut = (whole) => whole.subarray(0, at);
  return {
    steps: at,
    cylinderPa: cut(cylinderPa),
    gaugePa: cut(gaugePa),
    oilK: cut(oilK2),
    barrelK: cut(barrelK),
    roomK: cut(roomK2),
    leakPa: cut(leakPa),
    creepPa: cut(creepPa),
    fedPa: cut(fedPa),
    heatPa: cut(heatPa),
    rampEndS: operator.rampEndS ?? Number.NaN,
    lastRiseS: operator.lastRiseS,
    bleedS: bledAtS,
    chamber
  };
}
function valueAt(column, atS) {
  const place = Math.min(Math.max(atS / stepS, 0), column.length - 1);
  const low = Math.min(Math.floor(place), column.length - 2);
  const [from, to] = [column[low] ?? 0, column[low + 1] ?? 0];
  return from + (to - from) * (place - low);
}

// tests/second-world/gauge-chain.ts
function readingsOf(spec, course) {
  const { gauge, probe } = spec;
  const seen = smoothed(course.gaugePa, gauge.filter);
  const lastS = (course.steps - 1) * stepS;
  const updates = updatesOf(gauge, seen, lastS, spec.seed);
  const oil = probe ? probed(probe, course) : null;
  const clock = Chance.of(spec.seed, "clock");
  const oilNoise = Chance.of(spec.seed, "probe noise");
  const rows = [];
  let before = -1e-3;
  for (let k = 0; k / gauge.lineHz <= lastS; k += 1) {
    const moment = k / gauge.lineHz;
    const wander = gauge.jitter === 0 ? 0 : gauge.jitter * clock.normal() / gauge.lineHz;
    const timeS = Math.max(before + 1e-4, Math.round((moment + wander) * 1e4) / 1e4, 0);
    before = timeS;
    const pa = updates[Math.min(Math.floor(moment * gauge.updateHz + 1e-9), updates.length - 1)] ?? 0;
    const kelvins = oil && probe ? valueAt(oil, moment) + probe.noiseK * oilNoise.normal() : null;
    rows.push({
      timeS,
      bar: pa / 1e5,
      celsius: kelvins === null || !probe ? null : Math.round((kelvins - 273.15) / probe.resolutionK) * probe.resolutionK
    });
  }
  return rows;
}
function updatesOf(gauge, seen, lastS, seed) {
  const count = Math.floor(lastS * gauge.updateHz) + 1;
  const noise = noiseOf(gauge, count, Chance.of(seed, "gauge noise"));
  const values = new Float64Array(count);
  for (let k = 0; k < count; k += 1) {
    const atS = k / gauge.updateHz;
    const pa = valueAt(seen, atS) + (noise[k] ?? 0) + gauge.zeroOffsetPa + gauge.zeroCreepPaPerS * atS;
    values[k] = Math.round(pa / gauge.resolutionPa) * gauge.resolutionPa + 0;
  }
  return values;
}
function noiseOf(gauge, count, chance2) {
  const raw = rawNoise(gauge.noise, count, gauge.updateHz, chance2);
  if (!gauge.filter || gauge.noise.kind === "none") return raw;
  return smoothed(raw, gauge.filter, 1 / gauge.updateHz);
}
function rawNoise(noise, count, updateHz, chance2) {
  const out2 = new Float64Array(count);
  switch (noise.kind) {
    case "none":
      return out2;
    case "white":
      return out2.map(() => noise.sdPa * chance2.normal());
    case "ar1": {
      const fresh = noise.sdPa * Math.sqrt(1 - noise.coefficient ** 2);
      let now = noise.sdPa * chance2.normal();
      return out2.map(() => {
        now = noise.coefficient * now + fresh * chance2.normal();
        return now;
      });
    }
    case "pink":
      return pink(noise.sdPa, count, updateHz, chance2);
    case "walk": {
      let now = 0;
      const stepPa2 = noise.walkPaPerRootS / Math.sqrt(updateHz);
      return out2.map(() => {
        now += stepPa2 * chance2.normal();
        return now + noise.sdPa * chance2.normal();
      });
    }
    case "compressor": {
      const start = 2 * Math.PI * chance2.next();
      return out2.map(
        (_, k) => noise.amplitudePa * Math.sin(start + 2 * Math.PI * k / updateHz / noise.periodS) + noise.sdPa * chance2.normal()
      );
    }
  }
}
function pink(sdPa, count, updateHz, chance2) {
  const out2 = new Float64Array(count);
  const times2 = [];
  for (let tauS = 1 / updateHz; tauS <= 512; tauS *= 2) times2.push(tauS);
  const each = sdPa / Math.sqrt(times2.length);
  for (const tauS of times2) {
    const keep = Math.exp(-1 / (updateHz * tauS));
    const fresh = each * Math.sqrt(1 - keep ** 2);
    let now = each * chance2.normal();
    for (let k = 0; k < count; k += 1) {
      now = keep * now + fresh * chance2.normal();
      out2[k] = (out2[k] ?? 0) + now;
    }
  }
  return out2;
}
function smoothed(column, filter, everyS = stepS) {
  if (!filter || filter.s <= 0) return column;
  const out2 = new Float64Array(column.length);
  if (filter.kind === "first order") {
    const take = 1 - Math.exp(-everyS / filter.s);
    let now = column[0] ?? 0;
    for (let i = 0; i < column.length; i += 1) {
      now += take * ((column[i] ?? 0) - now);
      out2[i] = now;
    }
    return out2;
  }
  const span = Math.max(1, Math.round(filter.s / everyS));
  let sum2 = 0;
  for (let i = 0; i < column.length; i += 1) {
    sum2 += column[i] ?? 0;
    if (i >= span) sum2 -= column[i - span] ?? 0;
    out2[i] = sum2 / Math.min(i + 1, span);
  }
  return out2;
}
function probed(probe, course) {
  const seen = probe.kind === "room" ? course.roomK : probe.kind === "barrel" ? course.barrelK : course.oilK;
  const lagged = smoothed(seen, probe.lagS > 0 ? { kind: "first order", s: probe.lagS } : null);
  return lagged.map((kelvins) => kelvins + probe.offsetK);
}

// tests/second-world/hold.ts
function simulate(spec) {
  const course = simulateCourse(spec);
  const between = (column) => (fromS, toS) => valueAt(column, toS) - valueAt(column, fromS);
  const minus2 = (column) => (fromS, toS) => valueAt(column, fromS) - valueAt(column, toS);
  return {
    spec,
    rows: readingsOf(spec, course),
    truth: {
      course,
      shutInS: Math.max(course.rampEndS, course.lastRiseS),
      leakPa: between(course.leakPa),
      fallByLeakPa: (fromS, toS) => spec.leaks.length === 0 ? 0 : valueAt(simulateCourse(spec, fromS).cylinderPa, toS) - valueAt(course.cylinderPa, toS),
      creepPa: between(course.creepPa),
      fedPa: between(course.fedPa),
      heatPa: minus2(course.heatPa),
      plainPa: minus2(course.cylinderPa)
    }
  };
}

// tests/second-world/run-hold.ts
import { readFileSync } from "node:fs";
import path from "node:path";

// src/procedure/calibration-policy.ts
var usualCalibrationPolicy = {
  missing: "warn",
  outOfDate: "stop",
  notCovering: "stop",
  noticeDays: 30
};

// src/procedure/job-facts.ts
var purposes = ["as received", "after repair", "complaint", "routine"];
var valvesTested = ["with", "without"];

// src/units/arithmetic.ts
var ln2High = 0.6931471803691238;
var ln2Low = 19082149292705877e-26;
var inverseLn2 = Math.LOG2E;
var expOverflow = 709.782712893384;
var expUnderflow = -745.1332191019411;
function exp(x) {
  if (Number.isNaN(x)) return x;
  if (x > expOverflow) return Number.POSITIVE_INFINITY;
  if (x < expUnderflow) return 0;
  const k = Math.round(inverseLn2 * x);
  const high = x - k * ln2High;
  const low = k * ln2Low;
  const r = high - low;
  const t2 = r * r;
  const c = r - t2 * (0.16666666666666602 + t2 * (-0.0027777777777015593 + t2 * (6613756321437934e-20 + t2 * (-16533902205465252e-22 + t2 * 41381367970572385e-24))));
  return scaled(1 - (low - r * c / (2 - c) - high), k);
}
function scaled(x, k) {
  const half = Math.trunc(k / 2);
  return x * powerOfTwo(half) * powerOfTwo(k - half);
}
var bits = new DataView(new ArrayBuffer(8));
function powerOfTwo(k) {
  bits.setUint32(0, k + 1023 << 20);
  bits.setUint32(4, 0);
  return bits.getFloat64(0);
}
function log(x) {
  if (!(x > 0)) return x === 0 ? Number.NEGATIVE_INFINITY : Number.NaN;
  if (x === Number.POSITIVE_INFINITY) return x;
  const { mantissa, exponent } = parted(x);
  const f = mantissa - 1;
  const s = f / (2 + f);
  const z10 = s * s;
  const w = z10 * z10;
  const odd = w * (0.3999999999940942 + w * (0.22222198432149784 + w * 0.15313837699209373));
  const even = z10 * (0.6666666666666735 + w * (0.2857142874366239 + w * (0.1818357216161805 + w * 0.14798198605116586)));
  const half = 0.5 * f * f;
  return exponent * ln2High - (half - (s * (half + odd + even) + exponent * ln2Low) - f);
}
var smallestNormal = 22250738585072014e-324;
function parted(x) {
  const lift = x < smallestNormal ? 54 : 0;
  bits.setFloat64(0, lift === 0 ? x : x * 18014398509481984);
  const high = bits.getUint32(0);
  let exponent = (high >>> 20) - 1023 - lift;
  bits.setUint32(0, high & 1048575 | 1072693248);
  let mantissa = bits.getFloat64(0);
  if (mantissa > Math.SQRT2) {
    mantissa /= 2;
    exponent += 1;
  }
  return { mantissa, exponent };
}
function log1p(x) {
  const u = 1 + x;
  if (u === 1 || u === Number.POSITIVE_INFINITY) return x;
  return log(u) + (x - (u - 1)) / u;
}
var sinOfTurns = (turns) => quarter(turns - Math.round(turns), 0);
var cosOfTurns = (turns) => quarter(turns - Math.round(turns), 1);
function quarter(turn, ahead) {
  const n2 = Math.round(4 * turn);
  const rest = (turn - n2 / 4) * (2 * Math.PI);
  switch ((n2 + ahead + 4) % 4) {
    case 0:
      return smallSine(rest);
    case 1:
      return smallCosine(rest);
    case 2:
      return -smallSine(rest);
    default:
      return -smallCosine(rest);
  }
}
function smallSine(x) {
  const z10 = x * x;
  const tail = 0.00833333333332249 + z10 * (-1984126982985795e-19 + z10 * (27557313707070068e-22 + z10 * (-25050760253406863e-24 + z10 * 158969099521155e-24)));
  return x + z10 * x * (-0.16666666666666632 + z10 * tail);
}
function smallCosine(x) {
  const z10 = x * x;
  const tail = z10 * (0.0416666666666666 + z10 * (-0.001388888888887411 + z10 * (2480158728947673e-20 + z10 * (-27557314351390663e-23 + z10 * (2087572321298175e-24 + z10 * -11359647557788195e-27)))));
  const half = 0.5 * z10;
  const w = 1 - half;
  return w + (1 - w - half + z10 * tail);
}
var square = (x) => x * x;
var cube = (x) => x * x * x;
var power2 = (base, exponent) => exp(exponent * log(base));
function rootSumSquares(...parts3) {
  let sum2 = 0;
  for (const part2 of parts3) sum2 += part2 * part2;
  return Math.sqrt(sum2);
}

// src/units/steering.ts
var steering = /(?![\t\n\r])[\p{Cc}\u202a-\u202e\u2066-\u2069]/u;
var everySteering = new RegExp(steering.source, "gu");
var withoutSteering = (text) => text.replace(everySteering, "\uFFFD");

// src/units/error.ts
var mark = /* @__PURE__ */ Symbol.for("dwellmark.error");
var DwellmarkError = class extends Error {
  code;
  place;
  /** What to do about it, one sentence, or undefined when the message says it. */
  advice;
  /** Other mistakes in the same material, found together with this one. */
  others;
  [mark] = true;
  constructor(code, message, options = {}) {
    super(withoutSteering(message), options.cause === void 0 ? void 0 : { cause: options.cause });
    this.name = "DwellmarkError";
    this.code = code;
    this.place = shownPlace(options.place ?? {});
    this.advice = options.advice === void 0 ? void 0 : withoutSteering(options.advice);
    this.others = options.others ?? [];
  }
  static [Symbol.hasInstance](value) {
    return typeof value === "object" && value !== null && mark in value;
  }
};
var shownPlace = ({ file, key, ...spot2 }) => ({
  ...spot2,
  ...file === void 0 ? {} : { file: withoutSteering(file) },
  ...key === void 0 ? {} : { key: withoutSteering(key) }
});

// src/units/quantity.ts
var pressurePa = (value) => value;
var pressureDifferencePa = (value) => value;
var temperatureK = (value) => value;
var temperatureDifferenceK = (value) => value;

// src/units/unit-table.ts
var pascals = {
  Pa: 1,
  kPa: 1e3,
  MPa: 1e6,
  GPa: 1e9,
  mbar: 100,
  bar: 1e5,
  "N/mm2": 1e6,
  psi: 0.45359237 * 9.80665 / square(0.0254),
  ksi: 453.59237 * 9.80665 / square(0.0254),
  "kgf/cm2": 98066.5,
  // Columns of liquid as NIST SP 811 (2008), B.8, has them: mercury and water of conventional density.
  mmHg: 133.3224,
  inHg: 3386.389,
  mH2O: 9806.65,
  inH2O: 249.0889
};
var seconds = { us: 1e-6, ms: 1e-3, s: 1, min: 60, h: 3600, d: 86400 };
var cubicMetres = {
  mL: 1e-6,
  cm3: 1e-6,
  cc: 1e-6,
  L: 1e-3,
  l: 1e-3,
  ml: 1e-6,
  m3: 1,
  in3: cube(0.0254),
  gal: 231 * cube(0.0254)
};
function plain(factors) {
  return Object.fromEntries(Object.entries(factors).map(([name, factor]) => [name, { factor }]));
}
function quotient(over, under) {
  const units2 = {};
  for (const [top, topFactor] of Object.entries(over))
    for (const [bottom, bottomFactor] of Object.entries(under))
      units2[`${top}/${bottom}`] = { factor: topFactor / bottomFactor };
  return units2;
}
var kelvinSteps = { K: 1, C: 1, "\xB0C": 1, degC: 1, F: 5 / 9, "\xB0F": 5 / 9, degF: 5 / 9 };
var celsius = { factor: 1, offset: 273.15 };
var fahrenheit = { factor: 5 / 9, offset: 273.15 - 32 * 5 / 9 };
var unitTable = {
  // Every pressure here is a gauge pressure, so psig and barg may be written; psia and bara are refused.
  pressure: plain({ ...pascals, barg: pascals.bar, psig: pascals.psi }),
  "pressure-difference": plain(pascals),
  "pressure-rate": quotient(pascals, seconds),
  "pressure-per-kelvin": quotient(pascals, kelvinSteps),
  modulus: plain(pascals),
  temperature: {
    K: { factor: 1 },
    C: celsius,
    "\xB0C": celsius,
    degC: celsius,
    F: fahrenheit,
    "\xB0F": fahrenheit,
    degF: fahrenheit
  },
  "temperature-difference": plain(kelvinSteps),
  "temperature-rate": quotient(kelvinSteps, seconds),
  length: plain({ um: 1e-6, \u00B5m: 1e-6, mm: 1e-3, cm: 0.01, m: 1, in: 0.0254, ft: 0.3048 }),
  area: plain({ mm2: 1e-6, cm2: 1e-4, m2: 1, in2: square(0.0254) }),
  volume: plain(cubicMetres),
  flow: quotient(cubicMetres, seconds),
  time: plain(seconds),
  force: plain({ N: 1, kN: 1e3, lbf: 0.45359237 * 9.80665, kgf: 9.80665 }),
  energy: plain({ J: 1, kJ: 1e3 }),
  mass: plain({ kg: 1, g: 1e-3, lb: 0.45359237 }),
  density: plain({ "kg/m3": 1, "g/cm3": 1e3, "lb/in3": 0.45359237 / cube(0.0254) }),
  expansion: plain({ "/K": 1, "1/K": 1, "/C": 1, "/\xB0C": 1, "/degC": 1, "/F": 9 / 5, "/\xB0F": 9 / 5, "/degF": 9 / 5 }),
  "heat-capacity": plain({ "J/(kg K)": 1, "kJ/(kg K)": 1e3, "J/kgK": 1 }),
  "dynamic-viscosity": plain({ "Pa s": 1, "mPa s": 1e-3, cP: 1e-3 }),
  ratio: plain({ "%": 0.01, ppm: 1e-6, "": 1 })
};
var usualUnits = {
  pressure: ["bar", "psi", "MPa", "kPa", "kgf/cm2"],
  "pressure-difference": ["bar", "psi", "MPa", "kPa", "kgf/cm2"],
  "pressure-rate": ["bar/min", "psi/min", "bar/s", "psi/s", "MPa/min"],
  "pressure-per-kelvin": ["bar/K", "psi/F"],
  modulus: ["GPa", "MPa", "bar", "psi", "ksi"],
  temperature: ["\xB0C", "\xB0F", "K"],
  "temperature-difference": ["K", "\xB0C", "\xB0F"],
  "temperature-rate": ["K/min", "K/h", "\xB0F/h"],
  length: ["mm", "cm", "m", "in", "ft"],
  area: ["cm2", "mm2", "m2", "in2"],
  volume: ["L", "mL", "cm3", "m3", "in3", "gal"],
  flow: ["mL/min", "L/min", "mL/h", "in3/min", "gal/min"],
  time: ["s", "min", "h"],
  force: ["kN", "N", "lbf"],
  energy: ["J", "kJ"],
  mass: ["kg", "g", "lb"],
  density: ["kg/m3", "g/cm3"],
  expansion: ["/K", "/\xB0C", "/\xB0F"],
  "heat-capacity": ["J/(kg K)", "kJ/(kg K)"],
  "dynamic-viscosity": ["mPa s", "Pa s", "cP"],
  ratio: ["%", "ppm"]
};

// src/units/parse.ts
var quantityShape = /^\s*([+\-−]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)\s*(\S.*?)?\s*$/;
function findUnit(dimension, name) {
  const plainName = name.replaceAll("\xB2", "2").replaceAll("\xB3", "3").replaceAll("\xB7", " ").replaceAll("\u03BC", "\xB5");
  const units2 = unitTable[dimension];
  return Object.hasOwn(units2, plainName) ? units2[plainName] : void 0;
}
function parseQuantity(text, dimension, place = {}) {
  const refuse2 = (what, advice2 = adviceFor(dimension)) => new DwellmarkError("input", `"${text}" ${what}`, { place, advice: advice2 });
  const match = quantityShape.exec(text);
  if (!match?.[1]) throw refuse2(`is not a ${spoken(dimension)}`);
  const unitName = match[2] ?? "";
  const unit = findUnit(dimension, unitName);
  if (!unit) {
    if (/^,\d/.test(unitName))
      throw refuse2("has a decimal comma", "Write a decimal point, and nothing between thousands.");
    if (unitName === "") throw refuse2("has no unit");
    throw refuse2(`has the unit "${unitName}", which is not one of ${spoken(dimension)}`);
  }
  const si = toSi(Number(match[1].replace("\u2212", "-")), unit);
  if (!Number.isFinite(si)) throw refuse2("is too large a number", "Check the exponent.");
  if (dimension === "temperature" && si < 0) throw refuse2("lies below absolute zero", "Check the sign and the unit.");
  return si;
}
function adviceFor(dimension) {
  const [first, ...others] = usualUnits[dimension];
  return `Write a number and a unit, for example "10 ${first}" (also ${others.join(", ")}).`;
}
var toSi = (value, unit) => value * unit.factor + (unit.offset ?? 0);
var fromSi = (si, unit) => (si - (unit.offset ?? 0)) / unit.factor;
var spoken = (dimension) => dimension.replaceAll("-", " ");

// src/units/format.ts
var minus = "\u2212";
function formatQuantity(si, dimension, unitName, decimals) {
  const number2 = formatIn(si, dimension, unitName, decimals);
  const shown = shownUnit(unitName);
  return shown === "" ? number2 : `${number2}\xA0${shown}`;
}
function formatIn(si, dimension, unitName, decimals) {
  return formatNumber(valueIn(si, dimension, unitName), decimals);
}
function valueIn(si, dimension, unitName) {
  const unit = findUnit(dimension, unitName);
  if (!unit) throw new Error(`no unit "${unitName}" for ${dimension}`);
  return fromSi(si, unit);
}
function formatNumber(value, decimals) {
  if (!Number.isFinite(value)) return "n/a";
  const text = value.toFixed(decimals);
  if (!text.startsWith("-")) return text;
  return Number(text) === 0 ? text.slice(1) : minus + text.slice(1);
}
function shownUnit(unitName) {
  return unitName.replace(/(?<=^|\/)(?:deg|°)?([CF])(?=$|\/)/g, "\xB0$1").replace(/(?<=[a-z])2/g, "\xB2").replace(/(?<=[a-z])3/g, "\xB3").replace(/^um$/, "\xB5m");
}

// src/units/one-line.ts
function steeringSign(text) {
  const [found2] = steering.exec(text) ?? [];
  return found2 === void 0 ? null : `U+${found2.charCodeAt(0).toString(16).toUpperCase().padStart(4, "0")}`;
}
var isOneLine = (text) => !/[\t\n\r\u2028\u2029]/.test(text);

// src/units/unit-system.ts
var metric = {
  temperature: "C",
  temperatureDifference: "K",
  length: "mm",
  area: "cm2",
  volume: "mL",
  flow: "mL/min",
  force: "kN"
};
var unitSystems = {
  bar: { pressure: "bar", pressureRate: "bar/min", ...metric },
  MPa: { pressure: "MPa", pressureRate: "MPa/min", ...metric },
  kPa: { pressure: "kPa", pressureRate: "kPa/min", ...metric },
  "kgf/cm2": { pressure: "kgf/cm2", pressureRate: "kgf/cm2/min", ...metric },
  psi: {
    pressure: "psi",
    pressureRate: "psi/min",
    temperature: "F",
    temperatureDifference: "F",
    length: "in",
    area: "in2",
    volume: "in3",
    flow: "mL/min",
    force: "lbf"
  }
};

// src/hydraulics/coverage/parts.ts
var parts = {
  cap: "cap",
  capWeld: "cap weld or cap seal",
  bossA: "port A boss",
  bossB: "port B boss",
  barrel: "barrel",
  capHalf: "barrel, half at port A",
  rodHalf: "barrel, half at port B",
  pistonSeal: "piston seal",
  rodSeal: "rod seal",
  gland: "gland O-ring",
  head: "head",
  headThrust: "head thread or bolts, by thrust",
  capThrust: "cap, by thrust",
  stopsThrust: "end stops, by thrust",
  wiper: "wiper",
  stageSeals: "stage seals",
  retractSeals: "retract seals of the stages"
};
var capEnd = [parts.cap, parts.capWeld, parts.bossA];
var rodEnd = [parts.rodSeal, parts.gland, parts.head, parts.bossB];

// src/hydraulics/coverage/testable-ports.ts
var portsOf = {
  "double-acting": ["A", "B"],
  "double-rod": ["A", "B"],
  "single-acting": ["A"],
  "single-acting pull": ["B"],
  plunger: ["A"],
  telescopic: ["A", "B"],
  vessel: ["A"]
};
var testablePorts = (kind) => portsOf[kind];

// src/hydraulics/coverage/hold-coverage.ts
function holdCoverage(kind, port, position, opposite, restrained = false) {
  const ports = testablePorts(kind);
  if (!ports.includes(port))
    throw new DwellmarkError("input", `a ${kind} cylinder can't be held at port ${port}`, {
      advice: `It can be held at port ${ports.join(" or ")}.`
    });
  const ends = endParts(kind, port);
  const barrel = barrelParts(kind, port, position);
  const canShowPistonBypass = hasPiston(kind, port) && opposite !== "blocked";
  const seal = hasPiston(kind, port) || kind === "telescopic" ? [parts.pistonSeal] : [];
  return {
    covers: [...ends.loaded, ...barrel.loaded, ...canShowPistonBypass ? seal : []],
    notCovered: [...ends.unloaded, ...barrel.unloaded, ...canShowPistonBypass ? [] : seal],
    canShowPistonBypass,
    remarks: remarksOn(kind, port, position, opposite, restrained)
  };
}
function endParts(kind, port) {
  switch (kind) {
    case "vessel":
      return { loaded: [], unloaded: [] };
    case "plunger":
      return { loaded: [...capEnd, parts.rodSeal, parts.gland, parts.head], unloaded: [parts.wiper] };
    case "single-acting":
      return { loaded: capEnd, unloaded: [parts.head, parts.wiper] };
    case "single-acting pull":
      return { loaded: rodEnd, unloaded: [parts.cap] };
    case "double-acting":
      return port === "A" ? { loaded: capEnd, unloaded: rodEnd } : { loaded: rodEnd, unloaded: capEnd };
    case "double-rod":
      return { loaded: headAt(port), unloaded: headAt(port === "A" ? "B" : "A") };
    case "telescopic":
      return port === "A" ? { loaded: [...capEnd, parts.stageSeals], unloaded: retract } : { loaded: retract, unloaded: [...capEnd, parts.stageSeals] };
  }
}
var retract = [parts.bossB, parts.retractSeals];
var headAt = (port) => [
  port === "A" ? parts.bossA : parts.bossB,
  `${parts.rodSeal} at ${port}`,
  `${parts.gland} at ${port}`,
  `${parts.head} at ${port}`
];
function barrelParts(kind, port, position) {
  if (kind === "vessel") return { loaded: [], unloaded: [] };
  if (kind === "plunger") return { loaded: [parts.barrel], unloaded: [] };
  if (kind === "telescopic" && port === "B") return { loaded: [], unloaded: [parts.barrel] };
  const [own, other] = port === "A" ? [parts.capHalf, parts.rodHalf] : [parts.rodHalf, parts.capHalf];
  if (position === "mid-stroke restrained") return { loaded: [own], unloaded: [other] };
  return atFarEnd(port, position) ? { loaded: [parts.barrel], unloaded: [] } : { loaded: [], unloaded: [parts.barrel] };
}
var atFarEnd = (port, position) => position === (port === "A" ? "extended" : "retracted");
var isSingleActing = (kind) => kind === "single-acting" || kind === "single-acting pull";
var hasPiston = (kind, port) => kind === "double-acting" || kind === "double-rod" || isSingleActing(kind) || kind === "telescopic" && port === "B";
function remarksOn(kind, port, position, opposite, restrained) {
  const remarks = [...kindRemarks[kind] ?? []];
  if (position === "no piston") return remarks;
  const other = port === "A" ? "B" : "A";
  if (position === "mid-stroke restrained" || restrained)
    remarks.push("The rod bears the full force of the pressure: it must be restrained from outside.");
  else if (!atFarEnd(port, position))
    remarks.push(
      `Pressure at ${port} moves the piston away from where it stands, and loads no length of barrel there.`
    );
  else if (hasPiston(kind, port) && kind !== "telescopic")
    remarks.push("A barrel that balloons under pressure shows only mid-stroke, with the rod restrained.");
  if (hasPiston(kind, port)) remarks.push(...pistonRemarks(kind, position, opposite, other));
  return remarks;
}
function pistonRemarks(kind, position, opposite, other) {
  if (opposite === "open")
    return isSingleActing(kind) ? [] : [`A leaking piston seal shows as oil at the open port ${other}.`];
  if (opposite === "gauge")
    return [
      "A leaking piston seal shows as pressure at the other port that rises while this one falls, until both move together."
    ];
  return position === "mid-stroke restrained" ? [
    "Past a leaking piston seal both chambers would share one pressure and move together; without a gauge on the blocked port that is not seen."
  ] : [
    "A blocked port hides a leaking piston seal, even a missing one: the pressure falls a little into the dead volume and then holds. This hold says nothing of the piston seal."
  ];
}
var atBreather = "A leaking piston seal shows as oil at the breather or drain.";
var kindRemarks = {
  "double-rod": ["A double-rod cylinder with a leaking piston drifts under load even with both ports shut."],
  "single-acting": [atBreather],
  "single-acting pull": [atBreather],
  vessel: [
    "The parts are those that the job lists. What lies behind a closed spool, seat or check valve sees no pressure and is not tested."
  ],
  plunger: ["A plunger has no piston seal: whatever leaks, leaks outside. Its stroke must end at a stop."],
  telescopic: [
    "Bleed a telescopic cylinder at its top; its stages move out in order, largest first.",
    "A double-acting telescopic cylinder intensifies pressure between its stages; only port B, where there is one, can show oil past them."
  ]
};

// src/hydraulics/coverage/thrust.ts
function thrustBearer(kind, port, position, restrained) {
  if (restrained || position === "mid-stroke restrained") return "restraint";
  if (position !== (port === "A" ? "extended" : "retracted")) return void 0;
  if (port === "B") return kind === "double-rod" ? "head" : "cap";
  return kind === "plunger" || kind === "telescopic" ? "end stops" : "head";
}
var thrustParts = {
  restraint: [],
  head: [parts.headThrust],
  cap: [parts.capThrust],
  "end stops": [parts.stopsThrust]
};

// src/hydraulics/fluids/bulk-modulus.ts
var tabledAtPa = 2e7;
var secantModulusPa = ({ bulkModulusPa, secantRise }, upTo) => secantRise === void 0 ? bulkModulusPa : bulkModulusPa + secantRise * (upTo - tabledAtPa);
function tangentModulusPa(fluid, at) {
  if (fluid.secantRise === void 0) return fluid.bulkModulusPa;
  const secantPa = secantModulusPa(fluid, at);
  return secantPa * (secantPa - at) / (secantPa - fluid.secantRise * at);
}
function secantBetweenPa(fluid, from, to) {
  const lost = (upTo) => upTo / secantModulusPa(fluid, upTo);
  return from === to ? tangentModulusPa(fluid, to) : (to - from) / (lost(to) - lost(from));
}
var expansionAtPerK = (fluid, at) => fluid.expansionPerK * fluid.bulkModulusPa / tangentModulusPa(fluid, at);

// src/hydraulics/fluids/fluid-table.ts
var at40C = temperatureK(313.15);
var web = 'The Engineering ToolBox, "Bulk Modulus and Fluid Elasticities"';
var mineralSource = `Bulk modulus 1.5 GPa up to 200 bar: as ${web} has SAE 30 (it has 1.8 GPa for ISO 32). Rise with pressure: Hayward 1970, from memory. Expansion, density, heat capacity: common practice, no source. Viscosity: ISO 3448, at 40 \xB0C.`;
var oilRise = 5.6;
function mineral(grade, densityKgPerM3) {
  return {
    name: `ISO VG ${grade}`,
    bulkModulusPa: 15e8,
    secantRise: oilRise,
    bulkModulusRelU: 0.1,
    expansionPerK: 7e-4,
    expansionRelU: 0.05,
    densityKgPerM3,
    heatCapacityJPerKgK: 1900,
    viscosityPaS: grade * 1e-6 * densityKgPerM3,
    viscosityAtK: at40C,
    source: mineralSource
  };
}
var fluidTable = [
  mineral(22, 865),
  mineral(32, 870),
  mineral(46, 875),
  mineral(68, 880),
  {
    name: "HFC",
    bulkModulusPa: 34e8,
    secantRise: 3.3,
    bulkModulusRelU: 0.08,
    expansionPerK: 63e-5,
    expansionRelU: 0.15,
    densityKgPerM3: 1080,
    heatCapacityJPerKgK: 3200,
    viscosityPaS: 46e-6 * 1080,
    viscosityAtK: at40C,
    source: `Water-glycol. Bulk modulus: ${web}. Its rise with pressure is taken as that of water. Expansion, density, heat capacity: from memory. Viscosity: ISO 3448 grade 46.`
  },
  {
    name: "HFD",
    bulkModulusPa: 3e9,
    secantRise: oilRise,
    bulkModulusRelU: 0.1,
    expansionPerK: 68e-5,
    expansionRelU: 0.15,
    densityKgPerM3: 1140,
    heatCapacityJPerKgK: 1600,
    viscosityPaS: 46e-6 * 1140,
    viscosityAtK: at40C,
    source: `Phosphate ester. Bulk modulus: ${web}. Its rise with pressure is taken as that of mineral oil. Expansion, density, heat capacity: from memory. Viscosity: ISO 3448 grade 46.`
  },
  {
    name: "water",
    bulkModulusPa: 2245e6,
    secantRise: 3.3,
    bulkModulusRelU: 0.03,
    expansionPerK: 207e-6,
    expansionRelU: 0.3,
    densityKgPerM3: 998.2,
    heatCapacityJPerKgK: 4184,
    viscosityPaS: 1002e-6,
    viscosityAtK: temperatureK(293.15),
    source: "IAPWS R6-95 (2018) and R12-08 at 20 \xB0C. Expansion changes with temperature (0.9e-4 at 10 \xB0C, 3.0e-4 at 30 \xB0C), hence its wide uncertainty."
  }
];

// src/hydraulics/fluids/find-fluid.ts
var fluidNames = fluidTable.map((fluid) => fluid.name);
var otherNames = {
  vg22: "isovg22",
  vg32: "isovg32",
  vg46: "isovg46",
  vg68: "isovg68",
  iso22: "isovg22",
  iso32: "isovg32",
  iso46: "isovg46",
  iso68: "isovg68",
  waterglycol: "hfc",
  phosphateester: "hfd",
  hfdr: "hfd",
  phosphateesterhfdr: "hfd",
  hfc46: "hfc",
  hfd46: "hfd",
  hfdr46: "hfd"
};
var mineralClass = /^(?:hh|hl|hm|hr|hv|hg|hlp|hvlp)(\d+)$/;
function findFluid(name) {
  const sought = squeezed(name).replace(mineralClass, "isovg$1");
  const printed = Object.hasOwn(otherNames, sought) ? otherNames[sought] : sought;
  return fluidTable.find((fluid) => squeezed(fluid.name) === printed);
}
var squeezed = (name) => name.toLowerCase().replace(/[\s_-]+/g, "");

// src/hydraulics/fluids/user-fluid.ts
var figures = [
  "bulkModulusPa",
  "expansionPerK",
  "densityKgPerM3",
  "heatCapacityJPerKgK",
  "viscosityPaS",
  "viscosityAtK"
];
function userFluid(stated, place = {}, base = usualOil()) {
  for (const figure2 of figures) {
    const value = stated[figure2];
    if (value !== void 0 && !(value > 0 && Number.isFinite(value)))
      throw new DwellmarkError("input", `the fluid's ${inWords[figure2]} must be more than zero`, { place });
  }
  const taken = figures.filter((figure2) => stated[figure2] === void 0).map((figure2) => inWords[figure2]);
  const { secantRise: rise, ...constant } = base;
  const ground = stated.bulkModulusPa === void 0 && rise !== void 0 ? base : constant;
  return {
    ...ground,
    name: "the job's fluid",
    bulkModulusRelU: stated.bulkModulusPa === void 0 ? base.bulkModulusRelU : 0.05,
    expansionRelU: stated.expansionPerK === void 0 ? base.expansionRelU : 0.05,
    source: taken.length === 0 ? "As stated in the job." : `As stated in the job; ${list(taken)} of ${base.name}.`,
    ...stated
  };
}
function usualOil() {
  const oil = findFluid("ISO VG 46");
  if (!oil) throw new Error("the fluid table has lost ISO VG 46");
  return oil;
}
var inWords = {
  bulkModulusPa: "bulk modulus",
  expansionPerK: "expansion",
  densityKgPerM3: "density",
  heatCapacityJPerKgK: "heat capacity",
  viscosityPaS: "viscosity",
  viscosityAtK: "viscosity temperature"
};
var list = (words2) => words2.length < 2 ? words2.join("") : `${words2.slice(0, -1).join(", ")} and ${words2.at(-1)}`;

// src/hydraulics/geometry/circle.ts
var circleM2 = (diameterM) => Math.PI / 4 * square(diameterM);

// src/hydraulics/geometry/stages.ts
function telescopicStages(cylinder) {
  const bores2 = stageBores(cylinder);
  return bores2.map((boreM2, index) => {
    const insideM = bores2[index + 1] ?? cylinder.rodM;
    return {
      boreM: boreM2,
      pushM2: circleM2(boreM2),
      pullM2: cylinder.rodM > 0 ? circleM2(boreM2) - circleM2(insideM) : 0,
      strokeM: cylinder.stageStrokesM?.[index] ?? cylinder.strokeM / bores2.length
    };
  });
}
var stageBores = (cylinder) => cylinder.stageBoresM && cylinder.stageBoresM.length > 0 ? cylinder.stageBoresM : [cylinder.boreM];

// src/hydraulics/geometry/areas.ts
function pistonAreaM2(cylinder, port) {
  const boreM2 = circleM2(cylinder.boreM);
  const ringM2 = boreM2 - circleM2(cylinder.rodM);
  switch (cylinder.kind) {
    case "double-acting":
      return port === "A" ? boreM2 : ringM2;
    case "double-rod":
      return ringM2;
    case "single-acting":
      return port === "A" ? boreM2 : 0;
    case "single-acting pull":
      return port === "B" ? ringM2 : 0;
    case "vessel":
      return 0;
    case "plunger":
      return port === "A" ? circleM2(cylinder.rodM > 0 ? cylinder.rodM : cylinder.boreM) : 0;
    case "telescopic": {
      const first = telescopicStages(cylinder)[0];
      return (port === "A" ? first?.pushM2 : first?.pullM2) ?? 0;
    }
  }
}

// src/hydraulics/geometry/barrel-wall.ts
var steel2 = { youngPa: 207e9, poisson: 0.3 };
var steelExpansionPerK = 117e-7;
function wallStiffnessPa(wall) {
  const [young, poisson] = [wall.youngPa ?? steel2.youngPa, wall.poisson ?? steel2.poisson];
  const [inside2, outside2] = [square(wall.insideM), square(wall.outsideM)];
  return young / (2 * ((outside2 + inside2) / (outside2 - inside2) + poisson));
}

// src/hydraulics/geometry/chamber-volume.ts
var shareOut = {
  extended: 1,
  retracted: 0,
  "mid-stroke restrained": 0.5,
  "no piston": 1
};
function chamberVolumeM3(cylinder, port, position) {
  if (cylinder.kind === "vessel") return cylinder.volumeM3 ?? 0;
  if (cylinder.kind === "telescopic") return telescopicVolumeM3(cylinder, port, shareOut[position] * cylinder.strokeM);
  const share = port === "A" ? shareOut[position] : 1 - shareOut[position];
  if (cylinder.kind === "plunger") return port === "A" ? plungerVolumeM3(cylinder, share) : 0;
  return pistonAreaM2(cylinder, port) * cylinder.strokeM * share;
}
function telescopicVolumeM3(cylinder, port, outM) {
  let leftM = outM;
  return telescopicStages(cylinder).reduce((sum2, { pushM2, pullM2, strokeM }) => {
    const stageOutM = Math.min(strokeM, leftM);
    leftM -= stageOutM;
    return sum2 + (port === "A" ? pushM2 * stageOutM : pullM2 * (strokeM - stageOutM));
  }, 0);
}
function plungerVolumeM3(cylinder, share) {
  const aroundM2 = cylinder.rodM > 0 ? circleM2(cylinder.boreM) - circleM2(cylinder.rodM) : 0;
  return (aroundM2 + share * pistonAreaM2(cylinder, "A")) * cylinder.strokeM;
}

// src/hydraulics/geometry/cylinder-faults.ts
function cylinderFaults(cylinder) {
  const faults = [];
  const unless = (sound, field, text) => {
    if (!sound) faults.push({ field, text });
  };
  if (cylinder.kind === "vessel") return vesselFaults(cylinder);
  unless(positive(cylinder.boreM), "boreM", "the bore must be more than zero");
  unless(positive(cylinder.strokeM), "strokeM", "the stroke must be more than zero");
  unless(positive(cylinder.ratedPressurePa), "ratedPressurePa", "the rated pressure must be more than zero");
  unless(cylinder.rodM >= 0 && Number.isFinite(cylinder.rodM), "rodM", "the rod must not be less than zero");
  unless(cylinder.rodM < cylinder.boreM, "rodM", "the rod is not thinner than the bore");
  const needsRod = testablePorts(cylinder.kind).includes("B") && cylinder.kind !== "telescopic";
  unless(
    !needsRod || cylinder.rodM > 0,
    "rodM",
    `a ${cylinder.kind} cylinder has oil around its rod: it needs a rod diameter`
  );
  if (cylinder.barrelOutsideM !== void 0)
    unless(cylinder.barrelOutsideM > cylinder.boreM, "barrelOutsideM", "the barrel is not thicker than its bore");
  const bores2 = cylinder.stageBoresM ?? [];
  const strokes = cylinder.stageStrokesM;
  if (cylinder.kind === "telescopic") {
    unless(bores2.every(positive), "stageBoresM", "every stage bore must be more than zero");
    unless(descending(bores2), "stageBoresM", "the stage bores must be written largest first");
    unless(
      Math.abs((bores2[0] ?? cylinder.boreM) - cylinder.boreM) < 1e-6,
      "boreM",
      "the bore is not that of the largest stage"
    );
    unless((bores2.at(-1) ?? cylinder.boreM) > cylinder.rodM, "rodM", "the rod is not thinner than the last stage");
    if (strokes !== void 0) {
      unless(strokes.every(positive), "stageStrokesM", "every stage stroke must be more than zero");
      unless(strokes.length === bores2.length, "stageStrokesM", "each stage bore needs one stage stroke");
      const sumM = strokes.reduce((sum2, strokeM) => sum2 + strokeM, 0);
      unless(
        Math.abs(sumM - cylinder.strokeM) < 1e-3,
        "stageStrokesM",
        "the stage strokes do not add up to the stroke"
      );
    }
  } else
    unless(
      bores2.length === 0 && strokes === void 0,
      bores2.length === 0 ? "stageStrokesM" : "stageBoresM",
      `a ${cylinder.kind} cylinder has no stages`
    );
  return faults;
}
function vesselFaults({ ratedPressurePa, volumeM3 = 0 }) {
  return [
    ...positive(volumeM3) ? [] : [{ field: "volumeM3", text: "the volume must be more than zero" }],
    ...positive(ratedPressurePa) ? [] : [{ field: "ratedPressurePa", text: "the rated pressure must be more than zero" }]
  ];
}
var positive = (value) => value > 0 && Number.isFinite(value);
var descending = (values) => values.every((value, index) => index === 0 || value < (values[index - 1] ?? Number.POSITIVE_INFINITY));

// src/hydraulics/geometry/force.ts
var pistonForceN = (cylinder, port, pressure2) => pressure2 * pistonAreaM2(cylinder, port);

// src/hydraulics/geometry/intensification.ts
function intensifiedPressure(cylinder, port, pressure2) {
  const ratio = intensificationRatio(cylinder, port);
  return ratio === void 0 ? void 0 : pressurePa(pressure2 * ratio);
}
function intensificationRatio(cylinder, port) {
  if (cylinder.kind === "telescopic") return telescopicRatio(cylinder, port);
  const ownM2 = pistonAreaM2(cylinder, port);
  const oppositeM2 = pistonAreaM2(cylinder, port === "A" ? "B" : "A");
  return ownM2 > 0 && oppositeM2 > 0 ? ownM2 / oppositeM2 : void 0;
}
function telescopicRatio(cylinder, port) {
  const stages = telescopicStages(cylinder);
  if (stages.some((stage) => stage.pullM2 <= 0)) return void 0;
  return Math.max(...stages.map((stage) => port === "A" ? stage.pushM2 / stage.pullM2 : stage.pullM2 / stage.pushM2));
}

// src/hydraulics/heat/heat-of-compression.ts
var heatOfCompressionK = (fluid, temperature, rise) => temperatureDifferenceK(
  fluid.expansionPerK * temperature * rise / (fluid.densityKgPerM3 * fluid.heatCapacityJPerKgK)
);
var fallAsHeatLeavesPa = (fluid, temperature, at, stiffnessPa) => pressureDifferencePa(
  heatOfCompressionK(fluid, temperature, pressureDifferencePa(at)) * expansionAtPerK(fluid, at) * stiffnessPa
);

// src/hydraulics/heat/heat-of-hold.ts
var [leastToWall, mostToWall, toRoom] = [5, 400, 8];
var toMetal = 0.55;
var lineBoreM = 0.01;
var oilK = temperatureK(300);
function heatOfHold(hold) {
  const { fluid } = hold;
  const heatPerM3K = fluid.densityKgPerM3 * fluid.heatCapacityJPerKgK;
  const [narrowM, wideM] = depthsM(hold);
  const metalTime = (perM2K, deepM) => toMetal * heatPerM3K * deepM / perM2K;
  return {
    kelvinPerPa: fluid.expansionPerK * oilK / heatPerM3K,
    leastS: metalTime(mostToWall, narrowM),
    greatestS: metalTime(leastToWall, wideM),
    outerS: 2 * heatPerM3K * wideM / toRoom
  };
}
function depthsM(hold) {
  const { kind, volumeM3 = 0 } = hold.cylinder;
  if (kind === "vessel") return [lineBoreM / 4, Math.max(lineBoreM / 4, power2(volumeM3, 1 / 3) / 6)];
  const deepM = depthM(hold);
  return [deepM, deepM];
}
function depthM({ cylinder, port, position, override }) {
  const volumeM3 = chamberVolumeM3(cylinder, port, position);
  if (override?.volumeM3 !== void 0 && override.volumeM3 < 0.5 * volumeM3) return lineBoreM / 4;
  if (!(volumeM3 > 0)) return lineBoreM / 4;
  const rodM = port === "B" || cylinder.kind === "double-rod" ? cylinder.rodM : 0;
  const areaM2 = circleM2(cylinder.boreM) - circleM2(rodM);
  const lengthM = volumeM3 / areaM2;
  return volumeM3 / (Math.PI * (cylinder.boreM + rodM) * lengthM + 2 * areaM2);
}

// src/hydraulics/heat/thermal-pressure.ts
function thermalPressurePaPerK(hold) {
  const wall = hold.barrel === "warms along" ? 3 * steelExpansionPerK : 0;
  return hold.stiffnessPa * (hold.expansionPerK - wall);
}

// src/hydraulics/leak/decay.ts
var leakForDecayM3PerS = (held3, ratePaPerS2) => held3.volumeM3 / held3.bulkModulusPa * ratePaPerS2;
var decayForLeakPaPerS = (held3, leakM3PerS) => held3.bulkModulusPa / held3.volumeM3 * leakM3PerS;

// src/hydraulics/leak/drift.ts
var driftM = (oilM3, areaM2) => oilM3 / areaM2;

// src/hydraulics/leak/drops.ts
var usualDropsPerMl = 20;
var dropsToM3 = (drops, dropsPerMl = usualDropsPerMl) => drops / dropsPerMl * 1e-6;
var m3ToDrops = (volumeM3, dropsPerMl = usualDropsPerMl) => volumeM3 * 1e6 * dropsPerMl;

// src/hydraulics/stiffness/booster-strokes.ts
function boosterStrokes(oilM3, strokeM3, delivers = 1) {
  if (!(strokeM3 > 0 && delivers > 0)) throw new Error("a booster stroke must deliver something");
  return Math.max(0, Math.ceil(oilM3 / (strokeM3 * delivers) - 1e-9));
}

// src/hydraulics/stiffness/entrained-air.ts
var atmospherePa2 = 101325;
var exponentOf = { slow: 1, fast: 1.4 };
var gasStiffnessPa = (absolutePa, process2) => exponentOf[process2] * absolutePa;
var airShareLeft = (pressure2, process2 = "slow") => power2(atmospherePa2 / (atmospherePa2 + pressure2), 1 / exponentOf[process2]);
var oilForAirM3 = (freeAirM3, from, to, process2 = "slow") => freeAirM3 * (airShareLeft(from, process2) - airShareLeft(to, process2));
var airGivePerPa = (pressure2, process2 = "slow") => airShareLeft(pressure2, process2) / gasStiffnessPa(atmospherePa2 + pressure2, process2);

// src/hydraulics/stiffness/shut-in.ts
var relU = { chamber: 0.01, stages: 0.05, line: 0.1, volume: 0.01, stiffness: 0.05, wall: 0.1, hose: 0.2 };
var airRelU = 0.3;
var unknownWall = 0.15 / Math.sqrt(3);
var softHosePa = 1e9;
function shutInGive(hold, oilPa) {
  const chamberM3 = chamberVolumeM3(hold.cylinder, hold.port, hold.position);
  const geometricM3 = chamberM3 + hold.lineVolumeM3;
  const volumeM3 = hold.override?.volumeM3 ?? geometricM3;
  if (!(volumeM3 > 0))
    throw new DwellmarkError("input", `port ${hold.port} with the piston ${hold.position} shuts in no oil`, {
      advice: "State the line volume or the trapped volume, or correct the position."
    });
  const volumeUM3 = hold.override?.volumeM3 === void 0 ? geometricUM3(hold, chamberM3) : relU.volume * hold.override.volumeM3;
  const common = { volumeM3, volumeUM3, chamberM3, freeAirM3: (hold.airFraction ?? 0) * volumeM3 };
  const statedPa = hold.override?.bulkModulusPa;
  if (statedPa !== void 0) {
    const oilM3PerPa2 = volumeM3 / statedPa;
    return { ...common, oilM3PerPa: oilM3PerPa2, wallM3PerPa: 0, hoseM3PerPa: 0, uM3PerPa: relU.stiffness * oilM3PerPa2 };
  }
  const oilM3PerPa = volumeM3 / oilPa;
  const wall = wallGive(hold, geometricM3 > 0 ? Math.min(1, volumeM3 / geometricM3) : 1);
  const wallM3PerPa = wall?.m3PerPa ?? 0;
  const hoseM3PerPa = hold.hoseStiffnessPa === void 0 ? 0 : hold.lineVolumeM3 / hold.hoseStiffnessPa;
  const wallU = wall ? relU.wall * wallM3PerPa : unknownWall * (chamberM3 / oilPa);
  const hoseU = hold.hoseStiffnessPa === void 0 ? hold.lineVolumeM3 / (softHosePa * Math.sqrt(3)) : relU.hose * hoseM3PerPa;
  const uM3PerPa = rootSumSquares(hold.fluid.bulkModulusRelU * oilM3PerPa, wallU, hoseU);
  return { ...common, oilM3PerPa, wallM3PerPa, hoseM3PerPa, uM3PerPa, ...wall && { wallPa: wall.stiffnessPa } };
}
function geometricUM3(hold, chamberM3) {
  const sweptM3 = Math.max(
    chamberM3,
    chamberVolumeM3(hold.cylinder, hold.port, hold.port === "A" ? "extended" : "retracted")
  );
  const { kind, stageStrokesM } = hold.cylinder;
  const chamberRelU = kind === "telescopic" && stageStrokesM === void 0 ? relU.stages : relU.chamber;
  return rootSumSquares(chamberRelU * sweptM3, relU.line * hold.lineVolumeM3);
}
function wallGive(hold, scale) {
  const { cylinder, port, position } = hold;
  if (cylinder.barrelOutsideM === void 0) return void 0;
  const stiffnessPa = wallStiffnessPa({ insideM: cylinder.boreM, outsideM: cylinder.barrelOutsideM });
  const barrelM3 = cylinder.kind === "telescopic" ? chamberVolumeM3(cylinder, port, position) : circleM2(cylinder.boreM) * barrelLengthM(cylinder, port, position);
  return { m3PerPa: scale * barrelM3 / stiffnessPa, stiffnessPa };
}
function barrelLengthM(cylinder, port, position) {
  if (cylinder.kind === "plunger") return cylinder.strokeM;
  if (position === "mid-stroke restrained") return cylinder.strokeM / 2;
  return position === "extended" === (port === "A") ? cylinder.strokeM : 0;
}

// src/hydraulics/stiffness/expected-stiffness.ts
function expectedStiffness(hold, from, to, process2 = "slow") {
  const give = shutInGive(hold, secantBetweenPa(hold.fluid, from, to));
  const rise = to - from;
  const split = {
    oilM3: give.oilM3PerPa * rise,
    wallM3: give.wallM3PerPa * rise,
    hoseM3: give.hoseM3PerPa * rise,
    airM3: oilForAirM3(give.freeAirM3, from, to, process2)
  };
  const oilM3 = split.oilM3 + split.wallM3 + split.hoseM3 + split.airM3;
  const volumePart = give.volumeUM3 / give.volumeM3 * split.oilM3;
  return { oilM3, oilUM3: rootSumSquares(give.uM3PerPa * rise, volumePart, airRelU * split.airM3), split };
}

// src/hydraulics/stiffness/stored-energy.ts
function storedEnergy(hold) {
  const absolutePa = hold.at + atmospherePa2;
  const airM3 = (hold.freeAirM3 ?? 0) * airShareLeft(hold.at);
  const expanded2 = 1 - power2(atmospherePa2 / absolutePa, 0.4 / 1.4);
  return {
    oilJ: square(hold.at) * hold.volumeM3 / (2 * hold.bulkModulusPa),
    airJ: absolutePa * airM3 / 0.4 * expanded2
  };
}

// src/hydraulics/trapped-oil.ts
var wallWarmthRelU = 0.3;
function trappedOil(hold) {
  const oilPa = tangentModulusPa(hold.fluid, hold.atPa);
  const give = shutInGive(hold, oilPa);
  const stated = hold.override?.bulkModulusPa;
  const airM3PerPa = stated === void 0 ? give.freeAirM3 * airGivePerPa(hold.atPa, hold.airProcess ?? "slow") : 0;
  const giveM3PerPa = give.oilM3PerPa + give.wallM3PerPa + give.hoseM3PerPa + airM3PerPa;
  const bulkModulusPa = stated ?? give.volumeM3 / giveM3PerPa;
  const stiffnessRelU = rootSumSquares(give.uM3PerPa, airRelU * airM3PerPa) / giveM3PerPa;
  const thermal2 = thermalPart(hold, give, bulkModulusPa, stiffnessRelU);
  return {
    volumeM3: give.volumeM3,
    volumeUM3: give.volumeUM3,
    bulkModulusPa,
    bulkModulusUPa: stiffnessRelU * bulkModulusPa,
    thermalPaPerK: thermal2.paPerK,
    thermalUPaPerK: thermal2.uPaPerK,
    basis: basisOf(hold, give, oilPa)
  };
}
function thermalPart(hold, give, stiffnessPa, stiffnessRelU) {
  const statedPerK = hold.override?.expansionPerK;
  const expansionPerK = statedPerK ?? expansionAtPerK(hold.fluid, hold.atPa);
  const wallKnown = give.wallPa !== void 0 && statedPerK === void 0;
  const paPerK = thermalPressurePaPerK({ stiffnessPa, expansionPerK, barrel: wallKnown ? "warms along" : "cold" });
  const steelRelU = (wallKnown ? wallWarmthRelU : 1 / Math.sqrt(3)) * 3 * steelExpansionPerK / expansionPerK;
  const relU3 = rootSumSquares(stiffnessRelU, hold.fluid.expansionRelU, steelRelU);
  return { paPerK, uPaPerK: relU3 * paPerK };
}
function basisOf(hold, give, oilPa) {
  const volume2 = hold.override?.volumeM3 === void 0 ? `Volume: chamber ${hold.port}, piston ${hold.position}, {volume:${give.chamberM3}}, and lines {volume:${hold.lineVolumeM3}}.` : `Volume: {volume:${give.volumeM3}} as the job states.`;
  if (hold.override?.bulkModulusPa !== void 0)
    return `${volume2} Stiffness: {modulus:${hold.override.bulkModulusPa}} as the job states. ${expansionBasis(hold, give)}`;
  const wall = give.wallPa === void 0 ? "barrel taken as rigid" : `barrel wall {modulus:${Math.round(give.wallPa)}} (Lame)`;
  const hose = hold.hoseStiffnessPa === void 0 ? "lines taken as rigid" : `hoses {modulus:${hold.hoseStiffnessPa}}`;
  const air = (hold.airFraction ?? 0) > 0 ? `${Number(((hold.airFraction ?? 0) * 100).toPrecision(3))} % free air` : "no free air";
  const at = hold.fluid.secantRise === void 0 ? "" : ` at {pressure:${hold.atPa}}`;
  const oil = `${hold.fluid.name} {modulus:${Number(oilPa.toPrecision(6))}}${at}`;
  return `${volume2} Stiffness: ${oil}, ${wall}, ${hose}, ${air}. ${expansionBasis(hold, give)}`;
}
function expansionBasis(hold, give) {
  if (hold.override?.expansionPerK !== void 0)
    return `Expansion: {expansion:${hold.override.expansionPerK}} as the job states.`;
  const walls = give.wallPa === void 0 ? "walls not allowed for" : "less that of the steel barrel";
  return `Expansion: ${hold.fluid.name} {expansion:${hold.fluid.expansionPerK}}, ${walls}.`;
}

// src/procedure/plan/allowed-decay.ts
function allowedDropPa(limit, start, dwellS, trapped) {
  switch (limit.kind) {
    case "drop":
      return limit.dropPa;
    case "percent":
      return pressureDifferencePa(limit.fraction * start);
    case "rate":
      return pressureDifferencePa(limit.ratePaPerS * dwellS);
    case "leak":
      return pressureDifferencePa(decayForLeakPaPerS(trapped, limit.leakM3PerS) * dwellS);
  }
}
function governingLimit(limits, start, dwellS, trapped) {
  const drops = limits.map((limit) => ({ limit, dropPa: allowedDropPa(limit, start, dwellS, trapped) }));
  const [first, ...others] = drops;
  if (first === void 0) return null;
  const strictest = others.reduce((least2, next) => next.dropPa < least2.dropPa ? next : least2, first);
  return { ...strictest, leakM3PerS: leakForDecayM3PerS(trapped, strictest.dropPa / dwellS) };
}

// src/procedure/plan/findings/marks.ts
var figure = (si) => String(Number(si.toPrecision(7)));
var pressure = (pa) => `{pressure:${Math.round(pa)}}`;
var difference = (pa) => `{difference:${figure(pa)}}`;
var thermal = (paPerK) => `{thermal:${figure(paPerK)}}`;
var flow = (m3PerS) => `{flow:${figure(m3PerS)}}`;
var volume = (m3) => `{volume:${figure(m3)}}`;
var kelvin = (k) => `{kelvin:${figure(k)}}`;
var seconds2 = (s) => `{seconds:${figure(s)}}`;
var length = (m) => `{length:${figure(m)}}`;
var force = (n2) => `{force:${figure(n2)}}`;
var energy = (j) => `{energy:${figure(j)}}`;
var dropsPerMin = (m3PerS, dropsPerMl) => `${Number((m3ToDrops(m3PerS, dropsPerMl) * 60).toPrecision(2))} drops/min`;
var collectedAmount = ({ volumeM3, drops, overS, lessThan }) => `${lessThan ? "less than " : ""}${drops === void 0 ? volume(volumeM3) : `${drops} ${drops === 1 ? "drop" : "drops"}`} in ${seconds2(overS)}`;
var times = (ratio) => String(Number(ratio.toPrecision(3)));
var percent = (share) => `${Number((share * 100).toPrecision(3))} %`;

// src/procedure/plan/findings/decay.ts
function decayFindings(grounds) {
  const { figures: figures2 } = grounds;
  const boundK = figures2.assumed.unmeasuredTemperatureK;
  return figures2.ports.flatMap(
    (port) => port.stages.flatMap((stage) => [
      ...isLimited(stage) ? [
        ...resolvable(port, stage, boundK),
        ...wideForSize(port, stage, grounds),
        ...warmth(port, stage),
        ...settling(port, stage, grounds.plan)
      ] : looking(port, stage)
    ])
  );
}
var isLimited = (stage) => stage.governing !== null;
function looking(port, stage) {
  const cup2 = port.collected === void 0 ? "" : ", the oil collected";
  return [
    {
      grade: "note",
      code: "look-only",
      port: port.port,
      stage: stage.name,
      text: `The pressure drop has no limit: time, level${cup2} and the inspection by the named technician decide. A leak that nobody can see is not found.`
    }
  ];
}
var serviceLeakM3PerS = (boreM2) => 4e-6 / 600 * square(boreM2 / 0.1);
var wideLimit = 3;
function wideForSize(port, stage, { job, procedure, figures: figures2 }) {
  const usualM3PerS = serviceLeakM3PerS(job.cylinder.boreM);
  if (procedure.subject === "plugged lines" || job.cylinder.kind === "vessel" || stage.allowedLeakM3PerS <= wideLimit * usualM3PerS)
    return [];
  return [
    {
      grade: "warn",
      code: "limit-wide-for-size",
      port: port.port,
      stage: stage.name,
      text: `On this cylinder the limit of ${limitInWords(stage)} lets ${flow(stage.allowedLeakM3PerS)} pass (${dropsPerMin(stage.allowedLeakM3PerS, figures2.dropsPerMl)}), ${times(stage.allowedLeakM3PerS / usualM3PerS)} times the ${flow(usualM3PerS)} that a service manual allows a piston of ${length(job.cylinder.boreM)} (9803/6410, E 75-9; warned from ${wideLimit} times on, our own rule). Set leak_by_bore, or limits.collected.`
    }
  ];
}
function settling(port, stage, plan) {
  const planned = plan.ports.find((one) => one.port === port.port)?.stages.find((one) => one.name === stage.name);
  const allowedPaPerS = stage.allowedDropPa / stage.dwellS;
  if (planned?.judge !== "plain drop" || planned.stabilise.ratePaPerS > allowedPaPerS) return [];
  return [
    {
      grade: "warn",
      code: "settle-limit-below-decay",
      port: port.port,
      stage: stage.name,
      text: `The dwell starts below {rate:${planned.stabilise.ratePaPerS}}, but {rate:${allowedPaPerS}} is allowed in it: a leak over the limit never settles and ends inconclusive. Let it settle to above the allowed decay.`
    }
  ];
}
function resolvable(port, stage, boundK) {
  const at = { port: port.port, stage: stage.name };
  const { allowedDropPa: allowedDropPa2, smallestDropPa } = stage;
  if (allowedDropPa2 >= 2 * smallestDropPa) return [];
  const never2 = allowedDropPa2 <= smallestDropPa;
  const verdict = never2 ? "a limit below it can never give a pass" : "only a cylinder well below the limit can pass, and one well above it fail";
  return [
    {
      grade: never2 ? "stop" : "warn",
      code: never2 ? "limit-below-resolution" : "limit-near-resolution",
      ...at,
      text: `The limit is ${limitInWords(stage)} over ${seconds2(stage.dwellS)}; this dwell resolves ${difference(smallestDropPa)} (95 %): ${verdict}. ${cure(stage, boundK)}`
    }
  ];
}
function cure(stage, boundK) {
  if (stage.dwellNeededS !== null && stage.dwellNeededS > stage.dwellS)
    return `It needs a dwell of ${seconds2(stage.dwellNeededS)}, or the oil temperature logged.`;
  if (stage.allowedDropPa >= 2 * stage.smallestDropKnownTemperaturePa)
    return `An oil temperature unknown to within ${kelvin(boundK)} does this: log it.`;
  return "A longer dwell does not help: use a gauge with finer steps or better stability.";
}
function limitInWords({ governing, allowedDropPa: allowedDropPa2 }) {
  const drop = difference(allowedDropPa2);
  switch (governing.kind) {
    case "drop":
      return drop;
    case "percent":
      return `${percent(governing.fraction)}, ${drop},`;
    case "rate":
      return `{rate:${Number(governing.ratePaPerS.toPrecision(7))}}, ${drop},`;
    case "leak":
      return `${flow(governing.leakM3PerS)}, ${drop},`;
  }
}
function warmth(port, stage) {
  const at = { port: port.port, stage: stage.name };
  const findings = [
    {
      grade: "note",
      code: "temperature",
      ...at,
      text: `Oil that cools by ${kelvin(stage.temperatureForLimitK)} in the dwell looks like the whole allowed decay of ${difference(stage.allowedDropPa)} (${thermal(port.trapped.thermalPaPerK)}).`
    }
  ];
  if (stage.targetPa === port.testPa && port.heatFallPa > stage.allowedDropPa)
    findings.push({
      grade: "note",
      code: "heat-of-compression",
      ...at,
      text: `Pumped up quickly the oil warms by ${kelvin(port.heatOfCompressionK)}, and falls by up to ${difference(port.heatFallPa)} as that heat leaves, with no leak at all. ${stage.judge === "plain drop" ? "Pump slowly and let it settle." : "Its course tells it from a leak; pumped slowly, or with the oil temperature logged, sooner."}`
    });
  return findings;
}

// src/procedure/plan/gauges-of.ts
var gaugeAt = (plan, port) => port?.gauge ?? plan.gauge;
function spokenDuty(duty) {
  if (duty.gives === "oil") return "oil temperature";
  const other = duty.whileTesting === "A" ? "B" : "A";
  return duty.gives === "pressure" ? `port ${duty.whileTesting} under test` : `port ${other} while ${duty.whileTesting} is tested`;
}
function gaugesInTest(plan) {
  const found2 = /* @__PURE__ */ new Map();
  const add = (one, ...duty) => {
    const known = found2.get(one.serial);
    const { serial, maker, model, calibration, spec } = one;
    found2.set(serial, {
      serial,
      ...maker === void 0 ? {} : { maker },
      ...model === void 0 ? {} : { model },
      ...calibration === void 0 ? {} : { calibration },
      ...known,
      spec: known?.spec ?? spec,
      duties: [...known?.duties ?? [], ...duty]
    });
  };
  if (plan.ports.length === 0) add({ ...plan.gauge, spec: plan.gauge });
  for (const port of plan.ports) {
    const main = gaugeAt(plan, port);
    add({ ...main, spec: main }, { gives: "pressure", whileTesting: port.port });
  }
  for (const { port, oppositeGauge } of plan.ports)
    if (oppositeGauge) add({ ...oppositeGauge, spec: oppositeGauge }, { gives: "opposite", whileTesting: port });
  if (plan.oilProbe) add({ ...plan.oilProbe, spec: null }, { gives: "oil" });
  return [...found2.values()];
}

// src/procedure/reading/by-bore.ts
var everyBore = (limit) => [
  { upToM: Number.POSITIVE_INFINITY, text: "", limit }
];
function rowsByBore(table) {
  const rows = Object.entries(table).map(([text, limit]) => ({ upToM: boreM(text), text, limit })).sort((a, b) => a.upToM - b.upToM);
  if (rows.length === 0)
    throw new DwellmarkError("input", "the table has no rows", { advice: 'Write for example { "63 mm" = "\u2026" }.' });
  for (const [index, { upToM, text }] of rows.entries())
    if (sameBore(upToM, rows[index + 1]?.upToM))
      throw new DwellmarkError("input", `the bore ${text} stands twice`, { place: { key: text } });
  return rows;
}
function boreM(text) {
  const boreM2 = parseQuantity(text, "length", { key: text });
  if (boreM2 > 0) return boreM2;
  throw new DwellmarkError("input", `"${text}": a bore must be more than zero`, { place: { key: text } });
}
var sameBore = (a, b) => b !== void 0 && b - a < 1e-9;
var rowFor = (rows, boreM2) => rows.find(({ upToM }) => boreM2 <= upToM + 1e-9);

// src/procedure/reading/level.ts
var number = String.raw`(\d+(?:\.\d+)?)`;
var timesRated = new RegExp(String.raw`^\s*${number}\s*[x×]\s*rated\s*$`);
var percentOf = new RegExp(String.raw`^\s*${number}\s*%(?:\s*of\s+(rated|test|target))?\s*$`);
function parseLevel(text, share) {
  const level2 = read(text, share);
  const size = level2.of === "itself" ? level2.pa : level2.fraction;
  if (!(size > 0)) throw new DwellmarkError("input", `"${text}" is not more than zero`);
  return level2;
}
function parseWidth(text) {
  const level2 = read(text, "target");
  if (level2.of === "itself" && level2.pa < 0) throw new DwellmarkError("input", `"${text}" is negative`);
  return level2;
}
function read(text, share) {
  const rated = timesRated.exec(text);
  if (rated) return { of: "rated", fraction: Number(rated[1]), text };
  const percent3 = percentOf.exec(text);
  const of = percent3?.[2] ?? share;
  if (percent3) {
    if (of !== "rated" && of !== "test" && of !== "target")
      throw new DwellmarkError("input", `"${text}" does not say of what`, {
        advice: 'Write "1.5 x rated", "25 % of test" (of the highest stage), or a pressure.'
      });
    return { of, fraction: Number(percent3[1]) / 100, text };
  }
  if (/rated|test|target/.test(text))
    throw new DwellmarkError("input", `"${text}" is not a pressure level`, {
      advice: 'Write "1.5 x rated", "25 % of test" (of the highest stage), or a pressure such as "5 bar".'
    });
  return { of: "itself", pa: parseQuantity(text, "pressure"), text };
}

// src/procedure/reading/procedure-table.ts
import { z as z2 } from "zod";

// src/procedure/reading/collected-amount.ts
var inTime = /^\s*(less than\s+|<\s*)?(.+?)\s+in\s+(.+?)\s*$/;
var counted = /^(\d+)\s*drops?$/;
var advice = 'Write for example "1 mL in 3 min", "6 drops in 3 min" or "less than 1 drop in 3 min".';
function parseCollected(text, place = {}) {
  const [, less, amount = "", time2 = ""] = inTime.exec(text) ?? [];
  if (amount === "")
    throw new DwellmarkError("input", `"${text}" is not an amount of oil over a time`, { place, advice });
  const overS = parseQuantity(time2, "time", place);
  if (!(overS > 0)) throw new DwellmarkError("input", `"${text}": the time must be more than zero`, { place, advice });
  const lessThan = less === void 0 ? {} : { lessThan: true };
  const drops = counted.exec(amount)?.[1];
  const size = drops === void 0 ? { volumeM3: parseQuantity(amount, "volume", place) } : { drops: Number(drops) };
  const value = "drops" in size ? size.drops : size.volumeM3;
  if (value < 0 || less !== void 0 && value === 0)
    throw new DwellmarkError("input", `"${text}": nothing is less than that`, { place, advice });
  return { ...size, overS, ...lessThan };
}

// src/procedure/reading/fields.ts
import { z } from "zod";
function quantity(dimension, example, rule = "positive") {
  const field = grammar(example, (text) => ruled(parseQuantity(text, dimension), text, dimension, rule));
  return field.meta({ description: example, dimension, rule });
}
function grammar(example, read2) {
  return z.string().transform((text, context) => {
    try {
      return read2(text);
    } catch (error) {
      if (!(error instanceof DwellmarkError)) throw error;
      context.addIssue({ code: "custom", message: error.message, params: { advice: error.advice } });
      return z.NEVER;
    }
  }).describe(example);
}
var line = () => z.string().trim().refine(isOneLine, "it is more than one line, or has a tab in it");
var words = (example) => line().min(1, "it is empty").describe(example);
var isoDate = (example) => z.union([z.string(), z.date()]).transform((value, context) => {
  const text = value instanceof Date ? value.toISOString().slice(0, 10) : value;
  if (isDate(text)) return text;
  context.addIssue({
    code: "custom",
    message: `"${text}" is not a date`,
    params: { advice: "Write year-month-day, for example 2026-03-14." }
  });
  return z.NEVER;
}).describe(example);
function isDate(text) {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) return false;
  const time2 = Date.parse(`${text}T00:00:00Z`);
  return !Number.isNaN(time2) && new Date(time2).toISOString().startsWith(text);
}
function ruled(si, text, dimension, rule) {
  if (rule === "positive" && !(si > 0))
    throw new DwellmarkError("input", `"${text}": a ${spoken(dimension)} here must be more than zero`);
  if (rule === "not negative" && si < 0)
    throw new DwellmarkError("input", `"${text}": a ${spoken(dimension)} here can't be negative`);
  return si;
}

// src/procedure/reading/procedure-table.ts
var portNames = ["A", "B"];
var steps = z2.array(z2.string().trim().min(1, "a step is empty"));
var level = (example, share) => grammar(example, (text) => parseLevel(text, share));
var width = (example) => grammar(example, parseWidth);
var time = (example, rule = "positive") => quantity("time", example, rule);
var dropLimit = grammar('"2 %"', (text) => {
  const percent3 = /^\s*(\d+(?:\.\d+)?)\s*%\s*$/.exec(text);
  const value = percent3 ? Number(percent3[1]) / 100 : parseQuantity(text, "pressure-difference");
  if (!(value > 0)) throw new DwellmarkError("input", `"${text}" is not more than zero`);
  if (percent3 && value >= 1) throw new DwellmarkError("input", `"${text}" would allow all the pressure to go`);
  return percent3 ? { fraction: value } : { dropPa: value };
});
var collected = grammar('"1 mL in 3 min"', parseCollected);
var stageTable = z2.strictObject({
  name: words('"proof"'),
  ports: z2.array(z2.enum(portNames)).optional(),
  target: level('"1.5 x rated"', null),
  below: width('"2 %"').optional(),
  above: width('"5 %"').optional(),
  void_above: level('"500 psi"', "target").optional(),
  never_below: level('"95 %"', "target").optional(),
  ramp_max: quantity("pressure-rate", '"10 bar/s"').optional(),
  stabilise: z2.strictObject({
    rate: quantity("pressure-rate", '"0.5 bar/min"').optional(),
    for: time('"30 s"', "not negative").optional(),
    give_up_after: time('"10 min"').optional()
  }).optional(),
  dwell: time('"5 min"'),
  allowed_decay: z2.strictObject({
    drop: dropLimit.optional(),
    rate: quantity("pressure-rate", '"0.5 bar/min"').optional(),
    leak: quantity("flow", '"0.2 mL/min"').optional(),
    leak_by_bore: z2.record(z2.string(), quantity("flow", '"0.2 mL/min"')).optional(),
    source: words('"customer order 4711"').optional()
  }).describe('{ drop = "2 %" }').optional(),
  decision: z2.enum(["simple", "guarded"]).optional(),
  judge: z2.enum(["leak", "plain drop"]).optional(),
  prepare: steps.optional(),
  look: steps.optional()
});
var procedureTable = z2.strictObject({
  id: words('"cylinder-proof"').regex(/^[a-z0-9][a-z0-9-]*$/, "an id is lower-case letters, digits and hyphens"),
  title: words('"\u2026"'),
  revision: z2.union([words('"1"'), z2.number().transform(String)]).describe('"1"'),
  source: words(`"the shop's own rule"`),
  purpose: z2.string().optional(),
  subject: z2.enum(["cylinder", "plugged lines"]).optional(),
  ports: z2.array(z2.enum(portNames)).optional(),
  attempts: z2.int().min(1, "at least one attempt").max(20, "at most twenty attempts").optional(),
  drops_per_ml: z2.number().positive("more than zero").optional(),
  oil_temperature_change: quantity("temperature-difference", '"0.1 K"', "not negative").optional(),
  prepare: steps.optional(),
  finish: steps.optional(),
  limits: z2.strictObject({
    overpressure: level('"106 %"', "test").optional(),
    opposite: level('"1 x rated"', "test").optional(),
    zero: quantity("pressure-difference", '"1 bar"').optional(),
    collected: z2.union([collected, z2.record(z2.string(), collected)]).optional(),
    collected_source: words('"customer order 4711"').optional()
  }).optional(),
  strokes: z2.strictObject({
    wanted: z2.int().min(1, "at least one stroke").max(20, "at most twenty strokes"),
    rest: time('"2 min"', "not negative").optional(),
    break_away_max: level('"5 bar"', "test").optional(),
    drag_max: level('"3 bar"', "test").optional(),
    source: words('"customer order 4711"').optional()
  }).optional(),
  bleed_down: z2.strictObject({ below: quantity("pressure", '"2 bar"').optional(), for: time('"10 s"').optional() }).optional(),
  stage: z2.array(stageTable).min(1, "a procedure has at least one stage").describe("a [[stage]] table")
});

// src/procedure/reading/toml-text.ts
import { parse, TomlError } from "smol-toml";
import { z as z3 } from "zod";

// src/procedure/reading/key-lines.ts
var bareOrQuoted = `(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')`;
var dottedKey = new RegExp(String.raw`^\s*(${bareOrQuoted}(?:\s*\.\s*${bareOrQuoted})*)\s*=`);
var tableHeader = new RegExp(
  String.raw`^\s*(\[\[?)\s*(${bareOrQuoted}(?:\s*\.\s*${bareOrQuoted})*)\s*\]\]?\s*(?:#.*)?$`
);
function keyLines(text) {
  const lines = /* @__PURE__ */ new Map();
  const arrayLengths = /* @__PURE__ */ new Map();
  let table = [];
  let open = null;
  for (const [index, line2] of text.split("\n").entries()) {
    const startsInside = open !== null;
    open = openAfter(line2, open);
    if (startsInside) continue;
    const header = tableHeader.exec(line2);
    if (header?.[2] !== void 0) {
      table = resolve(names(header[2]), arrayLengths, header[1] === "[[");
      note(table, index + 1);
      if (header[1] === "[[") note(table.slice(0, -1), index + 1);
      continue;
    }
    const key = dottedKey.exec(line2)?.[1];
    if (key !== void 0) note([...table, ...names(key)], index + 1);
  }
  return (path2) => {
    for (let length2 = path2.length; length2 > 0; length2 -= 1) {
      const line2 = lines.get(spot(path2.slice(0, length2)));
      if (line2 !== void 0) return line2;
    }
    return void 0;
  };
  function note(path2, line2) {
    const at = spot(path2);
    if (!lines.has(at)) lines.set(at, line2);
  }
}
var keyName = (path2) => path2.reduce(
  (name, part2) => typeof part2 === "number" ? `${name}[${part2 + 1}]` : name === "" ? part2 : `${name}.${part2}`,
  ""
);
var spot = (path2) => JSON.stringify(path2);
var names = (dotted) => [...dotted.matchAll(new RegExp(bareOrQuoted, "g"))].map(([name]) => name.replace(/^["']|["']$/g, ""));
function resolve(dotted, arrayLengths, begins2) {
  const path2 = [];
  for (const [index, name] of dotted.entries()) {
    path2.push(name);
    const at = spot(path2);
    const length2 = arrayLengths.get(at);
    if (begins2 && index === dotted.length - 1) {
      arrayLengths.set(at, (length2 ?? 0) + 1);
      path2.push(length2 ?? 0);
    } else if (length2 !== void 0) path2.push(length2 - 1);
  }
  return path2;
}
function openAfter(line2, before) {
  let open = before;
  for (let at = 0; at < line2.length; ) {
    const three = line2.slice(at, at + 3);
    if (open !== null) {
      if (three === open) {
        open = null;
        at += 3;
      } else at += open === '"""' && line2[at] === "\\" ? 2 : 1;
    } else if (three === '"""' || three === "'''") {
      open = three;
      at += 3;
    } else if (line2[at] === '"' || line2[at] === "'") {
      at = afterString(line2, at);
    } else if (line2[at] === "#") return null;
    else at += 1;
  }
  return open;
}
function afterString(line2, start) {
  const quote = line2[start];
  for (let at = start + 1; at < line2.length; at += 1) {
    if (quote === '"' && line2[at] === "\\") at += 1;
    else if (line2[at] === quote) return at + 1;
  }
  return line2.length;
}

// src/procedure/reading/near-word.ts
function nearWord(typed, known) {
  const plain3 = (word) => word.toLowerCase().replaceAll("-", "_");
  const reach2 = typed.length < 2 ? 0 : Math.max(1, Math.floor(typed.length / 3));
  let best;
  for (const word of known) {
    const steps3 = editSteps(plain3(typed), plain3(word));
    if (steps3 <= reach2 && (best === void 0 || steps3 < best.steps)) best = { word, steps: steps3 };
  }
  return best?.word;
}
function editSteps(from, to) {
  let row = Array.from({ length: to.length + 1 }, (_, index) => index);
  for (let i = 1; i <= from.length; i += 1) {
    const next = [i];
    for (let j = 1; j <= to.length; j += 1) {
      const change = (row[j - 1] ?? 0) + (from[i - 1] === to[j - 1] ? 0 : 1);
      next.push(Math.min(change, (row[j] ?? 0) + 1, (next[j - 1] ?? 0) + 1));
    }
    row = next;
  }
  return row[to.length] ?? 0;
}

// src/procedure/reading/toml-text.ts
function readToml(text, { file }) {
  const data = parsed(text, file);
  const lineOf = keyLines(text);
  const document = {
    data,
    place: (path2) => {
      const line2 = lineOf(path2);
      return { file, ...line2 === void 0 ? {} : { line: line2 }, ...path2.length === 0 ? {} : { key: keyName(path2) } };
    }
  };
  refuseSteering(document, data, []);
  return document;
}
function refuseSteering(document, value, path2) {
  if (typeof value === "string") {
    const sign = steeringSign(value);
    if (sign !== null)
      throw refusal(document, path2, `"${path2.at(-1)}" has the control character ${sign} in it`, "Take it out.");
  } else if (Array.isArray(value)) {
    for (const [index, item] of value.entries()) refuseSteering(document, item, [...path2, index]);
  } else if (typeof value === "object" && value !== null) {
    for (const [key, item] of Object.entries(value)) refuseSteering(document, item, [...path2, key]);
  }
}
function shaped(document, schema) {
  const result = schema.safeParse(document.data);
  if (result.success) return result.data;
  const troubles = result.error.issues.flatMap((issue) => troublesOf(issue, document, schema)).sort((a, b) => Number(a.missing) - Number(b.missing)).filter(({ path: path2, missing }, _, all) => !missing || all.every(({ meant }) => meant !== path2.join(".")));
  const [first, ...others] = troubles.map(({ path: path2, message, advice: advice2 }) => refusal(document, path2, message, advice2));
  if (!first) throw new Error("a schema failed without an issue");
  throw new DwellmarkError("input", first.message, {
    place: first.place,
    ...first.advice === void 0 ? {} : { advice: first.advice },
    others
  });
}
function refusal(document, path2, message, advice2) {
  return new DwellmarkError("input", message, {
    place: document.place(path2),
    ...advice2 === void 0 ? {} : { advice: advice2 }
  });
}
function parsed(text, file) {
  try {
    return parse(text);
  } catch (error) {
    if (!(error instanceof TomlError)) throw error;
    const what = (error.message.split("\n")[0] ?? "").replace("Invalid TOML document: ", "");
    throw new DwellmarkError("input", `not readable as TOML: ${what}`, {
      place: { file, line: error.line, column: error.column },
      advice: 'Text goes in quotes ("100 mm"), one key a line, tables in [brackets].',
      cause: error
    });
  }
}
function troublesOf(issue, document, schema) {
  const path2 = issue.path.filter((part2) => typeof part2 !== "symbol");
  const name = path2.at(-1) ?? "file";
  if (issue.code === "unrecognized_keys") {
    const known = keysAt(schema, path2);
    return issue.keys.map((key) => {
      const near = nearWord(key, known);
      const advice2 = near === void 0 ? `Known here: ${known.join(", ")}.` : `Did you mean "${near}"?`;
      const meant = near === void 0 ? {} : { meant: [...path2, near].join(".") };
      return { path: [...path2, key], message: `unknown key "${key}"`, advice: advice2, missing: false, ...meant };
    });
  }
  if (issue.code === "invalid_union") {
    const fitting = issue.errors.find((inner) => inner.every((one) => one.path.length > 0 || one.code === "custom"));
    if (fitting)
      return fitting.flatMap((one) => troublesOf({ ...one, path: [...issue.path, ...one.path] }, document, schema));
  }
  if (issue.code === "custom") {
    const advice2 = issue.params?.advice;
    return [{ path: path2, message: issue.message, ...typeof advice2 === "string" ? { advice: advice2 } : {}, missing: false }];
  }
  const value = valueAt2(document.data, path2);
  if (value === void 0) {
    const advice2 = exampleOf(schema, path2);
    return [
      { path: path2, message: `"${String(name)}" is missing`, ...advice2 === void 0 ? {} : { advice: advice2 }, missing: true }
    ];
  }
  if (issue.code === "invalid_value") {
    const choices = issue.values.map(String);
    const near = typeof value === "string" ? nearWord(value, choices) : void 0;
    const advice2 = `${near === void 0 ? "" : `Did you mean "${near}"? `}Write one of: ${choices.join(", ")}.`;
    return [{ path: path2, message: `${JSON.stringify(value)} is not a known ${String(name)}`, advice: advice2, missing: false }];
  }
  if (issue.code === "invalid_type" && issue.expected === "string" && typeof value === "number") {
    const example = exampleOf(schema, path2);
    const advice2 = example ?? "Put it in quotes.";
    return [{ path: path2, message: `"${String(name)}" is the bare number ${value}`, advice: advice2, missing: false }];
  }
  if (issue.code === "invalid_type" && issue.expected === "array" && typeof value === "object") {
    const advice2 = exampleOf(schema, path2);
    const message = `"${String(name)}" is one table where a list of them belongs`;
    return [{ path: path2, message, ...advice2 === void 0 ? {} : { advice: advice2 }, missing: false }];
  }
  return [{ path: path2, message: `"${String(name)}" is not right: ${issue.message}`, missing: false }];
}
var valueAt2 = (data, path2) => path2.reduce((at, part2) => typeof at === "object" && at !== null ? Reflect.get(at, part2) : void 0, data);
function exampleOf(schema, path2) {
  const example = schemaAt(schema, path2)?.description;
  const name = path2.at(-1);
  if (example === void 0) return void 0;
  if (example.startsWith("a [")) return `Write ${example}.`;
  return typeof name === "string" ? `Write for example ${name} = ${example}.` : `Write for example ${example}.`;
}
function keysAt(schema, path2) {
  const at = bare(schemaAt(schema, path2));
  return at instanceof z3.ZodObject ? Object.keys(at.shape) : [];
}
function schemaAt(schema, path2) {
  let at = schema;
  for (const part2 of path2) {
    const inner = bare(at);
    if (inner instanceof z3.ZodObject) at = inner.shape[part2];
    else if (inner instanceof z3.ZodArray) at = inner.element;
    else return void 0;
  }
  return at;
}
function bare(schema) {
  let at = schema;
  while (at instanceof z3.ZodOptional || at instanceof z3.ZodDefault || at instanceof z3.ZodPrefault)
    at = at.def.innerType;
  return at;
}

// src/procedure/reading/load-procedure.ts
var procedureDefaults = {
  rampMaxPaPerS: 1e6,
  stabilise: { ratePaPerS: 5e4 / 60, forS: 30, giveUpAfterS: 600 },
  /** Dwell may start this far below the target, and must not pass this far above it. */
  below: "2 %",
  above: "5 %",
  decision: "guarded",
  /** Never above 106 % of the test pressure: 34 Pa. Code 3a.115(a)(2), written for boilers and pressure vessels. */
  overpressure: "106 %",
  bleedDown: { belowPa: 2e5, forS: 10 },
  attempts: 3,
  /** MIL-DTL-5523E 3.12.1: 20 drops a millilitre. */
  dropsPerMl: 20,
  unmeasuredTemperatureK: 0.1,
  /** Rest before a stroke: SAE J1335 (2023), as others quote it. */
  strokeRestS: 120
};
function readProcedure(text, { file }) {
  const document = readToml(text, { file });
  const table = shaped(document, procedureTable);
  checkStages(document, table.stage);
  if (table.strokes) checkStrokes(document, table.strokes, table.subject);
  const defaults = procedureDefaults;
  return {
    id: table.id,
    title: table.title,
    revision: table.revision,
    source: table.source,
    purpose: table.purpose ?? "",
    subject: table.subject ?? "cylinder",
    ports: table.ports ?? [],
    stages: table.stage.map((stage, index) => stageOf(document, stage, index, table.source)),
    limits: {
      overpressure: table.limits?.overpressure ?? parseLevel(defaults.overpressure, "test"),
      opposite: table.limits?.opposite ?? null,
      zeroPa: table.limits?.zero === void 0 ? null : pressureDifferencePa(table.limits.zero),
      unmeasuredTemperatureK: table.oil_temperature_change === void 0 ? null : temperatureDifferenceK(table.oil_temperature_change),
      collected: collectedOf(document, table)
    },
    bleedDown: {
      belowPa: pressurePa(table.bleed_down?.below ?? defaults.bleedDown.belowPa),
      forS: table.bleed_down?.for ?? defaults.bleedDown.forS
    },
    strokes: table.strokes ? strokesOf(table.strokes) : null,
    attempts: table.attempts ?? defaults.attempts,
    dropsPerMl: table.drops_per_ml ?? defaults.dropsPerMl,
    prepare: table.prepare ?? [],
    finish: table.finish ?? []
  };
}
function strokesOf({ wanted, rest, break_away_max, drag_max, source }) {
  const limited = break_away_max !== void 0 || drag_max !== void 0;
  return {
    wanted,
    restS: rest ?? procedureDefaults.strokeRestS,
    limits: limited ? { breakAwayMax: break_away_max ?? null, dragMax: drag_max ?? null, source: source ?? "" } : null
  };
}
function stageOf(document, stage, index, source) {
  const { stabilise } = stage;
  const defaults = procedureDefaults;
  return {
    name: stage.name,
    ports: stage.ports ?? [],
    target: stage.target,
    below: stage.below ?? parseWidth(defaults.below),
    above: stage.above ?? parseWidth(defaults.above),
    voidAbove: stage.void_above ?? null,
    neverBelow: stage.never_below ?? null,
    rampMaxPaPerS: stage.ramp_max ?? defaults.rampMaxPaPerS,
    stabilise: {
      ratePaPerS: stabilise?.rate ?? defaults.stabilise.ratePaPerS,
      forS: stabilise?.for ?? defaults.stabilise.forS,
      giveUpAfterS: stabilise?.give_up_after ?? defaults.stabilise.giveUpAfterS
    },
    dwellS: stage.dwell,
    allowed: limitsOf(document, stage.allowed_decay ?? {}, ["stage", index, "allowed_decay"], source),
    decision: stage.decision ?? defaults.decision,
    judge: stage.judge ?? "leak",
    prepare: stage.prepare ?? [],
    look: stage.look ?? []
  };
}
function limitsOf(document, table, at, procedureSource) {
  const source = table.source ?? procedureSource;
  const { drop, rate: rate2, leak, leak_by_bore } = table;
  const limits = [];
  if (drop !== void 0) {
    if ("fraction" in drop) limits.push({ kind: "percent", fraction: drop.fraction, source });
    else limits.push({ kind: "drop", dropPa: drop.dropPa, source });
  }
  if (rate2 !== void 0) limits.push({ kind: "rate", ratePaPerS: rate2, source });
  if (leak !== void 0) limits.push({ kind: "leak", leakM3PerS: leak, source });
  if (leak_by_bore !== void 0) {
    const rows = boreRows(
      document,
      leak_by_bore,
      [...at, "leak_by_bore"],
      table.source,
      'source = "\u2026" to allowed_decay'
    );
    limits.push({ kind: "leak by bore", rows, source });
  }
  return limits;
}
function collectedOf(document, { limits, source }) {
  const { collected: collected2, collected_source } = limits ?? {};
  if (collected2 === void 0) return null;
  const rows = isAmount(collected2) ? everyBore(collected2) : boreRows(document, collected2, ["limits", "collected"], collected_source, 'collected_source = "\u2026" to [limits]');
  return { rows, source: collected_source ?? source };
}
var isAmount = (limit) => "overS" in limit;
function boreRows(document, table, at, source, where) {
  if (source === void 0)
    throw refusal(
      document,
      at,
      "nobody is named who set the limits of this table",
      `Add ${where}: a limit decides only with its source.`
    );
  try {
    return rowsByBore(table);
  } catch (error) {
    if (!(error instanceof DwellmarkError)) throw error;
    throw refusal(
      document,
      [...at, ...error.place.key === void 0 ? [] : [error.place.key]],
      error.message,
      error.advice
    );
  }
}
function checkStrokes(document, strokes, subject) {
  if (subject === "plugged lines")
    throw refusal(document, ["strokes"], "plugged lines have no piston to stroke", "Take the [strokes] table out.");
  const limit = strokes.break_away_max !== void 0 ? "break_away_max" : "drag_max";
  if (strokes[limit] !== void 0 && strokes.source === void 0)
    throw refusal(
      document,
      ["strokes", limit],
      "nobody is named who set this limit",
      'Add source = "\u2026" to [strokes]: a limit decides only with its source.'
    );
}
function checkStages(document, stages) {
  const names3 = /* @__PURE__ */ new Set();
  for (const [index, stage] of stages.entries()) {
    const refuse2 = (key, message, advice2) => {
      throw refusal(document, ["stage", index, ...key], message, advice2);
    };
    if (names3.has(stage.name)) refuse2(["name"], `stage "${stage.name}" stands twice`, "Give each stage its own name.");
    names3.add(stage.name);
    const { drop, rate: rate2, leak, leak_by_bore } = stage.allowed_decay ?? { drop: null };
    if ([drop, rate2, leak, leak_by_bore].every((limit) => limit === void 0))
      refuse2(
        ["allowed_decay"],
        "no limit is set",
        "Set drop, rate, leak or leak_by_bore; or leave allowed_decay out where somebody looks instead."
      );
    if (stage.judge === "plain drop" && stage.allowed_decay === void 0)
      refuse2(["judge"], "no drop is allowed or forbidden here", "Set allowed_decay, or take judge out.");
    if (stage.target.of === "target")
      refuse2(
        ["target"],
        `"${stage.target.text}" refers to itself`,
        'Write "1.5 x rated", "25 % of test" or a pressure.'
      );
    const { for: settledFor, give_up_after: giveUp } = stage.stabilise ?? {};
    const defaults = procedureDefaults.stabilise;
    if ((giveUp ?? defaults.giveUpAfterS) < (settledFor ?? defaults.forS))
      refuse2(
        ["stabilise", "give_up_after"],
        "it gives up before it could have settled",
        "Make give_up_after longer than for."
      );
  }
  if (stages.every((stage) => !isAnchor(stage.target)))
    throw refusal(
      document,
      ["stage", 0, "target"],
      "every target is a share of the test pressure, and nothing sets the test pressure",
      'The test pressure is the highest stage: give that one as "1.5 x rated" or a pressure.'
    );
  for (const [index, stage] of stages.entries())
    if (stage.target.of === "test" && stage.target.fraction > 1)
      throw refusal(
        document,
        ["stage", index, "target"],
        `"${stage.target.text}" is above the test pressure, which is the highest stage`,
        'Give the highest stage as "1.5 x rated" or a pressure.'
      );
}
var isAnchor = (target) => target.of === "rated" || target.of === "itself";

// src/procedure/plan/contradictions.ts
function refuseContradictions(port) {
  for (const stage of port.stages) {
    const { name, targetPa } = stage;
    if (port.overpressurePa <= targetPa)
      refuse("limits.overpressure", port.overpressurePa, `at or below the target of stage "${name}"`, targetPa);
    if (stage.voidAbovePa !== void 0 && stage.voidAbovePa < highPa(stage))
      refuse(
        `stage.${name}.void_above`,
        stage.voidAbovePa,
        "inside the band in which the dwell may start, up to",
        highPa(stage)
      );
    if (stage.neverBelowPa !== void 0 && stage.neverBelowPa >= targetPa)
      refuse(`stage.${name}.never_below`, stage.neverBelowPa, "not below the target of", targetPa);
    if (stage.belowPa >= targetPa)
      refuse(`stage.${name}.below`, stage.belowPa, "as wide as the target itself,", targetPa);
    if (port.bleedDown.belowPa >= targetPa)
      refuse("bleed_down.below", port.bleedDown.belowPa, `not below the target of stage "${name}",`, targetPa);
  }
}
var highPa = ({ targetPa, abovePa }) => targetPa + abovePa;
function refuse(key, pa, why, otherPa) {
  const bar = (value) => formatQuantity(value, "pressure", "bar", 1);
  throw new DwellmarkError("input", `${bar(pa)} is ${why} ${bar(otherPa)}`, {
    place: { key },
    advice: "Correct one of the two in the procedure."
  });
}

// src/procedure/plan/findings/calibration.ts
function calibrationFindings({ plan, figures: figures2, policy, on }) {
  return gaugesInTest(plan).flatMap((gauge) => {
    const { calibration, serial } = gauge;
    if (!calibration)
      return [found(policy.missing, "calibration-missing", `No calibration of gauge ${serial} is on file.`)];
    const highestPa = Math.max(0, ...figures2.ports.map((port) => highestAt(gauge, port)));
    return [
      ...on === null ? [] : dateFindings(serial, calibration, on, policy),
      ...coverFindings(serial, calibration, highestPa, policy),
      ...correctionFindings(serial, calibration)
    ];
  });
}
var found = (grade, code, text) => ({ grade, code, text });
function highestAt({ duties }, port) {
  const pressures = duties.map((duty) => {
    if (duty.gives === "oil" || duty.whileTesting !== port.port) return 0;
    return duty.gives === "pressure" ? port.testPa : port.oppositePa ?? 0;
  });
  return Math.max(...pressures);
}
function dateFindings(serial, calibration, on, policy) {
  const { certificate, date, due } = calibration;
  const days = daysBetween(on, due);
  if (days < 0)
    return [
      found(
        policy.outOfDate,
        "calibration-expired",
        `Gauge ${serial}: calibration ${certificate} was due ${due}, ${-days} days before ${on}.`
      )
    ];
  if (on < date)
    return [
      found("warn", "calibration-later", `Gauge ${serial}: calibration ${certificate} is dated ${date}, after ${on}.`)
    ];
  if (days > policy.noticeDays) return [];
  return [found("note", "calibration-due", `Gauge ${serial}: calibration is due ${due}, in ${days} days.`)];
}
function coverFindings(serial, { certificate, coversLowPa, coversHighPa }, highestPa, policy) {
  if (coversHighPa === void 0 || highestPa <= coversHighPa) return [];
  const covers = `${pressure(coversLowPa ?? 0)} to ${pressure(coversHighPa)}`;
  return [
    found(
      policy.notCovering,
      "calibration-not-covering",
      `Gauge ${serial}: calibration ${certificate} covers ${covers}, and it is to measure up to ${pressure(highestPa)}.`
    )
  ];
}
function correctionFindings(serial, { certificate, corrections = [] }) {
  const largestPa = Math.max(0, ...corrections.map(({ addPa }) => Math.abs(addPa)));
  if (largestPa === 0) return [];
  return [
    found(
      "note",
      "calibration-corrections",
      `Gauge ${serial}: pressure levels are corrected as calibration ${certificate} states (by up to ${difference(largestPa)}); drops and the recorded readings stay as the gauge shows them.`
    )
  ];
}
var daysBetween = (from, to) => Math.round((Date.parse(`${to}T00:00:00Z`) - Date.parse(`${from}T00:00:00Z`)) / 864e5);

// src/procedure/plan/resolvable.ts
var stabilityShare = 0.1;
var gaugeStabilityPa = (gauge) => gauge.stabilityPa ?? pressureDifferencePa(stabilityShare * gaugeAccuracyPa(gauge));
var gaugeAccuracyPa = (gauge) => pressureDifferencePa(gauge.accuracyOfSpan * (gauge.rangeHighPa - gauge.rangeLowPa));
function resolvableDropPa(conditions) {
  const { dwellS, readingsPerS, noisePa, resolutionPa, stabilityPa } = conditions;
  const readings = Math.max(3, dwellS * readingsPerS);
  const thermalPa = conditions.temperatureBoundK * conditions.thermalPaPerK;
  const variance2 = 12 * square(noisePa) / readings + square(resolutionPa) / 6 + square(stabilityPa) / 3 + square(thermalPa) / 3;
  return pressureDifferencePa(2 * Math.sqrt(variance2));
}
function dwellNeededS(conditions, allowedPa2) {
  const enough = (dwellS) => resolvableDropPa({ ...conditions, dwellS }) <= allowedPa2(dwellS) / 2;
  let [short, long] = [1, 86400];
  if (!enough(long)) return null;
  if (enough(short)) return short;
  while (long - short > Math.max(0.5, short * 1e-3)) {
    const middle2 = Math.sqrt(short * long);
    if (enough(middle2)) long = middle2;
    else short = middle2;
  }
  return Math.ceil(long);
}

// src/procedure/plan/findings/gauge.ts
var range = { least: 1.5, most: 4 };
var working = { from: 0.25, to: 0.75, accuracyOfScale: 0.01 };
var stepsInLimit = 10;
function gaugeFindings({ plan, figures: figures2 }) {
  const findings = gaugesInTest(plan).flatMap(({ spec }) => spec === null ? [] : classFindings(spec));
  for (const [index, port] of figures2.ports.entries()) {
    const planned = plan.ports[index];
    if (!planned) continue;
    const gauge = gaugeAt(plan, planned);
    findings.push(...headroom(gauge, port), ...oppositeRange(planned.oppositeGauge, port));
    for (const stage of port.stages)
      findings.push(...rangeFindings(gauge, port, stage), ...stepFindings(gauge, port, stage));
  }
  return findings;
}
function classFindings(gauge) {
  const scale = gaugeAccuracyPa(gauge) / gauge.rangeHighPa;
  if (scale <= working.accuracyOfScale) return [];
  return [
    {
      grade: "warn",
      code: "gauge-class",
      text: `Gauge ${gauge.serial} is good to ${percent(scale)} of full scale; ${percent(working.accuracyOfScale)} is wanted (UFC 4-390-01).`
    }
  ];
}
function oppositeRange(gauge, port) {
  if (!gauge || port.oppositePa === null || port.oppositePa <= gauge.rangeHighPa) return [];
  return [
    {
      grade: "stop",
      code: "gauge-range",
      port: port.port,
      text: `Up to ${pressure(port.oppositePa)} may come at the closed port, beyond the full scale of gauge ${gauge.serial} there, ${pressure(gauge.rangeHighPa)}.`
    }
  ];
}
function rangeFindings(gauge, port, stage) {
  const at = { port: port.port, stage: stage.name };
  const full = pressure(gauge.rangeHighPa);
  const target = pressure(stage.targetPa);
  if (stage.targetPa > gauge.rangeHighPa)
    return [
      {
        grade: "stop",
        code: "gauge-range",
        ...at,
        text: `The target of ${target} is beyond the gauge's full scale of ${full}.`
      }
    ];
  const ratio = stage.gaugeRatio;
  if (ratio >= range.least && ratio <= range.most) return [];
  const highest2 = stage.targetPa === port.testPa;
  const share = 1 / ratio;
  const band = share < working.from || share > working.to ? ` It stands at ${percent(share)} of the scale; a quarter to three quarters is wanted (UFC 4-390-01).` : "";
  return [
    {
      grade: highest2 ? "warn" : "note",
      code: "gauge-range",
      ...at,
      text: `Full scale ${full} is ${times(ratio)} times the pressure of ${target}; ${range.least} to ${range.most} times is wanted, ${pressure(range.least * stage.targetPa)} to ${pressure(range.most * stage.targetPa)} (ASME VIII-1 UG-102, for dial gauges).${band}`
    }
  ];
}
function headroom(gauge, port) {
  if (port.overpressurePa <= gauge.rangeHighPa || port.testPa > gauge.rangeHighPa) return [];
  return [
    {
      grade: "warn",
      code: "gauge-headroom",
      port: port.port,
      text: `The gauge ends at ${pressure(gauge.rangeHighPa)}, below the overpressure limit of ${pressure(port.overpressurePa)}: an overshoot would not be seen.`
    }
  ];
}
function stepFindings(gauge, port, stage) {
  const at = { port: port.port, stage: stage.name };
  const step2 = difference(gauge.resolutionPa);
  const accuracyPa = gauge.accuracyOfSpan * (gauge.rangeHighPa - gauge.rangeLowPa);
  const findings = [];
  const { allowedDropPa: allowedDropPa2 } = stage;
  if (allowedDropPa2 !== null && gauge.resolutionPa >= allowedDropPa2)
    findings.push({
      grade: "stop",
      code: "gauge-resolution",
      ...at,
      text: `The gauge shows steps of ${step2}, and the allowed decay is ${difference(allowedDropPa2)}: it can't be judged with this gauge.`
    });
  else if (allowedDropPa2 !== null && gauge.resolutionPa > allowedDropPa2 / stepsInLimit)
    findings.push({
      grade: "warn",
      code: "gauge-resolution",
      ...at,
      text: `The gauge shows steps of ${step2}, more than a tenth of the allowed decay of ${difference(allowedDropPa2)} (common practice, no source).`
    });
  if (accuracyPa > stage.targetPa - stage.lowPa)
    findings.push({
      grade: "note",
      code: "gauge-level",
      ...at,
      text: `The gauge is good to ${difference(accuracyPa)}, wider than the ${difference(stage.targetPa - stage.lowPa)} below ${pressure(stage.targetPa)} at which the dwell may start.`
    });
  return findings;
}

// src/procedure/plan/findings/job.ts
function jobFindings(grounds) {
  return [
    ...portsFindings(grounds),
    ...sourceFindings(grounds),
    ...trappedFindings(grounds),
    ...presenceFindings(grounds),
    ...unitFindings(grounds)
  ];
}
function portsFindings({ procedure, plan }) {
  const held3 = plan.ports.map(({ port }) => port);
  const missing = procedure.ports.filter((port) => !held3.includes(port));
  const wanted = procedure.ports.filter((port) => held3.includes(port));
  const ordered = held3.filter((port) => wanted.includes(port));
  const findings = [];
  if (missing.length > 0)
    findings.push({
      grade: "warn",
      code: "port-missing",
      text: `Procedure "${procedure.id}" holds ports ${procedure.ports.join(" then ")}; this test leaves out ${missing.join(" and ")}.`
    });
  if (ordered.join() !== wanted.join())
    findings.push({
      grade: "warn",
      code: "port-order",
      text: `Procedure "${procedure.id}" holds ports ${procedure.ports.join(" then ")}; the job has them as ${held3.join(" then ")}.`
    });
  return findings;
}
function sourceFindings({ procedure, plan }) {
  if (/^example/i.test(procedure.source))
    return [
      {
        grade: "warn",
        code: "limit-without-author",
        text: `Procedure "${procedure.id}" still has example figures as its limits: put in the customer's, and name his paper in "source".`
      }
    ];
  if (plan.procedure.asShipped) return [];
  return [
    {
      grade: "note",
      code: "procedure-own",
      text: `Procedure "${procedure.id}" revision ${procedure.revision} is the shop's own, not one that is shipped; its limits are by: ${procedure.source}`
    }
  ];
}
function trappedFindings({ job, plan, procedure }) {
  if (procedure.subject === "plugged lines") return [];
  const findings = [];
  const held3 = job.ports.filter(({ port }) => plan.ports.some((planned) => planned.port === port));
  const shared = held3.filter((port) => port.trappedVolumeM3 === void 0);
  if (job.trapped.volumeM3 !== void 0 && shared.length > 1)
    findings.push({
      grade: "warn",
      code: "trapped-shared",
      text: "One trapped volume stands for both ports, whose chambers differ: give each [[port]] its own trapped_volume."
    });
  for (const port of held3)
    if (port.lineVolumeM3 === void 0 && port.trappedVolumeM3 === void 0 && job.trapped.volumeM3 === void 0)
      findings.push({
        grade: "note",
        code: "line-volume-not-stated",
        port: port.port,
        text: "The job states no line volume: leak rates come out too low by its share of the oil."
      });
  return findings;
}
function presenceFindings({ job, procedure, plan, figures: figures2 }) {
  const { pumpFlowM3PerS, boosterStrokeM3 } = job.bench;
  if (procedure.subject === "plugged lines" || boosterStrokeM3 !== void 0) return [];
  if (pumpFlowM3PerS !== void 0) return plan.ports.flatMap((port) => onItsRelief(port, figures2, pumpFlowM3PerS));
  return [
    {
      grade: "warn",
      code: "cylinder-not-provable",
      text: "The job states neither pump_flow nor booster_stroke: a shut valve or a hose without a cylinder holds for ever and will not show. State one in [bench], or measure the oil that goes in."
    }
  ];
}
function onItsRelief(planned, { ports }, flowM3PerS) {
  const port = ports.find((one) => one.port === planned.port);
  if (!planned.stiffness.flowAtMost || !port?.pumpS) return [];
  const mostPaPerS = Math.min(...planned.stages.map(({ rampMaxPaPerS }) => rampMaxPaPerS));
  return [
    {
      grade: "note",
      code: "pump-on-relief",
      port: planned.port,
      text: `The pump's ${flow(flowM3PerS)} would raise the pressure by {rate:${Number((port.testPa / port.pumpS).toPrecision(4))}}, and at most {rate:${mostPaPerS}} is allowed: most of it leaves over the relief valve, so its flow can show a shut valve but not that the cylinder is there. Count the strokes of a booster (booster_stroke), or measure the oil that goes in.`
    }
  ];
}
function unitFindings({ procedure, plan }) {
  const { unit } = plan.gauge;
  if (unit === void 0) return [];
  const inches = unit === "psi" || unit === "ksi";
  const other = procedure.stages.find(({ target }) => target.of === "itself" && /psi|ksi/.test(target.text) !== inches);
  if (!other) return [];
  return [
    {
      grade: "note",
      code: "two-units",
      stage: other.name,
      text: `The gauge shows ${unit}, the procedure says "${other.target.text}": read the target off this plan, not off the procedure.`
    }
  ];
}

// src/procedure/plan/bench-reach.ts
var ratedAtPa = ({ cylinder, ports }, port) => ports.find((one) => one.port === port)?.ratedPa ?? cylinder.ratedPressurePa;
function benchReach({ bench }, port) {
  const { pumpPressurePa: pumpPa = null, boosterRatio, boosterAirPa } = bench;
  const reliefPa = port.reliefPa ?? bench.reliefPa ?? null;
  const stallPa = boosterRatio === void 0 || boosterAirPa === void 0 ? null : pressurePa(boosterRatio * boosterAirPa);
  const sourcePa = pumpPa === null && stallPa === null ? null : Math.max(pumpPa ?? 0, stallPa ?? 0);
  const most3 = Math.min(reliefPa ?? Number.POSITIVE_INFINITY, sourcePa ?? Number.POSITIVE_INFINITY);
  const parts3 = [
    ["the hose", "bench.hose", bench.hosePa],
    ["the plugs", "bench.plugs", bench.plugsPa],
    ["the weakest part of the bench", "bench.weakest_part", bench.weakestPartPa]
  ];
  return {
    reliefPa,
    pumpPa,
    stallPa,
    mostPa: Number.isFinite(most3) ? pressurePa(most3) : null,
    parts: parts3.flatMap(([name, key, ratedPa]) => ratedPa === void 0 ? [] : [{ name, key, ratedPa }])
  };
}

// src/procedure/plan/findings/pressure.ts
var overRated = { unusual: 1.5, most: 2 };
var pressureFindings = (grounds) => grounds.figures.ports.flatMap((port) => [
  ...closedPort(grounds, port),
  ...retractRings(grounds, port),
  ...cup(grounds, port),
  ...aboveProof(grounds, port),
  ...benchParts(grounds, port),
  ...relief(grounds, port),
  ...reach(port),
  ...stored(port),
  ...endStops(grounds, port)
]);
function closedPort({ job, procedure }, port) {
  if (port.oppositePa === null || procedure.subject !== "cylinder") return [];
  const at = { port: port.port };
  const other = port.port === "A" ? "B" : "A";
  const ratedPa = ratedAtPa(job, other);
  const ratio = times(port.oppositePa / port.testPa);
  const figures2 = `${pressure(port.testPa)} at ${port.port} makes up to ${pressure(port.oppositePa)} at the closed port ${other} (areas ${ratio} to 1)`;
  const findings = [];
  if (port.oppositePa > ratedPa)
    findings.push({
      grade: "stop",
      code: "intensification",
      ...at,
      text: `${figures2}, above the rated pressure of ${pressure(ratedPa)} there. Open port ${other} to a tray.`
    });
  else findings.push({ grade: "note", code: "intensification", ...at, text: `${figures2}, within the rated pressure.` });
  if (port.opposite === "blocked")
    findings.push({
      grade: "warn",
      code: "piston-seal-hidden",
      ...at,
      text: port.position === "mid-stroke restrained" ? `Past a leaking piston seal both chambers move together, and port ${other} is blocked without a gauge: this hold does not show it.` : `With port ${other} blocked this hold can claim nothing about the piston seal: oil that passes it fills the dead volume, and the pressure then holds (geometry).`
    });
  return findings;
}
function retractRings({ job }, { port, testPa, ringsPa: ringsPa2 }) {
  if (ringsPa2 === void 0) return [];
  const ratedPa = ratedAtPa(job, "B");
  const finding = (grade, rest) => [
    {
      grade,
      code: "retract-rings",
      port,
      text: `${pressure(testPa)} at ${port} makes up to ${pressure(ringsPa2)} in the retract rings between the stages (areas ${times(ringsPa2 / testPa)} to 1), also with port B open, where their oil can't leave${rest}`
    }
  ];
  if (job.retractPassages !== void 0)
    return finding("note", `. It can, by: ${job.retractPassages} (job: cylinder.retract_passages).`);
  if (ringsPa2 <= ratedPa) return finding("note", ", within the rated pressure.");
  return finding(
    "stop",
    `, above the rated pressure of ${pressure(ratedPa)} there. Ask the maker whether the passages stay open at every stage, and write who says so in cylinder.retract_passages.`
  );
}
function cup({ procedure }, port) {
  const at = { port: port.port };
  const other = port.port === "A" ? "B" : "A";
  if (port.collected !== void 0 && port.opposite !== "open")
    return [
      {
        grade: "stop",
        code: "nothing-to-collect",
        ...at,
        text: `The procedure judges by the oil collected, at most ${collectedAmount(port.collected)}, and port ${other} is closed: open it to a cup.`
      }
    ];
  if (procedure.limits.collected === null || port.collected !== void 0 || procedure.subject !== "cylinder")
    return [];
  return [
    {
      grade: "note",
      code: "nothing-to-collect",
      ...at,
      text: "The procedure judges by the oil collected, and no oil can pass a piston here: everything else decides."
    }
  ];
}
function aboveProof({ job, procedure }, port) {
  if (procedure.subject !== "cylinder") return [];
  const over = port.testPa / port.ratedPa;
  const figures2 = `${pressure(port.testPa)} is ${times(over)} times the rated ${pressure(port.ratedPa)}`;
  const finding = (grade, rule) => [
    { grade, code: "above-proof", port: port.port, text: `${figures2}; ${rule}` }
  ];
  const statedPa = job.testPressureMaxPa;
  if (statedPa !== void 0)
    return port.testPa > statedPa * (1 + 1e-9) ? finding("stop", `this cylinder may be tested up to ${pressure(statedPa)} (job: cylinder.test_pressure_max).`) : [];
  if (over > overRated.most + 1e-9)
    return finding(
      "warn",
      `more than ${overRated.most} times is seldom meant (our own rule, no standard). Check both pressures for a slip of units. If its maker allows it, state cylinder.test_pressure_max.`
    );
  if (over > overRated.unusual + 1e-9)
    return finding(
      "warn",
      `more than ${overRated.unusual} times is unusual (our own rule, no standard). Make sure that its maker allows it.`
    );
  return [];
}
function benchParts({ job, procedure }, port) {
  const at = { port: port.port };
  const { mostPa, parts: parts3 } = port.bench;
  const by = mostPa === null ? "" : cameBy(port);
  const findings = parts3.flatMap(({ name, key, ratedPa }) => {
    const part2 = `${name}, rated ${pressure(ratedPa)} (job: ${key})`;
    if (port.testPa > ratedPa)
      return [
        {
          grade: "stop",
          code: "weakest-part",
          ...at,
          text: `The test pressure of ${pressure(port.testPa)} is above ${part2}.`
        }
      ];
    if (mostPa === null || mostPa <= ratedPa) return [];
    return [{ grade: "stop", code: "relief-above-weakest", ...at, text: `${by}, above ${part2}.` }];
  });
  const { rodEndN } = job.bench;
  const thrustN = port.rodForceN * (Math.max(mostPa ?? 0, port.testPa) / port.testPa);
  if (procedure.subject === "cylinder" && port.rodRestrained && rodEndN !== void 0 && thrustN > rodEndN)
    findings.push({
      grade: "stop",
      code: "rod-end",
      ...at,
      text: `What restrains the rod bears ${force(rodEndN)} (job: bench.rod_end), and up to ${force(thrustN)} can come.`
    });
  return findings;
}
function cameBy({ bench: { mostPa, reliefPa, pumpPa, stallPa } }) {
  if (mostPa === reliefPa) return `The relief valve opens at ${pressure(mostPa ?? 0)}`;
  return mostPa === pumpPa ? `The pump reaches ${pressure(mostPa ?? 0)}` : `The booster stalls at ${pressure(stallPa ?? 0)}`;
}
function relief({ job }, port) {
  const { reliefPa, mostPa } = port.bench;
  const finding = (grade, code, text) => [
    { grade, code, port: port.port, text }
  ];
  const wanted = `Set it to about ${pressure(port.reliefWantedPa)}, above the test pressure and never above the maximum`;
  const statedPa = job.testPressureMaxPa ?? Number.POSITIVE_INFINITY;
  const maximumPa = Math.min(port.overpressurePa, statedPa);
  const maximum = statedPa < port.overpressurePa ? `the ${pressure(statedPa)} that this cylinder may be tested with (job: cylinder.test_pressure_max)` : `the maximum during this test, ${pressure(port.overpressurePa)}`;
  if (reliefPa !== null && reliefPa > maximumPa)
    return finding(
      "stop",
      "relief-high",
      `The relief valve at ${pressure(reliefPa)} opens above ${maximum}. ${wanted}.`
    );
  if (reliefPa === null && mostPa !== null && mostPa > maximumPa)
    return finding(
      "stop",
      "relief-high",
      `${cameBy(port)}, above ${maximum}, and no relief setting is stated. ${wanted}.`
    );
  if (reliefPa === null) return finding("note", "relief-not-stated", `The job states no relief setting. ${wanted}.`);
  if (reliefPa <= port.testPa)
    return finding(
      "warn",
      "relief-low",
      `The relief valve at ${pressure(reliefPa)} opens before the test pressure of ${pressure(port.testPa)} is reached. ${wanted}.`
    );
  return [];
}
function reach(port) {
  const { pumpPa, stallPa } = port.bench;
  const sourcePa = Math.max(pumpPa ?? 0, stallPa ?? 0);
  if (sourcePa === 0 || sourcePa >= port.testPa) return [];
  return [
    {
      grade: "warn",
      code: "test-pressure-not-reached",
      port: port.port,
      text: `The ${stallPa === sourcePa ? "booster stalls" : "pump ends"} at ${pressure(sourcePa)}, below the test pressure of ${pressure(port.testPa)}.`
    }
  ];
}
function endStops({ job }, port) {
  if (port.thrustOn !== "end stops") return [];
  const thrust = `Fully out, the thrust of ${force(port.rodForceN)} at ${pressure(port.testPa)} lands on the end stops`;
  if (job.endStops !== void 0)
    return [
      {
        grade: "note",
        code: "end-stops",
        port: port.port,
        text: `${thrust}. They bear it, by: ${job.endStops} (job: cylinder.end_stops).`
      }
    ];
  return [
    {
      grade: "stop",
      code: "end-stops",
      port: port.port,
      text: `${thrust}, and many makers do not rate those. Ask the maker and write who says so in cylinder.end_stops, or hold the rod from outside and write restrained = true.`
    }
  ];
}
function stored(port) {
  const at = { port: port.port };
  const totalJ = port.storedOilJ + port.storedAirJ;
  const air = port.storedAirJ > 0 ? `, ${energy(port.storedAirJ)} of it in trapped air` : "";
  const findings = [
    {
      grade: "note",
      code: "stored-energy",
      ...at,
      text: `At ${pressure(port.testPa)} the hold stores ${energy(totalJ)}${air}: keep everyone out of line with rod, plugs and hose ends, at the distance your local rules ask for.`
    }
  ];
  if (port.rodRestrained)
    findings.push({
      grade: "warn",
      code: "restrained-rod",
      ...at,
      text: `What restrains the rod must bear ${force(port.rodForceN)} at ${pressure(port.testPa)} (pressure times area), with the margin your local rules ask for.`
    });
  return findings;
}

// src/procedure/plan/findings/findings-of.ts
var rank = { stop: 0, warn: 1, note: 2 };
function findingsOf(grounds) {
  return [
    ...pressureFindings(grounds),
    ...gaugeFindings(grounds),
    ...calibrationFindings(grounds),
    ...decayFindings(grounds),
    ...jobFindings(grounds)
  ].sort((a, b) => rank[a.grade] - rank[b.grade]);
}

// src/procedure/plan/level-pa.ts
function levelPa(level2, basis) {
  switch (level2.of) {
    case "itself":
      return pressurePa(level2.pa);
    case "rated":
      return pressurePa(level2.fraction * basis.ratedPa);
    case "test":
      return pressurePa(level2.fraction * basis.testPa);
    case "target":
      return pressurePa(level2.fraction * basis.targetPa);
  }
}
function testPressurePa(stages, ratedPa) {
  const anchors = stages.flatMap(
    ({ target }) => target.of === "itself" ? [target.pa] : target.of === "rated" ? [target.fraction * ratedPa] : []
  );
  return pressurePa(Math.max(0, ...anchors));
}
var stagesFor = (procedure, port) => procedure.stages.filter((stage) => stage.ports.length === 0 || stage.ports.includes(port));

// src/procedure/plan/port-plan.ts
function portPlan(job, procedure, gauges, port) {
  const gauge = gauges.own ?? gauges.main;
  const stages = stagesFor(procedure, port.port);
  const ratedPa = ratedAtPa(job, port.port);
  const testPa = testPressurePa(stages, ratedPa);
  if (!(testPa > 0))
    throw new DwellmarkError(
      "input",
      `procedure "${procedure.id}" has no stage that sets a pressure for port ${port.port}`,
      {
        place: { key: "stage.ports" },
        advice: "Take the port out of the job, or give the procedure a stage for it."
      }
    );
  const planned = stages.map((stage) => stagePlan(stage, { ratedPa, testPa, boreM: job.cylinder.boreM }));
  const lastPa = planned.at(-1)?.targetPa ?? testPa;
  const hold = shutIn(job, procedure, port);
  const oil = expectedStiffness(hold, pressurePa(0), lastPa);
  const { pumpFlowM3PerS, boosterStrokeM3 } = job.bench;
  const onCylinder = procedure.subject === "cylinder";
  const rampMaxPaPerS = Math.min(...planned.map((stage) => stage.rampMaxPaPerS));
  const quick = pumpFlowM3PerS !== void 0 && pumpFlowM3PerS * lastPa / oil.oilM3 > rampMaxPaPerS;
  return {
    port: port.port,
    position: port.position,
    opposite: port.opposite,
    ...port.restrained ? { restrained: true } : {},
    ...port.ratedPa === void 0 ? {} : { ratedPa: port.ratedPa },
    ...gauges.own === null ? {} : { gauge: gauges.own },
    ...gauges.opposite === null ? {} : { oppositeGauge: gauges.opposite },
    trapped: plain2(trappedOil({ ...hold, atPa: testPa })),
    ...onCylinder ? { pistonAreaM2: pistonAreaM2(job.cylinder, port.port) } : {},
    heat: heatOfHold(hold),
    stages: planned,
    overpressurePa: levelPa(procedure.limits.overpressure, { ratedPa, testPa, targetPa: testPa }),
    oppositeLimitPa: procedure.limits.opposite === null ? ratedAtPa(job, port.port === "A" ? "B" : "A") : levelPa(procedure.limits.opposite, { ratedPa, testPa, targetPa: testPa }),
    zeroTolerancePa: procedure.limits.zeroPa ?? zeroTolerancePa(gauge),
    bleedDown: procedure.bleedDown,
    ...collectedDemand(job, procedure, port),
    ...strokeDemand(procedure, job.cylinder.kind !== "vessel", { ratedPa, testPa, targetPa: testPa }),
    ...coverage(job, procedure, port),
    stiffness: {
      ...pumpFlowM3PerS === void 0 ? {} : { flowM3PerS: pumpFlowM3PerS },
      ...quick ? { flowAtMost: true } : {},
      ...boosterStrokeM3 === void 0 ? {} : { strokeM3: boosterStrokeM3 },
      oilM3: oil.oilM3,
      oilUM3: oil.oilUM3,
      ...job.airFraction === void 0 ? {} : { airFraction: job.airFraction },
      ...lineAlone(job, procedure, port, lastPa)
    }
  };
}
var strokeShare = 0.25;
function strokeDemand({ subject, strokes }, hasPiston2, basis) {
  if (subject === "plugged lines" || !hasPiston2) return {};
  const limits = strokes?.limits;
  const { testPa } = basis;
  return {
    strokes: {
      wanted: strokes?.wanted ?? 0,
      restS: strokes?.restS ?? procedureDefaults.strokeRestS,
      belowPa: pressurePa(strokeShare * testPa),
      ...limits ? {
        limits: {
          ...limits.breakAwayMax ? { breakAwayMaxPa: levelPa(limits.breakAwayMax, basis) } : {},
          ...limits.dragMax ? { dragMaxPa: levelPa(limits.dragMax, basis) } : {},
          source: limits.source
        }
      } : {}
    }
  };
}
function lineAlone(job, procedure, port, targetPa) {
  const lineVolumeM3 = port.lineVolumeM3 ?? 0;
  if (procedure.subject === "plugged lines" || !(lineVolumeM3 > 0)) return {};
  const { airFraction: _, ...hold } = shutIn(job, { ...procedure, subject: "plugged lines" }, port);
  const { oilM3, oilUM3 } = expectedStiffness(hold, pressurePa(0), targetPa);
  return { line: { oilM3, oilUM3 } };
}
function shutIn(job, procedure, port) {
  const lineVolumeM3 = port.lineVolumeM3 ?? 0;
  const common = {
    cylinder: job.cylinder,
    port: port.port,
    fluid: job.fluid,
    lineVolumeM3,
    ...port.lineStiffnessPa === void 0 ? {} : { hoseStiffnessPa: port.lineStiffnessPa },
    ...job.airFraction === void 0 ? {} : { airFraction: job.airFraction }
  };
  if (procedure.subject === "plugged lines") {
    if (!(lineVolumeM3 > 0))
      throw new DwellmarkError("input", `a check on plugged lines needs the line volume of port ${port.port}`, {
        place: { key: "port.line_volume" },
        advice: 'Write for example line_volume = "0.15 L" in that [[port]] of the job.'
      });
    const position = port.port === "A" ? "retracted" : "extended";
    return { ...common, position, override: { volumeM3: lineVolumeM3 } };
  }
  const volumeM3 = port.trappedVolumeM3 ?? job.trapped.volumeM3;
  const { bulkModulusPa } = job.trapped;
  const override = {
    ...volumeM3 === void 0 ? {} : { volumeM3 },
    ...bulkModulusPa === void 0 ? {} : { bulkModulusPa }
  };
  return { ...common, position: port.position, override };
}
function stagePlan(stage, basis) {
  const targetPa = levelPa(stage.target, { ...basis, targetPa: 0 });
  const own = { ...basis, targetPa };
  return {
    name: stage.name,
    targetPa,
    belowPa: pressureDifferencePa(levelPa(stage.below, own)),
    abovePa: pressureDifferencePa(levelPa(stage.above, own)),
    ...stage.voidAbove === null ? {} : { voidAbovePa: levelPa(stage.voidAbove, own) },
    rampMaxPaPerS: stage.rampMaxPaPerS,
    stabilise: stage.stabilise,
    dwellS: stage.dwellS,
    allowed: stage.allowed.map((limit) => allowedDecay(limit, basis.boreM)),
    decision: stage.decision,
    ...stage.judge === "plain drop" ? { judge: stage.judge } : {},
    ...stage.neverBelow === null ? {} : { neverBelowPa: levelPa(stage.neverBelow, own) },
    look: stage.look
  };
}
function allowedDecay(limit, boreM2) {
  switch (limit.kind) {
    case "drop":
      return { ...limit, dropPa: pressureDifferencePa(limit.dropPa) };
    case "leak by bore": {
      const { limit: leakM3PerS, source } = limitForBore(limit, boreM2, "stage.allowed_decay.leak_by_bore");
      return { kind: "leak", leakM3PerS, source };
    }
    default:
      return limit;
  }
}
function limitForBore({ rows, source }, boreM2, key) {
  if (boreM2 === 0)
    throw new DwellmarkError("input", "the procedure sets its limit by bore, and a vessel has none", {
      place: { key },
      advice: "Take a procedure that limits the drop or the leak, or judges by looking."
    });
  const row = rowFor(rows, boreM2);
  if (row) return { limit: row.limit, source: row.text === "" ? source : `${source} (bore up to ${row.text})` };
  throw new DwellmarkError(
    "input",
    `the table ends at a bore of ${rows.at(-1)?.text ?? ""}, and this cylinder has ${formatQuantity(boreM2, "length", "mm", 0)}`,
    { place: { key }, advice: "Add a row for this bore; its limit needs its author." }
  );
}
function collectedDemand(job, procedure, port) {
  const wanted = procedure.limits.collected;
  if (wanted === null || procedure.subject === "plugged lines") return {};
  if (!holdCoverage(job.cylinder.kind, port.port, port.position, "open").canShowPistonBypass) return {};
  const { limit, source } = limitForBore(wanted, job.cylinder.boreM, "limits.collected");
  const { overS, lessThan } = limit;
  return {
    collected: {
      ..."drops" in limit ? { volumeM3: dropsToM3(limit.drops, procedure.dropsPerMl), drops: limit.drops } : { volumeM3: limit.volumeM3 },
      overS,
      ...lessThan ? { lessThan } : {},
      source
    }
  };
}
var zeroTolerancePa = (gauge) => pressureDifferencePa(Math.max(gaugeAccuracyPa(gauge), 2 * gauge.resolutionPa));
function coverage(job, procedure, port) {
  if (procedure.subject === "plugged lines")
    return { covers: ["bench lines, valves, fittings and plugs"], notCovered: ["the cylinder"] };
  if (job.cylinder.kind === "vessel") return { covers: job.cylinder.parts ?? [], notCovered: [] };
  const { covers, notCovered } = holdCoverage(job.cylinder.kind, port.port, port.position, port.opposite);
  const bearer = thrustBearer(job.cylinder.kind, port.port, port.position, port.restrained === true);
  return { covers: [...covers, ...bearer ? thrustParts[bearer] : []], notCovered };
}
var plain2 = ({
  volumeM3,
  volumeUM3,
  bulkModulusPa,
  bulkModulusUPa,
  thermalPaPerK,
  thermalUPaPerK,
  basis
}) => ({
  volumeM3,
  volumeUM3,
  bulkModulusPa,
  bulkModulusUPa,
  thermalPaPerK,
  thermalUPaPerK,
  basis
});

// src/procedure/plan/port-figures.ts
var reliefOverTest = 1.2;
var workshop = temperatureK(293.15);
var tabledDwellsS = [60, 180, 300, 600, 1800, 3600];
var gaugeFigures = (gauge) => ({
  serial: gauge.serial,
  rangeLowPa: gauge.rangeLowPa,
  rangeHighPa: gauge.rangeHighPa,
  resolutionPa: gauge.resolutionPa,
  accuracyPa: gaugeAccuracyPa(gauge),
  stabilityPa: gaugeStabilityPa(gauge),
  calibrationDue: gauge.calibration?.due ?? null
});
function portFigures(job, procedure, jobPort, plan, gauge, assumed) {
  const { port, trapped } = plan;
  const testPa = pressurePa(Math.max(...plan.stages.map((stage) => stage.targetPa)));
  const hold = shutIn(job, procedure, jobPort);
  const oil = expectedStiffness(hold, pressurePa(0), testPa);
  const onCylinder = procedure.subject === "cylinder";
  const { pumpFlowM3PerS, boosterStrokeM3 } = job.bench;
  const stored2 = storedEnergy({
    volumeM3: trapped.volumeM3,
    bulkModulusPa: trapped.volumeM3 * testPa / (oil.oilM3 - oil.split.airM3),
    at: testPa,
    freeAirM3: (job.airFraction ?? 0) * trapped.volumeM3
  });
  const heatFallPa = fallAsHeatLeavesPa(job.fluid, workshop, testPa, trapped.bulkModulusPa);
  const bench = benchReach(job, jobPort);
  const bearer = thrustBearer(job.cylinder.kind, port, plan.position, plan.restrained === true);
  const boostedFrom = pressurePa(Math.min(bench.pumpPa ?? 0, testPa));
  const closed = onCylinder && plan.opposite !== "open";
  return {
    port,
    position: plan.position,
    opposite: plan.opposite,
    covers: plan.covers,
    notCovered: plan.notCovered,
    remarks: onCylinder ? holdCoverage(job.cylinder.kind, port, plan.position, plan.opposite, plan.restrained === true).remarks : [],
    testPa,
    overpressurePa: plan.overpressurePa,
    ...plan.collected ? { collected: plan.collected } : {},
    ...plan.strokes ? { strokes: plan.strokes } : {},
    ratedPa: ratedAtPa(job, port),
    reliefWantedPa: pressurePa(
      Math.min(
        reliefOverTest * testPa,
        plan.overpressurePa,
        job.testPressureMaxPa ?? Number.POSITIVE_INFINITY,
        ...bench.parts.map(({ ratedPa }) => ratedPa)
      )
    ),
    bench,
    trapped,
    oilM3: oil.oilM3,
    oilUM3: oil.oilUM3,
    oilQuickM3: oil.oilM3 - heatFallPa * trapped.volumeM3 / trapped.bulkModulusPa,
    fillM3: trapped.volumeM3,
    fillS: pumpFlowM3PerS === void 0 ? null : trapped.volumeM3 / pumpFlowM3PerS,
    boosterStrokes: boosterStrokeM3 === void 0 ? null : boosterStrokes(expectedStiffness(hold, boostedFrom, testPa).oilM3, boosterStrokeM3),
    pumpS: pumpFlowM3PerS === void 0 ? null : oil.oilM3 / pumpFlowM3PerS,
    storedOilJ: stored2.oilJ,
    storedAirJ: stored2.airJ,
    rodForceN: onCylinder ? pistonForceN(job.cylinder, port, testPa) : 0,
    rodRestrained: onCylinder && bearer === "restraint",
    thrustOn: onCylinder ? bearer ?? null : null,
    oppositePa: closed ? intensifiedPressure(job.cylinder, port, testPa) ?? null : null,
    ...ringsPa(job, procedure, port, testPa),
    heatOfCompressionK: heatOfCompressionK(job.fluid, workshop, pressureDifferencePa(testPa)),
    heatFallPa,
    stages: plan.stages.map((stage) => stageFigures(stage, plan, gauge, assumed))
  };
}
function ringsPa(job, { subject }, port, testPa) {
  if (subject === "plugged lines" || port === "B" || job.cylinder.kind !== "telescopic") return {};
  const seenPa = intensifiedPressure(job.cylinder, port, testPa);
  return seenPa === void 0 ? {} : { ringsPa: seenPa };
}
function stageFigures(stage, plan, gauge, assumed) {
  const { trapped } = plan;
  const { targetPa, dwellS } = stage;
  const conditions = {
    dwellS,
    readingsPerS: assumed.readingsPerS,
    noisePa: assumed.noisePa,
    resolutionPa: gauge.resolutionPa,
    stabilityPa: gauge.stabilityPa,
    temperatureBoundK: assumed.unmeasuredTemperatureK,
    thermalPaPerK: trapped.thermalPaPerK
  };
  const governing = governingLimit(stage.allowed, targetPa, dwellS, trapped);
  const smallestDropPa = resolvableDropPa(conditions);
  const leakOf = (dropPa, overS) => leakForDecayM3PerS(trapped, dropPa / overS);
  return {
    name: stage.name,
    targetPa,
    lowPa: pressurePa(targetPa - stage.belowPa),
    highPa: pressurePa(targetPa + stage.abovePa),
    voidAbovePa: stage.voidAbovePa ?? null,
    neverBelowPa: stage.neverBelowPa ?? null,
    rampS: targetPa / stage.rampMaxPaPerS,
    stabiliseForS: stage.stabilise.forS,
    giveUpAfterS: stage.stabilise.giveUpAfterS,
    dwellS,
    gaugeRatio: gauge.rangeHighPa / targetPa,
    decision: stage.decision,
    judge: stage.judge ?? "leak",
    governing: governing?.limit ?? null,
    allowedDropPa: governing?.dropPa ?? null,
    allowedLeakM3PerS: governing?.leakM3PerS ?? null,
    smallestDropPa,
    smallestDropKnownTemperaturePa: resolvableDropPa({ ...conditions, temperatureBoundK: 0 }),
    smallestLeakM3PerS: leakOf(smallestDropPa, dwellS),
    dwellNeededS: governing && dwellNeededS(conditions, (overS) => governingLimit(stage.allowed, targetPa, overS, trapped)?.dropPa ?? 0),
    temperatureForLimitK: governing && temperatureDifferenceK(governing.dropPa / trapped.thermalPaPerK),
    resolvable: tabledDwellsS.map((overS) => {
      const dropPa = resolvableDropPa({ ...conditions, dwellS: overS });
      return { dwellS: overS, dropPa, leakM3PerS: leakOf(dropPa, overS) };
    })
  };
}

// src/procedure/plan/make-plan.ts
function makePlan(demand) {
  try {
    return make(demand);
  } catch (error) {
    if (!(error instanceof DwellmarkError) || demand.files === void 0 || error.place.file !== void 0) throw error;
    const { code, message, place, advice: advice2 } = error;
    const inProcedure = /^(?:stage|limits|bleed_down)\b/.test(place.key ?? "");
    const file = inProcedure ? demand.files.procedure : demand.files.job;
    throw new DwellmarkError(code, message, {
      place: { file, ...place },
      ...advice2 === void 0 ? {} : { advice: advice2 },
      cause: error
    });
  }
}
function make(demand) {
  const { job, procedure, gauge } = demand;
  const jobPorts = chosenPorts(job, demand.ports);
  const unmeasuredTemperatureK = temperatureBound(job, procedure);
  const others = demand.others ?? { gauges: /* @__PURE__ */ new Map() };
  const ports = jobPorts.map((port) => portPlan(job, procedure, portGauges(port, gauge, others), port));
  const plan = {
    format: "dwellmark plan 1",
    procedure: {
      id: procedure.id,
      title: procedure.title,
      revision: procedure.revision,
      source: procedure.source,
      sha256: demand.procedureSha256,
      asShipped: demand.asShipped,
      ...procedure.subject === "plugged lines" ? { subject: procedure.subject } : {}
    },
    gauge,
    ...others.oilProbe === void 0 ? {} : { oilProbe: others.oilProbe },
    ...anyCorrection([gauge, ...others.gauges.values()]) ? { corrections: "applied" } : {},
    ports,
    attendance: demand.attendance,
    attemptsCap: procedure.attempts,
    dropsPerMl: procedure.dropsPerMl,
    unmeasuredTemperatureK,
    boundBy: boundBy(job, procedure)
  };
  for (const port of ports) {
    refuseContradictions(port);
    for (const { targetPa } of port.stages) refuseMixedUnits(gaugeAt(plan, port), targetPa);
  }
  const assumed = {
    readingsPerS: demand.readingsPerS ?? 10,
    noisePa: pressureDifferencePa(gauge.resolutionPa),
    unmeasuredTemperatureK,
    airFraction: job.airFraction ?? 0
  };
  const seenGauge = gaugeFigures(gauge);
  const portsFigures = jobPorts.flatMap((port, index) => {
    const planned = ports[index];
    return planned ? [portFigures(job, procedure, port, planned, gaugeFigures(gaugeAt(plan, planned)), assumed)] : [];
  });
  const figures2 = {
    format: "dwellmark plan figures 1",
    workOrder: job.workOrder,
    cylinder: [job.cylinder.maker, job.cylinder.model, job.cylinder.serial].filter(Boolean).join(" "),
    procedure: `${procedure.title}, revision ${procedure.revision} (${procedure.id})`,
    subject: procedure.subject,
    gauge: seenGauge,
    ...otherFigures(plan),
    assumed,
    dropsPerMl: plan.dropsPerMl,
    ...job.bench.rodEndN === void 0 ? {} : { rodEndN: job.bench.rodEndN },
    ports: portsFigures
  };
  const policy = demand.calibration ?? usualCalibrationPolicy;
  const findings = findingsOf({ job, procedure, plan, figures: figures2, policy, on: demand.on ?? null });
  return { plan, figures: figures2, findings };
}
function otherFigures(plan) {
  const others = gaugesInTest(plan).filter(({ serial }) => serial !== plan.gauge.serial || plan.ports.some(({ gauge }) => gauge !== void 0)).map(({ serial, duties, calibration }) => ({
    serial,
    gives: duties.map(spokenDuty).join(", "),
    calibrationDue: calibration?.due ?? null
  }));
  return others.length === 0 ? {} : { others };
}
function portGauges(port, gauge, { gauges }) {
  const named = (serial) => {
    const found2 = gauges.get(serial);
    if (found2) return found2;
    throw new DwellmarkError("input", `nothing is known of gauge ${serial} at port ${port.port}`, {
      place: { key: "port.gauge" },
      advice: "Add it to the shop file with `dwellmark gauge add`."
    });
  };
  const own = port.gauge === void 0 || port.gauge === gauge.serial ? null : named(port.gauge);
  const opposite = port.oppositeGauge === void 0 ? null : named(port.oppositeGauge);
  return { main: gauge, own, opposite };
}
var anyCorrection = (gauges) => gauges.some(({ calibration }) => (calibration?.corrections ?? []).length > 0);
var temperatureBound = (job, procedure) => job.unmeasuredTemperatureK ?? procedure.limits.unmeasuredTemperatureK ?? temperatureDifferenceK(procedureDefaults.unmeasuredTemperatureK);
var boundBy = (job, procedure) => job.unmeasuredTemperatureK !== void 0 ? "job" : procedure.limits.unmeasuredTemperatureK !== null ? "procedure" : "program";
function chosenPorts(job, wanted) {
  if (wanted === void 0) return job.ports;
  for (const name of wanted)
    if (!job.ports.some(({ port }) => port === name))
      throw new DwellmarkError("input", `the job has no port ${name}`, {
        place: { key: "port" },
        advice: `It has port ${job.ports.map(({ port }) => port).join(" and ")}.`
      });
  return job.ports.filter(({ port }) => wanted.includes(port));
}
function refuseMixedUnits(gauge, targetPa) {
  const { unit, rangeHighPa } = gauge;
  if (unit !== "psi" || targetPa <= rangeHighPa) return;
  if (valueIn(targetPa, "pressure", "bar") > valueIn(rangeHighPa, "pressure", "psi")) return;
  const [bar, psi, full] = [
    formatQuantity(targetPa, "pressure", "bar", 0),
    formatQuantity(targetPa, "pressure", "psi", 0),
    formatQuantity(rangeHighPa, "pressure", "psi", 0)
  ];
  throw new DwellmarkError("input", `the target of ${bar} is ${psi}, and gauge ${gauge.serial} ends at ${full}`, {
    place: { key: "gauge.range" },
    advice: "Bar and psi seem to be mixed up: correct the unit of the range or of the target."
  });
}

// src/procedure/reading/calibration-table.ts
import { z as z4 } from "zod";

// src/procedure/reading/range.ts
function parseRange(text) {
  const match = /^\s*(?:([+-]?\d+(?:\.\d+)?)\s*(?:\.\.|-|\u2013|to\s)\s*)?([+-]?\d+(?:\.\d+)?)\s*([^\s\d]\S*)?\s*$/.exec(text);
  const advice2 = 'Write low..high and the unit, for example "0..400 bar".';
  if (!match) throw new DwellmarkError("input", `"${text}" is not a range`, { advice: advice2 });
  const unitName = match[3] ?? "";
  const unit = findUnit("pressure", unitName);
  if (!unit)
    throw new DwellmarkError("input", `the range "${text}" has ${unitName === "" ? "no" : "an unknown"} unit`, {
      advice: advice2
    });
  const [lowPa, highPa2] = [toSi(Number(match[1] ?? 0), unit), toSi(Number(match[2]), unit)];
  if (!(highPa2 > lowPa) || !(highPa2 > 0))
    throw new DwellmarkError("input", `the range "${text}" does not run upwards past zero`, { advice: advice2 });
  return { text, lowPa: pressurePa(lowPa), highPa: pressurePa(highPa2), unit: unitName };
}

// src/procedure/reading/calibration-table.ts
var pointTable = z4.strictObject({
  reference: quantity("pressure", '"100 bar"', "any"),
  shown: quantity("pressure", '"100.2 bar"', "any")
});
var calibrationTable = z4.strictObject({
  certificate: words('"CAL-0311"'),
  laboratory: words('"\u2026"'),
  date: isoDate('"2026-03-14"'),
  due: isoDate('"2027-03-14"'),
  covers: grammar('"0..400 bar"', parseRange).optional(),
  uncertainty: quantity("pressure-difference", '"0.2 bar"', "not negative").optional(),
  accuracy: quantity("pressure-difference", '"0.5 bar"', "not negative").optional(),
  as_found: z4.array(pointTable).optional(),
  as_left: z4.array(pointTable).optional(),
  corrections: z4.array(
    z4.strictObject({
      at: quantity("pressure", '"100 bar"', "any"),
      add: quantity("pressure-difference", '"-0.1 bar"', "any")
    })
  ).optional()
});
var probeCalibrationTable = z4.strictObject({
  certificate: words('"CAL-0312"'),
  laboratory: words('"\u2026"'),
  date: isoDate('"2026-03-14"'),
  due: isoDate('"2027-03-14"'),
  uncertainty: quantity("temperature-difference", '"0.1 K"', "not negative").optional()
});
function calibrationTrouble(table) {
  const { date, due, covers } = table;
  if (due < date)
    return {
      key: "due",
      message: `calibration is due ${due}, before it was made (${date})`,
      advice: "Write dates as year-month-day."
    };
  const lists = [
    ["as_found", (table.as_found ?? []).map(({ reference }) => reference)],
    ["as_left", (table.as_left ?? []).map(({ reference }) => reference)],
    ["corrections", (table.corrections ?? []).map(({ at }) => at)]
  ];
  for (const [key, pressures] of lists) {
    if (new Set(pressures).size < pressures.length)
      return { key, message: "the same pressure stands there twice", advice: "Give each pressure once." };
    const outside = covers && key !== "corrections" && pressures.some((pa) => pa < covers.lowPa || pa > covers.highPa);
    if (outside)
      return {
        key,
        message: `a point lies outside the range "${covers.text}" that the calibration covers`,
        advice: "Look at its unit, and at the range."
      };
  }
  return void 0;
}
function calibrationOf(table) {
  const { certificate, laboratory, date, due, covers, uncertainty, accuracy, corrections } = table;
  const asFound = points(table.as_found);
  const asLeft = points(table.as_left);
  const spanned = (asLeft ?? asFound ?? []).map(({ referencePa }) => referencePa);
  const spans = spanned.length >= 2;
  return {
    certificate,
    laboratory,
    date,
    due,
    ...uncertainty === void 0 ? {} : { expandedUPa: pressureDifferencePa(uncertainty) },
    ...accuracy === void 0 ? {} : { accuracyPa: pressureDifferencePa(accuracy) },
    ...covers !== void 0 ? { coversLowPa: covers.lowPa, coversHighPa: covers.highPa } : spans ? { coversLowPa: pressurePa(Math.min(...spanned)), coversHighPa: pressurePa(Math.max(...spanned)) } : {},
    ...asFound === void 0 ? {} : { asFound },
    ...asLeft === void 0 ? {} : { asLeft },
    ...corrections === void 0 ? {} : {
      corrections: corrections.map(({ at, add }) => ({ atPa: pressurePa(at), addPa: pressureDifferencePa(add) })).sort((a, b) => a.atPa - b.atPa)
    }
  };
}
var points = (table) => table?.map(({ reference, shown }) => ({ referencePa: pressurePa(reference), shownPa: pressurePa(shown) })).sort((a, b) => a.referencePa - b.referencePa);

// src/procedure/reading/gauge-table.ts
import { z as z5 } from "zod";
function parseAccuracy(text) {
  const plain3 = text.replace(/^\s*(?:±|\+\/-)\s*/, "");
  const percent3 = /^\s*(\d+(?:\.\d+)?)\s*%\s*(?:FS|of span)\s*$/i.exec(plain3) ?? /^\s*class\s+(\d+(?:\.\d+)?)\s*$/i.exec(plain3);
  if (percent3) return { ofSpan: Number(percent3[1]) / 100 };
  const advice2 = 'Write "0.25 %FS" (of full scale), "class 0.6", or a pressure such as "1 bar".';
  if (/\d,\d/.test(plain3))
    throw new DwellmarkError("input", `"${text}" has a decimal comma`, { advice: "Write a decimal point." });
  if (plain3.includes("%"))
    throw new DwellmarkError("input", `"${text}" does not say of what the percentage is`, { advice: advice2 });
  const pa = parseQuantity(plain3, "pressure-difference");
  if (pa < 0) throw new DwellmarkError("input", `the accuracy "${text}" is negative`, { advice: advice2 });
  return { pa };
}
var gaugeTable = z5.strictObject({
  serial: words('"SN 40117"'),
  maker: words('"\u2026"').optional(),
  model: words('"\u2026"').optional(),
  range: grammar('"0..400 bar"', parseRange),
  resolution: grammar('"0.1 bar"', (text) => ({ text, pa: parseQuantity(text, "pressure-difference") })),
  accuracy: grammar('"0.25 %FS"', parseAccuracy),
  stability: quantity("pressure-difference", '"0.05 bar"', "not negative").optional(),
  unit: words('"bar"').optional(),
  calibration: calibrationTable.optional()
});
var isInchUnit = (text) => /(?:psi|ksi)\s*$/.test(text);
function gaugeOf(table) {
  const { range: range3, resolution, accuracy, calibration } = table;
  const spanPa = range3.highPa - range3.lowPa;
  const accuracyOfSpan = "ofSpan" in accuracy ? accuracy.ofSpan : accuracy.pa / spanPa;
  if (!(resolution.pa > 0) || resolution.pa > spanPa / 10)
    return {
      key: "resolution",
      message: `a resolution of "${resolution.text}" does not fit a range of "${range3.text}"`,
      advice: "The resolution is one step of the last digit; check its unit."
    };
  if (isInchUnit(range3.unit) !== isInchUnit(resolution.text))
    return {
      key: "resolution",
      message: `the range is "${range3.text}" but the resolution "${resolution.text}": a gauge shows one unit`,
      advice: "Give both in the unit printed on the gauge."
    };
  if (accuracyOfSpan > 0.1)
    return {
      key: "accuracy",
      message: "an accuracy worse than 10 % of the span is no gauge for a hold test",
      advice: 'Check its unit; "0.25 %FS" is percent of full scale.'
    };
  if (table.unit !== void 0 && table.unit !== range3.unit)
    return {
      key: "unit",
      message: `the gauge shows ${table.unit}, but its range is given in ${range3.unit}`,
      advice: "Give the range in the unit printed on the gauge."
    };
  const wrong = calibration && calibrationTrouble(calibration);
  if (wrong) return { ...wrong, key: "calibration" };
  return {
    serial: table.serial,
    ...table.maker === void 0 ? {} : { maker: table.maker },
    ...table.model === void 0 ? {} : { model: table.model },
    unit: range3.unit,
    rangeLowPa: range3.lowPa,
    rangeHighPa: range3.highPa,
    resolutionPa: pressureDifferencePa(resolution.pa),
    accuracyOfSpan,
    ...table.stability === void 0 ? {} : { stabilityPa: pressureDifferencePa(table.stability) },
    ...calibration === void 0 ? {} : { calibration: calibrationOf(calibration) }
  };
}

// src/procedure/reading/load-job.ts
import { z as z9 } from "zod";

// src/procedure/reading/fluid-table.ts
import { z as z7 } from "zod";

// src/procedure/reading/job-facts-table.ts
import { z as z6 } from "zod";
function torqueText(text) {
  const [, figure2, unit] = /^(\d+(?:\.\d+)?)\s*(N\s?m|lbf?[\s-]?ft|ft[\s-]?lbf?)$/i.exec(text.trim()) ?? [];
  if (figure2 !== void 0 && unit !== void 0 && Number(figure2) > 0) return text.trim();
  throw new DwellmarkError("input", `"${text}" is not a torque`, {
    advice: 'Write for example "450 N m" or "330 lbf ft".'
  });
}
var ofJob = {
  purpose: z6.enum(purposes).describe('"after repair"').optional(),
  order: words('"PO 88120"').optional(),
  work_done: words('"resealed, rod polished"').optional(),
  torque: z6.array(
    z6.strictObject({
      part: words('"head"'),
      torque: grammar('"450 N m"', torqueText),
      tool: words('"TW 12"')
    })
  ).describe("a [[torque]] table").optional()
};
var ofCylinder = {
  part: words('"PN 20-4471"').optional(),
  asset: words('"EX-07"').optional(),
  place: words('"boom, left"').optional(),
  seal_kit: words('"SK 100/56"').optional(),
  sensor: words('"position sensor PS-50"').optional(),
  valves: words('"load-holding valve on port A"').optional(),
  valves_tested: z6.enum(valvesTested).describe('"with"').optional()
};
var ofFluid = { cleanliness: words('"ISO 4406 18/16/13"').optional() };
function factsOf(document, table) {
  const { purpose, order, work_done: workDone, torque: torques, cylinder, fluid } = table;
  const { part: part2, asset, place, seal_kit: sealKit, sensor, valves, valves_tested: tested } = cylinder;
  if (valves === void 0 !== (tested === void 0))
    throw refusal(
      document,
      ["cylinder", valves === void 0 ? "valves" : "valves_tested"],
      `"${valves === void 0 ? "valves" : "valves_tested"}" is missing`,
      'Name the valves on the body in "valves", and say in "valves_tested" whether they were on: "with" or "without".'
    );
  const texts = { purpose, order, workDone, part: part2, asset, place, sealKit, sensor, cleanliness: fluid.cleanliness };
  return {
    ...Object.fromEntries(Object.entries(texts).filter(([, text]) => text !== void 0)),
    ...valves === void 0 || tested === void 0 ? {} : { valves: { name: valves, tested } },
    ...torques === void 0 || torques.length === 0 ? {} : { torques }
  };
}

// src/procedure/reading/fluid-table.ts
var fluidTable2 = z7.strictObject({
  kind: words('"ISO VG 46"').optional(),
  name: words('"\u2026"').optional(),
  bulk_modulus: quantity("modulus", '"1.5 GPa"').optional(),
  expansion: quantity("expansion", '"7.0e-4 /K"').optional(),
  density: quantity("density", '"870 kg/m3"').optional(),
  heat_capacity: quantity("heat-capacity", '"1900 J/(kg K)"').optional(),
  viscosity: quantity("dynamic-viscosity", '"40 mPa s"').optional(),
  viscosity_at: quantity("temperature", '"40 \xB0C"').optional(),
  air: quantity("ratio", '"0.5 %"', "not negative").optional(),
  source: words('"data sheet of \u2026"').optional(),
  ...ofFluid
});
function fluidOf(document, table) {
  const { kind } = table;
  const known = kind === void 0 ? void 0 : findFluid(kind);
  if (kind !== void 0 && known === void 0) {
    const near = nearWord(kind, fluidNames);
    throw refusal(
      document,
      ["fluid", "kind"],
      `the fluid "${kind}" is not known`,
      `${near === void 0 ? "" : `Did you mean "${near}"? `}Known: ${fluidNames.join(", ")}; or give bulk_modulus and expansion instead.`
    );
  }
  if (kind === void 0 && table.bulk_modulus === void 0)
    throw refusal(
      document,
      ["fluid"],
      "the fluid is neither named nor described",
      'Write kind = "ISO VG 46", or bulk_modulus = "1.5 GPa" and expansion = "7.0e-4 /K".'
    );
  if (table.air !== void 0 && table.air > 0.2)
    throw refusal(document, ["fluid", "air"], "more than 20 % of free air is foam, not oil", "Purge first.");
  const stated = statedOf(table);
  if (Object.keys(stated).length === 0 && known) return known;
  if (!known) return userFluid(stated);
  const { secantRise: _, ...constant } = known;
  return userFluid({ ...table.bulk_modulus === void 0 ? known : constant, ...stated });
}
function statedOf(table) {
  return {
    ...table.bulk_modulus === void 0 ? {} : { bulkModulusPa: table.bulk_modulus, bulkModulusRelU: 0.05 },
    ...table.expansion === void 0 ? {} : { expansionPerK: table.expansion, expansionRelU: 0.05 },
    ...table.density === void 0 ? {} : { densityKgPerM3: table.density },
    ...table.heat_capacity === void 0 ? {} : { heatCapacityJPerKgK: table.heat_capacity },
    ...table.viscosity === void 0 ? {} : { viscosityPaS: table.viscosity },
    ...table.viscosity_at === void 0 ? {} : { viscosityAtK: temperatureK(table.viscosity_at) },
    ...table.name === void 0 ? {} : { name: table.name },
    ...table.source === void 0 ? {} : { source: table.source }
  };
}

// src/procedure/reading/impossible-hold.ts
function impossibleHold(kind, port, position, opposite, restrained = false) {
  if (!testablePorts(kind).includes(port))
    return {
      key: "name",
      message: `a ${kind === "vessel" ? kind : `${kind} cylinder`} is pressed up at port ${testablePorts(kind).join(" or ")} only`,
      advice: kind === "single-acting" ? 'Take this [[port]] out, or write kind = "single-acting pull" where oil draws the rod in.' : "Take this [[port]] out, or correct cylinder.kind."
    };
  if (port === "A" && position === "retracted" && !restrained)
    return {
      key: "position",
      message: "pressure at A drives the rod out: it can not stay retracted",
      advice: 'Write "extended", or restrained = true when the rod is held from outside.'
    };
  if (port === "B" && position === "extended" && !restrained)
    return {
      key: "position",
      message: "pressure at B draws the rod in: it can not stay extended",
      advice: 'Write "retracted", or restrained = true when the rod is held from outside.'
    };
  if (kind === "plunger" && opposite !== "open")
    return { key: "opposite", message: "a plunger cylinder has no opposite port", advice: 'Leave "opposite" out.' };
  if ((kind === "single-acting" || kind === "single-acting pull") && opposite !== "open")
    return {
      key: "opposite",
      message: "the breather or drain of a single-acting cylinder stays open: bypass shows there",
      advice: 'Write opposite = "open".'
    };
  return void 0;
}

// src/procedure/reading/vessel.ts
import { z as z8 } from "zod";
var ofVessel = {
  volume: quantity("volume", '"0.35 L"').optional(),
  parts: z8.array(words('"plug 1"')).min(1, "a vessel has at least one part").optional()
};
var unfit = [
  {
    word: /\bhoses?\b|schl(?:auch|äuche)/i,
    why: "a hose stretches and creeps under pressure, which looks like a leak, and hose assemblies have test rules of their own"
  },
  {
    word: /accumulator|bladder|\b\w*speicher\b/i,
    why: "the gas of an accumulator gives lost oil back at nearly the same pressure and so hides a leak, stores far more energy, and falls under the rules for pressure vessels"
  }
];
function refuseUnfit(document) {
  const table = document.data.cylinder;
  if (typeof table !== "object" || table === null) return;
  const { kind, model, parts: parts3 } = table;
  const texts = [
    ["kind", kind],
    ...kind === "vessel" ? [["model", model], ...[parts3].flat().map((part2) => ["parts", part2])] : []
  ];
  for (const [key, text] of texts)
    for (const { word, why } of unfit)
      if (typeof text === "string" && word.test(text))
        throw refusal(
          document,
          ["cylinder", key],
          `"${text}" is not tested as a vessel: ${why}`,
          "Take it off, and plug its port."
        );
}
function vesselOf(document, { volume: volume2, parts: parts3, rated_pressure: rated }) {
  const raw = document.data.cylinder;
  const extra = ["bore", "rod", "stroke", "barrel_outside", "stage_bores", "end_stops"].find((key) => key in raw);
  if (extra !== void 0)
    throw refusal(
      document,
      ["cylinder", extra],
      `a vessel has no "${extra}"`,
      "Take it out, or correct cylinder.kind."
    );
  if (volume2 === void 0)
    throw refusal(document, ["cylinder", "volume"], '"volume" is missing', 'Write the oil in it: volume = "0.35 L".');
  if (parts3 === void 0)
    throw refusal(
      document,
      ["cylinder", "parts"],
      '"parts" is missing',
      'List what this volume presses on: parts = ["body", "plugs 1 to 6"]; nothing else is said to be tested.'
    );
  return { kind: "vessel", boreM: 0, rodM: 0, strokeM: 0, ratedPressurePa: pressurePa(rated), volumeM3: volume2, parts: parts3 };
}

// src/procedure/reading/load-job.ts
var kinds = [
  "double-acting",
  "double-rod",
  "single-acting",
  "single-acting pull",
  "plunger",
  "telescopic",
  "vessel"
];
var positions = ["extended", "retracted", "mid-stroke restrained"];
var opposites = ["open", "blocked", "gauge"];
var portNames2 = ["A", "B"];
var units = Object.keys(unitSystems);
var cylinderTable = z9.strictObject({
  serial: words('"C-1042"'),
  maker: line().optional(),
  model: line().optional(),
  kind: z9.enum(kinds).optional(),
  bore: quantity("length", '"100 mm"').optional().describe('"100 mm"'),
  rod: quantity("length", '"56 mm"').optional(),
  stroke: quantity("length", '"500 mm"').optional().describe('"500 mm"'),
  rated_pressure: quantity("pressure", '"160 bar"'),
  test_pressure_max: quantity("pressure", '"320 bar"').optional(),
  end_stops: words('"rated for 300 bar: drawing 4711"').optional(),
  barrel_outside: quantity("length", '"120 mm"').optional(),
  stage_bores: z9.array(quantity("length", '"63 mm"')).min(2, "a telescopic cylinder has at least two stages").optional(),
  stage_strokes: z9.array(quantity("length", '"300 mm"')).optional(),
  retract_passages: words('"stay open at every stage: drawing 4711"').optional(),
  ...ofVessel,
  ...ofCylinder
});
var portTable = z9.strictObject({
  name: z9.enum(portNames2).describe('"A"'),
  position: z9.enum(positions).describe('"extended"').optional(),
  opposite: z9.enum(opposites).describe('"open"').optional(),
  gauge: words('"SN 40117"').optional(),
  opposite_gauge: words('"SN 40118"').optional(),
  restrained: z9.boolean().optional(),
  rated_pressure: quantity("pressure", '"100 bar"').optional(),
  relief: quantity("pressure", '"150 bar"').optional(),
  line_volume: quantity("volume", '"0.4 L"', "not negative").optional(),
  line_stiffness: quantity("modulus", '"1.5 GPa"').optional(),
  trapped_volume: quantity("volume", '"4.3 L"').optional()
});
var jobTable = (data) => z9.strictObject({
  work_order: words('"WO-2207"'),
  customer: words('"\u2026"'),
  customer_address: words('"\u2026"').optional(),
  procedure: words('"cylinder-proof"'),
  gauge: typeof data.gauge === "object" ? gaugeTable : words('"SN 40117"'),
  oil_probe: words('"OT 12"').optional(),
  ...ofJob,
  condition: line().optional(),
  received: isoDate("2026-03-14").optional(),
  units: z9.enum(units).optional(),
  oil_temperature_change: quantity("temperature-difference", '"0.1 K"', "not negative").optional(),
  cylinder: cylinderTable.describe("a [cylinder] table"),
  fluid: fluidTable2.describe("a [fluid] table"),
  trapped: z9.strictObject({
    volume: quantity("volume", '"4.3 L"').optional(),
    bulk_modulus: quantity("modulus", '"1.4 GPa"').optional()
  }).optional(),
  bench: z9.strictObject({
    pump_flow: quantity("flow", '"2 L/min"').optional(),
    booster_stroke: quantity("volume", '"9 mL"').optional(),
    pump_pressure: quantity("pressure", '"180 bar"').optional(),
    booster_ratio: z9.number().positive("more than zero").optional(),
    booster_air: quantity("pressure", '"6 bar"').optional(),
    relief: quantity("pressure", '"250 bar"').optional(),
    hose: quantity("pressure", '"400 bar"').optional(),
    plugs: quantity("pressure", '"350 bar"').optional(),
    rod_end: quantity("force", '"250 kN"').optional(),
    weakest_part: quantity("pressure", '"350 bar"').optional()
  }).optional(),
  port: z9.array(portTable).min(1, "a job tests at least one port").describe("a [[port]] table")
});
var jobSchema = jobTable({}).extend({ gauge: z9.union([words('"SN 40117"'), gaugeTable]) });
function readJob(text, { file }) {
  const document = readToml(text, { file });
  refuseUnfit(document);
  const table = shaped(document, jobTable(document.data));
  const cylinder = cylinderOf(document, table.cylinder);
  return {
    workOrder: table.work_order,
    customer: table.customer,
    ...table.customer_address === void 0 ? {} : { customerAddress: table.customer_address },
    procedure: table.procedure,
    gauge: jobGauge(document, table.gauge),
    ...table.oil_probe === void 0 ? {} : { oilProbe: table.oil_probe },
    cylinder,
    ...table.cylinder.test_pressure_max === void 0 ? {} : { testPressureMaxPa: pressurePa(table.cylinder.test_pressure_max) },
    ...table.cylinder.end_stops === void 0 ? {} : { endStops: table.cylinder.end_stops },
    ...table.cylinder.retract_passages === void 0 ? {} : { retractPassages: table.cylinder.retract_passages },
    fluid: fluidOf(document, table.fluid),
    ...table.fluid.air === void 0 ? {} : { airFraction: table.fluid.air },
    trapped: {
      ...table.trapped?.volume === void 0 ? {} : { volumeM3: table.trapped.volume },
      ...table.trapped?.bulk_modulus === void 0 ? {} : { bulkModulusPa: table.trapped.bulk_modulus }
    },
    bench: benchOf(table.bench ?? {}),
    ports: portsOf2(document, table.port, cylinder),
    condition: table.condition ?? "",
    received: table.received ?? null,
    facts: factsOf(document, table),
    units: table.units ?? null,
    ...table.oil_temperature_change === void 0 ? {} : { unmeasuredTemperatureK: temperatureDifferenceK(table.oil_temperature_change) }
  };
}
function cylinderOf(document, table) {
  const kind = table.kind ?? "double-acting";
  const named = { serial: table.serial, maker: table.maker ?? "", model: table.model ?? "" };
  if (kind === "vessel") return { ...vesselOf(document, table), ...named };
  const { bore, stroke } = table;
  if (bore === void 0 || stroke === void 0) {
    const key = bore === void 0 ? "bore" : "stroke";
    throw refusal(
      document,
      ["cylinder", key],
      `"${key}" is missing`,
      `Write for example ${key} = "${bore === void 0 ? 100 : 500} mm".`
    );
  }
  const ofAnother = table.volume !== void 0 ? "volume" : table.parts !== void 0 ? "parts" : null;
  if (ofAnother !== null)
    throw refusal(
      document,
      ["cylinder", ofAnother],
      `"${ofAnother}" belongs to a vessel`,
      'Take it out, or write kind = "vessel".'
    );
  if (table.rod === void 0 && testablePorts(kind).includes("B") && kind !== "telescopic")
    throw refusal(
      document,
      ["cylinder", "rod"],
      `"rod" is missing: a ${kind} cylinder has one`,
      'Write for example rod = "56 mm".'
    );
  if (kind === "telescopic" && table.stage_bores === void 0)
    throw refusal(
      document,
      ["cylinder", "stage_bores"],
      '"stage_bores" is missing',
      "List the bores of the stages, largest first."
    );
  const cylinder = {
    kind,
    boreM: bore,
    rodM: table.rod ?? 0,
    strokeM: stroke,
    ratedPressurePa: pressurePa(table.rated_pressure),
    ...table.barrel_outside === void 0 ? {} : { barrelOutsideM: table.barrel_outside },
    ...table.stage_bores === void 0 ? {} : { stageBoresM: table.stage_bores },
    ...table.stage_strokes === void 0 ? {} : { stageStrokesM: table.stage_strokes }
  };
  const fault = cylinderFaults(cylinder)[0];
  if (fault) {
    const raw = document.data.cylinder;
    const key = keyOf[fault.field];
    const beside = fault.field === "stageStrokesM" ? "stroke" : "bore";
    const seen = [.../* @__PURE__ */ new Set([beside, key])].filter((name) => name in raw && name !== "kind");
    const figures2 = seen.map((name) => `${name} ${[raw[name]].flat().join(", ")}`).join("; ");
    throw refusal(document, ["cylinder", key], `${fault.text} (${figures2})`, "Check the measures and their units.");
  }
  return { ...cylinder, ...named };
}
var keyOf = {
  kind: "kind",
  boreM: "bore",
  rodM: "rod",
  strokeM: "stroke",
  ratedPressurePa: "rated_pressure",
  barrelOutsideM: "barrel_outside",
  stageBoresM: "stage_bores",
  stageStrokesM: "stage_strokes",
  volumeM3: "volume",
  parts: "parts"
};
function jobGauge(document, table) {
  if (typeof table === "string") return { kind: "known", serial: table };
  const spec = gaugeOf(table);
  if ("key" in spec) throw refusal(document, ["gauge", spec.key], spec.message, spec.advice);
  return { kind: "stated", spec };
}
var benchOf = (table) => ({
  ...table.pump_flow === void 0 ? {} : { pumpFlowM3PerS: table.pump_flow },
  ...table.booster_stroke === void 0 ? {} : { boosterStrokeM3: table.booster_stroke },
  ...table.relief === void 0 ? {} : { reliefPa: pressurePa(table.relief) },
  ...table.pump_pressure === void 0 ? {} : { pumpPressurePa: pressurePa(table.pump_pressure) },
  ...table.booster_ratio === void 0 ? {} : { boosterRatio: table.booster_ratio },
  ...table.booster_air === void 0 ? {} : { boosterAirPa: pressurePa(table.booster_air) },
  ...table.hose === void 0 ? {} : { hosePa: pressurePa(table.hose) },
  ...table.plugs === void 0 ? {} : { plugsPa: pressurePa(table.plugs) },
  ...table.rod_end === void 0 ? {} : { rodEndN: table.rod_end },
  ...table.weakest_part === void 0 ? {} : { weakestPartPa: pressurePa(table.weakest_part) }
});
function portsOf2(document, tables, { kind, rodM, ratedPressurePa }) {
  const seen = /* @__PURE__ */ new Set();
  return tables.map((table, index) => {
    const at = ["port", index];
    if (seen.has(table.name))
      throw refusal(
        document,
        [...at, "name"],
        `port ${table.name} stands in this job twice`,
        "One [[port]] table a port."
      );
    seen.add(table.name);
    if (kind === "telescopic" && table.name === "B" && rodM === 0)
      throw refusal(
        document,
        [...at, "name"],
        "a single-acting telescopic cylinder has no port B",
        "Take this [[port]] out, or give cylinder.rod where oil draws the stages in."
      );
    if (kind === "vessel") refusePiston(document, table, index);
    else if (table.position === void 0)
      throw refusal(
        document,
        [...at, "position"],
        '"position" is missing',
        'Write where the piston stands, for example position = "extended".'
      );
    if (table.opposite === void 0 && kind !== "plunger" && kind !== "vessel")
      throw refusal(
        document,
        [...at, "opposite"],
        '"opposite" is missing',
        "Say what is on the other port: open, blocked or gauge."
      );
    const opposite = table.opposite ?? "open";
    if (table.rated_pressure !== void 0 && table.rated_pressure > ratedPressurePa)
      throw refusal(
        document,
        [...at, "rated_pressure"],
        "a chamber is rated above the cylinder itself",
        "State the higher of the two chambers as cylinder.rated_pressure."
      );
    refuseGauges(document, table, index);
    const position = table.position ?? "no piston";
    const trouble = impossibleHold(kind, table.name, position, opposite, table.restrained === true);
    if (trouble) throw refusal(document, [...at, trouble.key], trouble.message, trouble.advice);
    return {
      port: table.name,
      position,
      opposite,
      ...table.restrained ? { restrained: true } : {},
      ...table.rated_pressure === void 0 ? {} : { ratedPa: pressurePa(table.rated_pressure) },
      ...table.relief === void 0 ? {} : { reliefPa: pressurePa(table.relief) },
      ...table.gauge === void 0 ? {} : { gauge: table.gauge },
      ...table.opposite_gauge === void 0 ? {} : { oppositeGauge: table.opposite_gauge },
      ...table.line_volume === void 0 ? {} : { lineVolumeM3: table.line_volume },
      ...table.line_stiffness === void 0 ? {} : { lineStiffnessPa: table.line_stiffness },
      ...table.trapped_volume === void 0 ? {} : { trappedVolumeM3: table.trapped_volume }
    };
  });
}
function refusePiston(document, table, index) {
  const key = ["position", "opposite", "opposite_gauge", "restrained"].find(
    (one) => table[one] !== void 0
  );
  if (key !== void 0)
    throw refusal(document, ["port", index, key], `a vessel has no "${key}": no piston, no other port`, "Take it out.");
}
function refuseGauges(document, table, index) {
  const { opposite, gauge, opposite_gauge: other } = table;
  const at = ["port", index, "opposite_gauge"];
  if (other === void 0) return;
  if (opposite === "blocked")
    throw refusal(
      document,
      at,
      "the other port is said to be blocked, and to carry a gauge",
      'Say opposite = "gauge".'
    );
  const own = gauge ?? (typeof document.data.gauge === "string" ? document.data.gauge : void 0);
  if (other === own)
    throw refusal(document, at, `gauge ${other} can't be at both ports`, "Name the gauge that is at the other port.");
}

// src/evaluation/collected.ts
var agreement = 2;
function compareCollected(gauge, collectedM3PerS) {
  const { leakM3PerS, expandedU } = gauge;
  const both = `{flow:${leakM3PerS}} \xB1 {flow:${expandedU}} by the fall of pressure, {flow:${collectedM3PerS}} collected`;
  const ratio = collectedM3PerS > 0 ? leakM3PerS / collectedM3PerS : null;
  const nothing2 = leakM3PerS <= 0 && collectedM3PerS === 0;
  if (nothing2 || Math.abs(leakM3PerS - collectedM3PerS) <= expandedU)
    return { ratio, agrees: true, text: `${both}: they agree` };
  if (leakM3PerS > agreement * collectedM3PerS) {
    const elsewhere = "oil leaves elsewhere too, outside or into the bench";
    const text = ratio === null ? "what the pressure lost did not come out at the open port" : elsewhere;
    return { ratio, agrees: false, text: `${both}: ${text}` };
  }
  if (leakM3PerS * agreement < collectedM3PerS)
    return {
      ratio,
      agrees: false,
      text: `${both}: more came out than the pressure lost; oil of decompression was caught, or the trapped volume or its stiffness is wrong`
    };
  return { ratio, agrees: true, text: `${both}: they agree` };
}
var rounding = 1e-9;
function judgeCollected(demand, caught, gauge) {
  const limit = collectedAmount(demand);
  const allowed = `${demand.lessThan ? "" : "at most "}${limit} is allowed`;
  if (caught === null || !(caught.overS > 0))
    return {
      verdict: "inconclusive",
      reason: `oil collected: nobody wrote down how much; the procedure judges by it, and ${allowed}`
    };
  const volumeM3 = caught.volumeM3 / Math.max(1, caught.overS / demand.overS);
  const rate2 = caught.volumeM3 / caught.overS;
  const compared = gauge && compareCollected(gauge, rate2);
  const contradiction = compared && !compared.agrees ? `; gauge and cup contradict each other: ${compared.text}` : "";
  const found2 = `oil collected: {volume:${caught.volumeM3}} in {seconds:${caught.overS}}; ${allowed}${contradiction}`;
  const tooMuch = demand.lessThan ? volumeM3 >= demand.volumeM3 * (1 - rounding) : volumeM3 > demand.volumeM3 * (1 + rounding);
  if (tooMuch) return { verdict: "fail", reason: found2 };
  if (caught.overS < demand.overS * (1 - rounding))
    return { verdict: "inconclusive", reason: `${found2}, and a shorter time can't pass` };
  const lost = gauge !== null && gauge.leakM3PerS - gauge.expandedU > demand.volumeM3 / demand.overS;
  return { verdict: lost && contradiction !== "" ? "inconclusive" : "pass", reason: found2 };
}

// src/evaluation/compare-stages.ts
var within = 2;
function compareStages(one, other) {
  const [low, high] = (one.startPa ?? 0) <= (other.startPa ?? 0) ? [one, other] : [other, one];
  const [lowLeak, highLeak] = [clearRate(low), clearRate(high)];
  if (!lowLeak || !highLeak) return cannot("No leak clear of its uncertainty in both dwells.");
  const pressures = meanPressure(high) / meanPressure(low);
  const ratio = highLeak.rate / lowLeak.rate;
  const ratioU = ratio * rootSumSquares(highLeak.u / highLeak.rate, lowLeak.u / lowLeak.rate);
  const fits = (expected) => Math.abs(ratio - expected) <= within * ratioU;
  const at = `{rate:${highLeak.rate}} at {pressure:${meanPressure(high)}} against {rate:${lowLeak.rate}} at {pressure:${meanPressure(low)}}`;
  if (pressures < 1.1)
    return fits(1) ? { ratio, ratioU, law: "same rate", text: `${at}: the same rate each time, as a leak has.` } : {
      ratio,
      ratioU,
      law: "cannot tell",
      text: `${at}: another rate at the same pressure; heat and creep give less each time, a leak the same.`
    };
  const [laminar, orifice] = [fits(pressures), fits(Math.sqrt(pressures))];
  if (laminar && !orifice)
    return { ratio, ratioU, law: "laminar", text: `${at}: in proportion to pressure, as through a narrow gap.` };
  if (orifice && !laminar)
    return { ratio, ratioU, law: "orifice", text: `${at}: with the root of pressure, as through a hole or a nick.` };
  return {
    ratio,
    ratioU,
    law: "cannot tell",
    text: `${at}: this fits ${laminar ? "both a gap and a hole" : "neither a gap nor a hole"}.`
  };
}
function stagesComparedFlag(comparison) {
  return { code: "stages-compared", text: comparison.text };
}
function clearRate(stage) {
  const { ratePaPerS: rate2, rateUncertaintyPaPerS: expanded2, coverageFactor } = stage;
  if (rate2 === null || expanded2 === null || coverageFactor === null || rate2 <= expanded2) return null;
  return { rate: rate2, u: expanded2 / coverageFactor };
}
var meanPressure = (stage) => ((stage.startPa ?? 0) + (stage.endPa ?? 0)) / 2;
var cannot = (text) => ({ ratio: null, ratioU: null, law: "cannot tell", text });

// src/evaluation/decision.ts
function acceptance(rule, value, expandedU, limit) {
  const guard = rule === "guarded" ? expandedU : 0;
  if (value <= limit - guard) return "pass";
  if (value <= limit) return "conditional pass";
  return value <= limit + guard ? "conditional fail" : "fail";
}
function governingLimit2(allowed, startPa2, dwellS, trapped) {
  const strictest = governingLimit(allowed, pressurePa(startPa2), dwellS, trapped);
  return strictest && { limit: strictest.limit, allowedDropPa: strictest.dropPa };
}

// src/evaluation/course/cells.ts
function cellsOf(blocks, fromS, toS, most3) {
  const span = Math.max(1e-9, toS - fromS) / most3;
  const sums = Array.from({ length: most3 }, () => ({ n: 0, t: 0, y: 0, oilN: 0, oil: 0 }));
  for (let i = 0; i < blocks.length; i++) {
    const at = blocks.timeS[i] ?? 0;
    if (at < fromS || at > toS) continue;
    const sum2 = sums[Math.min(most3 - 1, Math.floor((at - fromS) / span))];
    const n2 = blocks.count[i] ?? 0;
    if (!sum2 || !(n2 > 0)) continue;
    sum2.n += n2;
    sum2.t += n2 * at;
    sum2.y += n2 * (blocks.pressure[i] ?? 0);
    const oil = blocks.oil[i] ?? Number.NaN;
    if (Number.isNaN(oil)) continue;
    sum2.oilN += n2;
    sum2.oil += n2 * oil;
  }
  const filled2 = sums.filter(({ n: n2 }) => n2 > 0);
  return {
    t: Float64Array.from(filled2, ({ t: t2, n: n2 }) => t2 / n2),
    y: Float64Array.from(filled2, ({ y, n: n2 }) => y / n2),
    count: Float64Array.from(filled2, ({ n: n2 }) => n2),
    oil: Float64Array.from(filled2, ({ oil, oilN }) => oilN > 0 ? oil / oilN : Number.NaN)
  };
}

// src/evaluation/course/heat.ts
function heatLeft({ law, timeS }, afterS2) {
  const x = Math.max(0, afterS2) / timeS;
  switch (law) {
    case "well stirred":
      return exp(-x);
    case "natural convection":
      return 1 / cube2(1 + x / 3);
    case "conduction":
      return conductionLeft(x);
    default:
      return law;
  }
}
var cube2 = (value) => value * value * value;
var besselZerosSquared = [5.783186, 30.471262, 74.887007, 139.040284, 222.932303, 326.563353];
function conductionLeft(x) {
  const place = Math.sqrt(x / longest) * (tabled.length - 1);
  const at = Math.floor(place);
  if (at >= tabled.length - 1) return 0;
  const low = tabled[at] ?? 0;
  return low + ((tabled[at + 1] ?? 0) - low) * (place - at);
}
function conductionSum(x) {
  const slowest = besselZerosSquared[0] ?? 1;
  let [sum2, whole] = [0, 0];
  for (const zero of besselZerosSquared) {
    const part2 = 4 / zero;
    whole += part2;
    sum2 += part2 * exp(-zero / slowest * x);
  }
  return sum2 / whole;
}
var longest = 25;
var tabled = Float64Array.from({ length: 1025 }, (_, i) => conductionSum(longest * (i / 1024) * (i / 1024)));
function heatLaws(leastS, greatestS) {
  const times2 = 12;
  const step2 = log(greatestS / leastS) / (times2 - 1);
  const laws2 = [];
  for (const law of ["well stirred", "natural convection", "conduction"])
    for (let i = 0; i < times2; i++) laws2.push({ law, timeS: leastS * exp(i * step2) });
  return laws2;
}
function heatFall(law, rises, t2) {
  const fall2 = new Float64Array(t2.length);
  for (const { timeS, byPa } of rises) {
    if (byPa === 0) continue;
    const before = timeS <= 0;
    const start = before ? heatLeft(law, -timeS) : 0;
    for (let i = 0; i < t2.length; i++) {
      const sinceS = (t2[i] ?? 0) - timeS;
      if (before || sinceS >= 0) fall2[i] = (fall2[i] ?? 0) + byPa * (start - heatLeft(law, sinceS));
    }
  }
  return fall2;
}

// src/evaluation/course/explanations.ts
var toWall = 0.55;
var toWallU = 0.18;
var noHeat = 0.4;
function heatExplanations(cells3, rises, setting, odds) {
  const laws2 = heatLaws(setting.leastS, setting.greatestS);
  const outer = { law: "well stirred", timeS: setting.outerS };
  const fallAt = (law, t2) => {
    const toRoom2 = heatFall(outer, rises, t2);
    return heatFall(law, rises, t2).map((fall2, i) => fall2 + (1 - toWall) / toWall * (toRoom2[i] ?? 0));
  };
  const none2 = { ...nothingKnown, prior: odds * noHeat };
  const byLaw = laws2.map(
    (law) => ({
      name: "heat of compression",
      prior: odds * (1 - noHeat) / laws2.length,
      term: {
        values: fallAt(law, cells3.t),
        mean: setting.share * toWall,
        sd: setting.share * toWallU
      },
      lagS: 0,
      at: remembered((timeS) => fallAt(law, Float64Array.of(timeS))[0] ?? 0)
    })
  );
  return [none2, ...byLaw];
}
function outerHeat(rises, { share, outerS }, probed2) {
  const law = { law: "well stirred", timeS: outerS };
  const at = remembered((timeS) => heatFall(law, rises, Float64Array.of(timeS))[0] ?? 0);
  return { at, mean: 0, sd: (probed2 ? seenByProbe : outerU) * share * (1 - toWall) };
}
var creep = (levelPa3) => ({
  at: (timeS) => log(1 + Math.max(0, timeS) / 30),
  mean: creepShare / 2 * levelPa3,
  sd: creepShare * levelPa3
});
var closing = (levelPa3) => ({
  at: (timeS) => 1 - exp(-Math.max(0, timeS) / closingS),
  mean: 0,
  sd: closingShare * levelPa3
});
var outerU = 0.6;
var seenByProbe = 0.1;
var creepShare = 8e-4;
var closingShare = 2e-3;
var closingS = 8;
var nothingKnown = { name: "nothing known", prior: 1, term: null, lagS: 0, at: () => 0 };
function remembered(at) {
  const known = /* @__PURE__ */ new Map();
  return (timeS) => {
    let value = known.get(timeS);
    if (value === void 0) {
      value = at(timeS);
      known.set(timeS, value);
    }
    return value;
  };
}

// src/evaluation/statistics/theil-sen.ts
function theilSen(x, y) {
  if (x.length !== y.length) throw new Error(`${x.length} abscissae and ${y.length} ordinates`);
  const n2 = x.length;
  const slopes = new Float64Array(n2 * (n2 - 1) / 2);
  let count = 0;
  let zeros = 0;
  for (let i = 0; i < n2; i++) {
    const xi = x[i] ?? 0;
    const yi = y[i] ?? 0;
    for (let j = i + 1; j < n2; j++) {
      const dx = (x[j] ?? 0) - xi;
      if (dx === 0) continue;
      const slope2 = ((y[j] ?? 0) - yi) / dx;
      if (slope2 === 0) zeros++;
      slopes[count++] = slope2;
    }
  }
  if (count === 0) return { slope: Number.NaN, intercept: Number.NaN, tied: 0 };
  const slope = median(slopes.subarray(0, count));
  return {
    slope,
    intercept: median(Float64Array.from(y)) - slope * median(Float64Array.from(x)),
    tied: zeros / count
  };
}
function median(values) {
  const n2 = values.length;
  if (n2 === 0) return Number.NaN;
  const upper = n2 >> 1;
  const high = select(values, upper);
  if (n2 % 2 === 1) return high;
  let low = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < upper; i++) low = Math.max(low, values[i] ?? low);
  return (low + high) / 2;
}
function select(values, k) {
  let left = 0;
  let right = values.length - 1;
  const at = (index) => values[index];
  while (left < right) {
    const [a, b, c] = [at(left), at(left + right >> 1), at(right)];
    const pivot = Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
    let i = left;
    let j = right;
    while (i <= j) {
      while (at(i) < pivot) i++;
      while (at(j) > pivot) j--;
      if (i <= j) {
        const held3 = at(i);
        values[i++] = at(j);
        values[j--] = held3;
      }
    }
    if (k <= j) right = j;
    else if (k >= i) left = i;
    else break;
  }
  return at(k);
}

// src/evaluation/course/steps.ts
var spansS = [1.5, 2.5, 4, 6];
var stepSure = 3;
function stepsBySpan(blocks, untilS, { noisePa, stepPa: stepPa2 }) {
  const sums = prefixSums(blocks, untilS);
  return spansS.flatMap((spanS2) => {
    const steps3 = stepsOf(sums, spanS2);
    if (steps3.length < 12) return [];
    const local = lessNeighbours(steps3);
    const of = (sign) => peaks(local, sign, spanS2, noisePa, stepPa2).map((step2) => ({
      ...step2,
      besidePa: besides(local, step2, sign, spanS2)
    }));
    return [{ ups: of(1), downs: of(-1) }];
  });
}
function prefixSums({ length: length2, timeS, count, pressure: pressure2 }, untilS) {
  let many = length2;
  while (many > 0 && (timeS[many - 1] ?? 0) > untilS) many--;
  const n2 = new Float64Array(many + 1);
  const y = new Float64Array(many + 1);
  for (let i = 0; i < many; i++) {
    n2[i + 1] = (n2[i] ?? 0) + (count[i] ?? 0);
    y[i + 1] = (y[i] ?? 0) + (count[i] ?? 0) * (pressure2[i] ?? 0);
  }
  return { t: timeS.subarray(0, many), n: n2, y };
}
function stepsOf({ t: t2, n: n2, y }, spanS2) {
  const steps3 = [];
  let [from, to] = [0, 0];
  for (let at = 1; at < t2.length; at++) {
    const now = t2[at] ?? 0;
    while ((t2[from] ?? 0) < now - spanS2) from++;
    while (to < t2.length && (t2[to] ?? 0) < now + spanS2) to++;
    const before = (n2[at] ?? 0) - (n2[from] ?? 0);
    const after2 = (n2[to] ?? 0) - (n2[at] ?? 0);
    if (!(before > 0 && after2 > 0) || now - spanS2 < (t2[0] ?? 0) - 1e-9 || to === t2.length) continue;
    const byPa = ((y[to] ?? 0) - (y[at] ?? 0)) / after2 - ((y[at] ?? 0) - (y[from] ?? 0)) / before;
    steps3.push({ atS: now, byPa, unitVariance: 1 / before + 1 / after2 });
  }
  return steps3;
}
var stretchS = 30;
function lessNeighbours(steps3) {
  const first = steps3[0]?.atS ?? 0;
  const groups = [];
  for (const { atS, byPa } of steps3) {
    const group2 = Math.floor((atS - first) / stretchS);
    const members = groups[group2] ?? [];
    members.push(byPa);
    groups[group2] = members;
  }
  const usual2 = groups.map((group2) => median(Float64Array.from(group2 ?? [0])));
  return steps3.map((step2) => {
    const place = Math.min(usual2.length - 1, Math.max(0, (step2.atS - first) / stretchS - 0.5));
    const at = Math.floor(place);
    const low = usual2[at] ?? 0;
    const high = usual2[at + 1] ?? low;
    return { ...step2, byPa: step2.byPa - low - (high - low) * (place - at) };
  });
}
function peaks(steps3, sign, spanS2, noisePa, stepPa2) {
  const found2 = [];
  let greatest = null;
  const size = (step2) => sign * step2.byPa;
  for (const step2 of steps3) {
    if (size(step2) < Math.max(stepSure * noisePa * Math.sqrt(step2.unitVariance), stepPa2)) continue;
    if (greatest && step2.atS - greatest.atS < spanS2) {
      if (size(step2) > size(greatest)) greatest = step2;
      continue;
    }
    if (greatest) found2.push(greatest);
    greatest = step2;
  }
  if (greatest) found2.push(greatest);
  return found2;
}
function besides(steps3, { atS }, sign, spanS2) {
  const near = (timeS) => {
    let [low, high] = [0, steps3.length - 1];
    while (low < high) {
      const middle2 = low + high >> 1;
      if ((steps3[middle2]?.atS ?? 0) < timeS) low = middle2 + 1;
      else high = middle2;
    }
    return sign * (steps3[low]?.byPa ?? 0);
  };
  return Math.max(near(atS - 2 * spanS2), near(atS + 2 * spanS2));
}

// src/evaluation/course/fed.ts
var spansS2 = [4, 12, 30];
var sure = 5.5;
var strokesSure = 3.2;
function fedBy(blocks, untilS, course, setting) {
  let found2 = null;
  for (const spanS2 of spansS2) {
    const many = Math.floor(untilS / spanS2);
    if (many < 6) continue;
    const { t: t2, y } = cellsOf(blocks, 0, untilS, many);
    const left = y.map((value, i) => value + course(t2[i] ?? 0));
    const scatterPa2 = scatterOf(left);
    let lowest = Number.POSITIVE_INFINITY;
    let lowestS = 0;
    for (let i = 0; i < left.length; i++) {
      const value = left[i] ?? 0;
      const byPa = value - lowest;
      const may = sure * Math.SQRT2 * scatterPa2 + 4 * setting.wanderPa + setting.stepPa + setting.warmingPaPerS * ((t2[i] ?? 0) - lowestS);
      if (byPa > Math.max(may, setting.leastPa) && byPa > (found2?.byPa ?? 0))
        found2 = { byPa, atS: t2[i] ?? 0, strokes: false };
      if (value < lowest) [lowest, lowestS] = [value, t2[i] ?? 0];
    }
  }
  return found2 ?? strokesIn(blocks, untilS, setting);
}
function scatterOf(values) {
  const seconds3 = [];
  for (let i = 2; i < values.length; i++)
    seconds3.push(Math.abs((values[i] ?? 0) - 2 * (values[i - 1] ?? 0) + (values[i - 2] ?? 0)));
  return median(Float64Array.from(seconds3)) / 0.6745 / Math.sqrt(6);
}
function strokesIn(blocks, untilS, { noisePa, stepPa: stepPa2, leastPa }) {
  let surest = null;
  let most3 = strokesSure;
  for (const { ups, downs } of stepsBySpan(blocks, untilS, { noisePa, stepPa: stepPa2 })) {
    const sureness = (ups.length - downs.length) / Math.sqrt(Math.max(1, ups.length + downs.length));
    const fedPa = ups.reduce((sum2, { byPa }) => sum2 + byPa, 0);
    if (sureness <= most3 || fedPa < leastPa) continue;
    most3 = sureness;
    surest = { byPa: fedPa / ups.length, atS: ups[0]?.atS ?? 0, strokes: true };
  }
  return surest;
}

// src/evaluation/course/leak-law.ts
var steadily = { secondsAt: (timeS) => timeS };
var changes = 0.02;
function leakLaws({ t: t2, y }, referencePa) {
  const level2 = (i) => Math.max(0, referencePa + (y[i] ?? 0));
  const first = level2(0);
  if (Math.abs(first - level2(t2.length - 1)) < changes * first) return [steadily];
  return [steadily, byRate(t2, (i) => Math.sqrt(level2(i) / first)), byRate(t2, (i) => level2(i) / first)];
}
function byRate(t2, rateAt) {
  const rate2 = Float64Array.from(t2, (_, i) => rateAt(i));
  const sums = new Float64Array(t2.length);
  sums[0] = t2[0] ?? 0;
  for (let i = 1; i < t2.length; i++)
    sums[i] = (sums[i - 1] ?? 0) + ((rate2[i - 1] ?? 0) + (rate2[i] ?? 0)) / 2 * ((t2[i] ?? 0) - (t2[i - 1] ?? 0));
  return {
    secondsAt(timeS) {
      let i = 0;
      while (i < t2.length - 1 && (t2[i + 1] ?? 0) <= timeS) i++;
      const [from, to] = [t2[i] ?? 0, t2[i + 1] ?? Number.POSITIVE_INFINITY];
      const [a, b] = [rate2[i] ?? 0, rate2[i + 1] ?? rate2[i] ?? 0];
      const after2 = timeS - from;
      const at = a + (after2 > 0 && Number.isFinite(to) ? (b - a) * after2 / (2 * (to - from)) : 0);
      return (sums[i] ?? 0) + at * after2;
    }
  };
}

// src/evaluation/course/regression.ts
var Regression = class {
  #t;
  #scatter;
  #factor;
  #n;
  /** The points as if they were independent with variance 1, the sum of their squares, and what that took. */
  y;
  squares;
  logDeterminant;
  /** @param share variance of a point against the usual one, for points of fewer readings */
  constructor(t2, y, share, scatter) {
    this.#t = t2;
    this.#n = t2.length;
    this.#scatter = scatter;
    this.#factor = cholesky(covariance(t2, share, scatter), this.#n);
    this.y = this.whitened(y);
    this.squares = dot(this.y, this.y);
    let sum2 = 0;
    for (let i = 0; i < this.#n; i++) sum2 += log(this.#factor[i * this.#n + i] ?? 1);
    this.logDeterminant = sum2;
  }
  /** A column as if its points were independent with variance 1. */
  whitened(column) {
    return forward(this.#factor, column, this.#n);
  }
  /** Fits terms whose columns were whitened by this regression. */
  fit(terms, columns) {
    return new Fit(this, terms, columns);
  }
  /** Covariance of the drifting part's change with each point, whitened, and its variance. */
  drift(fromS, toS) {
    const power3 = square(this.#scatter.bend);
    const column = this.#t.map((at) => power3 * (walk(toS, at) - walk(fromS, at)));
    const variance2 = power3 * (walk(toS, toS) + walk(fromS, fromS) - 2 * walk(fromS, toS));
    return { with: this.whitened(column), variance: variance2 };
  }
};
var Fit = class {
  /** Logarithm of the evidence, up to a constant shared by fits of the same points with the same unknown terms. */
  logEvidence;
  #columns;
  #regression;
  /** Factor of the normal equations, and their right side behind it. */
  #factor;
  #solved;
  #worked = null;
  constructor(regression, terms, columns) {
    const { y } = regression;
    const p = terms.length;
    const gram = new Float64Array(p * p);
    const right = new Float64Array(p);
    let constant = regression.squares;
    let priors = 0;
    for (let i = 0; i < p; i++) {
      const { mean, sd } = terms[i];
      const column = columns[i];
      const own = Number.isFinite(sd) ? 1 / square(sd) : 0;
      for (let j = 0; j <= i; j++) gram[i * p + j] = dot(column, columns[j]);
      gram[i * p + i] = gram[i * p + i] + own;
      right[i] = dot(column, y) + own * mean;
      constant += own * square(mean);
      if (own > 0) priors -= log(sd);
    }
    const factor = cholesky(gram, p);
    const solved = forward(factor, right, p);
    let determinant = 0;
    for (let i = 0; i < p; i++) determinant += log(factor[i * p + i]);
    this.logEvidence = -(constant - dot(solved, solved)) / 2 - determinant - regression.logDeterminant + priors;
    this.#columns = columns;
    this.#regression = regression;
    this.#factor = factor;
    this.#solved = solved;
  }
  get sizes() {
    return this.#workOut().sizes;
  }
  #workOut() {
    if (this.#worked) return this.#worked;
    const p = this.#solved.length;
    const sizes3 = backward(this.#factor, this.#solved, p);
    const rest = Float64Array.from(this.#regression.y);
    this.#columns.forEach((column, j) => {
      const size = sizes3[j];
      for (let i = 0; i < rest.length; i++) rest[i] = rest[i] - size * column[i];
    });
    this.#worked = { sizes: sizes3, inverse: inverseOf(this.#factor, p), rest };
    return this.#worked;
  }
  /** The fall of the terms and of the drifting part together. `drift` is the regression's for the asked times. */
  answer(asked, drift = this.#regression.drift(asked.fromS, asked.toS)) {
    const { sizes: sizes3, inverse, rest } = this.#workOut();
    const p = sizes3.length;
    const lever = new Float64Array(p);
    const drifts = drift.variance > 0;
    let mean = drifts ? -dot(drift.with, rest) : 0;
    for (let j = 0; j < p; j++) {
      const share = asked.terms[j];
      mean += share * sizes3[j];
      lever[j] = drifts ? share + dot(this.#columns[j], drift.with) : share;
    }
    let variance2 = drifts ? drift.variance - dot(drift.with, drift.with) : 0;
    for (let i = 0; i < p; i++)
      for (let j = 0; j < p; j++)
        variance2 += lever[i] * inverse[i * p + j] * lever[j];
    return { mean, variance: Math.max(0, variance2) };
  }
};
function walk(a, b) {
  const short = Math.max(0, Math.min(a, b));
  const long = Math.max(0, Math.max(a, b));
  return short * short * (3 * long - short) / 6;
}
function covariance(t2, share, scatter) {
  const { pointPa, wanderPa, wanderS, bend } = scatter;
  const n2 = t2.length;
  const matrix = new Float64Array(n2 * n2);
  const decay = wanderPa > 0 ? decays(t2, wanderS) : null;
  for (let i = 0; i < n2; i++) {
    let alike = square(wanderPa);
    for (let j = i; j >= 0; j--) {
      const drift = bend > 0 ? square(bend) * walk(t2[i] ?? 0, t2[j] ?? 0) : 0;
      matrix[i * n2 + j] = drift + alike;
      if (decay) alike *= decay[j] ?? 0;
    }
    matrix[i * n2 + i] = (matrix[i * n2 + i] ?? 0) + square(pointPa) * (share[i] ?? 1);
  }
  return matrix;
}
function decays(t2, wanderS) {
  return t2.map((at, i) => i === 0 ? 0 : exp(-(at - (t2[i - 1] ?? 0)) / wanderS));
}
function cholesky(matrix, n2) {
  const factor = new Float64Array(n2 * n2);
  for (let i = 0; i < n2; i++)
    for (let j = 0; j <= i; j++) {
      let sum2 = matrix[i * n2 + j];
      for (let k = 0; k < j; k++) sum2 -= factor[i * n2 + k] * factor[j * n2 + k];
      if (i === j) factor[i * n2 + i] = Math.sqrt(Math.max(sum2, 1e-12 * Math.abs(matrix[i * n2 + i]), 1e-300));
      else factor[i * n2 + j] = sum2 / factor[j * n2 + j];
    }
  return factor;
}
function forward(factor, b, n2) {
  const x = new Float64Array(n2);
  for (let i = 0; i < n2; i++) {
    let sum2 = b[i];
    const row = i * n2;
    for (let k = 0; k < i; k++) sum2 -= factor[row + k] * x[k];
    x[i] = sum2 / factor[row + i];
  }
  return x;
}
function backward(factor, b, n2) {
  const x = new Float64Array(n2);
  for (let i = n2 - 1; i >= 0; i--) {
    let sum2 = b[i];
    for (let k = i + 1; k < n2; k++) sum2 -= factor[k * n2 + i] * x[k];
    x[i] = sum2 / factor[i * n2 + i];
  }
  return x;
}
function inverseOf(factor, n2) {
  const inverse = new Float64Array(n2 * n2);
  for (let j = 0; j < n2; j++) {
    const unit = new Float64Array(n2);
    unit[j] = 1;
    backward(factor, forward(factor, unit, n2), n2).forEach((value, i) => {
      inverse[i * n2 + j] = value;
    });
  }
  return inverse;
}
function dot(a, b) {
  let sum2 = 0;
  for (let i = 0; i < a.length; i++) sum2 += a[i] * b[i];
  return sum2;
}

// src/evaluation/uncertainty/normal.ts
function normalProbability(z10) {
  const x = Math.abs(z10);
  if (z10 > 8.3) return 1;
  const density = normalDensity(x);
  let tail;
  if (x < 3) {
    let term = x;
    let sum2 = x;
    for (let k = 3; term > 1e-17 * sum2; k += 2) {
      term *= x * x / k;
      sum2 += term;
    }
    tail = 0.5 - density * sum2;
  } else {
    let fraction = 0;
    for (let k = 40; k > 0; k--) fraction = k / (x + fraction);
    tail = density / (x + fraction);
  }
  return z10 > 0 ? 1 - tail : tail;
}
var normalDensity = (z10) => exp(-square(z10) / 2) / Math.sqrt(2 * Math.PI);

// src/evaluation/course/truncate.ts
function mostlyPositive({ weight, mean, variance: variance2 }, gain) {
  if (!Number.isFinite(gain) || !(variance2 > 0)) return [{ weight, mean, variance: variance2 }];
  const sd = Math.sqrt(variance2);
  const above = truncated(mean, sd);
  const sum2 = variance2 + square(gain);
  const share = square(gain) / sum2;
  const below2 = truncated(-mean * share, Math.sqrt(variance2 * share));
  const drawn = exp(-square(mean) / (2 * sum2)) * Math.sqrt(share);
  return [
    { weight: weight * above.probability, mean: above.mean, variance: above.variance },
    { weight: weight * drawn * below2.probability, mean: -below2.mean, variance: below2.variance }
  ].filter((part2) => part2.weight > 0);
}
function truncated(mean, sd) {
  const z10 = mean / sd;
  const probability = normalProbability(z10);
  if (z10 < -8) return { probability, mean: sd / -z10, variance: square(sd / z10) };
  const hazard = normalDensity(z10) / probability;
  return {
    probability,
    mean: mean + sd * hazard,
    variance: Math.max(0, variance(sd) * (1 - hazard * (z10 + hazard)))
  };
}
var variance = (sd) => sd * sd;

// src/evaluation/course/fit-course.ts
function fitCourse(cells3, setting) {
  const { t: t2 } = cells3;
  const endS = t2.at(-1) ?? 1;
  const meanCount = cells3.count.reduce((sum2, n2) => sum2 + n2, 0) / cells3.count.length;
  const share = cells3.count.map((n2) => meanCount / n2);
  const fixed = fixedTerms(t2, setting);
  const grids = gridsOf(cells3, setting.pointPa);
  const possible = setting.explanations.flatMap(
    (explanation) => setting.laws.map((law) => ({ explanation, law, prior: explanation.prior / setting.laws.length }))
  );
  const search = new Search(cells3, share, fixed, possible, grids);
  const found2 = search.climb({ pointPa: setting.pointPa, wanderPa: 0, wanderS: endS / 20, bend: 0 });
  const accounts = [...search.accounts(found2), ...search.withOnset(found2)];
  const lossesOf = (fromS, toS) => {
    const drifts = /* @__PURE__ */ new Map();
    const gainPa = setting.gainPa * (toS - fromS) / endS;
    return (account) => {
      const { regression, fit } = account;
      const drift = drifts.get(regression) ?? regression.drift(fromS, toS);
      drifts.set(regression, drift);
      return mostlyPositive({ weight: 1, ...fit.answer(askedLoss(account, fromS, toS), drift) }, gainPa);
    };
  };
  const inAll = lossesOf(0, endS);
  const weighed = likely(accounts).map(({ account, weight }) => ({
    account,
    weight: weight * inAll(account).reduce((sum2, part2) => sum2 + part2.weight, 1e-12)
  }));
  const total = weighed.reduce((sum2, { weight }) => sum2 + weight, 0);
  const first = weighed.reduce((a, b) => b.weight > a.weight ? b : a).account;
  const weightOf = (name) => weighed.reduce((sum2, { account, weight }) => sum2 + (account.explanation.name === name ? weight : 0), 0) / total;
  const explainedAt = meanExplained(
    weighed.map(({ account, weight }) => ({ account, weight: weight / total })),
    fixed
  );
  return {
    explainedAt,
    explained: (fromS, toS) => explainedAt(toS) - explainedAt(fromS),
    loss(fromS, toS) {
      const lossOf = lossesOf(fromS, toS);
      return mixtureOf(
        weighed.flatMap(({ account, weight }) => {
          const parts3 = lossOf(account);
          const all = parts3.reduce((sum2, part2) => sum2 + part2.weight, 0);
          return parts3.map((part2) => ({ ...part2, weight: part2.weight / all * weight / total }));
        })
      );
    },
    creep(fromS, toS) {
      return fixed.beside.reduce((sum2, { at }, j) => sum2 + (first.fit.sizes[j + 2] ?? 0) * (at(toS) - at(fromS)), 0);
    },
    scatterU: (fromS, toS) => scatterU(cells3, share, first.scatter, fixed, fromS, toS),
    best: { scatter: first.scatter, explanation: first.explanation, onsetS: first.onsetS },
    weightOf,
    lagS: weighed.reduce((sum2, { account, weight }) => sum2 + weight / total * account.explanation.lagS, 0),
    lossAt: (timeS) => first.fit.answer(askedLoss(first, 0, timeS)).mean
  };
}
var leftOut = 2e-3;
function likely(accounts) {
  const greatest = Math.max(...accounts.map(({ logWeight }) => logWeight));
  const all = accounts.map((account) => ({ account, weight: exp(account.logWeight - greatest) })).sort((a, b) => b.weight - a.weight);
  let rest = all.reduce((sum2, { weight }) => sum2 + weight, 0);
  const least2 = leftOut * rest;
  return all.filter(({ weight }) => {
    const kept = rest > least2;
    rest -= weight;
    return kept;
  });
}
function askedLoss({ law, onsetS, fit }, fromS, toS) {
  const terms = new Float64Array(fit.sizes.length);
  terms[1] = law.secondsAt(toS) - law.secondsAt(fromS);
  if (onsetS !== null) terms[terms.length - 1] = after(law, onsetS, toS) - after(law, onsetS, fromS);
  return { terms, fromS, toS };
}
function meanExplained(accounts, { beside }) {
  const besides2 = beside.map(() => 0);
  const sizes3 = /* @__PURE__ */ new Map();
  for (const { account, weight } of accounts) {
    const { fit, explanation } = account;
    beside.forEach((_, j) => {
      besides2[j] = (besides2[j] ?? 0) + weight * (fit.sizes[j + 2] ?? 0);
    });
    if (explanation.term)
      sizes3.set(explanation, (sizes3.get(explanation) ?? 0) + weight * (fit.sizes[beside.length + 2] ?? 0));
  }
  return (timeS) => {
    let sum2 = 0;
    for (const [explanation, size] of sizes3) sum2 += size * explanation.at(timeS);
    beside.forEach(({ at }, j) => {
      sum2 += (besides2[j] ?? 0) * at(timeS);
    });
    return sum2;
  };
}
function mixtureOf(parts3) {
  const mean = parts3.reduce((sum2, part2) => sum2 + part2.weight * part2.mean, 0);
  const variance2 = parts3.reduce((sum2, part2) => sum2 + part2.weight * (part2.variance + square(part2.mean - mean)), 0);
  return { mean, variance: variance2, parts: parts3 };
}
function fixedTerms(t2, { beside }) {
  return {
    level: { values: new Float64Array(t2.length).fill(1), mean: 0, sd: Number.POSITIVE_INFINITY },
    terms: beside.map(({ at, mean, sd }) => ({ values: t2.map((timeS) => -at(timeS)), mean, sd })),
    beside
  };
}
var lossTerm = (t2, law) => ({
  values: t2.map((timeS) => -law.secondsAt(timeS)),
  mean: 0,
  sd: Number.POSITIVE_INFINITY
});
var after = (law, onsetS, timeS) => Math.max(0, law.secondsAt(timeS) - law.secondsAt(onsetS));
function gridsOf({ t: t2, y }, pointPa) {
  const n2 = t2.length;
  let steepest = 0;
  let change = pointPa / (t2.at(-1) ?? 1);
  let jump2 = pointPa;
  for (let i = 2; i < n2; i++) {
    const [a, b] = [(t2[i - 1] ?? 0) - (t2[i - 2] ?? 0), (t2[i] ?? 0) - (t2[i - 1] ?? 0)];
    const first = ((y[i - 1] ?? 0) - (y[i - 2] ?? 0)) / a;
    const second = ((y[i] ?? 0) - (y[i - 1] ?? 0)) / b;
    change = Math.max(change, Math.abs(second - first));
    jump2 = Math.max(jump2, Math.abs(second - first) * Math.min(a, b));
    steepest = Math.max(steepest, Math.abs(second - first) / Math.sqrt((a + b) / 2));
  }
  const endS = t2.at(-1) ?? 1;
  const leastBend = 0.3 * pointPa / (endS * Math.sqrt(endS));
  return {
    point: geometric(pointPa, Math.max(jump2, pointPa * 1.01), 1.5, 14),
    wander: [0, ...geometric(0.5 * pointPa, Math.max(jump2, pointPa) * 3, 2, 10)],
    wanderS: [endS / 60, endS / 15, endS / 4],
    bend: [0, ...geometric(leastBend, Math.max(3 * steepest, leastBend * 1.01), 3, 14)],
    onsetS: Array.from(t2).flatMap((at, i) => i === 0 ? [] : [((t2[i - 1] ?? 0) + at) / 2, at]).slice(0, -2),
    changePaPerS: change
  };
}
function geometric(from, to, ratio, most3) {
  const steps3 = Math.min(most3, Math.max(1, Math.ceil(log(to / from) / log(ratio)) + 1));
  return Array.from({ length: steps3 }, (_, i) => from * exp(i * log(ratio)));
}
var Search = class {
  #cells;
  #share;
  #fixed;
  #possible;
  #grids;
  #few;
  /** The likeliest wander, also where none is likelier. */
  #wander = null;
  constructor(cells3, share, fixed, possible, grids) {
    this.#cells = cells3;
    this.#share = share;
    this.#fixed = fixed;
    this.#possible = possible;
    this.#grids = grids;
    this.#few = possible;
  }
  /** From a start, one kind of scatter after another, to where the evidence is greatest. */
  climb(start) {
    const grids = this.#grids;
    this.#few = this.#likeliest({
      ...start,
      pointPa: grids.point[Math.floor(grids.point.length / 3)] ?? start.pointPa
    });
    let best = start;
    let height = this.#evidence(best);
    const tryAll = (tries) => {
      for (const one of tries) {
        const evidence = this.#evidence(one);
        if (evidence > height) [best, height] = [one, evidence];
        if (one.wanderPa > 0 && !(evidence <= (this.#wander?.evidence ?? Number.NEGATIVE_INFINITY)))
          this.#wander = { scatter: one, evidence };
      }
    };
    for (let round = 0; round < 3; round++) {
      const before = height;
      const from = best;
      tryAll(grids.bend.map((bend) => ({ ...from, bend })));
      const bent = best;
      tryAll(grids.point.map((pointPa) => ({ ...bent, pointPa })));
      const pointed = best;
      tryAll(grids.wanderS.flatMap((wanderS) => grids.wander.map((wanderPa) => ({ ...pointed, wanderPa, wanderS }))));
      if (round === 0) this.#few = this.#likeliest(best);
      if (height - before < 0.05) break;
    }
    return best;
  }
  /** Every account round the best scatter whose weight counts. */
  accounts(best) {
    const scatters = this.#round(best).flatMap((one) => this.#grids.bend.map((bend) => ({ ...one, bend })));
    const judged2 = scatters.map((scatter) => ({ scatter, evidence: this.#evidence(scatter) }));
    const top = Math.max(...judged2.map(({ evidence }) => evidence));
    const kept = this.#stillPossible(best);
    return judged2.filter(({ evidence }) => evidence > top - dropped).flatMap(({ scatter }) => this.#fits(scatter, kept));
  }
  /** Accounts in which the rate of loss changed once and does not drift beside. */
  withOnset(found2) {
    const { onsetS, point } = this.#grids;
    if (onsetS.length < 4) return [];
    let best = { ...found2, bend: 0 };
    let few = this.#fits(best, this.#few, onsetS);
    let height = summed(few);
    for (let round = 0; round < 2; round++) {
      const from = best;
      const onsets2 = strongest(few, 6);
      for (const pointPa of point) {
        const scatter = { ...from, pointPa };
        const height1 = summed(this.#fits(scatter, this.#few, onsets2));
        if (height1 > height - 1e-9 || scatter.pointPa === from.pointPa)
          [best, height] = [scatter, Math.max(height, height1)];
      }
      few = this.#fits(best, this.#few, onsetS);
      height = summed(few);
    }
    const onsets = strongest(few, 8);
    const kept = this.#stillPossible(best, onsets);
    return this.#round(best).flatMap((scatter) => this.#fits({ ...scatter, bend: 0 }, kept, onsets, onsetS.length));
  }
  /** A scatter and its neighbours. */
  #round(best) {
    const points2 = [best.pointPa / 1.35, best.pointPa, best.pointPa * 1.35].filter(
      (pointPa) => pointPa >= 0.999 * (this.#grids.point[0] ?? 0)
    );
    const { wanderPa: likeliest, wanderS } = this.#wander?.scatter ?? best;
    const wanders = likeliest > 0 ? [0, likeliest / 1.4, likeliest * 1.4] : [0];
    return points2.flatMap((pointPa) => wanders.map((wanderPa) => ({ ...best, pointPa, wanderPa, wanderS })));
  }
  #likeliest(scatter) {
    return this.#fits(scatter, this.#possible).sort((a, b) => b.logWeight - a.logWeight).slice(0, 6).map(({ possible }) => possible);
  }
  /** What is not out of the question with this scatter. */
  #stillPossible(scatter, onsets) {
    const fits = this.#fits(scatter, this.#possible, onsets);
    const top = Math.max(...fits.map(({ logWeight }) => logWeight));
    return [...new Set(fits.filter(({ logWeight }) => logWeight > top - dropped).map(({ possible }) => possible))];
  }
  #evidence(scatter) {
    return summed(this.#fits(scatter, this.#few));
  }
  #fits(scatter, possible, onsets = [null], ofOnsets = onsets.length) {
    const { t: t2, y } = this.#cells;
    const regression = new Regression(t2, y, this.#share, scatter);
    const withColumn = (term) => ({ term, column: regression.whitened(term.values) });
    const level2 = withColumn(this.#fixed.level);
    const beside = this.#fixed.terms.map(withColumn);
    const odds = oddsOf(scatter);
    const laws2 = new Map(
      [...new Set(possible.map(({ law }) => law))].map((law) => [law, this.#losses(law, onsets, withColumn)])
    );
    return possible.flatMap((one) => {
      const { term } = one.explanation;
      const own = term ? [withColumn({ ...term, values: term.values.map((value) => -value) })] : [];
      const { loss, changes: changes2 } = laws2.get(one.law);
      return changes2.map(({ onsetS, change }) => {
        const all = [level2, loss, ...beside, ...own, ...change];
        const fit = regression.fit(
          all.map(({ term: term2 }) => term2),
          all.map(({ column }) => column)
        );
        const changed = log(onsetS === null ? 0.9 : 0.1 / ofOnsets);
        return {
          ...one,
          possible: one,
          scatter,
          onsetS,
          regression,
          fit,
          logWeight: fit.logEvidence + log(one.prior) + odds + changed
        };
      });
    });
  }
  /** The loss by a law, and by how much more is lost from each onset on. */
  #losses(law, onsets, withColumn) {
    const { t: t2 } = this.#cells;
    const sd = this.#grids.changePaPerS;
    const changes2 = onsets.map((onsetS) => ({
      onsetS,
      change: onsetS === null ? [] : [withColumn({ values: t2.map((timeS) => -after(law, onsetS, timeS)), mean: 0, sd })]
    }));
    return { loss: withColumn(lossTerm(t2, law)), changes: changes2 };
  }
};
var dropped = 7;
function summed(accounts) {
  const greatest = Math.max(...accounts.map(({ logWeight }) => logWeight));
  return greatest + log(accounts.reduce((sum2, { logWeight }) => sum2 + exp(logWeight - greatest), 0));
}
function strongest(accounts, many) {
  const sorted = [...accounts].sort((a, b) => b.logWeight - a.logWeight);
  return [...new Set(sorted.map(({ onsetS }) => onsetS))].slice(0, many);
}
var oddsOf = ({ wanderPa, bend }) => (wanderPa > 0 ? log(0.1) : log(0.6)) + (bend > 0 ? log(0.05) : log(0.5));
function scatterU(cells3, share, { pointPa, wanderPa, wanderS }, fixed, fromS, toS) {
  const regression = new Regression(cells3.t, cells3.y, share, { pointPa, wanderPa, wanderS, bend: 0 });
  const terms = [fixed.level, lossTerm(cells3.t, steadily)];
  const fit = regression.fit(
    terms,
    terms.map(({ values }) => regression.whitened(values))
  );
  return Math.sqrt(fit.answer({ terms: Float64Array.of(0, toS - fromS), fromS, toS }).variance);
}

// src/evaluation/course/sudden-falls.ts
var beyondUps = 1.5;
var sure2 = 6;
var atRestS = 5;
var missed = 0.1;
function suddenFalls(blocks, untilS, setting) {
  const found2 = stepsBySpan(blocks, untilS, setting).map((steps3) => clearFalls(steps3, setting));
  const sum2 = (falls) => falls.reduce((all, { byPa }) => all + byPa, 0);
  return found2.reduce((most3, falls) => sum2(falls) > sum2(most3) ? falls : most3, []);
}
function clearFalls({ ups, downs }, { noisePa, stepPa: stepPa2 }) {
  const greatestUp = ups.reduce((most3, { byPa }) => Math.max(most3, byPa), 0);
  const uOf = ({ unitVariance }) => noisePa * Math.sqrt(unitVariance);
  return downs.map((step2) => ({ atS: step2.atS, byPa: -step2.byPa - Math.max(0, step2.besidePa), uPa: uOf(step2) })).filter(
    ({ atS, byPa, uPa }) => atS > atRestS && byPa > Math.max(beyondUps * greatestUp, beyondUps * stepPa2, sure2 * uPa)
  );
}
function withoutFalls(blocks, falls) {
  if (falls.length === 0) return blocks;
  const pressure2 = blocks.pressure.map((pa, i) => pa + fallen(falls, Number.NEGATIVE_INFINITY, blocks.timeS[i] ?? 0));
  return { ...blocks, pressure: pressure2 };
}
var fallen = (falls, fromS, toS) => falls.reduce((sum2, { atS, byPa }) => atS > fromS && atS <= toS ? sum2 + byPa : sum2, 0);
function withFalls(fit, falls) {
  if (falls.length === 0) return fit;
  const added = (lost, fromS, toS) => {
    const byPa = fallen(falls, fromS, toS);
    const noise = falls.reduce((sum2, { atS, uPa }) => atS > fromS && atS <= toS ? sum2 + square(uPa) : sum2, 0);
    const more = noise + square(missed * byPa);
    const moved3 = (part2) => ({
      ...part2,
      mean: part2.mean + byPa,
      variance: part2.variance + more
    });
    return { ...moved3(lost), parts: lost.parts.map(moved3) };
  };
  return {
    ...fit,
    loss: (fromS, toS) => added(fit.loss(fromS, toS), fromS, toS),
    lossAt: (timeS) => fit.lossAt(timeS) + fallen(falls, 0, timeS)
  };
}

// src/gauge/calibration/correction.ts
function correctionAt(table, indicatedPa) {
  const above = table.findIndex((one) => one.atPa >= indicatedPa);
  const upper = above === -1 ? table.at(-1) : table[above];
  const lower = above > 0 ? table[above - 1] : upper;
  if (!upper || !lower) return pressureDifferencePa(0);
  if (upper === lower || above === -1) return upper.addPa;
  const share = (indicatedPa - lower.atPa) / (upper.atPa - lower.atPa);
  return pressureDifferencePa(lower.addPa + share * (upper.addPa - lower.addPa));
}
var correctedPa = (table, indicatedPa) => table.length === 0 ? indicatedPa : pressurePa(Math.round(indicatedPa + correctionAt(table, indicatedPa)));

// src/gauge/fault.ts
var faultEffects = {
  unplugged: "void",
  replugged: "note",
  restarted: "void",
  "other-device": "void",
  silent: "void",
  "bad-line": "note",
  checksum: "note",
  "no-value": "warn",
  "over-range": "void",
  "under-range": "void",
  "unit-changed": "void",
  frozen: "void",
  jump: "warn",
  "rate-fallen": "warn",
  "time-backwards": "void",
  "zero-shift": "void",
  exception: "warn"
};
var faultAt = (timeUs, code, text, effect = faultEffects[code]) => ({ timeUs, code, text, effect });

// src/gauge/reading.ts
var readingFlags = {
  /** The gauge showed a no-value mark (dashes, NaN). */
  noValue: 1,
  overRange: 2,
  underRange: 4,
  /** The line or the device said it is holding, starting up or in a menu. */
  notLive: 8,
  /** A peak or minimum value, or another unit than the one set. */
  otherUnit: 16,
  /** The checksum did not agree; the value is null. */
  checksum: 32
};

// src/gauge/reading-columns.ts
var ReadingColumns = class {
  timeUs;
  pressurePa;
  oppositePa;
  /** Oil temperature, whole millikelvin. */
  oilMilliK;
  flags;
  /** Columns of one length. */
  constructor(timeUs, pressure2, opposite, oilMilliK, flags) {
    this.timeUs = timeUs;
    this.pressurePa = pressure2;
    this.oppositePa = opposite;
    this.oilMilliK = oilMilliK;
    this.flags = flags;
  }
  get length() {
    return this.timeUs.length;
  }
  /** The reading at an index below the length. */
  reading(index) {
    const pascals2 = this.pressurePa[index];
    const other = this.oppositePa[index];
    const milli = this.oilMilliK[index];
    return {
      timeUs: this.timeUs[index],
      pressurePa: Number.isNaN(pascals2) ? null : pressurePa(pascals2),
      oppositePa: Number.isNaN(other) ? null : pressurePa(other),
      oilK: Number.isNaN(milli) ? null : temperatureK(milli / 1e3),
      flags: this.flags[index]
    };
  }
  *[Symbol.iterator]() {
    for (let index = 0; index < this.length; index += 1) yield this.reading(index);
  }
};

// src/gauge/supervision/limits.ts
function supervisionLimits(gauge) {
  const span = gauge.rangeHighPa - gauge.rangeLowPa;
  const stableOnly = gauge.mode === "when-stable";
  return {
    silentAfterS: stableOnly ? null : gauge.silentAfterS ?? Math.max(2, 5 / (gauge.ratePerS ?? 10)),
    ratePerS: gauge.ratePerS ?? null,
    watchRate: !stableOnly,
    rangeLowPa: gauge.rangeLowPa,
    rangeHighPa: gauge.rangeHighPa,
    resolutionPa: gauge.resolutionPa,
    noisePa: gauge.noisePa ?? null,
    frozenAbovePa: Math.max(20 * gauge.resolutionPa, 0.01 * span),
    jumpPaPerS: 2 * span
  };
}

// src/gauge/supervision/bad-share.ts
var blockLength = 40;
var badShare = {
  start: () => ({ lines: 0, bad: 0, told: false }),
  step(state, input) {
    if (input.kind !== "line") return null;
    state.lines += 1;
    if (!input.accepted) state.bad += 1;
    if (state.lines < blockLength) return null;
    const { bad, told: told2 } = state;
    state.lines = 0;
    state.bad = 0;
    state.told = bad >= blockLength / 5;
    if (!state.told || told2) return null;
    const text = `${bad} of the last ${blockLength} lines could not be read: look at cable, shield and line settings`;
    return faultAt(input.timeUs, "bad-line", text, "warn");
  }
};

// src/gauge/supervision/frozen.ts
var chance = 1e-9;
var shortestRun = 20;
var shortestS = 2;
var noiseWindow = 32;
var frozen = {
  start: () => ({
    lastPa: null,
    beforeLastPa: null,
    run: 0,
    runStartUs: 0,
    meanRun: 1,
    told: false,
    squares: 0,
    count: 0,
    noisePa: null
  }),
  step(state, input, limits) {
    if (input.kind !== "reading") return null;
    const { timeUs, pressurePa: pressurePa2 } = input.reading;
    if (pressurePa2 === null || pressurePa2 < limits.frozenAbovePa) {
      beginAfresh(state);
      return null;
    }
    if (pressurePa2 !== state.lastPa) {
      moved2(state, timeUs, pressurePa2);
      return null;
    }
    state.run += 1;
    const { run, meanRun } = state;
    if (state.told || run < shortestRun) return null;
    const seconds3 = (timeUs - state.runStartUs) / 1e6;
    if (seconds3 < shortestS) return null;
    if (run < longestRun(limits.noisePa ?? state.noisePa, limits.resolutionPa) * Math.max(1, meanRun)) return null;
    state.told = true;
    const text = `the reading has stood at {pressure:${pressurePa2}} for {seconds:${seconds3.toFixed(1)}}, ${run} times to the last digit: noise alone would have moved it`;
    return faultAt(timeUs, "frozen", text);
  }
};
function beginAfresh(state) {
  state.lastPa = null;
  state.beforeLastPa = null;
  state.run = 0;
  state.runStartUs = 0;
  state.told = false;
  state.squares = 0;
  state.count = 0;
}
function moved2(state, timeUs, pressurePa2) {
  const { lastPa, beforeLastPa, run } = state;
  if (lastPa !== null && beforeLastPa !== null) {
    state.squares += (pressurePa2 - 2 * lastPa + beforeLastPa) ** 2;
    state.count += run;
    if (state.count >= noiseWindow) {
      const noise = Math.sqrt(state.squares / state.count / 6);
      state.noisePa = Math.min(noise, state.noisePa ?? noise);
      state.squares = 0;
      state.count = 0;
    }
  }
  if (run > 0 && !state.told) state.meanRun += (run - state.meanRun) / 32;
  state.lastPa = pressurePa2;
  state.beforeLastPa = lastPa;
  state.run = 1;
  state.runStartUs = timeUs;
  state.told = false;
}
function longestRun(noisePa, resolutionPa) {
  if (noisePa === null || noisePa <= 0) return Number.POSITIVE_INFINITY;
  const same = erf(resolutionPa / (2 * Math.SQRT2 * noisePa));
  if (same >= 1 - 1e-6) return Number.POSITIVE_INFINITY;
  return Math.max(shortestRun, Math.ceil(Math.log(chance) / Math.log(same)));
}
function erf(x) {
  const t2 = 1 / (1 + 0.3275911 * x);
  const polynomial = ((((1.061405429 * t2 - 1.453152027) * t2 + 1.421413741) * t2 - 0.284496736) * t2 + 0.254829592) * t2;
  return 1 - polynomial * Math.exp(-x * x);
}

// src/gauge/supervision/jump.ts
var spikeLength = 3;
var jump = {
  start: () => ({ lastUs: null, lastPa: 0, fall: null, muteUntilUs: -1 }),
  step(state, input, limits) {
    if (input.kind !== "reading" || input.reading.pressurePa === null) return null;
    const { timeUs, pressurePa: pressurePa2 } = input.reading;
    const { lastUs, lastPa, fall: fall2 } = state;
    state.lastUs = timeUs;
    state.lastPa = pressurePa2;
    if (lastUs === null) return null;
    const move = pressurePa2 - lastPa;
    const allowed = allowedMove(timeUs - lastUs, limits);
    if (fall2) return afterFall(state, fall2, timeUs, pressurePa2);
    if (Math.abs(move) <= allowed || timeUs < state.muteUntilUs) return null;
    if (move < 0) {
      state.fall = { fromPa: lastPa, atUs: timeUs, toPa: pressurePa2, age: 0 };
      return null;
    }
    state.muteUntilUs = timeUs + 5e5;
    const seconds3 = (timeUs - lastUs) / 1e6;
    const text = `the reading rose by {difference:${move}} within {seconds:${seconds3}}: faster than oil can move`;
    return faultAt(timeUs, "jump", text);
  }
};
function afterFall(state, fall2, timeUs, pressurePa2) {
  const back = pressurePa2 > fall2.fromPa - 0.2 * (fall2.fromPa - fall2.toPa);
  fall2.age += 1;
  if (back || fall2.age >= spikeLength) state.fall = null;
  if (!back) return null;
  state.muteUntilUs = timeUs;
  const text = `the reading fell to {pressure:${fall2.toPa}} and was back at once: a spike, faster than oil can move`;
  return faultAt(fall2.atUs, "jump", text);
}
var allowedMove = (intervalUs, limits) => Math.max(limits.jumpPaPerS * intervalUs / 1e6, 0.02 * (limits.rangeHighPa - limits.rangeLowPa));

// src/gauge/supervision/range.ts
var vacuumPa = -11e4;
var range2 = {
  start: () => ({ outside: null }),
  step(state, input, limits) {
    if (input.kind !== "reading" || input.reading.pressurePa === null) return null;
    const { timeUs, pressurePa: pressurePa2 } = input.reading;
    const margin = 0.01 * (limits.rangeHighPa - limits.rangeLowPa);
    const outside = judge(pressurePa2, limits.rangeLowPa - margin, limits.rangeHighPa);
    if (outside === state.outside) return null;
    state.outside = outside;
    if (outside === null) return null;
    const shown = `{pressure:${pressurePa2}}`;
    if (outside === "over") {
      const text2 = `${shown} is at or above the end of the gauge's range, {pressure:${limits.rangeHighPa}}`;
      return faultAt(timeUs, "over-range", text2);
    }
    if (outside === "under") {
      const text2 = `${shown} is below the start of the gauge's range, {pressure:${limits.rangeLowPa}}`;
      return faultAt(timeUs, "under-range", text2);
    }
    const text = `${shown} is lower than a vacuum can be: the gauge's zero is wrong`;
    return faultAt(timeUs, "zero-shift", text);
  }
};
function judge(pressurePa2, lowest, highest2) {
  if (pressurePa2 >= highest2) return "over";
  if (pressurePa2 < vacuumPa && lowest > -3e7) return "below-vacuum";
  return pressurePa2 < lowest ? "under" : null;
}

// src/gauge/supervision/rate.ts
var shortestBlock = 16;
var shortestBlockS = 2;
var fallenShare = 0.6;
var recoveredShare = 0.8;
var rate = {
  start: () => ({ lastUs: null, intervals: 0, sumUs: 0, expectedPerS: null, openingOver: false, fallen: false }),
  step(state, input, limits) {
    if (input.kind !== "reading" || !limits.watchRate) return null;
    const { timeUs } = input.reading;
    const { lastUs, fallen: fallen3 } = state;
    state.lastUs = lastUs === null ? timeUs : Math.max(timeUs, lastUs);
    if (lastUs === null) return null;
    const intervalUs = timeUs - lastUs;
    const tooLong = limits.silentAfterS !== null && intervalUs > limits.silentAfterS * 1e6;
    if (intervalUs <= 0 || tooLong) return null;
    state.intervals += 1;
    state.sumUs += intervalUs;
    if (state.intervals < shortestBlock || state.sumUs < shortestBlockS * 1e6) return null;
    const perS = state.intervals * 1e6 / state.sumUs;
    const { openingOver } = state;
    state.intervals = 0;
    state.sumUs = 0;
    state.openingOver = true;
    if (!openingOver) return null;
    const expectedPerS = limits.ratePerS ?? state.expectedPerS ?? perS;
    state.expectedPerS = expectedPerS;
    state.fallen = perS < expectedPerS * (fallen3 ? recoveredShare : fallenShare);
    if (!state.fallen || fallen3) return null;
    const text = `readings come at ${perS.toFixed(1)} a second, ${expectedPerS.toFixed(1)} are expected`;
    return faultAt(timeUs, "rate-fallen", text);
  }
};

// src/gauge/supervision/restart.ts
var shortestPauseUs = 5e5;
var intervals = 5;
var restart = {
  start: () => ({ lastUs: null, intervalUs: 0, heardUs: null, paused: false, strange: false, unplugged: false }),
  step(state, input, limits) {
    if (input.kind === "fault") state.unplugged ||= input.fault.code === "unplugged";
    if (input.kind !== "line" && input.kind !== "reading") return null;
    const timeUs = input.kind === "line" ? input.timeUs : input.reading.timeUs;
    const quietUs = timeUs - (state.heardUs ?? timeUs);
    state.heardUs = timeUs;
    state.paused ||= quietUs > Math.max(shortestPauseUs, intervals * state.intervalUs);
    if (input.kind === "line") {
      state.strange ||= !input.accepted && input.late !== true;
      return null;
    }
    const { lastUs, strange, paused, unplugged } = state;
    const gapUs2 = lastUs === null ? 0 : timeUs - lastUs;
    const isSilence = limits.silentAfterS !== null && gapUs2 > limits.silentAfterS * 1e6;
    Object.assign(state, { lastUs: timeUs, paused: false, strange: false, unplugged: false });
    if (!strange && !isSilence && gapUs2 > 0) state.intervalUs = gapUs2;
    if (lastUs === null || unplugged || !(paused && strange) && !isSilence) return null;
    const after2 = `after {seconds:${(gapUs2 / 1e6).toFixed(1)}}`;
    if (!strange)
      return faultAt(
        timeUs,
        "restarted",
        `readings are back ${after2}: if the gauge was restarted, its zero may have moved`,
        "warn"
      );
    return faultAt(timeUs, "restarted", `the gauge has started again ${after2}: its zero may have moved`);
  }
};

// src/gauge/supervision/silence.ts
var silence = {
  start: () => ({ lastUs: null, told: false }),
  step(state, input, limits) {
    if (input.kind !== "reading" && input.kind !== "tick") return null;
    const isReading = input.kind === "reading";
    const nowUs = isReading ? input.reading.timeUs : input.timeUs;
    const sinceUs = nowUs - (state.lastUs ?? 0);
    const tooLong = limits.silentAfterS !== null && sinceUs > limits.silentAfterS * 1e6;
    const waitingForFirst = state.lastUs === null && isReading;
    const tell2 = tooLong && !state.told && !waitingForFirst;
    state.told = !isReading && (state.told || tooLong);
    if (isReading) state.lastUs = nowUs;
    return tell2 ? faultAt(nowUs, "silent", `no reading for {seconds:${(sinceUs / 1e6).toFixed(1)}}`) : null;
  }
};

// src/gauge/supervision/supervise.ts
var supervisionStart = () => ({
  silence: silence.start(),
  restart: restart.start(),
  rate: rate.start(),
  range: range2.start(),
  jump: jump.start(),
  frozen: frozen.start(),
  badShare: badShare.start()
});
function supervise(state, input, limits) {
  switch (input.kind) {
    case "fault":
      restart.step(state.restart, input, limits);
      return nothing;
    case "line":
      restart.step(state.restart, input, limits);
      return told(badShare.step(state.badShare, input, limits));
    case "tick":
      return told(silence.step(state.silence, input, limits));
    default: {
      const silent2 = silence.step(state.silence, input, limits);
      const again = restart.step(state.restart, input, limits);
      const slow2 = rate.step(state.rate, input, limits);
      const outside = range2.step(state.range, input, limits);
      const moved3 = jump.step(state.jump, input, limits);
      const still2 = frozen.step(state.frozen, input, limits);
      if (!(silent2 || again || slow2 || outside || moved3 || still2)) return nothing;
      return [silent2, again, slow2, outside, moved3, still2].filter((fault) => fault !== null);
    }
  }
}
var told = (fault) => fault === null ? nothing : [fault];
var nothing = [];

// src/evaluation/level.ts
function levelPa2({ corrections }, shownPa) {
  if (corrections === void 0 || corrections.length === 0) return shownPa;
  return shownPa + correctionAt(corrections, pressurePa(shownPa));
}

// src/evaluation/shape/series.ts
function lineThrough(series) {
  const { t: t2, y, weight } = series;
  let [total, meanT, meanY] = [0, 0, 0];
  for (let i = 0; i < t2.length; i++) {
    total += weight[i] ?? 0;
    meanT += (weight[i] ?? 0) * (t2[i] ?? 0);
    meanY += (weight[i] ?? 0) * (y[i] ?? 0);
  }
  meanT /= total;
  meanY /= total;
  let [stt, sty] = [0, 0];
  for (let i = 0; i < t2.length; i++) {
    const w = (weight[i] ?? 0) * ((t2[i] ?? 0) - meanT);
    stt += w * ((t2[i] ?? 0) - meanT);
    sty += w * ((y[i] ?? 0) - meanY);
  }
  return { meanT, meanY, stt, slope: stt > 0 ? sty / stt : 0 };
}
function aboveLine(series, line2) {
  return series.y.map((y, i) => y - line2.meanY - line2.slope * ((series.t[i] ?? 0) - line2.meanT));
}
function gathered(series, cells3) {
  const { t: t2, y, weight } = series;
  if (t2.length <= cells3) return series;
  const each = Math.ceil(t2.length / cells3);
  const length2 = Math.ceil(t2.length / each);
  const out2 = { t: new Float64Array(length2), y: new Float64Array(length2), weight: new Float64Array(length2) };
  for (let cell = 0; cell < length2; cell++) {
    let [w, wt, wy] = [0, 0, 0];
    for (let i = cell * each; i < Math.min(t2.length, (cell + 1) * each); i++) {
      w += weight[i] ?? 0;
      wt += (weight[i] ?? 0) * (t2[i] ?? 0);
      wy += (weight[i] ?? 0) * (y[i] ?? 0);
    }
    out2.weight[cell] = w;
    out2.t[cell] = wt / w;
    out2.y[cell] = wy / w;
  }
  return out2;
}

// src/evaluation/statistics/local-line.ts
function localLine(x, y, weight, width2) {
  const lineAt2 = (at) => {
    for (let reach2 = width2; ; reach2 *= 2) {
      let [n2, sum2, sumX, sumY] = [0, 0, 0, 0];
      const share = (i) => (weight[i] ?? 0) * Math.max(0, 1 - Math.abs((x[i] ?? 0) - at) / reach2);
      for (let i = 0; i < x.length; i++) {
        const w = share(i);
        if (!(w > 0)) continue;
        n2++;
        sum2 += w;
        sumX += w * (x[i] ?? 0);
        sumY += w * (y[i] ?? 0);
      }
      if (n2 < Math.min(3, x.length)) continue;
      const [meanX, meanY] = [sumX / sum2, sumY / sum2];
      let [xx, xy] = [0, 0];
      for (let i = 0; i < x.length; i++) {
        const w = share(i) * ((x[i] ?? 0) - meanX);
        xx += w * ((x[i] ?? 0) - meanX);
        xy += w * ((y[i] ?? 0) - meanY);
      }
      const rate2 = xx > 0 ? xy / xx : 0;
      return { value: meanY + rate2 * (at - meanX), rate: rate2 };
    }
  };
  return { value: (at) => lineAt2(at).value, rate: (at) => lineAt2(at).rate };
}

// src/evaluation/uncertainty/gauge-part.ts
var rectangularU = (halfWidth) => halfWidth / Math.sqrt(3);
var resolutionU = (resolution) => resolution / Math.sqrt(12);
var dropResolutionU = (resolution) => Math.SQRT2 * resolutionU(resolution);
var stabilityShare2 = 0.1;
function levelBudget(gauge) {
  const halfWidth = gauge.accuracyOfSpan * (gauge.rangeHighPa - gauge.rangeLowPa);
  const lines = [
    {
      of: "level",
      name: "accuracy class",
      u: rectangularU(halfWidth),
      degreesOfFreedom: null,
      distribution: "rectangular",
      basis: `limit of error \xB1{difference:${halfWidth}} anywhere in the range (GUM 4.3.7)`
    },
    {
      of: "level",
      name: "resolution",
      u: resolutionU(gauge.resolutionPa),
      degreesOfFreedom: null,
      distribution: "rectangular",
      basis: `steps of {difference:${gauge.resolutionPa}} (GUM F.2.2.1)`
    }
  ];
  const calibrationU = gauge.calibration?.expandedUPa;
  if (calibrationU !== void 0)
    lines.push({
      of: "level",
      name: "calibration",
      u: calibrationU / 2,
      degreesOfFreedom: null,
      distribution: "normal",
      basis: `certificate ${gauge.calibration?.certificate ?? ""}: \xB1{difference:${calibrationU}} at k = 2`
    });
  return lines;
}
function levelUncertainty(gauge) {
  return pressureDifferencePa(2 * Math.sqrt(levelBudget(gauge).reduce((sum2, line2) => sum2 + square(line2.u), 0)));
}
function stabilityLine(gauge) {
  const stated = gauge.stabilityPa;
  const halfWidth = stated ?? stabilityShare2 * gauge.accuracyOfSpan * (gauge.rangeHighPa - gauge.rangeLowPa);
  return {
    of: "drop",
    name: "gauge stability",
    u: rectangularU(halfWidth),
    degreesOfFreedom: null,
    distribution: "rectangular",
    basis: stated === void 0 ? `not stated for this gauge: a tenth of its accuracy class, \xB1{difference:${halfWidth}} (common practice, no source)` : `\xB1{difference:${halfWidth}} over a dwell, stated for this gauge`
  };
}

// src/evaluation/temperature.ts
var lagsTried = [0, 5, 10, 15, 20, 30, 40, 50, 60, 80, 100, 120];
var usualLagS = 60;
var probeStabilityK = 0.01;
var typedHalfWidthK = 0.1;
var coarseK = 0.02;
function probeCourse(cells3, trapped, { endS, stepK }, odds) {
  const known = Array.from(cells3.t.keys()).filter((i) => !Number.isNaN(cells3.oil[i] ?? Number.NaN));
  const t2 = Float64Array.from(known, (i) => cells3.t[i] ?? 0);
  const oil = Float64Array.from(known, (i) => cells3.oil[i] ?? 0);
  if (known.length < 3 || (t2.at(-1) ?? 0) - (t2[0] ?? 0) < endS / 2) return null;
  const weight = Float64Array.from(known, (i) => cells3.count[i] ?? 0);
  const spacingS = endS / Math.max(1, cells3.t.length);
  const curve = localLine(t2, oil, weight, spacingS * (stepK > coarseK ? 6 : 2.5));
  const lags = lagsTried.filter((lag) => lag === 0 || lag <= endS / 3);
  const shares = lags.map((lagS, i) => exp(-lagS / usualLagS) * gapRound(lags, i));
  const total = shares.reduce((sum2, one) => sum2 + one, 0);
  const explanations = lags.map((lagS, i) => {
    const fallK = (timeS) => -(curve.value(timeS) + lagS * curve.rate(timeS));
    const startK = fallK(0);
    return {
      name: "oil temperature",
      prior: odds * (shares[i] ?? 0) / total,
      term: {
        values: cells3.t.map((timeS) => fallK(timeS) - startK),
        mean: trapped.thermalPaPerK,
        sd: Math.max(trapped.thermalUPaPerK, 1e-6 * trapped.thermalPaPerK)
      },
      lagS,
      at: (timeS) => fallK(timeS) - startK
    };
  });
  const squares = known.reduce((sum2, _, i) => sum2 + square((oil[i] ?? 0) - curve.value(t2[i] ?? 0)), 0);
  return { explanations, at: (timeS) => curve.value(timeS), scatterK: Math.sqrt(squares / known.length) };
}
function typedCourse(typed, cells3, trapped, endS) {
  const times2 = typed.map((one) => one.timeS);
  const span = Math.max(...times2) - Math.min(...times2);
  if (typed.length < 2 || !(span >= endS / 2)) return null;
  const { slope, stt } = lineThrough({
    t: Float64Array.from(times2),
    y: Float64Array.from(typed, (one) => one.oilK),
    weight: new Float64Array(typed.length).fill(1)
  });
  const term = {
    values: cells3.t.map((timeS) => -slope * timeS),
    mean: trapped.thermalPaPerK,
    sd: Math.max(trapped.thermalUPaPerK, 1e-6 * trapped.thermalPaPerK)
  };
  return {
    explanation: { name: "oil temperature", prior: 1, term, lagS: 0, at: (timeS) => -slope * timeS },
    fallKPerS: -slope,
    fallUKPerS: rectangularU(typedHalfWidthK) / Math.sqrt(stt)
  };
}
var gapRound = (lags, i) => lags.length === 1 ? 1 : ((lags[i + 1] ?? lags[i] ?? 0) - (lags[i - 1] ?? lags[i] ?? 0)) / 2;
function probeStepU(stepK, fallK) {
  const steps3 = stepK > 0 ? Math.abs(fallK) / stepK : 0;
  return stepK / Math.sqrt(6) / Math.sqrt(1 + square(steps3) / 4);
}

// src/evaluation/statistics/student-t.ts
function studentTQuantile(probability, degreesOfFreedom) {
  if (!(probability > 0 && probability < 1)) throw new Error(`probability ${probability} is not between 0 and 1`);
  if (!(degreesOfFreedom > 0)) throw new Error(`degrees of freedom ${degreesOfFreedom} must be positive`);
  if (probability === 0.5) return 0;
  if (probability < 0.5) return -studentTQuantile(1 - probability, degreesOfFreedom);
  const dof = Math.min(degreesOfFreedom, 1e8);
  let low = 0;
  let high = 2;
  while (studentTProbability(high, dof) < probability) {
    low = high;
    high *= 2;
  }
  for (let step2 = 0; step2 < 200 && high - low > 1e-13 * high; step2++) {
    const middle2 = (low + high) / 2;
    if (studentTProbability(middle2, dof) < probability) low = middle2;
    else high = middle2;
  }
  return (low + high) / 2;
}
function studentTProbability(t2, degreesOfFreedom) {
  const tail = incompleteBeta(degreesOfFreedom / (degreesOfFreedom + t2 * t2), degreesOfFreedom / 2, 0.5) / 2;
  return t2 > 0 ? 1 - tail : tail;
}
function incompleteBeta(x, a, b) {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  const front = exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * log(x) + b * log1p(-x));
  if (x > (a + 1) / (a + b + 2)) return 1 - front * betaFraction(1 - x, b, a) / b;
  return front * betaFraction(x, a, b) / a;
}
function betaFraction(x, a, b) {
  const tiny = 1e-300;
  const away = (value) => Math.abs(value) < tiny ? tiny : value;
  let c = 1;
  let d = 1 / away(1 - (a + b) * x / (a + 1));
  let fraction = d;
  for (let m = 1; m <= 1e5; m++) {
    const even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / away(1 + even * d);
    c = away(1 + even / c);
    fraction *= d * c;
    const odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / away(1 + odd * d);
    c = away(1 + odd / c);
    fraction *= d * c;
    if (Math.abs(d * c - 1) < 1e-15) break;
  }
  return fraction;
}
function logGamma(z10) {
  let shift = 0;
  let x = z10;
  while (x < 10) {
    shift += log(x);
    x += 1;
  }
  const r = 1 / (x * x);
  const series = (1 / 12 - r * (1 / 360 - r * (1 / 1260 - r * (1 / 1680 - r * (1 / 1188 - r * (691 / 360360)))))) / x;
  return (x - 0.5) * log(x) - x + 0.5 * log(2 * Math.PI) + series - shift;
}

// src/evaluation/uncertainty/combine.ts
var coverage2 = 0.95;
function expand(contributions) {
  const u = Math.sqrt(contributions.reduce((sum2, part2) => sum2 + square(part2.u), 0));
  let share = 0;
  for (const { u: part2, degreesOfFreedom: degreesOfFreedom2 } of contributions)
    if (degreesOfFreedom2 !== null && part2 > 0) share += square(square(part2 / u)) / degreesOfFreedom2;
  const degreesOfFreedom = share > 0 ? 1 / share : Number.POSITIVE_INFINITY;
  const coverageFactor = factorFor(degreesOfFreedom);
  return { u, degreesOfFreedom, coverageFactor, expandedU: coverageFactor * u };
}
var factorFor = (degreesOfFreedom) => studentTQuantile((1 + coverage2) / 2, degreesOfFreedom);

// src/evaluation/uncertainty/coverage.ts
var coverage3 = 0.95;
function expandedOf(parts3, bound) {
  const centre = parts3.reduce((sum2, { weight, mean }) => sum2 + weight * mean, 0);
  const inside = (half) => {
    let sum2 = 0;
    for (const { weight, mean, variance: variance2 } of parts3) {
      const sd = Math.sqrt(variance2);
      sum2 += weight * (below(centre - mean + half, sd, bound) - below(centre - mean - half, sd, bound));
    }
    return sum2;
  };
  let high = bound;
  for (const { mean, variance: variance2 } of parts3)
    high = Math.max(high, bound + Math.abs(mean - centre) + 4 * Math.sqrt(variance2));
  if (!(high > 0)) return high;
  let low = { at: 0, beyond: -coverage3 };
  let up = { at: high, beyond: inside(high) - coverage3 };
  let stays = null;
  for (let step2 = 0; step2 < 100 && up.beyond > 0; step2++) {
    const at = up.at - (up.at - low.at) * up.beyond / (up.beyond - low.beyond);
    const beyond = inside(at) - coverage3;
    if (Math.abs(beyond) < 1e-11) return at;
    if (beyond < 0) {
      if (stays === "up") up = { ...up, beyond: up.beyond / 2 };
      [low, stays] = [{ at, beyond }, "up"];
    } else {
      if (stays === "low") low = { ...low, beyond: low.beyond / 2 };
      [up, stays] = [{ at, beyond }, "low"];
    }
  }
  return up.at;
}
function below(x, sd, bound) {
  if (!(sd > 0)) {
    if (!(bound > 0)) return x >= 0 ? 1 : 0;
    return Math.min(1, Math.max(0, (x + bound) / (2 * bound)));
  }
  if (bound < 1e-3 * sd) return normalProbability(x / sd);
  const [a, b] = [(x + bound) / sd, (x - bound) / sd];
  const integral = (z10) => z10 * normalProbability(z10) + normalDensity(z10);
  return Math.min(1, Math.max(0, (integral(a) - integral(b)) * sd / (2 * bound)));
}
function standardOf(parts3, bound) {
  const centre = parts3.reduce((sum2, { weight, mean }) => sum2 + weight * mean, 0);
  const spread = parts3.reduce(
    (sum2, { weight, mean, variance: variance2 }) => sum2 + weight * (variance2 + square(mean - centre)),
    square(bound) / 3
  );
  return Math.sqrt(spread);
}

// src/evaluation/uncertainty/resolution-part.ts
function averagedResolutionU(resolutionPa, noisePa, fallPa) {
  if (!(resolutionPa > 0)) return 0;
  const steps3 = Math.max(0.5, Math.abs(fallPa) / resolutionPa);
  let squares = 0;
  roundingHarmonics(resolutionPa, noisePa).forEach((amplitude, i) => {
    for (const off of stepsUnsure) {
      const turns = (i + 1) * (steps3 + off);
      const k = 2 * Math.PI * turns;
      const passed = 12 * (2 * sinOfTurns(turns / 2) / square(k) - cosOfTurns(turns / 2) / k);
      squares += square(amplitude * passed) / 2 / stepsUnsure.length;
    }
  });
  return Math.min(dropResolutionU(resolutionPa), Math.sqrt(squares));
}
var stepsUnsure = [-0.15, 0, 0.15];
function roundingHarmonics(resolutionPa, noisePa) {
  const noise = Math.sqrt(Math.max(0, square(noisePa) - square(resolutionPa) / 12)) / resolutionPa;
  return Array.from({ length: 12 }, (_, i) => {
    const m = i + 1;
    return resolutionPa / (Math.PI * m) * exp(-2 * square(Math.PI * m * noise));
  });
}
function undithered(resolutionPa, noisePa) {
  if (!(resolutionPa > 0)) return 0;
  const noise = Math.sqrt(Math.max(0, square(noisePa) - square(resolutionPa) / 12)) / resolutionPa;
  return exp(-2 * square(Math.PI * noise));
}
function resolutionLine(resolutionPa, noisePa, fallPa) {
  return {
    of: "drop",
    name: "resolution",
    u: averagedResolutionU(resolutionPa, noisePa, fallPa),
    degreesOfFreedom: null,
    distribution: "rectangular",
    basis: `steps of {difference:${resolutionPa}} against noise of {difference:${noisePa}} (GUM F.2.2.1; averaging by Widrow 1956)`
  };
}

// src/evaluation/estimate.ts
var leastFed = 0.08;
var cellsUsed = 40;
var probeOdds = 0.98;
var usualHeat = { kelvinPerPa: 127e-9, leastS: 57, greatestS: 4600, outerS: 8e3 };
function estimateDecay(state, context, span) {
  const { blocks } = state;
  const { dwellS, holdS } = span;
  if (blocks.total.n < 3 || !(blocks.total.stt > 0) || !(dwellS > 0)) return null;
  const cells3 = cellsOf(blocks, 0, holdS, cellsUsed);
  if (cells3.t.length < 3) return null;
  const { resolutionPa } = context.gauge;
  const shownStepPa = resolutionPa * undithered(resolutionPa, state.noisePa);
  const falls = suddenFalls(blocks, holdS, { noisePa: state.noisePa, stepPa: shownStepPa });
  const fitted2 = falls.length === 0 ? cells3 : cellsOf(withoutFalls(blocks, falls), 0, holdS, cellsUsed);
  const { stage, gauge, port } = context;
  const leak = stage.judge !== "plain drop";
  const before = context.rises ?? [];
  const rises = before.length > 0 ? [...before, ...fallsIn(cells3)] : [];
  const heat = port.heat ?? usualHeat;
  const setting = { ...heat, share: heat.kelvinPerPa * port.trapped.thermalPaPerK };
  const probe = probeCourse(
    cells3,
    port.trapped,
    { endS: holdS, stepK: state.oilStepK },
    rises.length > 0 ? probeOdds : 1
  );
  const typed = probe ? null : typedCourse(state.typed, cells3, port.trapped, holdS);
  const byHeat = (odds) => leak && rises.length > 0 ? heatExplanations(cells3, rises, setting, odds) : [];
  const explanations = probe ? [...probe.explanations, ...byHeat(1 - probeOdds)] : typed ? [typed.explanation] : byHeat(1).length > 0 ? byHeat(1) : [nothingKnown];
  const besides2 = leak && rises.length > 0 ? [creep(stage.targetPa), closing(stage.targetPa), ...typed ? [] : [outerHeat(rises, setting, probe !== null)]] : [];
  const fallen3 = Math.abs((fitted2.y[0] ?? 0) - (fitted2.y.at(-1) ?? 0));
  const courseSetting = {
    pointPa: pointScatter(state, fitted2, gauge.resolutionPa, {
      missedPa: probe ? probeMisfit * Math.min(fallen3, Math.abs(probe.at(0) - probe.at(holdS)) * port.trapped.thermalPaPerK) : besides2.length > 0 ? misfit * Math.min(fallen3, setting.share * rises.reduce((sum2, { byPa }) => sum2 + Math.max(0, byPa), 0)) : 0,
      probePa: (probe?.scatterK ?? 0) * port.trapped.thermalPaPerK
    }),
    beside: besides2,
    laws: leakLaws(fitted2, blocks.referencePa),
    gainPa: leak && rises.length > 0 ? rectangularU(warmingOf(context)) * (holdS / dwellOf(context)) : Number.POSITIVE_INFINITY
  };
  const fit = withFalls(fitCourse(fitted2, { ...courseSetting, explanations }), falls);
  const known = { context, state, fit, probe, typed };
  const governing = governingLimit2(stage.allowed, levelAtStart(state, context), stage.dwellS, port.trapped);
  const judged2 = worstStretch(known, stretch(known, 0, dwellS), stage.dwellS, holdS);
  const thermal2 = thermalPart2(known, judged2.fromS, judged2.toS);
  const explained = cells3.t.map(fit.explainedAt);
  const measured = (probe !== null || typed !== null) && fit.weightOf("oil temperature") >= 0.5;
  const [startPa2, endPa] = endLevels(state, context, judged2.fromS, judged2.toS);
  const rates = fifths(fit, holdS);
  return {
    judged: judged2,
    startPa: startPa2,
    endPa,
    shutInPa: levelAtStart(state, context),
    plainDropPa: startPa2 - endPa,
    thermal: thermal2,
    settlingPa: leak && rises.length > 0 ? settlingPart(fit, judged2.fromS, judged2.toS) : null,
    unaccountedPa: startPa2 - endPa - fit.explained(judged2.fromS, judged2.toS) - judged2.dropPa - 2 * endLevelsU(state, context, holdS),
    scatterUPa: fit.scatterU(judged2.fromS, judged2.toS),
    fed: fedBy(blocks, holdS, measured ? interpolated(cells3.t, explained) : () => 0, {
      leastPa: leastFed * (governing?.allowedDropPa ?? 0),
      warmingPaPerS: warmingOf(context) / dwellOf(context),
      wanderPa: fit.best.scatter.wanderPa,
      noisePa: state.noisePa,
      stepPa: shownStepPa + (measured ? 0.1 * Math.abs(thermal2?.dropPa ?? 0) : 0)
    }),
    speedUpPaPerS: speedUp(rates, (governing?.allowedDropPa ?? Number.POSITIVE_INFINITY) / stage.dwellS),
    lastRate: lastOf(rates),
    withoutProbe: probe && Math.abs(thermal2?.dropPa ?? 0) > (governing?.allowedDropPa ?? Number.POSITIVE_INFINITY) && byHeat(1).length > 0 ? withoutProbe(
      known,
      withFalls(fitCourse(fitted2, { ...courseSetting, explanations: byHeat(1) }), falls),
      judged2
    ) : null,
    probeDoubt: probe ? 1 - fit.weightOf("oil temperature") : 0,
    fit,
    falls,
    cells: cells3,
    series: { t: cells3.t, y: cells3.y.map((y, i) => y + (explained[i] ?? 0)), weight: cells3.count },
    holdS
  };
}
var fallsIn = ({ t: t2, y }) => Array.from(t2.subarray(1), (at, i) => ({ timeS: ((t2[i] ?? 0) + at) / 2, byPa: (y[i + 1] ?? 0) - (y[i] ?? 0) }));
function withoutProbe(known, fit, { fromS, toS }) {
  const { dropPa, expandedU } = stretch({ ...known, fit, probe: null, typed: null }, fromS, toS);
  return { dropPa, expandedU };
}
var dwellOf = ({ stage, boundBy: boundBy2 }) => boundBy2 === "program" ? 300 : stage.dwellS;
var warmingOf = ({ unmeasuredTemperatureK, port }) => unmeasuredTemperatureK * port.trapped.thermalPaPerK;
var misfit = 4e-3;
var probeMisfit = 0.015;
function pointScatter(state, cells3, resolutionPa, { missedPa, probePa }) {
  const readings = cells3.count.reduce((sum2, n2) => sum2 + n2, 0) / cells3.count.length;
  const rounding2 = resolutionPa * undithered(resolutionPa, state.noisePa) / Math.sqrt(12);
  const noise = Math.sqrt(square(state.noisePa) / readings + square(rounding2) + square(missedPa) + square(probePa));
  return Math.max(noise, 1e-3 * resolutionPa, 1);
}
function stretch(known, fromS, toS) {
  const { context, state, fit } = known;
  const { gauge } = context;
  const loss = fit.loss(fromS, toS);
  const scatterU2 = fit.scatterU(fromS, toS);
  const lines = [
    {
      of: "drop",
      name: "scatter of the readings",
      u: Math.min(scatterU2, Math.sqrt(loss.variance)),
      degreesOfFreedom: state.used - 2,
      distribution: "normal",
      basis: `generalised least squares over ${state.used} readings`
    },
    {
      of: "drop",
      name: "separation from heat, creep and wander",
      u: Math.sqrt(Math.max(0, loss.variance - square(scatterU2))),
      degreesOfFreedom: state.used - 2,
      distribution: "normal",
      basis: separationBasis(fit)
    },
    ...context.stage.judge === "plain drop" ? [] : [expansionLine(loss.mean)],
    resolutionLine(gauge.resolutionPa, state.noisePa, loss.mean + fit.explained(fromS, toS)),
    stabilityLine(gauge),
    ...temperatureLines(known, fromS, toS)
  ];
  return { fromS, toS, dropPa: loss.mean, budget: lines, ...expanded(loss, lines) };
}
var expansionU = 0.03;
var expansionLine = (lossPa) => ({
  of: "drop",
  name: "expansion of the oil",
  u: expansionU * Math.abs(lossPa),
  degreesOfFreedom: null,
  distribution: "normal",
  basis: `${expansionU * 100} % of the loss: oil that is lost cools what stays, and that warms again`
});
function separationBasis(fit) {
  const { explanation, scatter } = fit.best;
  const law = explanation.name === "heat of compression" ? "heat of compression with every law and time that fits the course, weighed by its evidence" : "a steady loss and a rate that drifts, weighed by their evidence";
  const wander = scatter.wanderPa > 0 ? `; the readings wander by {difference:${scatter.wanderPa}}` : "";
  return `${law} (Hoeting et al. 1999)${wander}`;
}
function expanded(loss, lines) {
  const beside = lines.slice(2);
  const bounds = beside.filter(({ distribution }) => distribution === "rectangular").sort((a, b) => b.u - a.u);
  const bound = (bounds[0]?.u ?? 0) * Math.sqrt(3);
  const added = beside.reduce((sum2, line2) => sum2 + (line2 === bounds[0] ? 0 : square(line2.u)), 0);
  const parts3 = loss.parts.map((part2) => ({ ...part2, variance: part2.variance + added }));
  const u = standardOf(parts3, bound);
  const scatter = { u: Math.sqrt(loss.variance), degreesOfFreedom: lines[0]?.degreesOfFreedom ?? null };
  const { degreesOfFreedom, coverageFactor: t2 } = expand([scatter, ...beside]);
  const expandedU = expandedOf(parts3, bound) * t2 / normalFactor;
  return { u, expandedU, coverageFactor: u > 0 ? expandedU / u : t2, degreesOfFreedom };
}
var normalFactor = 1.959964;
function temperatureLines({ context, state, fit, probe, typed }, fromS, toS) {
  const { thermalPaPerK } = context.port.trapped;
  const line2 = (name, u, basis) => ({
    of: "drop",
    name,
    u,
    degreesOfFreedom: null,
    distribution: "rectangular",
    basis
  });
  if (probe) {
    const fallK = probe.at(fromS) - probe.at(toS);
    return [
      line2(
        "probe stability",
        thermalPaPerK * rectangularU(probeStabilityK),
        `\xB1{kelvin:${probeStabilityK}} over a dwell (common practice, no source)`
      ),
      line2(
        "probe resolution",
        thermalPaPerK * probeStepU(state.oilStepK, fallK),
        `steps of {kelvin:${state.oilStepK}} (GUM F.2.2.1)`
      ),
      ...fit.weightOf("oil temperature") < 0.5 ? [unmeasuredLine(context, toS - fromS)] : []
    ];
  }
  if (typed)
    return [
      line2(
        "typed temperature",
        thermalPaPerK * typed.fallUKPerS * (toS - fromS),
        `each read within \xB1{kelvin:${typedHalfWidthK}} (common practice, no source)`
      )
    ];
  return [unmeasuredLine(context, toS - fromS)];
}
var authors = {
  program: "taken by the program (common practice, no source)",
  procedure: "as the procedure states",
  job: "as the job states"
};
function unmeasuredLine(context, overS) {
  const share = overS / dwellOf(context);
  const halfWidthK = context.unmeasuredTemperatureK * share;
  return {
    of: "drop",
    name: "temperature not measured",
    u: rectangularU(warmingOf(context) * share),
    degreesOfFreedom: null,
    distribution: "rectangular",
    basis: `the oil may have drifted by \xB1{kelvin:${halfWidthK}}, ${authors[context.boundBy ?? "program"]}`
  };
}
function thermalPart2({ fit, probe, typed }, fromS, toS) {
  const dropPa = fit.explained(fromS, toS) - fit.creep(fromS, toS);
  if (typed) return { source: "typed", dropPa, coolingK: typed.fallKPerS * (toS - fromS), lagS: 0 };
  if (!probe || fit.weightOf("oil temperature") < 0.5) return null;
  return { source: "logged", dropPa, coolingK: probe.at(fromS) - probe.at(toS), lagS: fit.lagS };
}
var settlingPart = (fit, fromS, toS) => fit.weightOf("oil temperature") >= 0.5 ? fit.creep(fromS, toS) : fit.explained(fromS, toS);
function worstStretch(known, whole, demandedS, holdS) {
  if (holdS <= demandedS * 1.01) return whole;
  const share = Math.min(1, demandedS / whole.toS);
  const tries = 12;
  let worst2 = null;
  for (let i = 0; i <= tries; i++) {
    const fromS = (holdS - demandedS) * i / tries;
    const { mean } = known.fit.loss(fromS, fromS + demandedS);
    if (worst2 === null || mean > worst2.mean) worst2 = { fromS, mean };
  }
  if (worst2 === null || worst2.mean <= share * (whole.dropPa + whole.expandedU)) return whole;
  return stretch(known, worst2.fromS, worst2.fromS + demandedS);
}
var levelSpanS = 3;
function endLevels({ blocks }, context, fromS, toS) {
  const mean = (a, b) => {
    const { y, count } = cellsOf(blocks, a, b, 1);
    if (count[0] !== void 0) return blocks.referencePa + (y[0] ?? 0);
    return blocks.referencePa + (blocks.pressure[nearestBlock(blocks.timeS, (a + b) / 2)] ?? 0);
  };
  const span = Math.min(levelSpanS, (toS - fromS) / 4);
  return [levelPa2(context, mean(fromS, fromS + span)), levelPa2(context, mean(toS - span, toS))];
}
function endLevelsU({ noisePa, used: used2 }, { gauge }, holdS) {
  const readings = Math.max(1, used2 / Math.max(holdS, 1) * levelSpanS);
  return Math.SQRT2 * Math.sqrt(square(noisePa) / readings + square(rectangularU(gauge.resolutionPa / 2)));
}
var levelAtStart = (state, context) => endLevels(state, context, 0, Math.min(levelSpanS * 4, state.blocks.timeS[state.blocks.length - 1] ?? 1))[0];
function nearestBlock(timeS, at) {
  let nearest = 0;
  for (let i = 1; i < timeS.length; i++)
    if (Math.abs((timeS[i] ?? 0) - at) < Math.abs((timeS[nearest] ?? 0) - at)) nearest = i;
  return nearest;
}
var fifths = (fit, holdS) => [0, 1, 2, 3, 4].map((i) => {
  const { mean, variance: variance2 } = fit.loss(holdS * i / 5, holdS * (i + 1) / 5);
  return { paPerS: mean * 5 / holdS, uPaPerS: Math.sqrt(variance2) * 5 / holdS };
});
var lastOf = (rates) => {
  const last2 = rates.at(-1);
  return { paPerS: last2?.paPerS ?? 0, expandedU: 1.96 * (last2?.uPaPerS ?? 0) };
};
var spedUpFor = 4;
var spedUpShare = 0.25;
function speedUp(rates, allowedPaPerS) {
  let most3 = 0;
  rates.forEach((later, j) => {
    for (const earlier of rates.slice(0, j)) {
      const by = later.paPerS - earlier.paPerS;
      const sure4 = by > spedUpFor * Math.sqrt(square(later.uPaPerS) + square(earlier.uPaPerS));
      if (sure4 && by > spedUpShare * allowedPaPerS && by > most3) most3 = by;
    }
  });
  return most3;
}
function interpolated(t2, y) {
  let at = 1;
  return (timeS) => {
    if (timeS < (t2[at - 1] ?? 0)) at = 1;
    while (at < t2.length - 1 && (t2[at] ?? 0) < timeS) at++;
    const [a, b] = [t2[at - 1] ?? 0, t2[at] ?? 1];
    const [from, to] = [y[at - 1] ?? 0, y[at] ?? 0];
    return from + (to - from) * (timeS - a) / Math.max(1e-9, b - a);
  };
}

// src/evaluation/early.ts
var horizonDwells = 10;
var certainty = 2;
var silentS = 10;
var silent = {
  dropPa: null,
  bandPa: null,
  ratePaPerS: null,
  word: "cannot tell yet",
  secondsForClearVerdict: null
};
function earlyWord(state, context, nowUs) {
  const { stage, port } = context;
  const quiet = stage.allowed.length === 0 ? { ...silent, word: "judged by looking" } : silent;
  if (state.startUs === null || state.broken !== null) return quiet;
  const elapsedS = (nowUs - state.startUs) / 1e6;
  if (elapsedS < silentS) return quiet;
  const estimate = estimateDecay(state, context, { dwellS: elapsedS, holdS: elapsedS });
  if (!estimate || !Number.isFinite(estimate.judged.expandedU)) return quiet;
  const { dropPa, expandedU } = estimate.judged;
  const scale = stage.dwellS / elapsedS;
  const figures2 = {
    dropPa: dropPa * scale,
    bandPa: expandedU * Math.max(scale, 1),
    ratePaPerS: dropPa / elapsedS
  };
  const limit = governingLimit2(stage.allowed, estimate.shutInPa, stage.dwellS, port.trapped);
  if (!limit) return { ...figures2, word: quiet.word, secondsForClearVerdict: null };
  const allowed = limit.allowedDropPa;
  if (dropPa - certainty * expandedU > allowed)
    return { ...figures2, word: "certain to fail", secondsForClearVerdict: 0 };
  const clear = Math.abs(allowed - figures2.dropPa) > figures2.bandPa;
  return {
    ...figures2,
    word: wordFor(figures2.dropPa, figures2.bandPa, allowed, estimate),
    secondsForClearVerdict: clear ? 0 : secondsUntilClear(estimate, allowed, stage.dwellS)
  };
}
function wordFor(dropPa, bandPa, allowedPa2, estimate) {
  if (dropPa - bandPa > allowedPa2) return "fail likely";
  if (estimate.fed !== null || estimate.speedUpPaPerS > 0) return "cannot tell yet";
  return dropPa + bandPa <= allowedPa2 ? "pass likely" : "cannot tell yet";
}
function secondsUntilClear(estimate, allowed, dwellS) {
  const { toS, dropPa, expandedU } = estimate.judged;
  const gap = Math.abs(allowed - dropPa * dwellS / toS);
  const neededS = expandedU * dwellS / gap;
  return neededS > horizonDwells * dwellS || !(gap > 0) ? null : Math.max(0, neededS - toS);
}

// src/evaluation/course/release.ts
var spanS = 2;
function releaseS(blocks, fasterPaPerS) {
  const endS = blocks.timeS[blocks.length - 1] ?? 0;
  const { t: t2, y } = cellsOf(blocks, 0, endS, Math.max(1, Math.ceil(endS / spanS)));
  const falls = (i) => (y[i - 1] ?? 0) - (y[i] ?? 0) >= fasterPaPerS * ((t2[i] ?? 0) - (t2[i - 1] ?? 0));
  let at = t2.length - 1;
  while (at > 0 && (falls(at) || at > 1 && falls(at - 1))) at--;
  return at < t2.length - 1 ? Math.max(0, t2[Math.max(0, at - 1)] ?? 0) : beforeLast(blocks, endS, fasterPaPerS * spanS);
}
function letGoFrom(blocks, fasterPaPerS) {
  const heldS = releaseS(blocks, fasterPaPerS);
  const { length: length2, timeS, pressure: pressure2 } = blocks;
  let at = length2 - 1;
  while (at > 0 && (timeS[at - 1] ?? 0) >= heldS) at--;
  const levelPa3 = pressure2[at] ?? 0;
  while (at < length2 && (pressure2[at] ?? 0) > levelPa3 - fasterPaPerS / 2) at++;
  return at < length2 ? timeS[Math.max(0, at - 1)] ?? 0 : Number.POSITIVE_INFINITY;
}
function beforeLast({ length: length2, timeS, pressure: pressure2 }, endS, fallPa) {
  let from = length2;
  while (from > 0 && (timeS[from - 1] ?? 0) >= endS - spanS) from--;
  const usual2 = median(Float64Array.from(pressure2.subarray(from, length2)));
  let last2 = length2 - 1;
  while (last2 > 0 && (pressure2[last2] ?? 0) < usual2 - fallPa) last2--;
  return timeS[last2] ?? endS;
}

// src/evaluation/statistics/correlated-noise.ts
var greatestOrder = 6;
var knownShare = 0.98;
function correlatedNoise(residuals, fitted2, known = []) {
  const n2 = residuals.length;
  const freedom = Math.max(1, n2 - fitted2);
  const raw = without(known, autocovariances(residuals, Math.min(greatestOrder, Math.floor(n2 / 8))));
  const white = (raw[0] ?? 0) * (n2 / freedom);
  if (white === 0 || raw.length < 2)
    return { variance: white, slopeFactor: 1, lagOne: 0, order: 0, degreesOfFreedom: freedom };
  let longRun = white;
  let best = { order: 0, weights: [], innovation: white };
  let gamma = raw;
  for (let round = 0; round < 8; round++) {
    const lift = fitted2 * longRun / n2;
    gamma = raw.map((value, lag) => value * (n2 / (n2 - lag)) + lift);
    best = chooseOrder(gamma, n2);
    const gain2 = 1 - sum(best.weights);
    const next = Math.min(best.innovation / square(gain2), white * n2 / (4 * fitted2));
    if (Math.abs(next - longRun) < 1e-6 * longRun) break;
    longRun = next;
  }
  const variance2 = gamma[0] ?? white;
  if (best.order === 0)
    return { variance: white, slopeFactor: 1, lagOne: lagOneOf(gamma), order: 0, degreesOfFreedom: freedom };
  const factor = slopeFactor(gamma, best.weights, n2);
  const gain = 1 - sum(best.weights);
  const spread = 2 / n2 + 4 * (sumOfInverse(gamma, best.order) * best.innovation) / (n2 * square(gain));
  return {
    variance: variance2,
    slopeFactor: Math.max(1, factor),
    lagOne: lagOneOf(gamma),
    order: best.order,
    degreesOfFreedom: Math.max(1, 2 / spread - fitted2 / 2)
  };
}
var lagOneOf = (gamma) => (gamma[1] ?? 0) / (gamma[0] ?? 1);
var sum = (values) => values.reduce((total, value) => total + value, 0);
function without(known, found2) {
  const share = Math.min(1, knownShare * (found2[0] ?? 0) / (known[0] || Number.POSITIVE_INFINITY));
  return found2.map((value, lag) => value - share * (known[lag] ?? 0));
}
function autocovariances(residuals, lags) {
  const n2 = residuals.length;
  return Array.from({ length: lags + 1 }, (_, lag) => {
    let total = 0;
    for (let i = lag; i < n2; i++) total += (residuals[i] ?? 0) * (residuals[i - lag] ?? 0);
    return total / n2;
  });
}
function chooseOrder(gamma, n2) {
  let weights = [];
  let innovation = gamma[0] ?? 0;
  let best = { order: 0, weights, innovation };
  let bestCriterion = n2 * log(innovation) + 2;
  for (let order = 1; order < gamma.length; order++) {
    let reflection = gamma[order] ?? 0;
    for (let i = 0; i < order - 1; i++) reflection -= (weights[i] ?? 0) * (gamma[order - 1 - i] ?? 0);
    reflection /= innovation;
    if (!(Math.abs(reflection) < 0.9999)) break;
    const previous = weights;
    weights = previous.map((weight, i) => weight - reflection * (previous[order - 2 - i] ?? 0));
    weights.push(reflection);
    innovation *= 1 - reflection * reflection;
    const parameters = order + 1;
    const criterion = n2 * log(innovation) + 2 * parameters * n2 / Math.max(1, n2 - parameters - 1);
    if (criterion < bestCriterion) {
      bestCriterion = criterion;
      best = { order, weights, innovation };
    }
  }
  return best;
}
function slopeFactor(gamma, weights, n2) {
  const variance2 = gamma[0] ?? 1;
  const recent = gamma.slice(0, weights.length + 1).map((value) => value / variance2);
  let factor = 1;
  const past = recent.slice(1).reverse();
  for (let lag = 1; lag < n2; lag++) {
    let correlation = recent[lag] ?? 0;
    if (lag > weights.length) {
      correlation = 0;
      for (let i = 0; i < weights.length; i++) correlation += (weights[i] ?? 0) * (past[i] ?? 0);
      past.pop();
      past.unshift(correlation);
      if (past.every((value) => Math.abs(value) < 1e-6)) break;
    }
    const apart = lag / n2;
    factor += 2 * correlation * (1 - 3 * apart + 2 * cube(apart));
  }
  return factor;
}
function sumOfInverse(gamma, order) {
  const rows = Array.from({ length: order }, (_, i) => [
    ...Array.from({ length: order }, (_2, j) => gamma[Math.abs(i - j)] ?? 0),
    1
  ]);
  for (let pivot = 0; pivot < order; pivot++) {
    const pivotRow = rows[pivot] ?? [];
    const head = pivotRow[pivot] ?? 1;
    for (let i = 0; i < order; i++) {
      const row = rows[i] ?? [];
      if (i === pivot) continue;
      const ratio = (row[pivot] ?? 0) / head;
      for (let j = pivot; j <= order; j++) row[j] = (row[j] ?? 0) - ratio * (pivotRow[j] ?? 0);
    }
  }
  return sum(rows.map((row, i) => (row[order] ?? 0) / (row[i] ?? 1)));
}

// src/evaluation/shape/bend.ts
var cellsTried = 128;
var constantsTried = 24;
var [shortest, longest2] = [log(1 / 40), log(2)];
function bendsOf(series, durationS) {
  const cells3 = gathered(series, cellsTried);
  const line2 = lineThrough(cells3);
  if (cells3.t.length < 6 || !(line2.stt > 0) || !(durationS > 0))
    return { steps: [], bestStep: null, bestSettling: null, settlings: () => [] };
  const total = cells3.weight.reduce((sum2, weight) => sum2 + weight, 0);
  const ground = { cells: { ...cells3, y: aboveLine(cells3, line2) }, line: line2, total, durationS };
  const steps3 = stepsOf2(ground);
  const at = (place, prior) => {
    const tau = durationS * exp(place);
    return fitted("settling", tau, prior, ground, (t2) => exp(-t2 / tau));
  };
  const peak = bestPlace((place) => at(place, 0)?.gain ?? 0);
  return {
    steps: steps3,
    bestStep: steps3.reduce((top, step2) => step2.gain > (top?.gain ?? 0) ? step2 : top, null),
    bestSettling: at(peak, 0),
    settlings: (spread) => settlingsRound(peak, spread, at)
  };
}
function stepsOf2(ground) {
  const { cells: cells3 } = ground;
  const prior = 1 / Math.max(1, cells3.t.length - 3);
  const steps3 = [];
  for (let cell = 2; cell < cells3.t.length - 1; cell++) {
    const at = ((cells3.t[cell - 1] ?? 0) + (cells3.t[cell] ?? 0)) / 2;
    const step2 = fitted("step", at, prior, ground, (t2) => t2 < at ? 1 : 0);
    if (step2) steps3.push(step2);
  }
  return steps3;
}
var mesh = (longest2 - shortest) / (constantsTried - 1);
var netPlaces = Array.from({ length: constantsTried }, (_, i) => shortest + i * mesh);
function bestPlace(gainAt) {
  const gains = netPlaces.map(gainAt);
  const top = netPlaces[gains.indexOf(Math.max(...gains))] ?? shortest;
  return summit(gainAt, Math.max(shortest, top - mesh), Math.min(longest2, top + mesh));
}
function settlingsRound(peak, spread, at) {
  const gain = (place) => at(place, 0)?.gain ?? 0;
  const arm = mesh / 8;
  const curvature = (2 * gain(peak) - gain(peak - arm) - gain(peak + arm)) / square(arm);
  const width2 = curvature > 0 ? Math.sqrt(2 * spread / curvature) : mesh;
  const places = [...netPlaces];
  if (width2 < mesh && width2 > 0) {
    const close = Array.from({ length: 17 }, (_, i) => peak + (i - 8) / 2 * width2);
    places.push(...close.filter((place) => place > shortest && place < longest2));
    places.sort((a, b) => a - b);
  }
  const bends = places.map(
    (place, i) => at(place, ((places[i + 1] ?? place) - (places[i - 1] ?? place)) / 2 / (longest2 - shortest))
  );
  return bends.filter((bend) => bend !== null);
}
function summit(height, from, to) {
  const golden = (Math.sqrt(5) - 1) / 2;
  let [low, high] = [from, to];
  let [left, right] = [high - golden * (high - low), low + golden * (high - low)];
  let [atLeft, atRight] = [height(left), height(right)];
  for (let step2 = 0; step2 < 18; step2++) {
    if (atLeft < atRight) {
      [low, left, atLeft] = [left, right, atRight];
      right = low + golden * (high - low);
      atRight = height(right);
    } else {
      [high, right, atRight] = [right, left, atLeft];
      left = high - golden * (high - low);
      atLeft = height(left);
    }
  }
  return (low + high) / 2;
}
function bendAt(bend, t2) {
  return bend.kind === "settling" ? exp(-t2 / bend.atS) : t2 < bend.atS ? 1 : 0;
}
function fitted(kind, atS, prior, { cells: cells3, line: line2, total, durationS }, shape) {
  const { t: t2, y, weight } = cells3;
  let [withOne, withTime, withItself, withTrace] = [0, 0, 0, 0];
  for (let i = 0; i < t2.length; i++) {
    const at = t2[i] ?? 0;
    const value = shape(at);
    const weighted = (weight[i] ?? 0) * value;
    withOne += weighted;
    withTime += weighted * (at - line2.meanT);
    withItself += weighted * value;
    withTrace += weighted * (y[i] ?? 0);
  }
  const mean = withOne / total;
  const slope = withTime / line2.stt;
  const power3 = withItself - withOne * mean - withTime * slope;
  if (!(power3 > 1e-8 * withItself)) return null;
  const free = (at) => shape(at) - mean - slope * (at - line2.meanT);
  return {
    kind,
    atS,
    sizePa: withTrace / power3,
    unitVariance: 1 / power3,
    startShare: free(0),
    endShare: free(durationS),
    prior,
    gain: withTrace * withTrace / power3
  };
}

// src/evaluation/shape/trend.ts
var settlingOdds = 0.25;
var stepOdds = 0.05;
var priorSpread = 10;
function trendOf(series, durationS, rounding2 = []) {
  const line2 = lineThrough(series);
  const residuals = aboveLine(series, line2);
  const straight = { ...series, y: residuals };
  const search = bendsOf(straight, durationS);
  const { bestSettling, bestStep } = search;
  const bestBend = (bestStep?.gain ?? 0) > (bestSettling?.gain ?? 0) ? bestStep : bestSettling;
  const bentSeries = bestBend ? withoutBend(straight, bestBend) : residuals;
  const ofLine = standardised(residuals, series.weight);
  const ofBend = standardised(bentSeries, series.weight);
  const lineNoise = correlatedNoise(ofLine, 2, rounding2);
  const bentNoise = correlatedNoise(ofBend, bestBend ? 4 : 2, rounding2);
  const bentVariance = bentNoise.variance * bentNoise.slopeFactor;
  const wary = (rounding2[0] ?? 0) > 0 ? correlatedNoise(ofBend, bestBend ? 4 : 2) : bentNoise;
  const spread = wary.variance * wary.slopeFactor;
  const bends = [...search.settlings(spread), ...search.steps];
  const { evidence, total } = weigh(bends, spread);
  let [startAddPa, endAddPa, within3, settling2, step2] = [0, 0, 0, 0, 0];
  let squared = 0;
  bends.forEach((bend, i) => {
    const share = (evidence[i] ?? 0) / total;
    if (bend.kind === "settling") settling2 += share;
    else step2 += share;
    const reach2 = bend.startShare - bend.endShare;
    startAddPa += share * bend.sizePa * bend.startShare;
    endAddPa += share * bend.sizePa * bend.endShare;
    within3 += share * reach2 * reach2 * bend.unitVariance * bentVariance;
    squared += share * square(reach2 * bend.sizePa);
  });
  const lineWeight2 = 1 - settling2 - step2;
  return {
    longRunVariance: lineWeight2 * lineNoise.variance * lineNoise.slopeFactor + (1 - lineWeight2) * bentVariance,
    noise: lineWeight2 >= 0.5 ? lineNoise : bentNoise,
    weight: { line: lineWeight2, settling: settling2, step: step2 },
    startAddPa,
    endAddPa,
    shapeUPa: Math.sqrt(Math.max(0, within3 + squared - square(startAddPa - endAddPa))),
    bestSettling,
    bestStep,
    residualSeries: lineWeight2 >= 0.5 ? residuals : bentSeries
  };
}
function weigh(bends, spread) {
  const keep = square(priorSpread) / (1 + square(priorSpread));
  const logs = bends.map((bend) => {
    const odds = bend.prior * (bend.kind === "step" ? stepOdds : settlingOdds);
    const signal = bend.gain / spread;
    if (Number.isNaN(signal)) return Number.NEGATIVE_INFINITY;
    return log(odds / Math.sqrt(1 + square(priorSpread))) + Math.min(signal, 1e12) * keep / 2;
  });
  const greatest = Math.max(0, ...logs);
  const evidence = logs.map((log2) => exp(log2 - greatest));
  return { evidence, total: evidence.reduce((all, one) => all + one, exp(-greatest)) };
}
function standardised(residuals, weight) {
  return residuals.map((value, i) => value * Math.sqrt(weight[i] ?? 1));
}
function withoutBend(straight, bend) {
  const left = straight.y.map((value, i) => value - bend.sizePa * bendAt(bend, straight.t[i] ?? 0));
  const series = { ...straight, y: left };
  return aboveLine(series, lineThrough(series));
}

// src/evaluation/diagnosis.ts
var bendWeight = 0.95;
var lineWeight = 0.6;
var clearFall = 12;
var thermalShare = 0.7;
function plainSeries(state, { fit, thermal: thermal2, judged: judged2 }) {
  const { timeS: t2, pressure: pressure2, count: weight } = state.blocks;
  const within3 = t2.filter((at) => at <= judged2.toS - judged2.fromS).length;
  const warm = (timeS) => thermal2 ? fit.explained(0, timeS) - fit.creep(0, timeS) : 0;
  const cells3 = gathered({ t: t2.slice(0, within3), y: pressure2.slice(0, within3), weight: weight.slice(0, within3) }, 128);
  return thermal2 ? { ...cells3, y: cells3.y.map((y, i) => y + warm(cells3.t[i] ?? 0)) } : cells3;
}
function diagnose(state, estimate, context, allowedDropPa2) {
  const trend = trendOf(plainSeries(state, estimate), estimate.judged.toS);
  const { shape, strength } = shapeOf(state, estimate, trend, context, allowedDropPa2);
  return { shape, strength, ...wordsFor(shape, estimate, trend, context) };
}
function shapeOf(state, estimate, trend, context, allowedDropPa2) {
  const { thermal: thermal2, scatterUPa: statisticalUPa } = estimate;
  const { dropPa } = estimate.judged;
  const { line: line2, settling: settling2, step: step2 } = trend.weight;
  if (isQuantised(state, context.gauge.resolutionPa)) return { shape: "quantised", strength: 1 };
  if (step2 >= bendWeight) return { shape: "step", strength: step2 };
  if (settling2 >= bendWeight) return { shape: "settling", strength: settling2 };
  if (thermal2) {
    const explained = Math.abs(thermal2.dropPa);
    const share = explained / (explained + Math.abs(dropPa));
    if (explained > clearFall * statisticalUPa && share >= thermalShare) return { shape: "thermal", strength: share };
  }
  if (Math.abs(dropPa) > clearFall * statisticalUPa && line2 >= lineWeight) return { shape: "steady", strength: line2 };
  const masked = allowedDropPa2 !== null && 2 * statisticalUPa > allowedDropPa2 && Math.abs(dropPa) < 3 * statisticalUPa;
  if (masked) return { shape: "noisy", strength: line2 };
  return { shape: "none", strength: line2 };
}
var isQuantised = (state, resolutionPa) => resolutionPa > 0 && state.highestPa - state.lowestPa <= 2 * resolutionPa && state.noisePa < 0.35 * resolutionPa;
function wordsFor(shape, estimate, trend, context) {
  const falling = estimate.judged.dropPa >= 0;
  const { port } = context;
  switch (shape) {
    case "steady":
      if (!falling)
        return {
          likely: ["oil is warming up, or oil is still being fed in through a valve that does not close"],
          tryNext: ["log the oil temperature", "isolate the pump and repeat"]
        };
      return {
        likely: [
          port.opposite === "open" && port.position !== "no piston" ? "oil passes the piston seal" : "oil leaves through a seal or a fitting",
          port.position === "no piston" ? "a leak at one of the parts under pressure" : port.port === "A" ? "a leak at the cap, its weld or the boss of port A" : "a leak at the gland, the rod seal or the boss of port B",
          "the check valve or a fitting of the bench"
        ],
        tryNext: [
          port.position === "no piston" ? "look at every part" : "look at the gland, the bosses and the open port",
          "repeat the hold: a leak falls at the same rate every time",
          "bench check with plugged lines, compared in mL/min",
          "hold at a second pressure: a narrow gap leaks in proportion to pressure, a hole with its square root",
          ...port.position === "no piston" ? [] : ["change ports"]
        ]
      };
    case "settling":
      return falling ? {
        likely: ["heat of compression leaving the oil", "air being dissolved", "seals and hoses still creeping"],
        tryNext: [
          `wait: the time constant is about {seconds:${trend.bestSettling?.atS ?? 0}}`,
          "repeat the hold: heat and creep give less each time, a leak the same",
          "purge the air and pump up more slowly"
        ]
      } : {
        likely: ["oil cooled by a fast bleed is warming up again", "seals and hoses recovering"],
        tryNext: [
          "wait until the pressure is steady: a rise can hide a leak",
          "settle a little above the target before the dwell"
        ]
      };
    case "step":
      return {
        likely: falling ? ["a valve or a fitting was moved", "a seal slipped into place", "the piston moved"] : ["oil was topped up", "a valve was moved"],
        tryNext: [
          `look at what happened {seconds:${trend.bestStep?.atS ?? 0}} into the dwell`,
          "repeat the hold untouched"
        ]
      };
    case "thermal":
      return {
        likely: [
          `the oil ${(estimate.thermal?.coolingK ?? 0) >= 0 ? "cooled" : "warmed"} by {kelvin:${Math.abs(estimate.thermal?.coolingK ?? 0)}}, which explains most of the change`
        ],
        tryNext: [
          "wait until oil, cylinder and room have the same temperature",
          "shield the bench from draught and sun"
        ]
      };
    case "noisy":
      return {
        likely: ["the pump or a machine nearby shakes the line or the gauge", "electrical noise on the gauge cable"],
        tryNext: ["isolate the pump", "dwell longer: the uncertainty falls quickly with time"]
      };
    case "quantised":
      return {
        likely: ["the steps of the display are too coarse for this dwell"],
        tryNext: ["use a gauge with finer steps", "dwell longer"]
      };
    case "none":
      return { likely: [], tryNext: [] };
  }
}

// src/evaluation/trace/usable-oil.ts
var [coldestK, hottestK] = [213, 473];
var usableOilK = (oilK2) => oilK2 >= coldestK && oilK2 <= hottestK ? oilK2 : Number.NaN;

// src/evaluation/trace/spike-watch.ts
var spikeRule = "one or two readings off by more than 8 standard deviations of the noise and 4 steps of the display, with the three before and the three after in agreement";
var warmUp = 17;
var meanDifference = 2 / Math.sqrt(Math.PI);
var medianDifference = 0.953873;
var SpikeWatch = class {
  #sink;
  #leastPa;
  #held = [];
  #warm = false;
  #a = 0;
  #b = 0;
  #c = 0;
  #sumOfDifferences = 0;
  #sumOfSquares = 0;
  #differences = 0;
  #threshold = 0;
  /** How many readings were left out, and the greatest departure among them, Pa. */
  count = 0;
  greatestPa = 0;
  constructor(resolutionPa, sink) {
    this.#leastPa = 4 * resolutionPa;
    this.#sink = sink;
  }
  add(timeS, pressurePa2, oilK2) {
    if (this.#warm && this.#held.length === 0 && Math.abs(pressurePa2 - this.#c) <= this.#threshold) {
      this.#accept(timeS, pressurePa2, oilK2);
      return;
    }
    this.#held.push([timeS, pressurePa2, oilK2]);
    if (!this.#warm) {
      if (this.#held.length >= warmUp) this.#begin();
    } else if (this.#held.length >= 5) this.#decide();
  }
  /** Readings of an index up to another, each with a pressure: what {@link add} makes of each in turn. */
  addColumns(readings, from, until, startUs) {
    const { timeUs, pressurePa: pressurePa2, oilMilliK } = readings;
    for (let at = from; at < until; at += 1) {
      const calm = this.#acceptCalm(pressurePa2, at, until);
      if (calm > at) this.#sink.addColumns(readings, at, calm, startUs);
      at = calm;
      if (at === until) return;
      const oilK2 = usableOilK(oilMilliK[at] / 1e3);
      this.add((timeUs[at] - startUs) / 1e6, pressurePa2[at], oilK2);
    }
  }
  /** Learns from the readings as long as none is suspect, and returns the first that is. */
  #acceptCalm(pressurePa2, from, until) {
    if (!this.#warm || this.#held.length > 0 || this.#differences < warmUp) return from;
    const least2 = this.#leastPa;
    let [a, b, c, threshold] = [this.#a, this.#b, this.#c, this.#threshold];
    let [sum2, squares, differences] = [this.#sumOfDifferences, this.#sumOfSquares, this.#differences];
    let at = from;
    for (; at < until; at += 1) {
      const pascals2 = pressurePa2[at];
      const difference2 = pascals2 - c;
      const size = Math.abs(difference2);
      if (!(size <= threshold)) break;
      sum2 += size;
      squares += difference2 * difference2;
      differences += 1;
      threshold = Math.max(8 * sum2 / (differences * meanDifference), least2);
      a = b;
      b = c;
      c = pascals2;
    }
    [this.#a, this.#b, this.#c, this.#threshold] = [a, b, c, threshold];
    [this.#sumOfDifferences, this.#sumOfSquares, this.#differences] = [sum2, squares, differences];
    return at;
  }
  /** Hands on what is still held back. */
  flush() {
    if (!this.#warm && this.#held.length > 0) this.#begin();
    while (this.#held.length > 0) this.#decide();
  }
  /** Standard deviation of the noise between neighbouring readings, Pa: from their differences, hence free of drift. */
  get noisePa() {
    return this.#differences > 0 ? Math.sqrt(this.#sumOfSquares / this.#differences / 2) : 0;
  }
  /** Learns a first noise from the median difference of the first readings, then lets them through the watch. */
  #begin() {
    const first = this.#held;
    const steps3 = Float64Array.from(
      { length: Math.max(0, first.length - 1) },
      (_, i) => Math.abs((first[i + 1]?.[1] ?? 0) - (first[i]?.[1] ?? 0))
    );
    const sd = steps3.length > 0 ? median(steps3) / medianDifference : 0;
    this.#threshold = Math.max(8 * sd, this.#leastPa);
    this.#warm = true;
    this.#held = [];
    this.#a = this.#b = this.#c = first[0]?.[1] ?? 0;
    for (const [timeS, pressurePa2, oilK2] of first) this.add(timeS, pressurePa2, oilK2);
  }
  /** Judges the oldest reading held. */
  #decide() {
    const held3 = this.#held;
    const reference = Math.max(Math.min(this.#a, this.#b), Math.min(Math.max(this.#a, this.#b), this.#c));
    const off = (index) => (held3[index]?.[1] ?? 0) - reference;
    const first = off(0);
    const wild = (index) => off(index) * Math.sign(first) > this.#threshold;
    const width2 = held3.length > 1 && wild(1) ? 2 : 1;
    const back = held3.slice(width2, width2 + 3);
    const returned = back.length === 3 && back.every((_, i) => Math.abs(off(width2 + i)) <= this.#threshold);
    if (wild(0) && returned) {
      this.count += width2;
      for (let i = 0; i < width2; i++) this.greatestPa = Math.max(this.greatestPa, Math.abs(off(i)));
      held3.splice(0, width2);
    } else {
      const [reading] = held3.splice(0, 1);
      if (reading) this.#accept(...reading);
    }
    this.#release();
  }
  /** Lets through what is no longer suspect. */
  #release() {
    while (this.#held.length > 0) {
      const [reading] = this.#held;
      if (!reading || Math.abs(reading[1] - this.#c) > this.#threshold) return;
      this.#held.shift();
      this.#accept(...reading);
    }
  }
  #accept(timeS, pressurePa2, oilK2) {
    const difference2 = pressurePa2 - this.#c;
    const size = Math.abs(difference2);
    if (size <= this.#threshold || this.#differences === 0) {
      this.#sumOfDifferences += size;
      this.#sumOfSquares += difference2 * difference2;
      this.#differences++;
      if (this.#differences >= warmUp)
        this.#threshold = Math.max(8 * this.#sumOfDifferences / (this.#differences * meanDifference), this.#leastPa);
    }
    this.#a = this.#b;
    this.#b = this.#c;
    this.#c = pressurePa2;
    this.#sink.add(timeS, pressurePa2, oilK2);
  }
};

// src/evaluation/verdict.ts
var riseFactor = 1.5;
function verdictOf(input) {
  return levelFailure(input) ?? decayVerdict(input);
}
function levelFailure({ context, estimate, lowestPa, highestPa }) {
  const { stage, port } = context;
  const highest2 = Math.max(estimate.startPa, estimate.endPa, highestPa);
  const lowest = Math.min(estimate.startPa, estimate.endPa, lowestPa);
  if (highest2 > port.overpressurePa)
    return broken(
      `the pressure stood at {pressure:${highest2}}, above the {pressure:${port.overpressurePa}} it must never pass`
    );
  if (stage.neverBelowPa !== void 0 && lowest < stage.neverBelowPa)
    return fail(
      `the pressure fell to {pressure:${lowest}}, below the {pressure:${stage.neverBelowPa}} it must keep during the dwell`
    );
  return null;
}
function decayVerdict(input) {
  const { context, dwellS, cutShort, estimate, limit } = input;
  const { stage } = context;
  const { judged: judged2 } = estimate;
  const lengthS2 = judged2.toS - judged2.fromS;
  const scale = cutShort ? 1 : Math.min(1, stage.dwellS / lengthS2);
  const drop = judged2.dropPa * scale;
  const u = judged2.expandedU * scale * (limit?.limit.kind === "leak" ? input.leakUPerDropU : 1);
  const told2 = tell(drop, u, lengthS2 * scale, limit, context);
  const bounded = `${told2.found}; ${told2.bound}`;
  const { fed } = estimate;
  const allowedPa2 = limit?.allowedDropPa ?? Number.POSITIVE_INFINITY;
  const unresolved = allowedPa2 < u;
  const words2 = acceptance(unresolved ? "guarded" : stage.decision, drop, u, allowedPa2);
  const fails = words2 === "fail";
  if (input.suddenFalls === 1 && !(fails && drop - u - suddenOf(estimate) > allowedPa2))
    return broken("the pressure fell within seconds and then held, as if a valve was moved");
  if (fed && !(fails && !byTyped(estimate))) return broken(fedWords(fed));
  if (!limit) return cutShort ? tooShort(dwellS, stage.dwellS) : byLooking(input, told2.found);
  if (fails) return byTyped(estimate) ? doubt(`${bounded}, but the oil temperature was only typed`) : fail(bounded);
  if (cutShort) return tooShort(dwellS, stage.dwellS);
  const floor = stage.targetPa - stage.belowPa - context.gauge.resolutionPa;
  if (estimate.shutInPa < floor)
    return doubt(
      `the dwell began at {pressure:${estimate.shutInPa}}, below the band of the test pressure {pressure:${stage.targetPa}}`
    );
  if (drop < -riseFactor * u)
    return doubt(`${told2.found}: something warmed or fed the trapped oil, and a leak can hide behind a rise`);
  const open = openQuestion(estimate, limit.allowedDropPa, stage.dwellS);
  if (open !== null) return doubt(`${bounded}, but ${open}`);
  if (unresolved) return doubt(`${bounded}, and less than ${told2.u} can't be told from nothing in this dwell`);
  if (words2 === "pass") return { verdict: "pass", reason: bounded };
  return doubt(`${bounded}: too close to the limit for this uncertainty`);
}
var tooShort = (dwellS, demandedS) => doubt(`the dwell was ended after {seconds:${dwellS}} of {seconds:${demandedS}}; a shorter hold can't pass`);
function byLooking({ context, dwellS, lowestPa }, found2) {
  const { stage, gauge } = context;
  if (lowestPa < stage.targetPa - stage.belowPa - gauge.resolutionPa)
    return doubt(
      `the pressure fell to {pressure:${lowestPa}}, below the band of the test pressure {pressure:${stage.targetPa}}: raise it and hold again`
    );
  const held3 = `held {seconds:${dwellS}} at no less than {pressure:${lowestPa}}`;
  return { verdict: "pass", reason: `${held3}, judged by looking${found2 === "" ? "" : ` (${found2})`}` };
}
var byTyped = ({ thermal: thermal2 }) => thermal2?.source === "typed" && thermal2.dropPa < 0;
var suddenOf = ({ series, falls }) => {
  let most3 = falls.reduce((greatest, { byPa }) => Math.max(greatest, byPa), 0);
  for (let i = 1; i < series.y.length; i++) most3 = Math.max(most3, (series.y[i - 1] ?? 0) - (series.y[i] ?? 0));
  return most3;
};
function fedWords({ byPa, atS, strokes }) {
  return strokes ? `the pressure was kept up by small strokes of about {difference:${byPa}}, as a pump makes them` : `the pressure rose by {difference:${byPa}} after {seconds:${atS}}, more than warming can do, as if oil was fed in`;
}
var unaccountedShare = 0.25;
function openQuestion(estimate, allowedPa2, dwellS) {
  const { thermal: thermal2, lastRate, speedUpPaPerS, plainDropPa } = estimate;
  const { withoutProbe: withoutProbe2, unaccountedPa, judged: judged2 } = estimate;
  if (unaccountedPa > judged2.expandedU + unaccountedShare * allowedPa2)
    return `{difference:${unaccountedPa}} of the fall that the gauge read belongs to nothing that explains the rest of it`;
  const twice = withoutProbe2 !== null && withoutProbe2.dropPa + withoutProbe2.expandedU <= allowedPa2;
  if (thermal2 && Math.abs(thermal2.dropPa) > allowedPa2 && !twice)
    return `the correction for oil temperature, {difference:${thermal2.dropPa}}, is larger than the allowed drop itself`;
  if (thermal2?.source === "typed" && plainDropPa > allowedPa2)
    return "only the typed oil temperatures bring it below the limit";
  if ((lastRate.paPerS - lastRate.expandedU) * dwellS > allowedPa2)
    return `in its last fifth it fell at {rate:${lastRate.paPerS}}, which is more than the limit allows`;
  if (speedUpPaPerS > 0)
    return "the fall sped up during the hold, which a steady leak, heat and creep never do: a leak began or grew, or oil was fed in before";
  return null;
}
function tell(dropPa, uPa, overS, limit, { port }) {
  const moved3 = `${dropPa < 0 ? "rose" : "fell"} {difference:${Math.abs(dropPa)}}`;
  const over = `in {seconds:${overS}}`;
  switch (limit?.limit.kind) {
    case "leak": {
      const perPa = port.trapped.volumeM3 / port.trapped.bulkModulusPa / overS;
      const u = `{flow:${uPa * perPa}}`;
      const found2 = `leaks {flow:${dropPa * perPa}} \xB1 ${u} (${moved3} \xB1 {difference:${uPa}} ${over})`;
      return { found: found2, u, bound: `{flow:${limit.limit.leakM3PerS}} is allowed` };
    }
    case "rate": {
      const u = `{rate:${uPa / overS}}`;
      const found2 = `${dropPa < 0 ? "rises" : "falls"} by {rate:${Math.abs(dropPa) / overS}} \xB1 ${u} (${moved3} \xB1 {difference:${uPa}} ${over})`;
      return { found: found2, u, bound: `{rate:${limit.limit.ratePaPerS}} is allowed` };
    }
    default: {
      const u = `{difference:${uPa}}`;
      const bound = limit === null ? "" : `{difference:${limit.allowedDropPa}} is allowed`;
      return { found: `${moved3} \xB1 ${u} ${over}`, u, bound };
    }
  }
}
var fail = (reason) => ({ verdict: "fail", reason });
var broken = (reason) => ({ verdict: "invalid", reason });
var doubt = (reason) => ({ verdict: "inconclusive", reason });

// src/evaluation/flags.ts
var fewReadings = 20;
var secondOpinionPoints = 256;
var tiedShare = 0.2;
function flagsOf(state, estimate, leak, context, allowedDropPa2) {
  return [
    ...readingFlagsOf(state),
    ...fitFlags(state, estimate),
    ...temperatureFlags(estimate, context),
    ...gaugeFlags(estimate, context, allowedDropPa2),
    ...benchFlags(leak, context),
    ...levelFlags(estimate, context),
    ...stoppedFlags(estimate, allowedDropPa2, context),
    notSeen
  ];
}
function readingFlagsOf(state) {
  const flags = [];
  if (state.spikes > 0)
    flags.push({
      code: "spikes",
      count: state.spikes,
      text: `${state.spikes} readings left out as spikes, the largest {difference:${state.greatestSpikePa}} off; rule: ${spikeRule}.`
    });
  const unused = state.leftOut + state.duplicates;
  if (unused > 0)
    flags.push({
      code: "left-out",
      count: unused,
      text: `${state.leftOut} readings without a usable value and ${state.duplicates} with the time of the one before were left out.`
    });
  if (state.used < fewReadings)
    flags.push({
      code: "few-readings",
      count: state.used,
      text: `Only ${state.used} readings: the scatter is poorly known.`
    });
  return flags;
}
function fitFlags(state, estimate) {
  const { fit, series, judged: judged2, holdS } = estimate;
  const { scatter } = fit.best;
  const flags = [];
  if (scatter.wanderPa > 0)
    flags.push({
      code: "correlated-noise",
      text: `The readings wander by {difference:${scatter.wanderPa}} over {seconds:${scatter.wanderS}}; the uncertainty allows for it.`
    });
  if (estimate.speedUpPaPerS > 0)
    flags.push({
      code: "sped-up",
      text: `The fall sped up by {rate:${estimate.speedUpPaPerS}} within the hold. Look at the chart.`
    });
  else if (bendOf(fit, holdS) > 2 * judged2.u)
    flags.push({
      code: "not-one-line",
      text: "The trace bends; the rate at the end differs from that at the start, and the rate given is their mean."
    });
  if (scatter.bend === 0 && fit.best.explanation.term === null) {
    const points2 = state.used === series.t.length ? series : gathered(series, secondOpinionPoints);
    const robust = theilSen(points2.t, points2.y);
    const apart = Math.abs(-robust.slope * (judged2.toS - judged2.fromS) - judged2.dropPa);
    if (robust.tied < tiedShare && apart > 4 * estimate.scatterUPa && apart > 1e-9 * Math.abs(estimate.startPa))
      flags.push({
        code: "second-opinion-differs",
        text: `A robust line (Theil and Sen) gives a drop of {difference:${-robust.slope * (judged2.toS - judged2.fromS)}}: {difference:${apart}} from least squares. Look at the trace.`
      });
  }
  return flags;
}
var bendOf = (fit, holdS) => Math.abs(fit.lossAt(holdS) / 2 - fit.lossAt(holdS / 2));
var doubted = 0.95;
function temperatureFlags(estimate, context) {
  const flags = [];
  const { thermalPaPerK } = context.port.trapped;
  const { settlingPa, probeDoubt, judged: judged2 } = estimate;
  if (probeDoubt > doubted)
    flags.push({
      code: "probe-does-not-follow",
      text: "The oil thermometer does not follow the oil: heat of compression explains the pressure better than its readings. Check where it sits. Its readings were not used."
    });
  else if (!estimate.thermal)
    flags.push({
      code: "temperature-not-measured",
      text: context.stage.allowed.length === 0 ? "Oil temperature not measured." : `Oil temperature not measured: oil that warms by {kelvin:${hidingK(estimate, context)}} would hide a leak at the limit.`
    });
  if (settlingPa !== null && settlingPa > 2 * judged2.u)
    flags.push({
      code: "heat-of-compression",
      text: `Of the {difference:${estimate.plainDropPa}} that the pressure fell, {difference:${settlingPa}} is heat of compression leaving the oil and creep of seals and hoses, as the course itself tells; {kelvin:${settlingPa / thermalPaPerK}} of cooling would do that.`
    });
  return flags;
}
function hidingK(estimate, { stage, port }) {
  const limit = governingLimit2(stage.allowed, estimate.shutInPa, stage.dwellS, port.trapped);
  return Math.max(0, limit?.allowedDropPa ?? Math.abs(estimate.judged.dropPa)) / port.trapped.thermalPaPerK;
}
function gaugeFlags(estimate, context, allowedDropPa2) {
  const flags = [];
  const resolution = estimate.judged.budget.find((line2) => line2.name === "resolution")?.u ?? 0;
  if (resolution > 0.5 * estimate.judged.u)
    flags.push({
      code: "coarse-resolution",
      text: `Steps of {difference:${context.gauge.resolutionPa}} make up most of the uncertainty.`
    });
  if (allowedDropPa2 !== null && allowedDropPa2 < estimate.judged.expandedU)
    flags.push({
      code: "limit-below-resolution",
      text: `The limit of {difference:${allowedDropPa2}} is below the {difference:${estimate.judged.expandedU}} that this dwell could resolve.`
    });
  if (estimate.judged.dropPa < -riseFactor * estimate.judged.expandedU)
    flags.push({
      code: "rising",
      text: `The pressure rose by {difference:${-estimate.judged.dropPa}} during the dwell.`
    });
  return flags;
}
function benchFlags(leak, context) {
  const bench = context.benchCheckLeakM3PerS;
  if (bench === null || leak.leakM3PerS <= leak.expandedU) return [];
  if (leak.leakM3PerS - bench > leak.expandedU) return [];
  return [
    {
      code: "bench-leak",
      text: `The bench itself lost {flow:${bench}} against plugged lines: {flow:${leak.leakM3PerS}} \xB1 {flow:${leak.expandedU}} can't be told from it.`
    }
  ];
}
function levelFlags(estimate, context) {
  const { stage, port } = context;
  const lowest = Math.min(estimate.startPa, estimate.endPa);
  const highest2 = Math.max(estimate.startPa, estimate.endPa);
  const flags = [];
  const floor = stage.neverBelowPa ?? stage.targetPa - stage.belowPa;
  const fromStart = stage.neverBelowPa === void 0 ? estimate.startPa : lowest;
  if (fromStart < floor)
    flags.push({
      code: "below-test-pressure",
      text: `The gauge read {pressure:${fromStart}}, below {pressure:${floor}}.`
    });
  if (highest2 > port.overpressurePa)
    flags.push({
      code: "above-limit",
      text: `The gauge read {pressure:${highest2}}, above {pressure:${port.overpressurePa}}.`
    });
  return flags;
}
var earlyS = 25;
function stoppedFlags(estimate, allowedDropPa2, context) {
  const { holdS, judged: judged2, cells: cells3 } = estimate;
  if (allowedDropPa2 === null || holdS < 4 * earlyS || judged2.dropPa > allowedDropPa2) return [];
  const at = (fromS, toS) => meanBetween(cells3, fromS, toS);
  const early = (at(0, 5) - at(earlyS, 2 * earlyS)) / earlyS;
  const late = (at(earlyS, 2 * earlyS) - at(holdS - earlyS, holdS)) / (holdS - 2 * earlyS);
  const clear = early * earlyS > 6 * estimate.scatterUPa + 2 * context.gauge.resolutionPa;
  if (early < allowedDropPa2 / context.stage.dwellS || Math.abs(late) > 0.1 * early || !clear) return [];
  return [
    {
      code: "fall-stopped",
      text: `The pressure first fell at {rate:${early}} and then stood still. Check that no valve between gauge and cylinder was shut: a shut valve always holds.`
    }
  ];
}
var notSeen = {
  code: "not-seen",
  text: "The readings alone cannot show a valve shut between gauge and cylinder, or oil fed in exactly as fast as it leaks."
};
function meanBetween({ t: t2, y }, fromS, toS) {
  const within3 = Array.from(y).filter((_, i) => (t2[i] ?? 0) >= fromS && (t2[i] ?? 0) <= toS);
  return within3.length > 0 ? within3.reduce((sum2, one) => sum2 + one, 0) / within3.length : Number.NaN;
}

// src/evaluation/leak.ts
var leakRate = (volumeM3, bulkModulusPa, ratePaPerS2) => volumeM3 / bulkModulusPa * ratePaPerS2;
function leakWithUncertainty(trapped, dropPa, drop, dwellS) {
  const leak = leakRate(trapped.volumeM3, trapped.bulkModulusPa, dropPa / dwellS);
  const perPa = leakRate(trapped.volumeM3, trapped.bulkModulusPa, 1 / dwellS);
  const dof = Number.isFinite(drop.degreesOfFreedom) ? drop.degreesOfFreedom : null;
  const budget = [
    {
      of: "leak",
      name: "pressure drop",
      u: drop.u * perPa,
      degreesOfFreedom: dof,
      distribution: "t",
      basis: "the budget of the drop"
    },
    part("trapped volume", Math.abs(leak) * trapped.volumeUM3 / trapped.volumeM3, trapped.basis),
    part("stiffness", Math.abs(leak) * trapped.bulkModulusUPa / trapped.bulkModulusPa, trapped.basis)
  ];
  return { leakM3PerS: leak, budget, ...expand(budget) };
}
var part = (name, u, basis) => ({
  of: "leak",
  name,
  u,
  degreesOfFreedom: null,
  distribution: "normal",
  basis
});

// src/evaluation/stage-result.ts
function stageNotReached(context, verdict, reason) {
  const { stage, gauge } = context;
  return {
    name: stage.name,
    verdict,
    reason,
    targetPa: stage.targetPa,
    startPa: null,
    endPa: null,
    levelUncertaintyPa: levelUncertainty(gauge),
    dwellS: null,
    demandedDwellS: stage.dwellS,
    dwellStartUs: null,
    dwellEndUs: null,
    readings: 0,
    dropPa: null,
    dropUncertaintyPa: null,
    coverageFactor: null,
    ratePaPerS: null,
    rateUncertaintyPaPerS: null,
    temperatureCorrected: false,
    thermalDropPa: null,
    temperatureToExplainK: null,
    leakM3PerS: null,
    leakUncertaintyM3PerS: null,
    allowedDropPa: null,
    governingLimit: null,
    decision: stage.decision,
    smallestResolvableDropPa: null,
    budget: levelBudget(gauge),
    diagnosis: null,
    flags: []
  };
}
function stageResult(state, context, end) {
  const { stage } = context;
  const bare2 = {
    ...stageNotReached(context, "invalid", ""),
    readings: state.used,
    dwellStartUs: state.startUs,
    dwellEndUs: Number.isFinite(end.endUs) ? end.endUs : null
  };
  if (state.broken !== null) return { ...bare2, reason: state.broken };
  const startUs = state.startUs;
  if (startUs === null) return { ...bare2, reason: end.voided ?? "the dwell has no readings" };
  const { blocks } = state;
  const lastS = Math.max(0, blocks.timeS[blocks.length - 1] ?? 0);
  const letGo = end.released === true || end.tail === "released";
  const shutInS = letGo ? releaseS(blocks, releaseRate(context, end.released === true)) : lastS;
  const fullS = (end.endUs - startUs) / 1e6;
  const letGoS = end.tail === "released" ? letGoFrom(blocks, leastRelease * stage.targetPa) : Number.POSITIVE_INFINITY;
  const dwellS = Math.min(fullS, end.released ? shutInS : letGoS);
  if (!(dwellS > 0))
    return { ...bare2, reason: end.voided ?? "the dwell has no length: it ended no later than its first reading" };
  const holdS = end.tail === "none" ? Math.min(dwellS, lastS) : Math.max(shutInS, Math.min(dwellS, lastS));
  const estimate = estimateDecay(state, context, { dwellS, holdS });
  const measured = estimate !== null && Number.isFinite(estimate.judged.expandedU + estimate.judged.dropPa);
  const timeOver = !end.cutShort && end.voided === null && dwellS >= 0.999 * stage.dwellS;
  if (!measured && stage.allowed.length === 0 && timeOver && state.used > 0)
    return { ...bare2, ...levelsOnly(state, context, dwellS) };
  if (!estimate)
    return {
      ...bare2,
      dwellS,
      reason: end.voided ?? `only ${state.used} usable readings at different times; a fall and its uncertainty take at least 3`
    };
  if (!Number.isFinite(estimate.judged.expandedU) || !Number.isFinite(estimate.judged.dropPa))
    return { ...bare2, dwellS, reason: "no uncertainty can be stated for these readings" };
  const cutShort = end.cutShort || dwellS < 0.999 * stage.dwellS - 1e-6;
  const leak = leakWithUncertainty(
    context.port.trapped,
    estimate.judged.dropPa,
    estimate.judged,
    estimate.judged.toS - estimate.judged.fromS
  );
  return evaluated(bare2, state, context, { ...end, cutShort }, estimate, leak);
}
function levelsOnly({ blocks, noisePa }, context, dwellS) {
  const shown = Array.from(blocks.pressure.subarray(0, blocks.length)).filter(
    (_, i) => (blocks.timeS[i] ?? 0) <= dwellS
  );
  const level2 = (pa) => pressurePa(levelPa2(context, pa ?? 0));
  const lowestPa = level2(Math.min(...shown) + noiseMargin * noisePa);
  return {
    startPa: level2(shown[0]),
    endPa: level2(shown.at(-1)),
    dwellS,
    ...byLooking({ context, dwellS, lowestPa }, "")
  };
}
var leastRelease = 0.01;
var overLimit = 5;
function releaseRate({ stage, port }, inDwell) {
  const limit = governingLimit2(stage.allowed, stage.targetPa, stage.dwellS, port.trapped);
  if (inDwell || !limit) return leastRelease * stage.targetPa;
  return overLimit * limit.allowedDropPa / stage.dwellS;
}
var noiseMargin = 4;
function evaluated(bare2, state, context, end, estimate, leak) {
  const { stage, port } = context;
  const { judged: loss, startPa: startPa2, endPa, thermal: thermal2, settlingPa } = estimate;
  const dwellS = loss.toS - loss.fromS;
  const startUs = (state.startUs ?? 0) + Math.round(loss.fromS * 1e6);
  const limit = governingLimit2(stage.allowed, estimate.shutInPa, stage.dwellS, port.trapped);
  const perPa = port.trapped.volumeM3 / port.trapped.bulkModulusPa / dwellS;
  const letGo = end.released === true || end.tail === "released";
  const [lowest, highest2] = letGo ? [Math.min(startPa2, endPa), startPa2] : [state.lowestPa, state.highestPa];
  const judged2 = verdictOf({
    context,
    dwellS,
    cutShort: end.cutShort,
    estimate,
    leakUPerDropU: loss.expandedU > 0 ? leak.expandedU / perPa / loss.expandedU : 1,
    lowestPa: levelPa2(context, lowest + noiseMargin * state.noisePa),
    highestPa: levelPa2(context, highest2 - noiseMargin * state.noisePa),
    suddenFalls: end.suddenFalls ?? 0,
    limit
  });
  const proven = judged2.verdict === "fail" && end.lossCounts === true;
  const flags = flagsOf(state, estimate, leak, context, limit?.allowedDropPa ?? null);
  if (end.cutShort)
    flags.push({ code: "cut-short", text: `The dwell lasted {seconds:${dwellS}} of {seconds:${stage.dwellS}}.` });
  const result = {
    ...bare2,
    ...end.voided === null || proven ? judged2 : { verdict: "invalid", reason: end.voided },
    startPa: pressurePa(startPa2),
    endPa: pressurePa(endPa),
    dwellS,
    dwellStartUs: startUs,
    dwellEndUs: loss.fromS > 0 || end.released ? startUs + Math.round(dwellS * 1e6) : bare2.dwellEndUs,
    dropPa: pressureDifferencePa(loss.dropPa),
    dropUncertaintyPa: pressureDifferencePa(loss.expandedU),
    coverageFactor: loss.coverageFactor,
    ratePaPerS: loss.dropPa / dwellS,
    rateUncertaintyPaPerS: loss.expandedU / dwellS,
    temperatureCorrected: thermal2 !== null,
    thermalDropPa: thermal2 ? pressureDifferencePa(thermal2.dropPa) : null,
    temperatureToExplainK: Math.abs(loss.dropPa) / port.trapped.thermalPaPerK,
    leakM3PerS: leak.leakM3PerS,
    leakUncertaintyM3PerS: leak.expandedU,
    ...rodDrift(port, leak),
    allowedDropPa: limit?.allowedDropPa ?? null,
    governingLimit: limit?.limit ?? null,
    judged: stage.judge ?? "leak",
    plainDropPa: pressureDifferencePa(estimate.plainDropPa),
    settlingDropPa: settlingPa === null ? null : pressureDifferencePa(settlingPa),
    smallestResolvableDropPa: pressureDifferencePa(loss.expandedU * stage.dwellS / dwellS),
    budget: [...loss.budget, ...leak.budget, ...bare2.budget],
    diagnosis: diagnose(state, estimate, context, limit?.allowedDropPa ?? null),
    flags
  };
  return withComparison(result, context.previousStages);
}
var driftS = 600;
var rodDrift = ({ pistonAreaM2: pistonAreaM22 }, { leakM3PerS, expandedU }) => pistonAreaM22 !== void 0 && pistonAreaM22 > 0 && leakM3PerS > expandedU ? { rodDriftM: driftM(leakM3PerS * driftS, pistonAreaM22) } : {};
function withComparison(result, previous) {
  const comparison = previous.map((earlier) => compareStages(earlier, result)).findLast(({ ratio }) => ratio !== null);
  return comparison ? { ...result, flags: [...result.flags, stagesComparedFlag(comparison)] } : result;
}

// src/evaluation/trace/block-means.ts
var capacity = 1024;
var fields = 8;
var [N, T, P, TT, TP, PP, OIL_N, OIL] = [0, 1, 2, 3, 4, 5, 6, 7];
var BlockMeans = class {
  #data = new Float64Array(capacity * fields);
  #closed = 0;
  #size = 1;
  #first = true;
  #referencePa = 0;
  #referenceK = Number.NaN;
  /** The block being filled: sums about its first reading. */
  #n = 0;
  #t0 = 0;
  #p0 = 0;
  #st = 0;
  #sp = 0;
  #stt = 0;
  #stp = 0;
  #spp = 0;
  #oilN = 0;
  #oil = 0;
  /** @param oilK NaN for none */
  add(timeS, pressurePa2, oilK2) {
    if (this.#first) {
      this.#first = false;
      this.#referencePa = pressurePa2;
    }
    if (this.#n === 0) {
      this.#t0 = timeS;
      this.#p0 = pressurePa2 - this.#referencePa;
    }
    const t2 = timeS - this.#t0;
    const p = pressurePa2 - this.#referencePa - this.#p0;
    this.#n++;
    this.#st += t2;
    this.#sp += p;
    this.#stt += t2 * t2;
    this.#stp += t2 * p;
    this.#spp += p * p;
    if (!Number.isNaN(oilK2)) {
      if (Number.isNaN(this.#referenceK)) this.#referenceK = oilK2;
      this.#oilN++;
      this.#oil += oilK2 - this.#referenceK;
    }
    if (this.#n === this.#size) this.#close();
  }
  /**
   * Readings of an index up to another, each with a pressure: what {@link add} makes of each in turn.
   * @param startUs time that the seconds count from
   */
  addColumns({ timeUs, pressurePa: pressurePa2, oilMilliK }, from, until, startUs) {
    let at = from;
    while (at < until) {
      if (this.#n === 0) {
        const oilK2 = usableOilK(oilMilliK[at] / 1e3);
        this.add((timeUs[at] - startUs) / 1e6, pressurePa2[at], oilK2);
        at += 1;
        continue;
      }
      const end = Math.min(until, at + this.#size - this.#n);
      const [t0, p0, referencePa] = [this.#t0, this.#p0, this.#referencePa];
      let [st, sp, stt, stp, spp] = [this.#st, this.#sp, this.#stt, this.#stp, this.#spp];
      let [oilN, oilSum, referenceK] = [this.#oilN, this.#oil, this.#referenceK];
      this.#n += end - at;
      for (; at < end; at += 1) {
        const t2 = (timeUs[at] - startUs) / 1e6 - t0;
        const p = pressurePa2[at] - referencePa - p0;
        st += t2;
        sp += p;
        stt += t2 * t2;
        stp += t2 * p;
        spp += p * p;
        const oilK2 = usableOilK(oilMilliK[at] / 1e3);
        if (Number.isNaN(oilK2)) continue;
        if (Number.isNaN(referenceK)) referenceK = oilK2;
        oilN += 1;
        oilSum += oilK2 - referenceK;
      }
      [this.#st, this.#sp, this.#stt, this.#stp, this.#spp] = [st, sp, stt, stp, spp];
      [this.#oilN, this.#oil, this.#referenceK] = [oilN, oilSum, referenceK];
      if (this.#n === this.#size) this.#close();
    }
  }
  #close() {
    this.#write(this.#closed);
    this.#closed++;
    this.#n = this.#st = this.#sp = this.#stt = this.#stp = this.#spp = this.#oilN = this.#oil = 0;
    if (this.#closed === capacity) this.#halve();
  }
  /** Puts the block being filled into a row of the table. */
  #write(row) {
    const n2 = this.#n;
    const at = row * fields;
    const data = this.#data;
    data[at + N] = n2;
    data[at + T] = this.#t0 + this.#st / n2;
    data[at + P] = this.#p0 + this.#sp / n2;
    data[at + TT] = Math.max(0, this.#stt - this.#st * this.#st / n2);
    data[at + TP] = this.#stp - this.#st * this.#sp / n2;
    data[at + PP] = Math.max(0, this.#spp - this.#sp * this.#sp / n2);
    data[at + OIL_N] = this.#oilN;
    data[at + OIL] = this.#oilN > 0 ? this.#oil / this.#oilN : 0;
  }
  #halve() {
    for (let row = 0; row < capacity / 2; row++) mergeRows(this.#data, 2 * row, 2 * row + 1, row);
    this.#closed = capacity / 2;
    this.#size *= 2;
  }
  /** The blocks as they stand; later readings don't change what was returned. */
  snapshot() {
    const open = this.#n > 0 ? 1 : 0;
    if (open) this.#write(this.#closed);
    const length2 = this.#closed + open;
    const column = (field) => Float64Array.from({ length: length2 }, (_, row) => this.#data[row * fields + field] ?? 0);
    const oilCount = column(OIL_N);
    return {
      length: length2,
      count: column(N),
      timeS: column(T),
      pressure: column(P),
      oil: column(OIL).map((value, row) => (oilCount[row] ?? 0) > 0 ? value : Number.NaN),
      referencePa: this.#referencePa,
      referenceK: this.#referenceK,
      total: this.#total(length2)
    };
  }
  #total(length2) {
    const table = new Float64Array(2 * fields);
    for (let row = 0; row < length2; row++) {
      table.set(this.#data.subarray(row * fields, (row + 1) * fields), fields);
      mergeRows(table, 0, 1, 0);
    }
    const [n2 = 0, meanT = 0, meanP = 0, stt = 0, stp = 0, spp = 0] = table;
    return { n: n2, meanT, meanP, stt, stp, spp };
  }
};
function mergeRows(data, first, second, into) {
  const a = first * fields;
  const b = second * fields;
  const get = (at) => data[at];
  const na = get(a + N);
  const nb = get(b + N);
  const n2 = na + nb;
  const share = n2 > 0 ? nb / n2 : 0;
  const dt = get(b + T) - get(a + T);
  const dp = get(b + P) - get(a + P);
  const cross = na * share;
  const oilN = get(a + OIL_N) + get(b + OIL_N);
  const oilShare = oilN > 0 ? get(b + OIL_N) / oilN : 0;
  const merged = [
    n2,
    get(a + T) + dt * share,
    get(a + P) + dp * share,
    get(a + TT) + get(b + TT) + dt * dt * cross,
    get(a + TP) + get(b + TP) + dt * dp * cross,
    get(a + PP) + get(b + PP) + dp * dp * cross,
    oilN,
    get(a + OIL) * (1 - oilShare) + get(b + OIL) * oilShare
  ];
  data.set(merged, into * fields);
}

// src/evaluation/trace/dwell-trace.ts
var typedKept = 64;
var DwellTrace = class {
  #means = new BlockMeans();
  #watch;
  #startUs = null;
  #lastUs = null;
  #used = 0;
  #leftOut = 0;
  #duplicates = 0;
  #lowest = Number.POSITIVE_INFINITY;
  #highest = Number.NEGATIVE_INFINITY;
  #typed = [];
  #broken = null;
  #lastOilK = Number.NaN;
  #oilStepK = Number.POSITIVE_INFINITY;
  constructor(resolutionPa) {
    this.#watch = new SpikeWatch(resolutionPa, {
      add: (timeS, pressurePa2, oilK2) => {
        this.#used++;
        if (pressurePa2 < this.#lowest) this.#lowest = pressurePa2;
        if (pressurePa2 > this.#highest) this.#highest = pressurePa2;
        this.#probed(oilK2);
        this.#means.add(timeS, pressurePa2, oilK2);
      },
      addColumns: (readings, from, until, startUs) => {
        this.#used += until - from;
        let [lowest, highest2] = [this.#lowest, this.#highest];
        for (let at = from; at < until; at += 1) {
          const pascals2 = readings.pressurePa[at];
          if (pascals2 < lowest) lowest = pascals2;
          if (pascals2 > highest2) highest2 = pascals2;
          this.#probed(usableOilK(readings.oilMilliK[at] / 1e3));
        }
        [this.#lowest, this.#highest] = [lowest, highest2];
        this.#means.addColumns(readings, from, until, startUs);
      }
    });
  }
  #probed(oilK2) {
    const step2 = Math.abs(oilK2 - this.#lastOilK);
    if (step2 > 5e-4 && step2 < this.#oilStepK) this.#oilStepK = step2;
    if (!Number.isNaN(oilK2)) this.#lastOilK = oilK2;
  }
  add(timeUs, pressurePa2, oilK2, flags) {
    if (this.#broken !== null) return;
    if (!Number.isFinite(timeUs)) {
      this.#broken = "a reading came with a time that is not a number";
      return;
    }
    if (this.#startUs === null || this.#lastUs === null) this.#startUs = timeUs;
    else if (timeUs < this.#lastUs) {
      this.#broken = `time ran backwards by {seconds:${(this.#lastUs - timeUs) / 1e6}} after {seconds:${(this.#lastUs - this.#startUs) / 1e6}} of dwell`;
      return;
    } else if (timeUs === this.#lastUs) {
      this.#duplicates++;
      return;
    }
    this.#lastUs = timeUs;
    if (pressurePa2 === null || flags !== 0) {
      this.#leftOut++;
      return;
    }
    if (!Number.isFinite(pressurePa2) || oilK2 !== null && !Number.isFinite(oilK2)) {
      this.#broken = `a reading after {seconds:${(timeUs - this.#startUs) / 1e6}} of dwell is not a number`;
      return;
    }
    this.#watch.add((timeUs - this.#startUs) / 1e6, pressurePa2, oilK2 === null ? Number.NaN : usableOilK(oilK2));
  }
  /** Readings of an index up to another: what {@link add} makes of each in turn. */
  addColumns(readings, from, until) {
    const { timeUs, pressurePa: pressurePa2, oilMilliK, flags } = readings;
    for (let at = from; at < until; at += 1) {
      const plain3 = this.#plainUntil(readings, at, until);
      if (plain3 > at && this.#startUs !== null) {
        this.#watch.addColumns(readings, at, plain3, this.#startUs);
        this.#lastUs = timeUs[plain3 - 1];
        at = plain3;
        if (at === until) return;
      }
      const pascals2 = pressurePa2[at];
      const milli = oilMilliK[at];
      this.add(
        timeUs[at],
        Number.isNaN(pascals2) ? null : pascals2,
        Number.isNaN(milli) ? null : milli / 1e3,
        flags[at]
      );
    }
  }
  /** The first from an index on that is not simply one more reading. */
  #plainUntil({ timeUs, pressurePa: pressurePa2, flags }, from, until) {
    if (this.#startUs === null || this.#lastUs === null || this.#broken !== null) return from;
    let lastUs = this.#lastUs;
    let at = from;
    for (; at < until; at += 1) {
      const nowUs = timeUs[at];
      const pascals2 = pressurePa2[at];
      if (!(nowUs > lastUs && nowUs < Number.POSITIVE_INFINITY) || pascals2 - pascals2 !== 0 || flags[at] !== 0) break;
      lastUs = nowUs;
    }
    return at;
  }
  /** Keeps the first and the newest of what was typed when there is more than fits. */
  typedOil(timeUs, oilK2) {
    if (!Number.isFinite(timeUs) || !Number.isFinite(oilK2)) {
      this.#broken ??= "an oil temperature was typed that is not a number";
      return;
    }
    if (this.#typed.length === typedKept) this.#typed.splice(1, 1);
    this.#typed.push({ timeUs, oilK: oilK2 });
  }
  typedOilTakenBack(timeUs) {
    this.#typed = this.#typed.filter((typed) => typed.timeUs !== timeUs);
  }
  /** Lets go of readings that are held back for the spike rule; for the end of the dwell. */
  close() {
    this.#watch.flush();
  }
  /** The first reading's time, us; null before it. */
  get startUs() {
    return this.#startUs;
  }
  state() {
    const startUs = this.#startUs ?? 0;
    return {
      blocks: this.#means.snapshot(),
      used: this.#used,
      leftOut: this.#leftOut,
      duplicates: this.#duplicates,
      spikes: this.#watch.count,
      greatestSpikePa: this.#watch.greatestPa,
      noisePa: this.#watch.noisePa,
      lowestPa: this.#lowest,
      highestPa: this.#highest,
      oilStepK: Number.isFinite(this.#oilStepK) ? this.#oilStepK : 0,
      typed: this.#typed.map(({ timeUs, oilK: oilK2 }) => ({ timeS: (timeUs - startUs) / 1e6, oilK: oilK2 })),
      startUs: this.#startUs,
      lastUs: this.#lastUs,
      broken: this.#broken
    };
  }
};

// src/evaluation/dwell.ts
function startDwell(context) {
  const trace = new DwellTrace(context.gauge.resolutionPa);
  let ended = false;
  let said = null;
  return {
    add(timeUs, pressurePa2, oilK2, flags) {
      if (!ended) trace.add(timeUs, pressurePa2, oilK2, flags);
    },
    addColumns(readings, from, until) {
      if (!ended) trace.addColumns(readings, from, until);
    },
    typedOil(timeUs, oilK2) {
      if (!ended) trace.typedOil(timeUs, oilK2);
    },
    typedOilTakenBack(timeUs) {
      if (!ended) trace.typedOilTakenBack(timeUs);
    },
    early(nowUs) {
      const everyUs = Math.max(1e6, (nowUs - (trace.startUs ?? nowUs)) / 40);
      if (!said || nowUs - said.atUs >= everyUs) said = { atUs: nowUs, word: earlyWord(trace.state(), context, nowUs) };
      return said.word;
    },
    finish(end) {
      ended = true;
      trace.close();
      return stageResult(trace.state(), context, end);
    }
  };
}

// src/holdtest/rate-window.ts
var cells = 20;
var emptyWindow = (spanS2) => ({
  spanUs: Math.round(spanS2 * 1e6),
  done: [],
  open: null,
  originUs: null
});
function slide(window, timeUs, pressurePa2) {
  const originUs = window.originUs ?? timeUs;
  const tS = (timeUs - originUs) / 1e6;
  const open = window.open;
  if (open && timeUs - open.startUs < window.spanUs / cells) {
    const grown = { startUs: open.startUs, sumS: open.sumS + tS, sumPa: open.sumPa + pressurePa2, n: open.n + 1 };
    return { spanUs: window.spanUs, done: window.done, open: grown, originUs };
  }
  const fresh = { startUs: timeUs, sumS: tS, sumPa: pressurePa2, n: 1 };
  if (!open) return { spanUs: window.spanUs, done: window.done, open: fresh, originUs };
  const oldestS = tS - window.spanUs / 1e6;
  const kept = window.done.filter((cell) => cell.tS >= oldestS);
  return { spanUs: window.spanUs, done: [...kept, closeCell(open)], open: fresh, originUs };
}
var closeCell = (open) => ({ tS: open.sumS / open.n, pPa: open.sumPa / open.n, n: open.n });
function coveredS(window) {
  const first = window.done[0];
  if (!first || !window.open) return 0;
  return window.open.sumS / window.open.n - first.tS;
}
var ratePaPerS = (window) => rateOf(allCells(window));
function halfRates(window) {
  const all = allCells(window);
  const middle2 = Math.floor(all.length / 2);
  return [rateOf(all.slice(0, middle2)), rateOf(all.slice(middle2))];
}
var readingsIn = (window) => allCells(window).reduce((sum2, cell) => sum2 + cell.n, 0);
var allCells = (window) => window.open ? [...window.done, closeCell(window.open)] : window.done;
function rateOf(all) {
  if (all.length < 3) return null;
  let n2 = 0;
  let meanS = 0;
  let meanPa = 0;
  for (const cell of all) {
    n2 += cell.n;
    meanS += (cell.tS - meanS) * cell.n / n2;
    meanPa += (cell.pPa - meanPa) * cell.n / n2;
  }
  let tt = 0;
  let tp = 0;
  for (const cell of all) {
    tt += cell.n * square(cell.tS - meanS);
    tp += cell.n * (cell.tS - meanS) * (cell.pPa - meanPa);
  }
  return tt > 0 ? tp / tt : null;
}
var isFull = (window) => coveredS(window) >= window.spanUs / 1e6 * (1 - 2 / cells);

// src/holdtest/shut-in.ts
var spanUs = 3e6;
var leastShare = 5e-4;
var sure3 = 4.5;
var pumpShare = 4e-3;
var pumpSteps = 4;
var bleedShare = 1e-3;
var remembered2 = 12;
var watchFrom = (timeUs, pressurePa2) => ({
  sinceUs: timeUs,
  sincePa: pressurePa2,
  risenPa: 0,
  pumpedUs: timeUs,
  startPa: null,
  lowestPa: null,
  highestPa: pressurePa2,
  scatter: { squarePa2: 0, count: 0 },
  fast: { fallPa: 0, calm: 0, levelPa: 0 },
  last: [],
  open: { startUs: timeUs, n: 1, sumPa: pressurePa2 }
});
function watchShutIn(watch, timeUs, pressurePa2, { targetPa, resolutionPa }) {
  const { open, lowestPa } = watch;
  const margin = Math.max(leastShare * targetPa, 1.2 * resolutionPa, sure3 * scatterPa(watch.scatter));
  const pumpPa = Math.max(margin, pumpShare * targetPa, pumpSteps * resolutionPa);
  const again = (byPa) => {
    const goesOn = timeUs - watch.sinceUs <= spanUs / 2;
    const risenPa = byPa + (goesOn ? watch.risenPa : 0);
    return {
      ...watchFrom(timeUs, pressurePa2),
      risenPa,
      pumpedUs: risenPa > pumpPa ? timeUs : watch.pumpedUs,
      scatter: watch.scatter
    };
  };
  const reference = Math.min(watch.highestPa, lowestPa ?? watch.highestPa);
  const fromPa = watch.startPa === null ? watch.sincePa : watch.highestPa;
  if (pressurePa2 > fromPa + margin) return again(pressurePa2 - reference);
  const highestPa = Math.max(watch.highestPa, pressurePa2);
  if (timeUs - open.startUs < spanUs)
    return { ...watch, highestPa, open: { startUs: open.startUs, n: open.n + 1, sumPa: open.sumPa + pressurePa2 } };
  const mean = open.sumPa / open.n;
  if (lowestPa !== null && mean > lowestPa + margin) return again(mean - lowestPa);
  const [a, b] = watch.last;
  const leastPa = Math.max(margin, bleedShare * targetPa, 3 * resolutionPa);
  const fast = fallen2(watch.fast, b ?? a ?? mean, mean, leastPa);
  if (fast.calm === 2) return { ...again(0), startPa: fast.levelPa };
  return {
    ...watch,
    highestPa,
    startPa: watch.startPa ?? mean,
    lowestPa: lowestPa === null ? mean : Math.min(lowestPa, mean),
    scatter: a === void 0 || b === void 0 ? watch.scatter : learned(watch.scatter, mean - 2 * b + a),
    fast,
    last: b === void 0 ? [...watch.last, mean] : [b, mean],
    open: { startUs: timeUs, n: 1, sumPa: pressurePa2 }
  };
}
function fallen2(fast, beforePa, meanPa, leastPa) {
  const fallPa = beforePa - meanPa;
  const isSlow = fast.fallPa > 0 && fallPa < fast.fallPa / 2;
  if (fallPa > leastPa && !isSlow) return { fallPa: Math.max(fast.fallPa, fallPa), calm: 0, levelPa: 0 };
  if (!isSlow) return fast;
  return { ...fast, calm: fast.calm + 1, levelPa: fast.calm === 0 ? meanPa : fast.levelPa };
}
function learned({ squarePa2, count }, secondPa) {
  const many = Math.min(count + 1, remembered2);
  return { squarePa2: squarePa2 + (square(secondPa) - squarePa2) / many, count: many };
}
var scatterPa = ({ squarePa2, count }) => count < 3 ? 0 : Math.sqrt(squarePa2 / 3);

// src/holdtest/signal.ts
var secondsKept = 10;
var secondUs = 1e6;
var mostSteps = 64;
var freshSignal = {
  lastUs: null,
  lastPa: null,
  intervalUs: null,
  roughnessPa: 0,
  roughnessSteps: 0,
  seconds: [],
  open: null,
  overCount: 0
};
var trimmedMean = (n2, sumPa, lowPa, highPa2) => n2 >= 4 ? (sumPa - lowPa - highPa2) / (n2 - 2) : sumPa / n2;
function track(signal, { timeUs }, pressurePa2, overLimitPa) {
  const running = new RunningSignal(signal);
  const secondDone = running.endsSecond(timeUs);
  running.add(timeUs, pressurePa2, overLimitPa);
  return { signal: running.stand(), secondDone };
}
var RunningSignal = class {
  #lastUs;
  #lastPa;
  #intervalUs;
  #roughnessPa;
  #roughnessSteps;
  #seconds;
  #openUs;
  #n;
  #sumPa;
  #lowPa;
  #highPa;
  #overCount;
  constructor(signal) {
    const { open } = signal;
    this.#lastUs = signal.lastUs ?? Number.NaN;
    this.#lastPa = signal.lastPa ?? Number.NaN;
    this.#intervalUs = signal.intervalUs ?? Number.NaN;
    this.#roughnessPa = signal.roughnessPa;
    this.#roughnessSteps = signal.roughnessSteps;
    this.#seconds = [...signal.seconds];
    this.#openUs = open === null ? Number.NaN : open.startUs;
    this.#n = open === null ? 0 : open.n;
    this.#sumPa = open === null ? 0 : open.sumPa;
    this.#lowPa = open === null ? 0 : open.lowPa;
    this.#highPa = open === null ? 0 : open.highPa;
    this.#overCount = signal.overCount;
  }
  /** A reading at that time would close the second that is open. */
  endsSecond(timeUs) {
    return timeUs - this.#openUs >= secondUs;
  }
  add(timeUs, pressurePa2, overLimitPa) {
    const stepPa2 = Number.isNaN(this.#lastPa) ? 0 : Math.abs(pressurePa2 - this.#lastPa);
    this.#roughnessSteps = Math.min(mostSteps, this.#roughnessSteps + 1);
    this.#roughnessPa += (stepPa2 - this.#roughnessPa) / this.#roughnessSteps;
    if (this.endsSecond(timeUs)) {
      if (this.#seconds.length === secondsKept) this.#seconds.shift();
      this.#seconds.push(trimmedMean(this.#n, this.#sumPa, this.#lowPa, this.#highPa));
      this.#n = 0;
    }
    if (this.#n === 0) {
      this.#openUs = timeUs;
      this.#n = 1;
      this.#sumPa = this.#lowPa = this.#highPa = pressurePa2;
    } else {
      this.#n += 1;
      this.#sumPa += pressurePa2;
      if (pressurePa2 < this.#lowPa) this.#lowPa = pressurePa2;
      if (pressurePa2 > this.#highPa) this.#highPa = pressurePa2;
    }
    if (!Number.isNaN(this.#lastUs)) this.#intervalUs = usualInterval(this.#intervalUs, timeUs - this.#lastUs);
    this.#overCount = pressurePa2 > overLimitPa ? this.#overCount + 1 : 0;
    this.#lastUs = timeUs;
    this.#lastPa = pressurePa2;
  }
  /**
   * Takes readings from `from` on while they stay within bounds: what {@link add} makes of each in turn. Returns the
   * first that does not; it is `from` for a signal that has just begun.
   */
  addQuiet({ length: length2, timeUs, pressurePa: pressurePa2, oppositePa, flags }, from, bounds) {
    if (this.#roughnessSteps < mostSteps || Number.isNaN(this.#intervalUs) || this.#n === 0) return from;
    const { lowestPa, highestPa, oppositePa: mostOppositePa, unusableFlags: unusableFlags2, endUs } = bounds;
    const seconds3 = this.#seconds;
    let [third, second, last2] = [seconds3.at(-3), seconds3.at(-2), seconds3.at(-1)];
    let [lastUs, lastPa, intervalUs, roughnessPa] = [this.#lastUs, this.#lastPa, this.#intervalUs, this.#roughnessPa];
    let [openUs, n2, sumPa, lowPa, highPa2] = [this.#openUs, this.#n, this.#sumPa, this.#lowPa, this.#highPa];
    let at = from;
    for (; at < length2; at += 1) {
      const nowUs = timeUs[at];
      const pascals2 = pressurePa2[at];
      const stepUs = nowUs - lastUs;
      if (!(pascals2 >= lowestPa && pascals2 <= highestPa) || oppositePa[at] > mostOppositePa) break;
      const flag = flags[at];
      if (!(stepUs > 0 && nowUs < endUs) || flag !== 0 && (flag & unusableFlags2) !== 0) break;
      if (stepUs > 2 * secondUs && stepUs > gapUs(intervalUs)) break;
      if (nowUs - openUs >= secondUs) {
        const mean = trimmedMean(n2, sumPa, lowPa, highPa2);
        const change = changePa(third, second, last2, mean);
        if (change !== 0 && !bounds.quiet(change, roughnessPa)) break;
        seconds3.push(mean);
        [third, second, last2] = [second, last2, mean];
        openUs = nowUs;
        n2 = 1;
        sumPa = lowPa = highPa2 = pascals2;
      } else {
        n2 += 1;
        sumPa += pascals2;
        if (pascals2 < lowPa) lowPa = pascals2;
        if (pascals2 > highPa2) highPa2 = pascals2;
      }
      roughnessPa += (Math.abs(pascals2 - lastPa) - roughnessPa) * 0.015625;
      if (stepUs < 3 * intervalUs) intervalUs += (stepUs - intervalUs) * 0.125;
      lastUs = nowUs;
      lastPa = pascals2;
    }
    if (at === from) return from;
    if (seconds3.length > secondsKept) seconds3.splice(0, seconds3.length - secondsKept);
    [this.#lastUs, this.#lastPa, this.#intervalUs, this.#roughnessPa] = [lastUs, lastPa, intervalUs, roughnessPa];
    [this.#openUs, this.#n, this.#sumPa, this.#lowPa, this.#highPa] = [openUs, n2, sumPa, lowPa, highPa2];
    this.#overCount = 0;
    return at;
  }
  /** As plain JSON. */
  stand() {
    const open = {
      startUs: this.#openUs,
      n: this.#n,
      sumPa: this.#sumPa,
      lowPa: this.#lowPa,
      highPa: this.#highPa
    };
    return {
      lastUs: orNull(this.#lastUs),
      lastPa: orNull(this.#lastPa),
      intervalUs: orNull(this.#intervalUs),
      roughnessPa: this.#roughnessPa,
      roughnessSteps: this.#roughnessSteps,
      seconds: [...this.#seconds],
      open: this.#n === 0 ? null : open,
      overCount: this.#overCount
    };
  }
};
var orNull = (value) => Number.isNaN(value) ? null : value;
function usualInterval(before, stepUs) {
  if (stepUs <= 0) return before;
  if (Number.isNaN(before)) return stepUs;
  return stepUs < 3 * before ? before + (stepUs - before) / 8 : before;
}
var gapUs = (intervalUs) => Math.max(2 * secondUs, Number.isNaN(intervalUs) ? 0 : 5 * intervalUs);
var gapLimitUs = (signal) => gapUs(signal.intervalUs ?? Number.NaN);
var suddenChangePa = ({ seconds: seconds3 }) => changePa(seconds3.at(-4), seconds3.at(-3), seconds3.at(-2), seconds3.at(-1));
function changePa(a, b, c, d) {
  if (a === void 0 || b === void 0 || c === void 0 || d === void 0) return 0;
  const rise = Math.min(c, d) - Math.max(a, b);
  const drop = Math.min(a, b) - Math.max(c, d);
  return rise > 0 ? rise : drop > 0 ? -drop : 0;
}

// src/holdtest/strokes/stroke-state.ts
var freshStrokes = { seen: 0, zeroPa: null, zeroSinceUs: null, open: null, last: null };

// src/holdtest/state.ts
var freshFacts = {
  repeat: null,
  zeroBeforePa: null,
  zeroAfterPa: null,
  zeroInTolerance: true,
  zeroKept: true,
  openPortPa: null,
  peakPa: null,
  overpressure: false,
  entries: [],
  observations: [],
  collected: null,
  strokes: null,
  oilPumpedM3: null,
  inspected: false,
  outOfOrder: 0
};
var freshReady = {
  name: "ready",
  sinceUs: null,
  confirmed: false,
  zeroCount: 0,
  zeroMeanPa: 0,
  other: null
};
var beginHold = (ports) => ({
  portIndex: 0,
  attempt: 1,
  attemptsMade: Array.from({ length: ports }, () => 0),
  stageIndex: 0,
  phase: freshReady,
  signal: freshSignal,
  facts: freshFacts,
  strokes: freshStrokes,
  alarms: []
});

// src/holdtest/turn.ts
var portOf = (plan, state) => plan.ports[state.portIndex] ?? null;
var stageOf2 = (plan, state) => portOf(plan, state)?.stages[state.stageIndex] ?? null;
var gaugeOf2 = ({ plan, state }) => gaugeAt(plan, portOf(plan, state));
function report(turn, code, grade, text) {
  const port = portOf(turn.plan, turn.state) ?? turn.plan.ports.at(-1);
  if (!port) return;
  const event = {
    timeUs: turn.timeUs,
    port: port.port,
    attempt: turn.state.attempt,
    stage: stageOf2(turn.plan, turn.state)?.name ?? null,
    phase: turn.state.phase.name,
    code,
    grade,
    text
  };
  turn.effects.push({ kind: "event", event });
  if (grade === "alarm" || grade === "void") turn.state = { ...turn.state, alarms: [...turn.state.alarms, event] };
}
function enter(turn, phase, text) {
  turn.state = { ...turn.state, phase };
  report(turn, "phase", "note", text);
}
function setPhase(turn, phase) {
  turn.state = { ...turn.state, phase };
}
function setFacts(turn, facts) {
  turn.state = { ...turn.state, facts: { ...turn.state.facts, ...facts } };
}
function endStage(turn, ended, endUs = turn.timeUs) {
  const outcome = spoiledOutcome(turn.state.phase, ended);
  const { plan, timeUs } = turn;
  const port = portOf(plan, turn.state);
  if (!port) return;
  const stageIndex = turn.state.stageIndex;
  turn.effects.push({ kind: "stage-ended", stageIndex, endUs, outcome });
  const next = stageIndex + 1;
  if (outcome.kind === "full" && next < port.stages.length) {
    const lastPa = turn.state.signal.lastPa ?? 0;
    turn.state = { ...turn.state, stageIndex: next };
    enter(turn, freshRamp(timeUs, lastPa), `Raise the pressure to {pressure:${port.stages[next]?.targetPa ?? 0}}.`);
    return;
  }
  for (let skipped = next; skipped < port.stages.length; skipped++) {
    const reason = "not run, because the stage before it did not end as it should";
    const none2 = { kind: "no dwell", verdict: "inconclusive", reason };
    turn.effects.push({ kind: "stage-ended", stageIndex: skipped, endUs: timeUs, outcome: none2 });
  }
  const bleedDown = {
    name: "bleed-down",
    sinceUs: timeUs,
    belowSinceUs: null,
    zeroCount: 0,
    zeroMeanPa: 0,
    comingFromPa: null,
    warned: false
  };
  turn.state = { ...turn.state, stageIndex: port.stages.length };
  enter(turn, bleedDown, "Bleed down slowly at the bench valve.");
}
function spoiledOutcome(phase, outcome) {
  const spoiled = phase.name === "dwell" || phase.name === "stabilise" ? phase.spoiled : null;
  if (spoiled === null || outcome.kind === "full") return outcome;
  const released = outcome.kind === "voided" && outcome.released;
  return { kind: "voided", reason: spoiled, lossCounts: phase.name === "dwell", released };
}
function endAttempt(turn) {
  turn.effects.push({ kind: "attempt-ended", facts: turn.state.facts });
  beginPort(turn, turn.state.portIndex + 1, null);
}
function beginPort(turn, portIndex, repeat) {
  const attempt = (turn.state.attemptsMade[portIndex] ?? 0) + 1;
  const done = portIndex >= turn.plan.ports.length;
  turn.state = {
    ...turn.state,
    portIndex,
    attempt: done ? turn.state.attempt : attempt,
    stageIndex: 0,
    phase: done ? { name: "done" } : freshReady,
    facts: { ...freshFacts, repeat },
    strokes: freshStrokes
  };
}
var freshStabilise = (timeUs, pressurePa2, forS, spoiled = null) => ({
  name: "stabilise",
  spoiled,
  sinceUs: timeUs,
  window: emptyWindow(forS),
  outOfBand: false,
  firstRate: null,
  shutIn: watchFrom(timeUs, pressurePa2)
});
var freshRamp = (timeUs, fromPa) => ({
  name: "ramp",
  sinceUs: timeUs,
  fromPa,
  peakPa: fromPa,
  window: emptyWindow(2),
  tooFast: false,
  paused: false,
  releasedSinceUs: null
});

// src/holdtest/entries.ts
function entryText(act) {
  switch (act.kind) {
    case "note":
      return act.text;
    case "observation": {
      const { point, amount, drops, text } = act.observation;
      return `${point}: ${amount}${drops === void 0 ? "" : ` (${drops} drops)`}${text ? `, ${text}` : ""}`;
    }
    case "collected":
      return `{volume:${act.volumeM3}} of oil collected at the other port in {seconds:${act.overS}}.`;
    case "oil-temperature":
      return `Oil at {temperature:${act.oilK}}.`;
    case "strokes":
      return `${act.count} booster strokes counted.`;
    case "oil-pumped":
      return `{volume:${act.volumeM3}} of oil pumped in.`;
    case "inspected":
      return "Every point has been looked at.";
    default:
      return act;
  }
}
function keepEntry(turn, act) {
  setEntries(turn, [...turn.state.facts.entries, { timeUs: turn.timeUs, act, takenBack: false }]);
}
function beginEntries(turn) {
  const ofDwell = portOf(turn.plan, turn.state)?.collected ? ["inspected", "collected"] : ["inspected"];
  setEntries(
    turn,
    turn.state.facts.entries.map((entry) => ofDwell.includes(entry.act.kind) ? { ...entry, over: true } : entry)
  );
}
function takeBack(turn, place, reason) {
  const { entries } = turn.state.facts;
  const entry = entries[place];
  if (!entry || entry.takenBack) return report(turn, "note", "note", `There is no entry to take back: ${reason}`);
  setEntries(
    turn,
    entries.map((one, index) => index === place ? { ...one, takenBack: true } : one)
  );
  if (entry.act.kind === "oil-temperature")
    turn.effects.push({ kind: "oil-temperature-taken-back", timeUs: entry.timeUs });
  const code = entry.act.kind === "inspected" ? "inspection-taken-back" : "taken-back";
  report(turn, code, "warn", `Taken back: ${entryText(entry.act).replace(/\.$/, "")}. Why: ${reason}`);
}
function setEntries(turn, entries) {
  const acts = entries.flatMap(({ act, takenBack, over }) => takenBack || over ? [] : [act]);
  const newest = (kind) => acts.findLast((act) => act.kind === kind);
  const collected2 = newest("collected");
  setFacts(turn, {
    entries,
    observations: acts.flatMap((act) => act.kind === "observation" ? [act.observation] : []),
    collected: collected2 ? { volumeM3: collected2.volumeM3, overS: collected2.overS } : null,
    strokes: newest("strokes")?.count ?? null,
    oilPumpedM3: newest("oil-pumped")?.volumeM3 ?? null,
    inspected: newest("inspected") !== void 0
  });
}

// src/holdtest/level.ts
var none = [];
var correctionsOf = (plan, gauge) => plan.corrections === "applied" ? gauge?.calibration?.corrections ?? none : none;
function asLevel(plan, port, reading) {
  const [main, other] = tablesOf(plan, port);
  if (main.length === 0 && other.length === 0) return reading;
  const { pressurePa: pressurePa2, oppositePa } = reading;
  return {
    ...reading,
    pressurePa: pressurePa2 === null ? null : correctedPa(main, pressurePa2),
    oppositePa: oppositePa === null ? null : correctedPa(other, oppositePa)
  };
}
function asLevels(plan, port, readings) {
  const [main, other] = tablesOf(plan, port);
  if (main.length === 0 && other.length === 0) return readings;
  const corrected = (table, column) => column.map((pascals2) => Number.isNaN(pascals2) ? pascals2 : correctedPa(table, pressurePa(pascals2)));
  const { timeUs, oilMilliK, flags } = readings;
  const pressures = corrected(main, readings.pressurePa);
  return new ReadingColumns(timeUs, pressures, corrected(other, readings.oppositePa), oilMilliK, flags);
}
function tablesOf(plan, port) {
  const main = correctionsOf(plan, gaugeAt(plan, port));
  const other = port?.oppositeGauge ? correctionsOf(plan, port.oppositeGauge) : main;
  return [main, other];
}

// src/holdtest/strokes/level-run.ts
var suddenUs = 2e6;
var cellsKept = 64;
var firstCellUs = 5e5;
var slowerRise = 2;
var freshLevel = (us, pa, reached = { pa, us }) => ({
  topPa: pa,
  topUs: us,
  reached,
  lowPa: pa,
  fellPa: 0,
  teeth: 0,
  zigzag: { up: true, pa, us, fromUs: us, legBeforeUs: 0 },
  cells: [],
  cellUs: firstCellUs,
  open: null
});
function heldOn(level2, us, pa, stepPa2) {
  const lowPa = Math.min(level2.lowPa, pa);
  const fellPa = us - level2.topUs <= suddenUs ? level2.topPa - lowPa : level2.fellPa;
  return { ...level2, lowPa, fellPa, ...turned(level2, us, pa, stepPa2), ...celled(level2, us, pa) };
}
function turned(level2, us, pa, stepPa2) {
  const { zigzag, teeth } = level2;
  const further = zigzag.up ? pa >= zigzag.pa : pa <= zigzag.pa;
  if (further) return { teeth, zigzag: { ...zigzag, pa, us } };
  if (Math.abs(pa - zigzag.pa) < stepPa2) return { teeth, zigzag };
  const legUs = zigzag.us - zigzag.fromUs;
  const tooth = !zigzag.up && zigzag.legBeforeUs >= slowerRise * legUs;
  return {
    teeth: tooth ? teeth + 1 : teeth,
    zigzag: { up: !zigzag.up, pa, us, fromUs: zigzag.us, legBeforeUs: legUs }
  };
}
function celled({ cells: cells3, cellUs, open }, us, pa) {
  if (!open || us - open.startUs < cellUs)
    return {
      cells: cells3,
      cellUs,
      open: open ? { startUs: open.startUs, sumPa: open.sumPa + pa, n: open.n + 1 } : { startUs: us, sumPa: pa, n: 1 }
    };
  const all = [...cells3, open.sumPa / open.n];
  const fresh = { startUs: us, sumPa: pa, n: 1 };
  if (all.length < cellsKept) return { cells: all, cellUs, open: fresh };
  const joined = all.flatMap((cell, i) => i % 2 === 1 ? [(cell + (all[i - 1] ?? cell)) / 2] : []);
  return { cells: joined, cellUs: 2 * cellUs, open: fresh };
}
function runOf(level2, toUs) {
  const { cells: cells3 } = level2;
  if (cells3.length < 2) return null;
  const sorted = cells3.toSorted((a, b) => a - b);
  const middle2 = Math.floor(cells3.length / 2);
  const mean = (part2) => part2.reduce((sum2, pa) => sum2 + pa, 0) / part2.length;
  return {
    fromUs: level2.topUs,
    reached: level2.reached,
    toUs,
    topPa: level2.topPa,
    fellPa: level2.fellPa,
    teeth: level2.teeth,
    levelPa: sorted[middle2] ?? level2.topPa,
    halvesPa: [mean(cells3.slice(0, middle2)), mean(cells3.slice(middle2))]
  };
}

// src/holdtest/strokes/recognise.ts
var stallUs = 1e6;
var leastRunUs = 3e6;
var climbs = 1.3;
var climbMarks = [climbs, 2, 3, 5];
var levelWithin = 0.25;
var fallShare = 0.08;
var teethWanted = 3;
var slowerAtStop = 3;
var stepPa = (noisePa, resolutionPa) => Math.max(5 * noisePa, 2 * resolutionPa);
var comePa = (noisePa, resolutionPa) => Math.max(6 * noisePa, 3 * resolutionPa);
var beginStroke = (from, us, pa) => ({
  ...from,
  newest: [pa],
  level: freshLevel(us, pa),
  best: null,
  climbUs: [],
  lowSinceUs: null
});
function strokeOn(open, us, shownPa, resolutionPa) {
  const [one = shownPa, two = shownPa] = open.newest;
  const pa = Math.max(Math.min(one, two), Math.min(Math.max(one, two), shownPa));
  const newest = [two, shownPa];
  const { level: level2 } = open;
  const turn = stepPa(open.noisePa, resolutionPa);
  const stalled = us - level2.topUs >= stallUs;
  const climb = climbOn(open, us, pa);
  if (pa > (stalled ? climbs * level2.topPa + turn : level2.topPa)) {
    const run = stalled ? runOf(level2, us) : null;
    const better = run && isRun(run) && (!open.best || run.toUs - run.fromUs > open.best.toUs - open.best.fromUs);
    return {
      ...open,
      newest,
      level: freshLevel(us, pa, pa > level2.reached.pa + turn ? void 0 : level2.reached),
      ...better ? { best: run, climbUs: [us] } : climb
    };
  }
  return { ...open, newest, level: heldOn(level2, us, pa, turn), ...climb };
}
function climbOn({ best, climbUs }, us, pa) {
  const mark2 = climbMarks[climbUs.length];
  if (!best || climbUs.length === 0 || mark2 === void 0 || pa < mark2 * best.topPa) return { climbUs };
  return { climbUs: [...climbUs, us] };
}
var isRun = ({ fromUs, toUs, levelPa: levelPa3, halvesPa: [older, newer] }) => toUs - fromUs >= leastRunUs && Math.abs(newer - older) <= levelWithin * levelPa3;
function strokeSeen(open, how, atUs, bounds) {
  const last2 = runOf(open.level, atUs);
  const run = open.best ?? (how === "let go" && last2 && isRun(last2) ? last2 : null);
  if (!run) return null;
  const end = open.best ? how === "went on" ? "went on" : "end stop" : "let go";
  const shownBy = motionShown(open, run, end, bounds);
  if (!shownBy) return null;
  const { fromUs, restS, zeroPa, noisePa } = open;
  const { fromUs: topUs, toUs: runToUs, topPa, levelPa: levelPa3 } = run;
  return { fromUs, topUs, runToUs, endUs: atUs, restS, zeroPa, noisePa, end, topPa, levelPa: levelPa3, shownBy };
}
function motionShown(open, run, end, { resolutionPa, intervalUs, stageFromPa }) {
  const turn = stepPa(open.noisePa, resolutionPa);
  const { topPa, levelPa: levelPa3, fellPa, teeth } = run;
  if (teeth >= teethWanted) return "saw-tooth";
  const ownLevel = end === "let go" && levelPa3 >= stageFromPa;
  const fell = fellPa >= Math.max(fallShare * topPa, 2 * turn) && topPa - levelPa3 >= Math.max(0.05 * topPa, turn);
  if (fell && !ownLevel) return "fall after the top";
  if (end !== "end stop") return null;
  const [firstUs] = open.climbUs;
  const lastUs = open.climbUs.at(-1);
  const mark2 = climbMarks[open.climbUs.length - 1];
  if (firstUs === void 0 || lastUs === void 0 || mark2 === void 0 || lastUs - firstUs <= intervalUs)
    return null;
  const { reached } = run;
  const slowest = reached.pa / (reached.us - open.fromUs + intervalUs);
  const atStop = (mark2 - climbs) * topPa / (lastUs - firstUs - intervalUs);
  return slowest >= slowerAtStop * atStop ? "slower rise at the stop" : null;
}

// src/holdtest/strokes/watch-strokes.ts
var letGoUs = 2e6;
function watchStrokes(turn, pressurePa2) {
  const port = portOf(turn.plan, turn.state);
  const { phase, strokes } = turn.state;
  if (!port?.strokes || turn.state.stageIndex > 0) return;
  if (phase.name === "dwell" || phase.name === "bleed-down" || phase.name === "done") return;
  const { open } = strokes;
  if (open) return onOpen(turn, open, pressurePa2);
  const { resolutionPa } = gaugeOf2(turn);
  const vented = phase.name === "ready" && phase.zeroCount > 0 ? phase.zeroMeanPa : turn.state.facts.zeroBeforePa;
  const zeroPa = strokes.zeroPa ?? vented ?? 0;
  const noisePa = Math.max(0.886 * turn.state.signal.roughnessPa, resolutionPa / Math.sqrt(12));
  const aboveZeroPa = pressurePa2 - zeroPa;
  if (aboveZeroPa < comePa(noisePa, resolutionPa)) {
    if (strokes.zeroSinceUs === null) setStrokes(turn, { zeroSinceUs: turn.timeUs });
    return;
  }
  const restS = strokes.zeroSinceUs === null ? null : (turn.timeUs - strokes.zeroSinceUs) / 1e6;
  if (restS === null || restS < 1 || aboveZeroPa > port.strokes.belowPa) return;
  const from = { fromUs: turn.timeUs, restS, zeroPa, noisePa, confirmed: phase.name === "ready" && phase.confirmed };
  setStrokes(turn, { zeroPa, zeroSinceUs: null, open: beginStroke(from, turn.timeUs, aboveZeroPa) });
}
function onOpen(turn, before, pressurePa2) {
  const port = portOf(turn.plan, turn.state);
  const { resolutionPa } = gaugeOf2(turn);
  const pa = pressurePa2 - before.zeroPa;
  if (pa > (port?.strokes?.belowPa ?? 0)) return closeStroke(turn, before, "went on");
  if (pa < comePa(before.noisePa, resolutionPa)) {
    const lowSinceUs = before.lowSinceUs ?? turn.timeUs;
    if (turn.timeUs - lowSinceUs >= letGoUs) return closeStroke(turn, before, "let go");
    setStrokes(turn, { open: { ...before, lowSinceUs } });
    return;
  }
  setStrokes(turn, { open: { ...strokeOn(before, turn.timeUs, pa, resolutionPa), lowSinceUs: null } });
}
function closeStroke(turn, open, how) {
  const { strokes } = turn.state;
  const endUs = open.lowSinceUs ?? turn.timeUs;
  const stroke = strokeSeen(open, how, endUs, boundsOf(turn));
  setStrokes(turn, {
    seen: strokes.seen + (stroke ? 1 : 0),
    open: null,
    zeroSinceUs: how === "let go" ? endUs : null,
    last: { endUs, stroke: stroke !== null, confirmed: open.confirmed }
  });
  if (how === "went on" && !open.confirmed) warnUnconfirmed(turn);
  if (!stroke) return;
  const number2 = strokes.seen + 1;
  report(turn, "stroke", "note", strokeText(stroke, number2, wantedOf(turn)));
  turn.effects.push({ kind: "stroke-seen", stroke, number: number2 });
}
var endWords = {
  "end stop": "to its stop",
  "let go": "and was let go",
  "went on": "to its stop, and on into the test"
};
function strokeText({ topPa, levelPa: levelPa3, topUs, runToUs, end }, number2, wanted) {
  const of = wanted > 0 ? ` of ${wanted}` : "";
  const ran = `ran at about {pressure:${levelPa3}} for {seconds:${(runToUs - topUs) / 1e6}} ${endWords[end]}`;
  return `Slow stroke ${number2}${of}: moved from about {pressure:${topPa}}, ${ran}.`;
}
var wantedOf = (turn) => portOf(turn.plan, turn.state)?.strokes?.wanted ?? 0;
function warnUnconfirmed(turn) {
  if (turn.plan.attendance === "attended" && wantedOf(turn) > 0)
    report(turn, "phase", "warn", "The pressure rose before the lines were confirmed.");
}
var mayBeStroke = (turn) => wantedOf(turn) > 0 && turn.state.strokes.open !== null;
function confirmedBeforeStroke(turn, rampSinceUs) {
  const { last: last2 } = turn.state.strokes;
  return last2?.stroke && last2.endUs > rampSinceUs ? last2.confirmed : null;
}
function boundsOf(turn) {
  const stage = stageOf2(turn.plan, turn.state);
  return {
    resolutionPa: gaugeOf2(turn).resolutionPa,
    intervalUs: turn.state.signal.intervalUs ?? 1e6,
    stageFromPa: stage ? stage.targetPa - stage.belowPa : Number.POSITIVE_INFINITY
  };
}
function strokesBeforeDwell(turn) {
  const { open } = turn.state.strokes;
  if (open) closeStroke(turn, open, "went on");
  const wanted = wantedOf(turn);
  const { seen } = turn.state.strokes;
  if (turn.state.stageIndex > 0 || seen >= wanted) return;
  const made = seen === 0 ? "No slow stroke was" : `${seen} slow ${seen === 1 ? "stroke was" : "strokes were"}`;
  report(turn, "strokes-missing", "warn", `${made} seen before the hold; the procedure asks for ${wanted}.`);
}
var setStrokes = (turn, change) => {
  turn.state = { ...turn.state, strokes: { ...turn.state.strokes, ...change } };
};

// src/holdtest/phases/stabilise.ts
function onStabilise(turn, before, pressurePa2) {
  const port = portOf(turn.plan, turn.state);
  const stage = stageOf2(turn.plan, turn.state);
  if (!port || !stage) return;
  const { resolutionPa } = gaugeOf2(turn);
  const shutIn2 = before.shutIn === null ? watchFrom(turn.timeUs, pressurePa2) : watchShutIn(before.shutIn, turn.timeUs, pressurePa2, { targetPa: stage.targetPa, resolutionPa });
  if (shutIn2.sinceUs !== before.shutIn?.sinceUs) {
    turn.effects.push({ kind: "shut-in", timeUs: shutIn2.sinceUs });
    turn.state = { ...turn.state, signal: { ...turn.state.signal, roughnessPa: 0, roughnessSteps: 0 } };
  }
  const pumped = before.shutIn !== null && shutIn2.pumpedUs !== before.shutIn.pumpedUs;
  const window = slide(pumped ? emptyWindow(stage.stabilise.forS) : before.window, turn.timeUs, pressurePa2);
  const phase = { ...before, window, shutIn: shutIn2, firstRate: pumped ? null : before.firstRate };
  setPhase(turn, phase);
  if (stage.voidAbovePa !== void 0 && pressurePa2 > stage.voidAbovePa) {
    report(
      turn,
      "low-stage-void",
      "alarm",
      `{pressure:${pressurePa2}} is over {pressure:${stage.voidAbovePa}}: bleed to zero, this low-pressure stage starts again.`
    );
    enter(turn, freshRamp(turn.timeUs, 0), "Bleed to zero and start the low-pressure stage again.");
    return;
  }
  if (pressurePa2 < 0.5 * stage.targetPa) {
    report(turn, "pressure-lost", "alarm", `The pressure fell to {pressure:${pressurePa2}} before it had settled.`);
    if (phase.spoiled !== null) {
      endStage(turn, { kind: "no dwell", verdict: "inconclusive", reason: phase.spoiled });
      return;
    }
    enter(
      turn,
      { ...freshRamp(turn.timeUs, pressurePa2), peakPa: stage.targetPa },
      "The pressure was lost while settling."
    );
    return;
  }
  const inBand = within2(stage, pressurePa2);
  const outOfBand = !inBand && (phase.outOfBand || wellOutside(turn, pressurePa2));
  if (outOfBand && !phase.outOfBand) {
    const high = pressurePa2 > stage.targetPa;
    report(
      turn,
      high ? "above-target-band" : "below-test-pressure",
      "warn",
      high ? `{pressure:${pressurePa2}} is above the band: bleed back towards {pressure:${stage.targetPa}}.` : `{pressure:${pressurePa2}} is below the band: top up to {pressure:${stage.targetPa}} and let it settle.`
    );
  }
  if (outOfBand !== phase.outOfBand) setPhase(turn, { ...phase, outOfBand });
  const rate2 = isFull(phase.window) ? ratePaPerS(phase.window) : null;
  if (phase.firstRate === null && rate2 !== null && turn.state.phase.name === "stabilise")
    setPhase(turn, { ...turn.state.phase, firstRate: rate2 });
  if (stage.judge !== "plain drop") {
    const { startPa: startPa2 } = shutIn2;
    const began = startPa2 !== null && within2(stage, startPa2);
    if (began && turn.timeUs - shutIn2.sinceUs >= stage.stabilise.forS * 1e6) {
      beginDwell(turn, shutIn2.sinceUs, startPa2, false);
      return;
    }
  }
  const waited = stage.judge === "plain drop" || turn.timeUs - shutIn2.pumpedUs >= 2e6 * stage.stabilise.forS;
  if (rate2 !== null && inBand && waited && isQuiet(turn, phase, stage.stabilise.ratePaPerS)) {
    beginDwell(turn, turn.timeUs, pressurePa2, false);
    return;
  }
  const waitedS = (turn.timeUs - phase.sinceUs) / 1e6;
  if (waitedS >= stage.stabilise.giveUpAfterS) {
    const reason = didNotSettle(
      { rate: rate2 ?? ratePaPerS(phase.window), firstRate: phase.firstRate, waitedS, inBand },
      port,
      stage
    );
    report(turn, "did-not-settle", "warn", `${reason[0]?.toUpperCase()}${reason.slice(1)}`);
    endStage(turn, { kind: "no dwell", verdict: "inconclusive", reason });
  }
}
function isQuiet(turn, phase, limitPaPerS) {
  const rate2 = ratePaPerS(phase.window);
  if (rate2 === null || Math.abs(rate2) > limitPaPerS) return false;
  const sigmaPa = Math.max(0.886 * turn.state.signal.roughnessPa, gaugeOf2(turn).resolutionPa / Math.sqrt(12));
  const halfS = phase.window.spanUs / 2e6;
  const margin = 3 * sigmaPa * Math.sqrt(12 / Math.max(3, readingsIn(phase.window) / 2)) / halfS;
  return halfRates(phase.window).every((half) => half === null || Math.abs(half) <= limitPaPerS + margin);
}
var within2 = ({ targetPa, belowPa, abovePa }, pressurePa2) => pressurePa2 >= targetPa - belowPa && pressurePa2 <= targetPa + abovePa;
function breakSettling(turn) {
  const { phase } = turn.state;
  if (phase.name === "stabilise") setPhase(turn, { ...phase, shutIn: null });
}
function wellOutside(turn, pressurePa2) {
  const stage = stageOf2(turn.plan, turn.state);
  const margin = 4 * turn.state.signal.roughnessPa;
  return !!stage && (pressurePa2 < stage.targetPa - stage.belowPa - margin || pressurePa2 > stage.targetPa + stage.abovePa + margin);
}
var steadyShare = 0.8;
function didNotSettle({ rate: rate2, firstRate, waitedS, inBand }, port, stage) {
  const limit = stage.stabilise.ratePaPerS;
  if (rate2 !== null && Math.abs(rate2) <= limit && !inBand)
    return `did not settle: steady after {seconds:${waitedS}}, but outside the band round the target; top up or bleed back`;
  const speed = rate2 === null ? "" : `, still ${rate2 < 0 ? "falling" : "rising"} at {rate:${Math.abs(rate2)}}`;
  const what = `did not settle in {seconds:${waitedS}}${speed} against {rate:${limit}} allowed`;
  if (rate2 !== null && rate2 > 0) return `${what}; it may be oil warming, or a valve that lets supply pressure past`;
  if (rate2 !== null && firstRate !== null && firstRate < 0 && rate2 <= steadyShare * firstRate) {
    const { volumeM3, bulkModulusPa } = port.trapped;
    return `${what}, and not slowing down: as from a leak of {flow:${-rate2 * volumeM3 / bulkModulusPa}}; look for it before anything else`;
  }
  return `${what}; it may be trapped air, seals and hoses still creeping, oil cooling after a fast ramp, or a leak too large to settle`;
}
function beginDwell(turn, startUs, pressurePa2, forced) {
  const stage = stageOf2(turn.plan, turn.state);
  if (!stage) return;
  strokesBeforeDwell(turn);
  beginEntries(turn);
  if (startUs === turn.timeUs) turn.effects.push({ kind: "shut-in", timeUs: startUs });
  turn.effects.push({
    kind: "dwell-began",
    stageIndex: turn.state.stageIndex,
    startUs
  });
  turn.state = { ...turn.state, signal: since(turn.state.signal, startUs, turn.timeUs) };
  const dwell = {
    name: "dwell",
    startUs,
    startPa: pressurePa2,
    forced,
    timeDone: false,
    fall: null,
    suddenFalls: 0,
    spoiled: turn.state.phase.name === "stabilise" ? turn.state.phase.spoiled : null
  };
  enter(
    turn,
    dwell,
    `Dwell of {seconds:${stage.dwellS}} begins at {pressure:${pressurePa2}}. Touch no valve; look for oil.`
  );
}
function since(signal, startUs, nowUs) {
  const secondUs2 = Math.max(1e6, signal.intervalUs ?? 0);
  const whole = Math.floor((nowUs - startUs) / secondUs2) - 2;
  if (whole < 1) return { ...signal, seconds: [], open: null, roughnessSteps: 0 };
  return { ...signal, seconds: signal.seconds.slice(-whole) };
}

// src/holdtest/phases/step-limits.ts
var harmlessRise = 15e-4;
function stepLimits({ targetPa, resolutionPa }, roughnessPa) {
  const noisePa = Math.max(4 * resolutionPa, 3 * roughnessPa);
  return {
    risePa: Math.max(harmlessRise * targetPa, noisePa),
    fallPa: Math.max(4e-3 * targetPa, 2 * noisePa)
  };
}

// src/holdtest/phases/dwell.ts
var restSeconds = 6;
function onDwell(turn, phase, pressurePa2, secondDone) {
  const stage = stageOf2(turn.plan, turn.state);
  if (!stage) return;
  if (pressurePa2 < 0.5 * stage.targetPa) {
    if (isOvertime(turn, phase)) return finishDwell(turn, phase, "released");
    const text = `the pressure fell to {pressure:${pressurePa2}} within the dwell: it was let go, or something gave way`;
    voidDwell(turn, "pressure-lost", text);
    return;
  }
  if (secondDone && watchSteps(turn, phase, stage)) return;
  const mustKeep = stage.neverBelowPa !== void 0 && !isOvertime(turn, phase);
  if (mustKeep && pressurePa2 < stage.neverBelowPa) reportBelowOnce(turn, pressurePa2);
  if (turn.timeUs - phase.startUs < stage.dwellS * 1e6) return;
  const current = turn.state.phase.name === "dwell" ? turn.state.phase : phase;
  const unattended = turn.plan.attendance === "unattended";
  if (unattended && !isLastStage(turn)) return finishDwell(turn, current, "all");
  if (!unattended && isLookedAt(turn)) return finishDwell(turn, current, "all");
  if (phase.timeDone) return;
  setPhase(turn, { ...current, timeDone: true });
  report(
    turn,
    "phase",
    "note",
    unattended ? "The demanded time is over. Bleed down slowly; until then the hold is watched." : "The demanded time is over. Look at every point, then confirm the inspection."
  );
}
var isLookedAt = (turn) => turn.state.facts.inspected && !isCollectedMissing(turn.plan, turn.state);
var isCollectedMissing = (plan, state) => {
  const port = portOf(plan, state);
  return port?.collected !== void 0 && state.stageIndex + 1 >= port.stages.length && state.facts.collected === null;
};
var isOvertime = ({ plan }, phase) => phase.timeDone && plan.attendance === "unattended";
var isLastStage = ({ plan, state }) => state.stageIndex + 1 >= (portOf(plan, state)?.stages.length ?? 0);
function finishDwell(turn, phase, tail) {
  const stage = stageOf2(turn.plan, turn.state);
  if (!turn.state.facts.inspected)
    report(
      turn,
      "inspection-missing",
      "note",
      "Nobody recorded an inspection: the readings alone cannot show oil outside."
    );
  const { forced, suddenFalls: suddenFalls2 } = phase;
  const endUs = stage !== null && isOvertime(turn, phase) ? Math.min(turn.timeUs, phase.startUs + stage.dwellS * 1e6) : turn.timeUs;
  endStage(turn, { kind: "full", forced, suddenFalls: suddenFalls2, tail }, endUs);
}
function cutDwell(turn, phase, reason, forced = phase.forced) {
  if (isOvertime(turn, phase)) finishDwell(turn, phase, tailSoFar(turn, phase));
  else endStage(turn, { kind: "cut short", reason, forced });
}
var lettingGo = 0.9;
var tailSoFar = ({ state }, phase) => (state.signal.lastPa ?? phase.startPa) < lettingGo * phase.startPa ? "released" : "all";
function voidDwell(turn, code, reason) {
  const { phase } = turn.state;
  if (phase.name === "dwell" && isOvertime(turn, phase)) {
    report(turn, code, "warn", `After the demanded time, so the dwell stands: ${reason}.`);
    return finishDwell(turn, phase, "none");
  }
  report(turn, code, "void", `Dwell void: ${reason}.`);
  endStage(turn, {
    kind: "voided",
    reason,
    lossCounts: code !== "gauge-fault",
    released: code === "pressure-lost"
  });
}
function spoilDwell(turn, code, reason) {
  const { phase, signal } = turn.state;
  const stage = stageOf2(turn.plan, turn.state);
  if (!stage || phase.name !== "dwell" || stage.judge === "plain drop" || isOvertime(turn, phase))
    return voidDwell(turn, code, reason);
  report(turn, code, "alarm", `The dwell counts for nothing: ${reason}. Another one begins.`);
  enter(
    turn,
    freshStabilise(turn.timeUs, signal.lastPa ?? phase.startPa, stage.stabilise.forS, reason),
    "Shut the cylinder in; the dwell begins again."
  );
  if (code !== "topped-up") breakSettling(turn);
}
function watchGap(turn, lastUs) {
  const limitUs = gapLimitUs(turn.state.signal);
  if (turn.timeUs - lastUs <= limitUs) return false;
  spoilDwell(turn, "data-gap", `no reading for {seconds:${(turn.timeUs - lastUs) / 1e6}}`);
  return true;
}
function watchSteps(turn, phase, stage) {
  const { signal } = turn.state;
  const { resolutionPa } = gaugeOf2(turn);
  const setting = { targetPa: stage.targetPa, resolutionPa };
  const { risePa: risePa2, fallPa } = stepLimits(setting, signal.roughnessPa);
  const change = suddenChangePa(signal);
  if (change > risePa2) {
    spoilDwell(
      turn,
      "topped-up",
      `the pressure rose by {difference:${change}} faster than oil left alone does, as if topped up`
    );
    return true;
  }
  const current = turn.state.phase.name === "dwell" ? turn.state.phase : phase;
  if (current.fall) {
    const sinceSeconds = current.fall.sinceSeconds + 1;
    if (sinceSeconds < restSeconds) {
      setPhase(turn, { ...current, fall: { ...current.fall, sinceSeconds } });
      return false;
    }
    const recent = signal.seconds.slice(-3);
    const restless2 = Math.abs((recent[0] ?? 0) - (recent.at(-1) ?? 0));
    const fell = current.fall.fromPa - (recent.at(-1) ?? 0);
    setPhase(turn, { ...current, fall: null });
    if (restless2 < fell / 10 && !isOvertime(turn, current)) {
      setPhase(turn, { ...current, fall: null, suddenFalls: current.suddenFalls + 1 });
      report(
        turn,
        "valve-moved",
        "alarm",
        `The pressure fell by {difference:${fell}} within seconds and then held, as if a valve was moved.`
      );
    }
    return false;
  }
  if (-change > fallPa) setPhase(turn, { ...current, fall: { sinceSeconds: 0, fromPa: signal.seconds.at(-4) ?? 0 } });
  return false;
}
function reportBelowOnce(turn, pressurePa2) {
  if (turn.state.alarms.some((alarm) => alarm.code === "below-test-pressure")) return;
  report(
    turn,
    "below-test-pressure",
    "alarm",
    `{pressure:${pressurePa2}} is below the test pressure that must be kept.`
  );
}

// src/holdtest/operator.ts
function onOperator(turn, act) {
  switch (act.kind) {
    case "continue":
      return onContinue(turn);
    case "note":
      keepEntry(turn, act);
      return report(turn, "note", "note", act.text);
    case "observation":
      keepEntry(turn, act);
      if (isExternalLeak(act.observation))
        return report(turn, "external-leak", "alarm", `Oil outside at the ${entryText(act)}`);
      return report(turn, "observation", "note", entryText(act));
    case "collected":
      keepEntry(turn, act);
      report(turn, "collected", "note", entryText(act));
      return finishLookedAt(turn);
    case "oil-temperature":
      keepEntry(turn, act);
      turn.effects.push({ kind: "oil-temperature", timeUs: turn.timeUs, oilK: act.oilK });
      return report(turn, "oil-temperature", "note", entryText(act));
    case "strokes":
    case "oil-pumped":
      keepEntry(turn, act);
      return report(turn, "note", "note", entryText(act));
    case "inspected":
      keepEntry(turn, act);
      report(turn, "inspected", "note", entryText(act));
      return finishLookedAt(turn);
    case "take-back":
      return takeBack(turn, act.entry, act.reason);
    case "acknowledge":
      turn.state = { ...turn.state, alarms: [] };
      return;
    case "end-dwell":
      if (turn.state.phase.name !== "dwell") return report(turn, "note", "note", `No dwell to end: ${act.reason}`);
      report(turn, "dwell-early-end", "warn", `Dwell ended by the operator: ${act.reason}`);
      return cutDwell(turn, turn.state.phase, `ended by the operator: ${act.reason}`);
    case "stop":
      return onStop(turn, act.reason);
    case "force":
      return onForce(turn, act.to, act.reason);
    case "repeat":
      return onRepeat(turn, act);
    default:
      return act;
  }
}
function finishLookedAt(turn) {
  const { phase } = turn.state;
  if (phase.name === "dwell" && phase.timeDone && isLookedAt(turn)) finishDwell(turn, phase, "all");
}
function onContinue(turn) {
  if (turn.state.phase.name === "ready")
    setPhase(turn, { ...turn.state.phase, confirmed: true, sinceUs: null, zeroCount: 0, zeroMeanPa: 0, other: null });
}
var isExternalLeak = (observation) => observation.amount !== "dry" && (observation.amount !== "film" || observation.point !== "rod seal and wiper") && observation.point !== "bench line or fitting" && observation.point !== "open opposite port";
function onStop(turn, reason) {
  report(turn, "stopped", "alarm", `Stopped by the operator: ${reason}`);
  const { phase } = turn.state;
  if (phase.name === "dwell") cutDwell(turn, phase, `stopped: ${reason}`);
  else if (phase.name === "ramp" || phase.name === "stabilise" || phase.name === "ready")
    endStage(turn, { kind: "no dwell", verdict: "invalid", reason: `stopped before the dwell: ${reason}` });
}
function onForce(turn, to, reason) {
  const stage = stageOf2(turn.plan, turn.state);
  const { phase, signal } = turn.state;
  const pressurePa2 = signal.lastPa ?? 0;
  report(turn, "forced", "warn", `Forced from ${phase.name} to ${to}: ${reason}`);
  if (to === "bleed-down" && (phase.name === "dwell" || phase.name === "stabilise" || phase.name === "ramp")) {
    if (phase.name === "dwell") cutDwell(turn, phase, `forced to bleed-down: ${reason}`, true);
    else endStage(turn, { kind: "no dwell", verdict: "inconclusive", reason: `forced to bleed-down: ${reason}` });
  } else if (to === "done" && phase.name === "bleed-down") endAttempt(turn);
  else if (to === "dwell" && stage && phase.name === "stabilise") beginDwell(turn, turn.timeUs, pressurePa2, true);
  else if (to === "ramp" && phase.name === "ready") enter(turn, freshRamp(turn.timeUs, pressurePa2), "Ramp.");
  else if (to === "ramp" && phase.name === "dwell") voidDwell(turn, "topped-up", `forced back to the ramp: ${reason}`);
  else if (to === "stabilise" && stage && phase.name === "ramp")
    enter(turn, freshStabilise(turn.timeUs, pressurePa2, stage.stabilise.forS), "Waiting for the pressure to settle.");
  else report(turn, "note", "note", `There is no way from ${phase.name} to ${to}.`);
}
function onRepeat(turn, act) {
  const portIndex = turn.plan.ports.findIndex((port) => port.port === act.port);
  const made = turn.state.attemptsMade[portIndex] ?? 0;
  const idle = turn.state.phase.name === "done" || turn.state.phase.name === "ready";
  if (portIndex < 0 || !idle) return report(turn, "note", "note", `Port ${act.port} can't be repeated now.`);
  if (made === 0) return report(turn, "note", "note", `Port ${act.port} has not been tested yet.`);
  if (made >= turn.plan.attemptsCap)
    return report(
      turn,
      "note",
      "warn",
      `Port ${act.port} has had ${made} attempts, the most that this procedure allows.`
    );
  beginPort(turn, portIndex, { cause: act.cause, reason: act.reason });
  report(turn, "repeat", "note", `Port ${act.port} again, attempt ${made + 1} (${act.cause}): ${act.reason}`);
}

// src/holdtest/phases/ramp.ts
var rateMargin = 1.25;
function onRamp(turn, before, pressurePa2) {
  const port = portOf(turn.plan, turn.state);
  const stage = stageOf2(turn.plan, turn.state);
  if (!port || !stage) return;
  const { timeUs } = turn;
  const window = slide(before.window, timeUs, pressurePa2);
  const rate2 = ratePaPerS(window);
  let phase = {
    ...before,
    window,
    peakPa: Math.max(before.peakPa, pressurePa2)
  };
  setPhase(turn, phase);
  if (stage.voidAbovePa !== void 0 && pressurePa2 > stage.voidAbovePa) {
    report(
      turn,
      "low-stage-void",
      "alarm",
      `{pressure:${pressurePa2}} is over {pressure:${stage.voidAbovePa}}: this low-pressure stage starts again from zero.`
    );
    setPhase(turn, freshReady);
    return;
  }
  if (rate2 !== null) {
    const tooFast = rate2 > stage.rampMaxPaPerS * rateMargin;
    if (tooFast && !phase.tooFast)
      report(
        turn,
        "ramp-too-fast",
        "warn",
        `Rising at {rate:${rate2}}, faster than {rate:${stage.rampMaxPaPerS}}: the oil warms and will fall as it cools.`
      );
    const resting = Math.abs(rate2) < 2e-3 * stage.targetPa && pressurePa2 < 0.95 * stage.targetPa;
    if (phase.paused && rate2 > 4e-3 * stage.targetPa)
      report(turn, "pump-to-booster", "note", `Rising again after a pause at {pressure:${pressurePa2}}.`);
    const paused = resting && pressurePa2 > 0.1 * stage.targetPa ? true : phase.paused && rate2 < 4e-3 * stage.targetPa;
    phase = { ...phase, tooFast: tooFast || phase.tooFast && rate2 > stage.rampMaxPaPerS, paused };
    setPhase(turn, phase);
  }
  if (pressurePa2 >= stage.targetPa - stage.belowPa) {
    report(turn, "target-reached", "note", `{pressure:${pressurePa2}} reached.`);
    enter(
      turn,
      freshStabilise(timeUs, pressurePa2, stage.stabilise.forS),
      "Shut the cylinder in; waiting for the pressure to settle."
    );
    return;
  }
  watchRelease(turn, phase, pressurePa2);
}
function watchRelease(turn, phase, pressurePa2) {
  const port = portOf(turn.plan, turn.state);
  if (!port || phase.peakPa < 2 * port.bleedDown.belowPa || pressurePa2 > port.bleedDown.belowPa) {
    if (phase.releasedSinceUs !== null) setPhase(turn, { ...phase, releasedSinceUs: null });
    return;
  }
  const since2 = phase.releasedSinceUs ?? turn.timeUs;
  if ((turn.timeUs - since2) / 1e6 < port.bleedDown.forS) {
    setPhase(turn, { ...phase, releasedSinceUs: since2 });
    return;
  }
  const confirmed = confirmedBeforeStroke(turn, phase.sinceUs);
  if (confirmed !== null) return enter(turn, { ...freshReady, confirmed }, "Back at zero after a stroke.");
  enter(
    turn,
    { ...freshReady, confirmed: true },
    "The pressure was let go before a dwell began; the stage starts again."
  );
}

// src/holdtest/phases/ready.ts
function risePa(zeroTolerancePa2, targetPa) {
  return Math.min(Math.max(3 * zeroTolerancePa2, 0.02 * targetPa), 0.5 * targetPa);
}
var zeroLearnedUs = 1e6;
var startPa = 0.1;
function learned2(turn, phase, pressurePa2, tolerancePa, learning) {
  const noisePa = Math.max(2 * gaugeOf2(turn).resolutionPa, 4 * turn.state.signal.roughnessPa);
  const nearPa = Math.min(tolerancePa, noisePa);
  if (learning || Math.abs(pressurePa2 - phase.zeroMeanPa) <= nearPa) {
    const zeroCount = phase.zeroCount + 1;
    return {
      ...phase,
      zeroCount,
      zeroMeanPa: phase.zeroMeanPa + (pressurePa2 - phase.zeroMeanPa) / zeroCount,
      other: null
    };
  }
  if (pressurePa2 > phase.zeroMeanPa) return { ...phase, other: null };
  const { other } = phase;
  if (!other || Math.abs(pressurePa2 - other.meanPa) > nearPa)
    return { ...phase, other: { sinceUs: turn.timeUs, count: 1, meanPa: pressurePa2 } };
  const count = other.count + 1;
  const meanPa = other.meanPa + (pressurePa2 - other.meanPa) / count;
  if (turn.timeUs - other.sinceUs < 2 * zeroLearnedUs) return { ...phase, other: { ...other, count, meanPa } };
  return { ...phase, zeroCount: count, zeroMeanPa: meanPa, other: null };
}
function onReady(turn, phase, pressurePa2) {
  const port = portOf(turn.plan, turn.state);
  const stage = stageOf2(turn.plan, turn.state);
  if (!port || !stage) return;
  const sinceUs = phase.sinceUs ?? turn.timeUs;
  const learning = turn.timeUs - sinceUs < zeroLearnedUs || phase.zeroCount === 0;
  const still2 = phase.zeroCount === 0 || Math.abs(pressurePa2 - phase.zeroMeanPa) <= port.zeroTolerancePa;
  const limitPa = learning && still2 ? startPa * stage.targetPa : risePa(port.zeroTolerancePa, stage.targetPa);
  if (pressurePa2 <= limitPa) {
    setPhase(turn, { ...learned2(turn, phase, pressurePa2, port.zeroTolerancePa, learning), sinceUs });
    return;
  }
  if (turn.state.attemptsMade[turn.state.portIndex] !== turn.state.attempt) beginAttempt(turn);
  takeZero(turn, learning && !still2 ? { ...phase, zeroCount: 0 } : phase, port.zeroTolerancePa);
  if (turn.plan.attendance === "attended" && !phase.confirmed && !mayBeStroke(turn))
    report(turn, "phase", "warn", "The pressure rose before the lines were confirmed.");
  enter(turn, freshRamp(turn.timeUs, Math.max(0, phase.zeroMeanPa)), `Ramp to {pressure:${stage.targetPa}}.`);
  if (turn.state.phase.name === "ramp") onRamp(turn, turn.state.phase, pressurePa2);
}
function beginAttempt(turn) {
  const { portIndex, attempt } = turn.state;
  const attemptsMade = turn.state.attemptsMade.map(
    (made, index) => index === portIndex ? attempt : made
  );
  turn.state = { ...turn.state, attemptsMade };
  turn.effects.push({ kind: "attempt-began", portIndex, attempt });
}
function takeZero(turn, phase, tolerancePa) {
  if (turn.state.facts.zeroBeforePa !== null) return;
  if (phase.zeroCount === 0) {
    report(turn, "zero-not-seen", "warn", "The readings begin under pressure: no zero of the vented gauge was seen.");
    return;
  }
  const zeroInTolerance = Math.abs(phase.zeroMeanPa) <= tolerancePa;
  setFacts(turn, { zeroBeforePa: Math.round(phase.zeroMeanPa), zeroInTolerance });
  if (zeroInTolerance) report(turn, "zero", "note", `Zero taken: {difference:${phase.zeroMeanPa}}.`);
  else
    report(
      turn,
      "zero-out-of-tolerance",
      "alarm",
      `The vented gauge reads {difference:${phase.zeroMeanPa}}, outside its zero tolerance of {difference:${tolerancePa}}.`
    );
}

// src/holdtest/quiet-dwell.ts
var unusableFlags = readingFlags.otherUnit | readingFlags.checksum;
var leastOfNoise = 0.98;
function quietDwell(plan, state, levels, from) {
  const { phase, facts } = state;
  const port = portOf(plan, state);
  const stage = stageOf2(plan, state);
  if (phase.name !== "dwell" || !port || !stage || facts.peakPa === null) return { state, until: from };
  const { targetPa } = stage;
  if (phase.fall !== null) return { state, until: from };
  const openPa = port.opposite === "open" ? risePa(port.zeroTolerancePa, targetPa) : Number.POSITIVE_INFINITY;
  const { resolutionPa } = gaugeAt(plan, port);
  const setting = { targetPa, resolutionPa };
  const signal = new RunningSignal(state.signal);
  const until = signal.addQuiet(levels, from, {
    lowestPa: Math.max(0.5 * targetPa, stage.neverBelowPa ?? 0),
    highestPa: Math.min(port.overpressurePa, facts.peakPa),
    oppositePa: Math.min(port.oppositeLimitPa, openPa),
    unusableFlags,
    endUs: phase.startUs + stage.dwellS * 1e6,
    quiet(changePa2, roughnessPa) {
      const limits = stepLimits(setting, leastOfNoise * roughnessPa);
      return changePa2 <= limits.risePa && -changePa2 <= limits.fallPa;
    }
  });
  return until === from ? { state, until } : { state: { ...state, signal: signal.stand() }, until };
}

// src/holdtest/phases/bleed-down.ts
var patienceS = 60;
var comingShare = 0.1;
function onBleedDown(turn, phase, pressurePa2) {
  const port = portOf(turn.plan, turn.state);
  if (!port) return;
  const { belowPa, forS } = port.bleedDown;
  if (pressurePa2 >= belowPa) {
    const waitedS = (turn.timeUs - phase.sinceUs) / 1e6;
    const warn = !phase.warned && waitedS > patienceS;
    if (warn)
      report(
        turn,
        "trapped-pressure",
        "warn",
        `Still {pressure:${pressurePa2}} after {seconds:${waitedS}}: oil may be trapped behind a check valve or a pilot-operated check.`
      );
    if (warn || phase.belowSinceUs !== null)
      setPhase(turn, {
        ...phase,
        belowSinceUs: null,
        zeroCount: 0,
        zeroMeanPa: 0,
        comingFromPa: null,
        warned: phase.warned || warn
      });
    return;
  }
  const belowSinceUs = phase.belowSinceUs ?? turn.timeUs;
  const zeroCount = phase.zeroCount + 1;
  const zeroMeanPa = phase.zeroMeanPa + (pressurePa2 - phase.zeroMeanPa) / zeroCount;
  const taking = { ...phase, belowSinceUs, zeroCount, zeroMeanPa };
  setPhase(turn, taking);
  if ((turn.timeUs - belowSinceUs) / 1e6 < forS) return;
  const { zeroBeforePa } = turn.state.facts;
  const shift = zeroBeforePa === null ? 0 : zeroMeanPa - zeroBeforePa;
  const zeroKept = Math.abs(shift) <= port.zeroTolerancePa;
  setFacts(turn, { zeroAfterPa: Math.round(zeroMeanPa), zeroKept });
  const coming = phase.comingFromPa === null || phase.comingFromPa - zeroMeanPa > comingShare * port.zeroTolerancePa;
  if (!zeroKept && shift > 0 && coming) {
    setPhase(turn, { ...taking, belowSinceUs: turn.timeUs, zeroCount: 0, zeroMeanPa: 0, comingFromPa: zeroMeanPa });
    return;
  }
  if (!zeroKept)
    report(
      turn,
      "zero-after",
      "warn",
      `The gauge reads {difference:${shift}} from its zero before the test: it drifted, or oil is still shut in.`
    );
  report(
    turn,
    "bled-down",
    "note",
    "The gauge has stayed below its limit. Oil trapped behind a check valve does not show on it: open the line where it can come out before any fitting is loosened."
  );
  endAttempt(turn);
}

// src/holdtest/step.ts
function step(plan, state, input) {
  const turn = { plan, timeUs: timeOf(input), state, effects: [] };
  switch (input.kind) {
    case "reading":
      onReading(turn, input.reading);
      break;
    case "fault": {
      const { fault } = input;
      const inDwell = turn.state.phase.name === "dwell";
      if (fault.effect === "void") breakSettling(turn);
      if (inDwell && fault.effect === "void") spoilDwell(turn, "gauge-fault", fault.text);
      else
        report(
          turn,
          "gauge-fault",
          fault.effect === "note" ? "note" : fault.effect === "void" ? "alarm" : "warn",
          fault.text
        );
      break;
    }
    case "operator":
      onOperator(turn, input.act);
      break;
    case "end":
      onEnd(turn, input.why);
      break;
    default:
      input;
  }
  return { state: turn.state, effects: turn.effects };
}
function timeOf(input) {
  if (input.kind === "reading") return input.reading.timeUs;
  return input.kind === "fault" ? input.fault.timeUs : input.timeUs;
}
function onReading(turn, shown) {
  const port = portOf(turn.plan, turn.state);
  if (!port) return;
  const reading = asLevel(turn.plan, port, shown);
  const { lastUs } = turn.state.signal;
  if (lastUs !== null && reading.timeUs <= lastUs) {
    if (turn.state.facts.outOfOrder === 0)
      report(turn, "duplicate-time", "note", "Readings that do not follow the one before in time are left out.");
    setFacts(turn, { outOfOrder: turn.state.facts.outOfOrder + 1 });
    return;
  }
  if (lastUs !== null && turn.state.phase.name === "dwell" && watchGap(turn, lastUs)) return;
  const pressurePa2 = reading.pressurePa;
  if (pressurePa2 === null || (reading.flags & (readingFlags.otherUnit | readingFlags.checksum)) !== 0) return;
  if (lastUs !== null && reading.timeUs - lastUs > gapLimitUs(turn.state.signal)) breakSettling(turn);
  const { signal, secondDone } = track(turn.state.signal, reading, pressurePa2, port.overpressurePa);
  turn.state = { ...turn.state, signal };
  watchLimits(turn, reading, pressurePa2);
  watchStrokes(turn, pressurePa2);
  const { phase } = turn.state;
  switch (phase.name) {
    case "ready":
      return onReady(turn, phase, pressurePa2);
    case "ramp":
      return onRamp(turn, phase, pressurePa2);
    case "stabilise":
      return onStabilise(turn, phase, pressurePa2);
    case "dwell":
      return onDwell(turn, phase, pressurePa2, secondDone);
    case "bleed-down":
      return onBleedDown(turn, phase, pressurePa2);
    case "done":
      return;
    default:
      return phase;
  }
}
var slow = (intervalUs) => intervalUs !== null && intervalUs >= 9e5;
function watchLimits(turn, reading, pressurePa2) {
  const port = portOf(turn.plan, turn.state);
  if (!port) return;
  const { facts, signal } = turn.state;
  if (facts.peakPa === null || pressurePa2 > facts.peakPa) setFacts(turn, { peakPa: pressurePa2 });
  if (signal.overCount === (slow(signal.intervalUs) ? 1 : 2)) {
    setFacts(turn, { overpressure: true });
    report(
      turn,
      "overpressure",
      "alarm",
      `{pressure:${pressurePa2}} is above the limit of {pressure:${port.overpressurePa}}. Stop pumping.`
    );
  }
  const opposite = reading.oppositePa;
  if (opposite !== null && port.opposite === "open" && turn.state.phase.name === "dwell") watchOpenPort(turn, opposite);
  if (opposite !== null && opposite > port.oppositeLimitPa && !turn.state.alarms.some((alarm) => alarm.code === "opposite-pressure"))
    report(
      turn,
      "opposite-pressure",
      "alarm",
      `{pressure:${opposite}} at the other port, above {pressure:${port.oppositeLimitPa}}: it may be blocked.`
    );
}
function watchOpenPort(turn, oppositePa) {
  const port = portOf(turn.plan, turn.state);
  const stage = stageOf2(turn.plan, turn.state);
  if (!port || !stage || oppositePa <= risePa(port.zeroTolerancePa, stage.targetPa)) return;
  const before = turn.state.facts.openPortPa;
  if (before === null)
    report(turn, "opposite-pressure", "alarm", `{pressure:${oppositePa}} at the other port, which is said to be open.`);
  if (before === null || oppositePa > before) setFacts(turn, { openPortPa: oppositePa });
}
function neverThere(turn) {
  const port = portOf(turn.plan, turn.state);
  const stage = stageOf2(turn.plan, turn.state);
  const peakPa = turn.state.facts.peakPa ?? 0;
  if (!port || !stage || peakPa <= risePa(port.zeroTolerancePa, stage.targetPa)) return "before the pressure rose";
  return `without a dwell: the pressure reached {pressure:${peakPa}} and was let go; a dwell may start from {pressure:${stage.targetPa - stage.belowPa}}`;
}
function onEnd(turn, why) {
  const { phase } = turn.state;
  if (phase.name === "done") return;
  if (why === "interrupted")
    report(turn, "interrupted", "alarm", "The test was cut off: the program or the power went.");
  const verdict = why === "end of trace" ? "inconclusive" : "invalid";
  const over = why === "end of trace" ? "the readings end" : why === "stopped" ? "the test was stopped" : "the test was cut off";
  const stage = stageOf2(turn.plan, turn.state);
  if (phase.name === "dwell" && stage) {
    const heldS = (turn.timeUs - phase.startUs) / 1e6;
    const spareUs = turn.state.signal.intervalUs ?? 0;
    if (why === "end of trace" && turn.timeUs - phase.startUs + spareUs >= stage.dwellS * 1e6)
      finishDwell(turn, phase, tailSoFar(turn, phase));
    else cutDwell(turn, phase, `${over} after {seconds:${heldS}} of {seconds:${stage.dwellS}} dwell`);
  } else if (phase.name === "ramp" || phase.name === "stabilise") {
    const where = phase.name === "ramp" ? `before {pressure:${stage?.targetPa ?? 0}} was reached` : "while the pressure was settling";
    endStage(turn, { kind: "no dwell", verdict, reason: `${over} ${where}` });
  } else if (phase.name === "ready") {
    if (turn.state.attemptsMade[turn.state.portIndex] === turn.state.attempt)
      endStage(turn, { kind: "no dwell", verdict, reason: `${over} ${neverThere(turn)}` });
    else return;
  }
  report(turn, "no-bleed-down", "note", "The readings end before the bleed-down was seen.");
  turn.effects.push({ kind: "attempt-ended", facts: turn.state.facts });
  turn.state = { ...turn.state, phase: { name: "done" } };
}

// src/evaluation/course/rises.ts
var most = 32;
var firstSpanUs = 1e6;
var RiseHistory = class {
  #spanUs = firstSpanUs;
  #changes = [];
  #lastPa = null;
  #openUs = 0;
  #openFromPa = 0;
  add(timeUs, pressurePa2) {
    if (!Number.isFinite(pressurePa2)) return;
    if (this.#lastPa === null) {
      this.#openUs = timeUs;
      this.#openFromPa = pressurePa2;
    } else if (timeUs - this.#openUs >= this.#spanUs) {
      this.#changes.push({ timeUs: (this.#openUs + timeUs) / 2, byPa: pressurePa2 - this.#openFromPa });
      this.#openUs = timeUs;
      this.#openFromPa = pressurePa2;
      if (this.#changes.length === most) this.#halve();
    }
    this.#lastPa = pressurePa2;
  }
  /** The changes up to now, times counted from the shut-in. */
  until(shutInUs) {
    const open = this.#lastPa === null ? 0 : this.#lastPa - this.#openFromPa;
    const all = open === 0 ? this.#changes : [...this.#changes, { timeUs: this.#openUs, byPa: open }];
    return all.map(({ timeUs, byPa }) => ({ timeS: Math.min(0, (timeUs - shutInUs) / 1e6), byPa }));
  }
  #halve() {
    const merged = [];
    for (let i = 0; i < this.#changes.length; i += 2) {
      const [a, b] = [this.#changes[i], this.#changes[i + 1]];
      if (!a) continue;
      if (!b) merged.push(a);
      else {
        const size = Math.abs(a.byPa) + Math.abs(b.byPa);
        const share = size > 0 ? Math.abs(b.byPa) / size : 0.5;
        merged.push({ timeUs: a.timeUs + (b.timeUs - a.timeUs) * share, byPa: a.byPa + b.byPa });
      }
    }
    this.#changes = merged;
    this.#spanUs *= 2;
  }
};

// src/evaluation/stiffness/weighted-fit.ts
function weightedFit(rows, y, u) {
  const terms = rows[0]?.length ?? 0;
  if (terms === 0 || rows.length < terms + 2) return null;
  const scale = Array.from(
    { length: terms },
    (_, j) => Math.sqrt(rows.reduce((sum2, row, i) => sum2 + square((row[j] ?? 0) / (u[i] ?? 1)), 0))
  );
  if (scale.some((value) => !(value > 0))) return null;
  const normal = scale.map(
    (sj, j) => scale.map(
      (sk, k) => rows.reduce((sum2, row, i) => sum2 + (row[j] ?? 0) * (row[k] ?? 0) / (sj * sk * square(u[i] ?? 1)), 0)
    )
  );
  const right = scale.map(
    (sj, j) => rows.reduce((sum2, row, i) => sum2 + (row[j] ?? 0) * (y[i] ?? 0) / (sj * square(u[i] ?? 1)), 0)
  );
  const inverse = inverted(normal);
  if (!inverse) return null;
  const values = inverse.map((row, j) => row.reduce((sum2, v, k) => sum2 + v * (right[k] ?? 0), 0) / (scale[j] ?? 1));
  const residuals = rows.map((row, i) => {
    const fitted2 = row.reduce((part2, term, j) => part2 + term * (values[j] ?? 0), 0);
    return ((y[i] ?? 0) - fitted2) / (u[i] ?? 1);
  });
  const widened = widening(residuals, terms);
  const rest = Math.sqrt(residuals.reduce((sum2, r, i) => sum2 + square(r * (u[i] ?? 1)), 0) / rows.length);
  return {
    values,
    rest,
    u: inverse.map((row, j) => widened * Math.sqrt(Math.max(0, row[j] ?? 0)) / (scale[j] ?? 1))
  };
}
function widening(residuals, terms) {
  let [squares, products] = [0, 0];
  for (const [i, residual] of residuals.entries()) {
    squares += residual * residual;
    products += residual * (residuals[i - 1] ?? 0);
  }
  const scatter = Math.sqrt(squares / (residuals.length - terms));
  if (scatter <= 1) return 1;
  const alike = Math.min(0.98, Math.max(0, products / squares));
  return Math.max(1, scatter * Math.sqrt((1 + alike) / (1 - alike)));
}
function inverted(matrix) {
  const size = matrix.length;
  const work = matrix.map((row, i) => [...row, ...Array.from({ length: size }, (_, j) => i === j ? 1 : 0)]);
  for (let i = 0; i < size; i++) {
    const pivotRow = work[i];
    const pivot = pivotRow?.[i] ?? 0;
    if (!pivotRow || !(pivot > 1e-10)) return null;
    for (let k = 0; k < 2 * size; k++) pivotRow[k] = (pivotRow[k] ?? 0) / pivot;
    for (let j = 0; j < size; j++) {
      const row = work[j];
      const factor = row?.[i] ?? 0;
      if (!row || j === i || factor === 0) continue;
      for (let k = 0; k < 2 * size; k++) row[k] = (row[k] ?? 0) - factor * (pivotRow[k] ?? 0);
    }
  }
  return work.map((row) => row.slice(size));
}

// src/evaluation/stiffness/air-in-rise.ts
var leastTimeU = 0.02;
var fewestPoints = 8;
function airInRise(section, noisePa, lagS) {
  const first = section[0];
  if (!first) return null;
  const points2 = first.pa === 0 ? section.slice(1) : section;
  const [from, to] = [points2[0], points2.at(-1)];
  if (!from || !to || points2.length < fewestPoints || from.pa > 10 * atmospherePa2) return null;
  const bent = to.pa > 30 * atmospherePa2;
  const p0 = atmospherePa2;
  const rows = points2.map(({ pa }) => [1, pa / p0, pa / (pa + p0), ...bent ? [square(pa / to.pa)] : []]);
  const times2 = points2.map(({ s }) => s - from.s);
  let paceSPerPa = points2.map(() => (to.s - from.s) / (to.pa - from.pa));
  let found2 = null;
  for (let round = 0; round < 4; round++) {
    const u = paceSPerPa.map((pace2) => rootSumSquares(leastTimeU, noisePa * pace2));
    const fit = weightedFit(rows, times2, u);
    const [, a, b] = fit?.values ?? [];
    if (!fit || a === void 0 || b === void 0 || !(a > 0)) return null;
    const ratio = b / a;
    const bowU = rootSumSquares(fit.u[2] ?? 0, fit.rest, lagS);
    found2 = { airOverGivePa: ratio * p0, uPa: p0 * rootSumSquares(bowU / a, ratio * (fit.u[1] ?? 0) / a) };
    paceSPerPa = points2.map(({ pa }) => (a + Math.max(0, b) * p0 * p0 / square(pa + p0)) / p0);
  }
  return found2;
}
var [paceFromShare, paceToShare] = [0.5, 0.85];
var stoppedShare = 0.85;
var dyingShare = 0.3;
function lagOfRise(points2) {
  const peakPa = points2.at(-1)?.pa ?? 0;
  const rates = points2.slice(1).map((point, i) => {
    const before = points2[i] ?? point;
    return { pa: before.pa, paPerS: (point.pa - before.pa) / Math.max(1e-3, point.s - before.s) };
  });
  const usual2 = rates.filter(({ pa }) => pa >= paceFromShare * peakPa && pa < paceToShare * peakPa);
  const pace2 = median(Float64Array.from(usual2, ({ paPerS }) => paPerS));
  if (!(pace2 > 0)) return 0;
  const lastQuick = rates.findLastIndex(({ paPerS }) => paPerS >= stoppedShare * pace2);
  const stopped = points2[lastQuick + 1];
  const [beforeLast2, last2] = [points2.at(-3), points2.at(-1)];
  const dies = beforeLast2 && last2 && last2.pa - beforeLast2.pa < dyingShare * pace2 * (last2.s - beforeLast2.s);
  return stopped && dies ? (peakPa - stopped.pa) / (stoppedShare * pace2) : 0;
}

// src/evaluation/stiffness/expected-rise.ts
var heatJPerM3K = 870 * 1900;
var roomK = 293.15;
var lineVolumeRelU = 0.1;
function expectedRise(port) {
  const { oilM3, oilUM3, airFraction, line: line2 } = port.stiffness;
  const targetPa = port.stages.at(-1)?.targetPa ?? 0;
  const { volumeM3, thermalPaPerK, bulkModulusPa } = port.trapped;
  const admittedAir = airFraction ?? 0;
  const solidM3 = oilM3 - admittedAir * volumeM3;
  if (!(targetPa > 0 && solidM3 > 0)) return null;
  const slowM3PerPa = solidM3 / targetPa;
  const heatShare = Math.min(0.3, square(thermalPaPerK) * roomK / (bulkModulusPa * heatJPerM3K));
  return {
    slowM3PerPa,
    quickM3PerPa: slowM3PerPa * (1 - heatShare),
    relU: oilUM3 / solidM3,
    line: line2 ? {
      m3PerPa: line2.oilM3 / targetPa,
      uM3PerPa: rootSumSquares(line2.oilUM3, lineVolumeRelU * line2.oilM3) / targetPa
    } : null,
    admittedAir
  };
}

// src/evaluation/stiffness/oil-taken.ts
var mostStrokesPerS = 3;
var leastLeg = 0.05;
var fewestBetween = 3;
var relU2 = { measured: 0.02, stroke: 0.03, flow: 0.05 };
var leastSpan = 0.1;
function oilTaken(port, facts, sections, { intervalS, steps: steps3 }) {
  const { flowM3PerS, strokeM3, flowAtMost } = port.stiffness;
  const targetPa = port.stages.at(-1)?.targetPa ?? 0;
  const risenPa = Math.max(targetPa, (facts.peakPa ?? 0) - (facts.zeroBeforePa ?? 0));
  if (!(risenPa > 0)) return null;
  const over = (m3, fromPa) => ({
    m3PerPa: m3 / (risenPa - fromPa),
    fromPa,
    toPa: risenPa
  });
  if (facts.oilPumpedM3 !== null)
    return { knownBy: "measured", relU: relU2.measured, readings: [over(facts.oilPumpedM3, 0)] };
  if (facts.strokes !== null && strokeM3 !== void 0 && facts.strokes > 0) {
    const m3 = facts.strokes * strokeM3;
    const strokesRelU = rootSumSquares(relU2.stroke, 1 / Math.sqrt(3) / facts.strokes);
    const boosterFromPa = pumpSection(sections, targetPa)?.at(-1)?.pa ?? 0;
    const all = over(m3, 0);
    const pumpedFirst = boosterFromPa <= (1 - leastSpan) * risenPa ? over(m3, boosterFromPa) : null;
    const readings = pumpedFirst === null ? [all] : flowM3PerS === void 0 ? [all, pumpedFirst] : [pumpedFirst];
    return { knownBy: "strokes", relU: strokesRelU, readings };
  }
  const ofSteps = strokeM3 === void 0 || !steps3 ? null : oilOfSteps(strokeM3, steps3);
  if (ofSteps) return ofSteps;
  if (flowM3PerS !== void 0) {
    const ofFlow = oilOfFlow(flowM3PerS, sections, targetPa, intervalS);
    return ofFlow && flowAtMost ? { ...ofFlow, atMost: true } : ofFlow;
  }
  return strokeM3 === void 0 || !steps3 ? null : oilAtMost(strokeM3, steps3, risenPa);
}
function oilOfSteps(strokeM3, { chains }) {
  const [widest] = chains.toSorted((a, b) => b.strokes - a.strokes);
  if (!widest) return null;
  const inner = widest.steps.slice(1, -1);
  const innerStrokes = inner.reduce((sum2, { strokes: strokes2 }) => sum2 + strokes2, 0);
  const [steps3, strokes] = innerStrokes >= fewestBetween ? [inner, innerStrokes] : [widest.steps, widest.strokes];
  const [fromPa, toPa] = [steps3[0]?.fromPa ?? 0, steps3.at(-1)?.toPa ?? 0];
  if (!(toPa > fromPa)) return null;
  return {
    knownBy: "steps",
    relU: rootSumSquares(relU2.stroke, 1 / Math.sqrt(3) / strokes, missed2(steps3) / strokes),
    readings: [{ m3PerPa: strokes * strokeM3 / (toPa - fromPa), fromPa, toPa }]
  };
}
function missed2(steps3) {
  const apart = steps3.slice(1).map(({ fromS }, i) => fromS - (steps3[i]?.fromS ?? fromS));
  return apart.reduce((sum2, between, i) => {
    const usual2 = median(Float64Array.from(apart.slice(Math.max(0, i - pacedBy), i + pacedBy + 1)));
    return sum2 + Math.min(mostMissed, Math.max(0, Math.round(between / usual2) - Math.max(1, steps3[i]?.strokes ?? 1)));
  }, 0);
}
var [pacedBy, mostMissed] = [4, 2];
function oilAtMost(strokeM3, { steps: steps3 }, risenPa) {
  const readings = steps3.filter(({ fromPa, toPa }) => toPa - fromPa >= leastLeg * risenPa).map(({ fromS, toS, fromPa, toPa }) => ({
    m3PerPa: Math.ceil(mostStrokesPerS * (toS - fromS)) * strokeM3 / (toPa - fromPa),
    fromPa,
    toPa
  })).toSorted((a, b) => a.m3PerPa - b.m3PerPa);
  return readings[0] ? { knownBy: "steps", atMost: true, relU: relU2.stroke, readings: readings.slice(0, 1) } : null;
}
function pumpSection(sections, targetPa) {
  const spanPa = (section) => (section.at(-1)?.pa ?? 0) - (section[0]?.pa ?? 0);
  const pumped = sections.find((section) => spanPa(section) >= leastSpan * targetPa);
  return pumped && (pumped[0]?.pa ?? 0) <= targetPa / 2 ? pumped : null;
}
function oilOfFlow(flowM3PerS, sections, targetPa, intervalS) {
  const pumped = sections.find((section) => (section.at(-1)?.pa ?? 0) - (section[0]?.pa ?? 0) >= leastSpan * targetPa);
  const [start, to] = [pumped?.[0], pumped?.at(-1)];
  if (!pumped || !start || !to || start.pa > targetPa / 2) return null;
  const from = pumped.find(({ pa }) => pa >= start.pa + (to.pa - start.pa) / 3) ?? start;
  const steady = to.pa - from.pa >= (to.pa - start.pa) / 3 && to.s - from.s >= 5 * intervalS;
  const begin = steady ? from : start;
  const overS = to.s - begin.s;
  const m3PerPa = flowM3PerS * overS / (to.pa - begin.pa);
  const timeRelU = intervalS / Math.sqrt(6) / Math.max(overS, intervalS / 10);
  return {
    knownBy: "flow",
    relU: rootSumSquares(relU2.flow, steady ? timeRelU : Math.min(timeRelU, 0.3)),
    readings: [{ m3PerPa, fromPa: begin.pa, toPa: to.pa }]
  };
}

// src/evaluation/stiffness/opposite-port.ts
var togetherShare = 0.5;
var risingShare = 0.01;
var meanOf = 10;
var OppositeWatch = class {
  #count = 0;
  #seen = null;
  add(pressurePa2, oppositePa) {
    const seen = this.#seen ?? {
      firstPa: oppositePa,
      lastPa: oppositePa,
      greatestPa: oppositePa,
      heldFirstPa: pressurePa2,
      heldLastPa: pressurePa2
    };
    this.#count += 1;
    const beginning = this.#count <= meanOf ? 1 / this.#count : 0;
    const end = 1 / Math.min(this.#count, meanOf);
    const lastPa = seen.lastPa + end * (oppositePa - seen.lastPa);
    this.#seen = {
      firstPa: seen.firstPa + beginning * (oppositePa - seen.firstPa),
      heldFirstPa: seen.heldFirstPa + beginning * (pressurePa2 - seen.heldFirstPa),
      lastPa,
      greatestPa: this.#count < meanOf ? lastPa : Math.max(seen.greatestPa, lastPa),
      heldLastPa: seen.heldLastPa + end * (pressurePa2 - seen.heldLastPa)
    };
  }
  /** Before the first hold of an attempt, or the last stage's hold: earlier ones say less. */
  startAfresh() {
    this.#count = 0;
    this.#seen = null;
  }
  seen() {
    return this.#seen;
  }
};
function pistonSealWord(port, seen) {
  if (port.opposite === "open" || !speaksOfPistonSeal(port)) return null;
  if (port.opposite === "blocked")
    return {
      seen: "cannot be seen",
      text: "the other port is blocked, so a leaking or even a missing piston seal would not show: this hold says nothing of the piston seal"
    };
  if (!seen)
    return {
      seen: "cannot be seen",
      text: "no pressure was read at the other port, so this hold says nothing of the piston seal"
    };
  const { firstPa, greatestPa, heldLastPa } = seen;
  const figures2 = `{pressure:${greatestPa}} at the other port against {pressure:${heldLastPa}} here`;
  if (greatestPa >= togetherShare * heldLastPa)
    return { seen: "joined", text: `the two pressures move together (${figures2}): oil passes the piston` };
  if (greatestPa - firstPa > risingShare * heldLastPa)
    return {
      seen: "joined",
      text: `the other port rose by {difference:${greatestPa - firstPa}} during the hold (${figures2}): oil passes the piston`
    };
  return { seen: "apart", text: `the two pressures stay apart (${figures2})` };
}
var speaksOfPistonSeal = (port) => [...port.covers, ...port.notCovered].some((part2) => part2.includes("piston seal"));

// src/evaluation/stiffness/rise-sections.ts
var pauseTimes = 2;
var pauseS = 1;
var paceTimes = 1.5;
var paceOver = 8;
var paceFrom = 0.15;
function riseSections(rise) {
  const { ventedUntilS, points: points2 } = rise;
  const quickStart = ventedUntilS !== null && ventedUntilS < (points2[0]?.s ?? 0);
  const all = quickStart ? [{ s: ventedUntilS, pa: 0 }, ...points2] : points2;
  const peakPa = all.at(-1)?.pa ?? 0;
  const paces = all.slice(1).map((point, i) => pace(all[i], point));
  const sections = [];
  let open = all.slice(0, 1);
  let usual2 = [];
  for (let i = 1; i < all.length; i++) {
    const [before, point, here] = [all[i - 1], all[i], paces[i - 1]];
    if (!before || !point || here === void 0) continue;
    const usualPace = middle(usual2);
    const lateS = usualPace === null ? 0 : point.s - before.s - usualPace * (point.pa - before.pa);
    const paused = usualPace !== null && here > pauseTimes * usualPace && lateS > pauseS;
    if (paused || paceJumps(all, paces, i - 1, usual2.length, point.pa >= paceFrom * peakPa)) {
      sections.push(open);
      open = paused ? [point] : [before, point];
      usual2 = paused ? [] : [here];
      continue;
    }
    open.push(point);
    usual2 = [...usual2.slice(1 - paceOver), here];
  }
  sections.push(open);
  return sections.filter((section) => section.length >= 2);
}
var pace = (from, to) => from && to.pa > from.pa ? (to.s - from.s) / (to.pa - from.pa) : 0;
function paceJumps(all, paces, at, usual2, clearOfAir) {
  if (!clearOfAir || usual2 < paceOver || at + paceOver > paces.length) return false;
  const [from, here, to] = [all[at - paceOver], all[at], all[at + paceOver]];
  if (!here || !to) return false;
  const jumps = (before, after2) => before > 0 && after2 > 0 && (after2 > paceTimes * before || before > paceTimes * after2);
  const middles = (start) => middle(paces.slice(start, start + paceOver)) ?? 0;
  return jumps(pace(from, here), pace(here, to)) && jumps(middles(at - paceOver), middles(at));
}
function middle(values) {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? null;
}

// src/evaluation/stiffness/words.ts
var percent2 = (share) => `${(share * 100).toFixed(share < 0.1 ? 1 : 0)} %`;
var knownBy = {
  measured: "as measured",
  strokes: "by the booster's strokes",
  steps: "by the strokes that the rise shows",
  flow: "by the pump's flow and the time of the rise"
};
function oilFigures(port, expected, seen) {
  const targetPa = port.stages.at(-1)?.targetPa ?? 0;
  const most3 = seen.mostM3PerPa * targetPa;
  const [quick, slow2] = [expected.quickM3PerPa * targetPa, expected.slowM3PerPa * targetPa];
  return `${knownBy[seen.knownBy]} the rise takes {volume:${most3}} of oil to {pressure:${targetPa}}, where the cylinder needs {volume:${quick}} pumped quickly to {volume:${slow2}} slowly`;
}
function stiffWords(port, expected, seen, finding) {
  const figures2 = oilFigures(port, expected, seen);
  const targetPa = port.stages.at(-1)?.targetPa ?? 0;
  const line2 = expected.line === null ? null : `{volume:${expected.line.m3PerPa * targetPa}}`;
  if (line2 === null) return `${figures2}: a shut valve, no cylinder on the hose, or another volume`;
  switch (finding) {
    case "less than the line":
      return `${figures2}, and the hose alone ${line2}: not even the hose was joined to the gauge, a valve is shut before it`;
    case "line alone":
      return `${figures2}, and the hose alone ${line2}: only the hose was pressed; the valve at the cylinder is shut, or no cylinder is on the hose (pressure and oil are the same for both)`;
    case "smaller volume":
      return `${figures2}, and the hose alone ${line2}: another volume than the job says, such as a piston at the other end or another cylinder`;
    default:
      return `${figures2}, but the hose alone takes ${line2}, too close to tell whether the cylinder was joined to the gauge`;
  }
}
function airWords(port, share, limit) {
  const { volumeM3 } = port.trapped;
  return `the rise is bowed as by ${percent2(share)} of free air ({volume:${share * volumeM3}} of {volume:${volumeM3}}, where ${percent2(limit)} is allowed): purge and try again`;
}
function oilWords(port, expected, seen, finding, detectable) {
  const figures2 = oilFigures(port, expected, seen);
  if (finding === "cylinder") return `${figures2}; ${bowWords(detectable)}`;
  const air = detectable === null ? "trapped air, " : "";
  return `${figures2}: ${air}a soft hose, a leak, a piston that is not bottomed, or oil that passes it into a shut-off volume`;
}
var flowAtMostWords = (port, expected, seen, detectable) => `${oilFigures(port, expected, seen)}, at the most: what a pump delivers may leave over its relief valve, so the readings do not show by themselves that the gauge was joined to the cylinder; ${bowWords(detectable)}`;
var notKnownWords = (detectable) => `how much oil the rise took is not known, so the readings do not show by themselves that the gauge was joined to the cylinder; ${bowWords(detectable)}`;
var bowWords = (detectable) => detectable === null ? "the readings do not show the beginning of the rise well enough to see trapped air" : `at a steady flow ${percent2(Math.ceil(detectable * 1e3) / 1e3)} of free air or more would have bowed it, and it is not`;

// src/evaluation/stiffness/check-stiffness.ts
var stiffAt = 3;
var softAt = 3;
var tellApart = 2;
var airLimit = 3e-3;
var airAt = 3;
var strokesFromPa = 10 * atmospherePa2;
var oneSided = 1.645;
var usualNoisePa = 3e3;
function checkStiffness(port, seen, facts) {
  const expected = expectedRise(port);
  const sections = riseSections(seen.rise);
  const noisePa = rootSumSquares(usualNoisePa, seen.resolutionPa / Math.sqrt(12));
  const lagS = lagOfRise(seen.rise.points);
  const byStrokes = strokeSections(seen.steps?.chains ?? []);
  const bows = [
    ...byStrokes.map((one) => airInRise(one, noisePa, 0)),
    ...sections.map((one) => airInRise(one, noisePa, lagS))
  ];
  const bow = bestBow(bows);
  const taken = oilTaken(port, facts, sections, { intervalS: seen.rise.intervalS, steps: seen.steps });
  const result = judged(
    port,
    expected,
    taken,
    expected && bow ? airShare(port, expected, bow) : null,
    bow,
    seenStrokes(seen.steps?.chains ?? [])
  );
  const pistonSeal = pistonSealWord(port, seen.opposite);
  if (!pistonSeal) return { ...result, pistonSeal };
  const text = `${result.text}; ${pistonSeal.text}`;
  const holds2 = result.verdict === "agrees" || result.verdict === "not-checked";
  return pistonSeal.seen === "joined" && holds2 ? {
    ...result,
    verdict: "too-soft",
    finding: "past the piston",
    text: `${pistonSeal.text}; ${result.text}`,
    pistonSeal
  } : { ...result, text, pistonSeal };
}
function airShare(port, { quickM3PerPa, admittedAir, relU: relU3 }, bow) {
  const perPa = quickM3PerPa / port.trapped.volumeM3;
  const u = bow.uPa * perPa;
  const limit = admittedAir * (1 + airAt * relU3) + Math.max(airLimit, airAt * u);
  return {
    share: Math.max(0, bow.airOverGivePa * perPa),
    limit,
    detectable: (limit + oneSided * u) / (1 - oneSided * relU3)
  };
}
function seenStrokes(chains) {
  const steps3 = chains.flatMap((chain) => chain.steps);
  if (steps3.length === 0) return {};
  const heightPa2 = median(Float64Array.from(steps3, ({ fromPa, toPa }) => toPa - fromPa));
  return { strokesSeen: { count: chains.reduce((sum2, { strokes }) => sum2 + strokes, 0), heightPa: heightPa2 } };
}
var strokeSections = (chains) => chains.filter(({ steps: steps3 }) => (steps3[0]?.fromPa ?? 0) < strokesFromPa).map(({ steps: steps3 }) => {
  let s = 0;
  return steps3.slice(0, -1).map(({ toPa, strokes }) => {
    s += strokes;
    return { s, pa: toPa };
  });
});
var bestBow = (bows) => bows.reduce((best, bow) => bow && (!best || bow.uPa < best.uPa) ? bow : best, null);
function judged(port, expected, taken, air, bow, strokesSeen) {
  const common = {
    expectedM3PerPa: expected?.slowM3PerPa ?? null,
    airFraction: air?.share ?? null,
    airDetectable: air?.detectable ?? null,
    oilKnownBy: taken?.knownBy ?? null,
    ...strokesSeen
  };
  const aired = air !== null && air.share >= air.limit;
  if (!expected || !taken) {
    const base = { ...common, seenM3PerPa: null };
    return aired ? { ...base, verdict: "too-soft", finding: "free air", text: airWords(port, air.share, air.limit) } : { ...base, verdict: "not-checked", finding: "not known", text: notKnownWords(air?.detectable ?? null) };
  }
  const seen = withoutAir(port, expected, taken, bow);
  const figures2 = { ...common, seenM3PerPa: seen.mostM3PerPa };
  const stiff = stiffFinding(expected, seen);
  if (stiff === "not known")
    return { ...figures2, verdict: "not-checked", finding: stiff, text: stiffWords(port, expected, seen, stiff) };
  if (stiff) return { ...figures2, verdict: "too-stiff", finding: stiff, text: stiffWords(port, expected, seen, stiff) };
  if (aired)
    return { ...figures2, verdict: "too-soft", finding: "free air", text: airWords(port, air.share, air.limit) };
  const u = rootSumSquares(expected.relU * expected.slowM3PerPa, seen.relU * seen.leastM3PerPa);
  const soft = seen.leastM3PerPa > expected.slowM3PerPa + softAt * u;
  if (taken.atMost || taken.knownBy === "flow" && soft)
    return {
      ...figures2,
      verdict: "not-checked",
      finding: "not known",
      text: flowAtMostWords(port, expected, seen, air?.detectable ?? null)
    };
  const finding = soft ? "more oil" : "cylinder";
  const text = oilWords(port, expected, seen, finding, air?.detectable ?? null);
  return { ...figures2, verdict: soft ? "too-soft" : "agrees", finding, text };
}
function withoutAir(port, expected, taken, bow) {
  const bowed = (pa) => pa / (pa + atmospherePa2);
  const shown = bow && bow.airOverGivePa > airAt * bow.uPa ? bow.airOverGivePa : null;
  const solid = taken.readings.map(({ m3PerPa, fromPa, toPa }) => {
    const perPa = (bowed(toPa) - bowed(fromPa)) / (toPa - fromPa);
    if (shown !== null) return m3PerPa / (1 + shown * perPa);
    return Math.max(0, m3PerPa - expected.admittedAir * port.trapped.volumeM3 * perPa);
  });
  return {
    knownBy: taken.knownBy,
    relU: taken.relU,
    leastM3PerPa: Math.min(...solid),
    mostM3PerPa: Math.max(...taken.readings.map(({ m3PerPa }) => m3PerPa))
  };
}
function stiffFinding({ quickM3PerPa, slowM3PerPa, relU: relU3, line: line2 }, seen) {
  const most3 = seen.mostM3PerPa;
  const ownU = seen.relU * most3;
  const u = rootSumSquares(relU3 * quickM3PerPa, ownU);
  if (!line2) return most3 < quickM3PerPa - stiffAt * u ? "line alone" : null;
  const lineU = rootSumSquares(line2.uM3PerPa, ownU);
  const apart = (quickM3PerPa - line2.m3PerPa) / (u + lineU);
  if (apart < tellApart && most3 < line2.m3PerPa + tellApart * lineU) return "not known";
  if (most3 >= quickM3PerPa - Math.min(stiffAt, Math.max(apart, tellApart)) * u) return null;
  if (most3 < line2.m3PerPa * (quickM3PerPa / slowM3PerPa) - stiffAt * lineU) return "less than the line";
  return most3 <= line2.m3PerPa + stiffAt * lineU ? "line alone" : "smaller volume";
}

// src/evaluation/stiffness/booster-steps.ts
var [clearMost, clearLeast, clearLess] = [3.5, 1.8, 0.6];
var [paceS, paceReadings] = [2, 6];
var [apartS, coarse] = [0.4, 10];
var leastSteps = 4;
var [least, most2, mostOfTwo] = [0.35, 1.6, 2.6];
var ownStroke = 0.6;
var neighbours = 4;
var pause = 4;
var leastStanding = 0.15;
var fewest = 4;
function stepsOf3({ s, pa }, noisePa) {
  const legs = [];
  let [now, turn, turnAt, rising] = [0, 0, 0, false];
  for (let i = 0; i + 1 < s.length; i++) {
    const dS = (s[i + 1] ?? 0) - (s[i] ?? 0);
    const halfPa = paceAt(s, pa, i, noisePa) * dS / 2;
    now += (pa[i + 1] ?? 0) - (pa[i] ?? 0) - halfPa;
    if (rising ? now >= turn : now <= turn) [turn, turnAt] = [now, i + 1];
    else if (Math.abs(now - turn) >= Math.max(clearLeast * noisePa, clearMost * noisePa - clearLess * halfPa)) {
      if (rising) legs.push({ from: legs.pop()?.from ?? 0, to: turnAt });
      else legs.push({ from: turnAt, to: s.length - 1 });
      [rising, turn, turnAt] = [!rising, now, i + 1];
    }
  }
  const level2 = (from, to) => {
    const between = pa.subarray(from, to + 1);
    return between.reduce((total, one) => total + one, 0) / between.length;
  };
  return legs.map(({ from, to }, k) => ({
    fromS: s[from] ?? 0,
    toS: s[to] ?? 0,
    fromPa: level2(legs[k - 1]?.to ?? 0, from),
    toPa: level2(to, legs[k + 1]?.from ?? s.length - 1)
  }));
}
function paceAt(s, pa, at, noisePa) {
  const next = paceOver2(s, pa, at, 1);
  const dS = ((s[Math.min(s.length - 1, at + 4)] ?? 0) - (s[at] ?? 0)) / Math.max(1, Math.min(4, s.length - 1 - at));
  const apart = Math.max(1, Math.round(apartS / Math.max(dS, 1e-3)));
  return next * dS >= coarse * noisePa || apart === 1 ? next : paceOver2(s, pa, at, apart);
}
function paceOver2(s, pa, at, apart) {
  const rises = [];
  let wholePa = 0;
  for (const way of [-1, 1])
    for (let i = way < 0 ? at : at + 1, count = 0; i >= 0 && i + apart < s.length; i += way, count++) {
      if (count >= paceReadings && Math.abs((s[i] ?? 0) - (s[at] ?? 0)) > paceS) break;
      const risenPa = (pa[i + apart] ?? 0) - (pa[i] ?? 0);
      if (risenPa <= 0) continue;
      rises.push({ paPerS: risenPa / Math.max(1e-3, (s[i + apart] ?? 0) - (s[i] ?? 0)), pa: risenPa });
      wholePa += risenPa;
    }
  rises.sort((a, b) => a.paPerS - b.paPerS);
  let belowPa = 0;
  for (const rise of rises) {
    belowPa += rise.pa;
    if (belowPa >= wholePa / 2) return rise.paPerS;
  }
  return 0;
}
function strokeChains(readings, noisePa) {
  const steps3 = stepsOf3(readings, noisePa).filter(({ fromPa, toPa }) => toPa - fromPa > leastSteps * noisePa);
  const chains = [[]];
  for (const [k, step2] of steps3.entries()) {
    const near = steps3.slice(Math.max(0, k - neighbours), k + neighbours + 1).filter((one) => one !== step2);
    const usual2 = (of) => median(Float64Array.from(near, of));
    const height = (step2.toPa - step2.fromPa) / usual2(heightPa);
    const lasts = (step2.toS - step2.fromS) / usual2(lengthS);
    const paused = k > 0 && step2.fromS - (steps3[k - 1]?.toS ?? 0) > pause * usualGapS(steps3, k);
    if (paused) chains.push([]);
    const cutShort = k === steps3.length - 1 && height < most2;
    if (cutShort) chains.at(-1)?.push({ ...step2, strokes: height >= 0.5 ? 1 : 0 });
    else if (height >= least && height <= most2) chains.at(-1)?.push({ ...step2, strokes: 1 });
    else if (height > most2 && height <= mostOfTwo) chains.at(-1)?.push({ ...step2, strokes: lasts >= most2 ? 2 : 1 });
    else if (height > most2) chains.push([]);
    else chains.at(-1)?.push({ ...step2, strokes: spacing(steps3, k) >= ownStroke ? 1 : 0 });
  }
  const whole = chains.map((one) => ({ steps: one, strokes: one.reduce((sum2, { strokes }) => sum2 + strokes, 0) }));
  const sure4 = whole.filter(({ strokes, steps: of }) => strokes >= fewest && standsBetween(of) >= leastStanding);
  const usualPa = median(
    Float64Array.from(
      sure4.flatMap(({ steps: of }) => of),
      heightPa
    )
  );
  const alike = ({ steps: of, strokes }) => strokes > 0 && strokes < fewest && of.every((one) => heightPa(one) <= most2 * usualPa);
  return whole.filter((one) => sure4.includes(one) || alike(one));
}
function spacing(steps3, at) {
  const between = (k) => (steps3[k + 1]?.fromS ?? Number.NaN) - (steps3[k]?.fromS ?? Number.NaN);
  const near = Array.from({ length: 2 * neighbours + 1 }, (_, i) => between(at - neighbours + i)).filter(
    (one) => one > 0
  );
  return between(at) / median(Float64Array.from(near));
}
function usualGapS(steps3, at) {
  const near = steps3.slice(Math.max(1, at - neighbours), at + neighbours + 1);
  const gaps = near.map(({ fromS }) => fromS - (steps3.findLast((one) => one.fromS < fromS)?.toS ?? fromS));
  return median(Float64Array.from(gaps));
}
function standsBetween(steps3) {
  const standingS = steps3.slice(1).reduce((sum2, { fromS }, i) => sum2 + fromS - (steps3[i]?.toS ?? fromS), 0);
  return standingS / ((steps3.at(-1)?.fromS ?? 0) - (steps3[0]?.fromS ?? 0));
}
var heightPa = ({ fromPa, toPa }) => toPa - fromPa;
var lengthS = ({ fromS, toS }) => toS - fromS;
var readingNoisePa = (ventedPa2, resolutionPa) => {
  const mean = ventedPa2.reduce((sum2, one) => sum2 + one, 0) / Math.max(1, ventedPa2.length);
  const scatter = ventedPa2.reduce((sum2, one) => sum2 + square(one - mean), 0) / Math.max(1, ventedPa2.length - 1);
  return Math.max(Math.sqrt(scatter), resolutionPa / Math.sqrt(12));
};

// src/evaluation/stiffness/rise-readings.ts
var apartS2 = 0.09;
var mostKept = 6e3;
var ventedKept = 40;
var leaving = 12;
var [ventedPa, ventedSteps] = [5e4, 3];
var RiseReadingsWatch = class {
  #resolutionPa;
  #vented = [];
  #rise = [];
  #open = null;
  #apartS = apartS2;
  #steps = null;
  /** @param resolutionPa step of the gauge's display */
  constructor(resolutionPa) {
    this.#resolutionPa = resolutionPa;
  }
  /** @param pa above the vented zero */
  add(timeUs, pa) {
    const s = timeUs / 1e6;
    const open = this.#open;
    if (open && s - open.fromS < this.#apartS) {
      open.count += 1;
      open.s += (s - open.s) / open.count;
      open.pa += (pa - open.pa) / open.count;
      return;
    }
    if (open) this.#keep({ s: open.s, pa: open.pa });
    this.#open = { s, pa, count: 1, fromS: s };
  }
  #keep(reading) {
    if (reading.pa < ventedPa + ventedSteps * this.#resolutionPa) {
      this.#rise = [];
      this.#apartS = apartS2;
      this.#vented.push(reading);
      if (this.#vented.length > ventedKept) this.#vented.shift();
      return;
    }
    this.#rise.push(reading);
    if (this.#rise.length < mostKept) return;
    this.#apartS *= 2;
    this.#rise = this.#rise.flatMap((one, i) => {
      const next = this.#rise[i + 1];
      return i % 2 === 0 && next ? [{ s: (one.s + next.s) / 2, pa: (one.pa + next.pa) / 2 }] : [];
    });
  }
  /** The steps of the rise so far. */
  seen() {
    if (this.#steps?.of !== this.#rise.length) this.#steps = { of: this.#rise.length, seen: this.#look() };
    return this.#steps.seen;
  }
  #look() {
    const all = [...this.#vented, ...this.#rise];
    if (this.#open) all.push(this.#open);
    const readings = {
      s: Float64Array.from(all, ({ s }) => s),
      pa: Float64Array.from(all, ({ pa }) => pa)
    };
    const noisePa = readingNoisePa(
      this.#vented.slice(0, this.#vented.length > 2 * leaving ? -leaving : void 0).map(({ pa }) => pa),
      this.#resolutionPa
    );
    return { steps: stepsOf3(readings, noisePa), chains: strokeChains(readings, noisePa) };
  }
};

// src/evaluation/stiffness/rise-watch.ts
var leastStepPa = 2e4;
var stepOfPressure = 0.01;
var stepAtEnd = 3e-3;
var smoothedShare = 0.25;
var smoothedMost = 24;
var RiseWatch = class {
  #leastStepPa;
  #points = [];
  #ventedUntilS = null;
  #nextPa;
  /** The newest readings, each the middle one of three in pressure. */
  #recent = [];
  #last = null;
  #beforeLast = null;
  #sincePoint = 0;
  #intervals = 0;
  #intervalS = 0;
  /** @param resolutionPa step of the gauge's display */
  constructor(resolutionPa) {
    this.#leastStepPa = Math.max(leastStepPa, 3 * resolutionPa);
    this.#nextPa = this.#leastStepPa;
  }
  /**
   * A reading taken before the hold, zero to target.
   * @param zeroPa what the vented gauge reads
   * @param atEnd the band of the target is reached
   */
  add(timeUs, pressurePa2, zeroPa, atEnd = false) {
    const now = { s: timeUs / 1e6, pa: pressurePa2 - zeroPa };
    const [first, middle2] = [this.#beforeLast, this.#last];
    this.#beforeLast = middle2;
    this.#last = now;
    if (!middle2) return;
    this.#intervals += 1;
    this.#intervalS += (Math.min(now.s - middle2.s, 10) - this.#intervalS) / Math.min(this.#intervals, 64);
    this.#recent.push({ s: middle2.s, pa: first ? medianOf(first.pa, middle2.pa, now.pa) : middle2.pa });
    if (this.#recent.length > smoothedMost) this.#recent.shift();
    this.#sincePoint += 1;
    const lastPa = this.#points.at(-1)?.pa ?? 0;
    if (atEnd) this.#nextPa = lastPa + Math.max(this.#leastStepPa, stepAtEnd * lastPa);
    const newest = meanOf2(this.#recent, 1);
    const mean = meanOf2(this.#recent, Math.floor(smoothedShare * this.#sincePoint));
    const smooth = newest.pa - mean.pa > this.#leastStepPa ? newest : mean;
    if (smooth.pa < this.#leastStepPa) {
      this.#ventedUntilS = middle2.s;
      this.#points = [];
      this.#nextPa = this.#leastStepPa;
    } else if (smooth.pa >= this.#nextPa) {
      this.#points.push(smooth);
      this.#sincePoint = 0;
      this.#nextPa = smooth.pa + Math.max(this.#leastStepPa, stepOfPressure * smooth.pa);
    }
  }
  /** What was seen so far. */
  seen() {
    return { points: this.#points, ventedUntilS: this.#ventedUntilS, intervalS: this.#intervalS };
  }
};
function meanOf2(recent, count) {
  const taken = recent.slice(-Math.max(1, count));
  const mean = { s: 0, pa: 0 };
  for (const { s, pa } of taken) {
    mean.s += s / taken.length;
    mean.pa += pa / taken.length;
  }
  return mean;
}
var medianOf = (a, b, c) => Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));

// src/evaluation/stiffness/stiffness-watch.ts
var unusable = readingFlags.otherUnit | readingFlags.checksum;
var StiffnessWatch = class {
  #resolutionPa;
  #rise;
  #readings;
  #opposite = new OppositeWatch();
  #zeroPa = 0;
  #highestPa = 0;
  #holding = false;
  constructor(resolutionPa) {
    this.#resolutionPa = resolutionPa;
    this.#rise = new RiseWatch(resolutionPa);
    this.#readings = new RiseReadingsWatch(resolutionPa);
  }
  /** @param phase the phase in which the reading arrives */
  add(phase, { timeUs, pressurePa: pressurePa2, oppositePa, flags }) {
    if (pressurePa2 === null || (flags & unusable) !== 0) return;
    if (phase.name === "ready") this.#zeroPa = phase.zeroCount > 0 ? phase.zeroMeanPa : 0;
    const ramping = phase.name === "ready" || phase.name === "ramp";
    const stillRising = phase.name === "stabilise" && pressurePa2 > this.#highestPa;
    if (ramping || stillRising) {
      this.#rise.add(timeUs, pressurePa2, this.#zeroPa, stillRising);
      this.#readings.add(timeUs, pressurePa2 - this.#zeroPa);
    }
    this.#highestPa = ramping ? pressurePa2 : Math.max(this.#highestPa, pressurePa2);
    const holding = phase.name === "dwell";
    if (holding && !this.#holding) this.#opposite.startAfresh();
    this.#holding = holding;
    if (holding && oppositePa !== null) this.#opposite.add(pressurePa2, oppositePa);
  }
  /** Readings of a dwell that have a pressure, of an index up to another: what {@link add} makes of each in turn. */
  addHeld({ pressurePa: pressurePa2, oppositePa }, from, until) {
    if (!this.#holding) this.#opposite.startAfresh();
    this.#holding = true;
    for (let at = from; at < until; at += 1) {
      const other = oppositePa[at];
      if (!Number.isNaN(other)) this.#opposite.add(pressurePa2[at], other);
    }
  }
  seen() {
    return {
      rise: this.#rise.seen(),
      steps: this.#readings.seen(),
      opposite: this.#opposite.seen(),
      resolutionPa: this.#resolutionPa
    };
  }
};

// src/evaluation/strokes/approach.ts
var straightS = 1;
var straightMost = 12;
var straightLeast = 4;
var answersWithinS = 0.1;
var worstShare = 0.25;
function breakAwayAt(points2, top, fell, { noisePa, resolutionPa, gain }) {
  const [at, next] = [points2[top], points2[top + 1]];
  if (!at || !next) return null;
  const rise = points2.slice(Math.max(0, top - straightMost + 1), top + 1).filter(({ s, pa: pa2 }) => at.s - s <= straightS && pa2 > 0.3 * at.pa);
  if (rise.length < straightLeast) return null;
  const line2 = lineThrough2(rise, at.s);
  const slope = Math.max(0, line2.slope);
  const missedPa = fell ? slope * (next.s - at.s) / 2 : 0;
  const lagPa = slope * answersWithinS / 2;
  const scatter = Math.max(noisePa, line2.residualPa);
  const u = rootSumSquares(
    scatter * line2.leverage,
    missedPa / Math.sqrt(3),
    lagPa / Math.sqrt(3),
    // The steps of the display, here and at the zero.
    Math.SQRT2 * resolutionPa / Math.sqrt(12),
    gain * at.pa / Math.sqrt(3)
  );
  const pa = line2.pa + missedPa + (fell ? lagPa : 0);
  return 2 * u > worstShare * pa ? null : { pa, u };
}
function lineThrough2(points2, atS) {
  const n2 = points2.length;
  const meanS = points2.reduce((sum2, { s }) => sum2 + s, 0) / n2;
  const meanPa = points2.reduce((sum2, { pa }) => sum2 + pa, 0) / n2;
  const ss = points2.reduce((sum2, { s }) => sum2 + square(s - meanS), 0);
  const sp = points2.reduce((sum2, { s, pa }) => sum2 + (s - meanS) * (pa - meanPa), 0);
  const slope = ss > 0 ? sp / ss : 0;
  const squares = points2.reduce((sum2, { s, pa }) => sum2 + square(pa - meanPa - slope * (s - meanS)), 0);
  return {
    pa: meanPa + slope * (atS - meanS),
    slope,
    residualPa: Math.sqrt(squares / Math.max(1, n2 - 2)),
    leverage: Math.sqrt(1 / n2 + (ss > 0 ? square(atS - meanS) / ss : 0))
  };
}

// src/evaluation/strokes/saw-tooth.ts
var teethWanted2 = 3;
var filled = 0.3;
var slowerRise2 = 2;
var restless = 3;
var readingsATooth = 4;
var afterFoot = 2;
var lineLeast = 4;
var slopeLeast = 3;
var slipS = 0.08;
function stickSlipIn(run, { noisePa, resolutionPa }) {
  const stepPa2 = Math.max(5 * noisePa, 2.5 * resolutionPa);
  const runS = (run.at(-1)?.s ?? 0) - (run[0]?.s ?? 0);
  const intervalS = runS / Math.max(1, run.length - 1);
  const teeth = teethOf(run, turnsIn(run, stepPa2));
  const saw = teeth.filter(({ riseS, fallS }) => riseS >= slowerRise2 * fallS);
  const lastedS = saw.reduce((sum2, { riseS, fallS }) => sum2 + riseS + fallS, 0);
  const none2 = { amplitudePa: null, amplitudeUncertaintyPa: null, teeth: saw.length, periodS: null };
  const periodS = saw.length > 0 ? lastedS / saw.length : 0;
  const isSaw = saw.length >= teethWanted2 && saw.length >= teeth.length / 2 && lastedS >= filled * runS;
  if (isSaw && periodS >= readingsATooth * intervalS) return sawTooth(saw, periodS, { noisePa, resolutionPa });
  const scatter = scatterAbout(run);
  const moves = scatter > Math.max(restless * noisePa, resolutionPa) || teeth.length >= teethWanted2;
  if (moves)
    return {
      ...none2,
      seen: "cannot tell",
      text: `the pressure moves by {difference:${2 * scatter}} about its level, but not in a saw-tooth that this gauge can follow (a reading every {seconds:${intervalS}})`
    };
  return { ...none2, seen: "no", text: `steady to {difference:${stepPa2}} over {seconds:${runS}}` };
}
function sawTooth(saw, periodS, { noisePa, resolutionPa }) {
  const n2 = saw.length;
  const falls = saw.flatMap(({ fallPa }) => fallPa === null ? [] : [fallPa]);
  const lined = falls.length >= teethWanted2;
  const used2 = lined ? falls : saw.flatMap(({ risePa: risePa2 }) => risePa2 === null ? [] : [risePa2]);
  const common = { seen: "yes", teeth: n2, periodS };
  const every = `one every {seconds:${periodS}}, rising slowly and falling at once`;
  if (used2.length < teethWanted2)
    return {
      ...common,
      amplitudePa: null,
      amplitudeUncertaintyPa: null,
      text: `${n2} teeth, ${every}; too quick for this gauge to show how high`
    };
  const mean = used2.reduce((sum2, pa) => sum2 + pa, 0) / used2.length;
  const scatter = Math.sqrt(used2.reduce((sum2, pa) => sum2 + square(pa - mean), 0) / Math.max(1, used2.length - 1));
  const slipPa = lined ? 0 : mean * Math.min(0.5, slipS / periodS);
  const amplitudePa = mean - slipPa / 2;
  const steps3 = Math.SQRT2 * resolutionPa / Math.sqrt(12);
  const u = rootSumSquares(scatter / Math.sqrt(used2.length), slipPa / 2 / Math.sqrt(3), steps3, noisePa);
  return {
    ...common,
    amplitudePa,
    amplitudeUncertaintyPa: 2 * u,
    text: `${n2} teeth of {difference:${amplitudePa}} \xB1 {difference:${2 * u}}, ${every}`
  };
}
function turnsIn(run, stepPa2) {
  const turns = [];
  let [high, low] = [0, 0];
  let up = null;
  const paAt = (at) => run[at]?.pa ?? 0;
  for (let at = 0; at < run.length; at++) {
    const pa = paAt(at);
    if (pa >= paAt(high)) high = at;
    if (pa <= paAt(low)) low = at;
    if (up !== false && paAt(high) - pa >= stepPa2) {
      turns.push({ at: high, top: true });
      up = false;
      low = at;
      high = at;
    } else if (up !== true && pa - paAt(low) >= stepPa2) {
      turns.push({ at: low, top: false });
      up = true;
      high = at;
      low = at;
    }
  }
  return turns;
}
function teethOf(run, turns) {
  return turns.flatMap((turn, i) => {
    const [before, after2, nextTop] = [turns[i - 1], turns[i + 1], turns[i + 2]];
    const [foot, top, next, fallen3] = [before, turn, after2, { at: turn.at + 1 }].map((one) => run[one?.at ?? -1]);
    if (!turn.top || !before || !after2 || !foot || !top || !next || !fallen3) return [];
    const atS = (top.s + fallen3.s) / 2;
    const above = lineAt(run.slice(before.at + afterFoot, turn.at + 1), atS);
    const below2 = nextTop ? lineAt(run.slice(after2.at + afterFoot, nextTop.at + 1), atS) : null;
    const between = run.slice(before.at + 1, turn.at + 1);
    const slope = between.length < slopeLeast ? null : lineThrough2(between, atS).slope;
    return [
      {
        riseS: top.s - foot.s,
        fallS: next.s - top.s,
        fallPa: above === null || below2 === null ? null : above - below2,
        risePa: slope === null ? null : slope * (next.s - foot.s)
      }
    ];
  });
}
function lineAt(points2, atS) {
  if (points2.length < lineLeast) return null;
  const line2 = lineThrough2(points2, atS);
  return line2.pa;
}
function scatterAbout(run) {
  return run.length < 3 ? 0 : lineThrough2(run, 0).residualPa;
}

// src/evaluation/strokes/read-stroke.ts
var openedS = 3;
var endShare = 0.1;
var fewestReadings = 8;
var parts2 = 8;
function breakAway(points2, seen, number2, port, gauge) {
  const { resolutionPa } = gauge;
  const noise = { noisePa: seen.noisePa, resolutionPa };
  const [topS, toS] = [seen.topUs / 1e6, seen.runToUs / 1e6];
  const run = runBetween(points2, topS, toS);
  const level2 = levelOf(run, noise);
  const top = lastAtTop(points2, topNear(points2, topS), 3 * seen.noisePa + resolutionPa);
  const fell = seen.shownBy === "fall after the top" || (points2[top]?.pa ?? 0) - (level2?.pa ?? 0) > 6 * seen.noisePa;
  const started = breakAwayAt(points2, top, fell, { ...noise, gain: gauge.accuracyOfSpan });
  const gainPa = gauge.accuracyOfSpan * (level2?.pa ?? 0) / Math.sqrt(3);
  return {
    number: number2,
    direction: port === "A" ? "out" : "in",
    startUs: seen.fromUs,
    endUs: seen.endUs,
    restS: seen.restS,
    breakAwayPa: started?.pa ?? null,
    breakAwayUncertaintyPa: started ? 2 * started.u : null,
    runningPa: level2?.pa ?? null,
    runningUncertaintyPa: level2 ? 2 * rootSumSquares(level2.u, gainPa) : null,
    runningSpreadPa: level2?.spreadPa ?? null,
    runningDifferencePa: level2?.differencePa ?? null,
    runS: toS - topS,
    stickSlip: stickSlipIn(run, noise),
    end: seen.end,
    shownBy: seen.shownBy
  };
}
function runBetween(points2, fromS, toS) {
  const opened = Math.min(openedS, (toS - fromS) / 4);
  const [from, to] = [fromS + opened, toS - endShare * (toS - fromS)];
  return points2.filter(({ s }) => s >= from && s <= to);
}
function topNear(points2, atS) {
  let top = -1;
  for (const [index, point] of points2.entries()) {
    if (Math.abs(point.s - atS) > 0.5) continue;
    if (top < 0 || point.pa > (points2[top]?.pa ?? 0)) top = index;
  }
  return top;
}
function lastAtTop(points2, highest2, withinPa) {
  let top = highest2;
  const floorPa = (points2[highest2]?.pa ?? 0) - withinPa;
  while ((points2[top + 1]?.pa ?? Number.NEGATIVE_INFINITY) >= floorPa && top - highest2 < 5) top += 1;
  return top;
}
function levelOf(run, { noisePa, resolutionPa }) {
  if (run.length < fewestReadings) return null;
  const pa = meanOf3(run.map((point) => point.pa));
  const each = Math.floor(run.length / Math.min(parts2, Math.floor(run.length / 2)));
  const means = [];
  for (let from = 0; from + each <= run.length; from += each)
    means.push(meanOf3(run.slice(from, from + each).map((point) => point.pa)));
  const u = rootSumSquares(
    deviation(means) / Math.sqrt(means.length),
    noisePa / Math.sqrt(run.length),
    Math.SQRT2 * resolutionPa / Math.sqrt(12)
  );
  const differences = run.flatMap((point) => point.oppositePa === null ? [] : [point.pa - point.oppositePa]);
  return {
    pa,
    u,
    spreadPa: deviation(run.map((point) => point.pa)),
    differencePa: differences.length === run.length ? meanOf3(differences) : null
  };
}
var meanOf3 = (values) => values.reduce((sum2, value) => sum2 + value, 0) / values.length;
function deviation(values) {
  const mean = meanOf3(values);
  return Math.sqrt(values.reduce((sum2, value) => sum2 + square(value - mean), 0) / Math.max(1, values.length - 1));
}

// src/evaluation/strokes/stroke-watch.ts
var unusable2 = readingFlags.otherUnit | readingFlags.checksum;
var keptAtRest = 4;
var keptMost = 6e4;
var StrokeWatch = class {
  #points = [];
  strokes = [];
  /** A reading, and the state in which it arrives. */
  add({ timeUs, pressurePa: pressurePa2, oppositePa, flags }, { strokes, phase }) {
    if (phase.name === "dwell" || phase.name === "bleed-down" || phase.name === "done") return;
    if (pressurePa2 === null || (flags & unusable2) !== 0) return;
    if (strokes.open === null) this.#points.splice(0, this.#points.length - keptAtRest);
    if (this.#points.length < keptMost) this.#points.push({ s: timeUs / 1e6, pa: pressurePa2, oppositePa });
  }
  /** A stroke that the phases saw in the readings so far. */
  seen(stroke, number2, port, gauge) {
    const points2 = this.#points.map((point) => ({ ...point, pa: point.pa - stroke.zeroPa }));
    this.strokes.push(breakAway(points2, stroke, number2, port, gauge));
  }
};

// src/evaluation/version.ts
var evaluationVersion = "5";

// src/evaluation/judge/stage.ts
function judgeStage(context, dwell, endUs, outcome) {
  switch (outcome.kind) {
    case "no dwell":
      return stageNotReached(context, outcome.verdict, outcome.reason);
    case "voided":
      return dwell?.finish({ ...outcome, endUs, cutShort: true, voided: outcome.reason }) ?? stageNotReached(context, "invalid", outcome.reason);
    case "cut short": {
      const judged2 = dwell?.finish({ endUs, cutShort: true, voided: null });
      if (!judged2) return stageNotReached(context, "inconclusive", outcome.reason);
      if (judged2.verdict === "fail") return { ...judged2, reason: `${judged2.reason} (${outcome.reason})` };
      const verdict = judged2.verdict === "pass" ? "inconclusive" : judged2.verdict;
      return { ...judged2, verdict, reason: `${outcome.reason}: a shorter hold can't pass` };
    }
    case "full": {
      const { suddenFalls: suddenFalls2, tail } = outcome;
      const judged2 = dwell?.finish({ endUs, cutShort: false, voided: null, suddenFalls: suddenFalls2, tail });
      if (!judged2) return stageNotReached(context, "inconclusive", "no dwell was recorded");
      if (!outcome.forced || judged2.verdict !== "pass") return judged2;
      const reason = `the dwell was forced before the pressure had settled, so it can't pass; ${judged2.reason}`;
      return { ...judged2, verdict: "inconclusive", reason };
    }
    default:
      return outcome;
  }
}

// src/evaluation/strokes/break-away.ts
function breakAwayOf(strokes, demand) {
  if (strokes.length === 0 && demand.wanted === 0) return null;
  const started = highest(strokes, ({ breakAwayPa }) => breakAwayPa);
  const ran = highest(strokes, ({ runningPa }) => runningPa);
  const result = {
    wanted: demand.wanted,
    seen: strokes.length,
    breakAwayPa: started?.breakAwayPa ?? null,
    breakAwayUncertaintyPa: started?.breakAwayUncertaintyPa ?? null,
    runningPa: ran?.runningPa ?? null,
    runningUncertaintyPa: ran?.runningUncertaintyPa ?? null,
    stickSlip: worstSlip(strokes)
  };
  return { ...result, text: textOf(result, strokes), deviation: deviationOf(strokes, demand) };
}
function highest(strokes, of) {
  let most3 = null;
  for (const stroke of strokes) {
    const pa = of(stroke);
    if (pa !== null && pa > (most3 ? of(most3) ?? 0 : Number.NEGATIVE_INFINITY)) most3 = stroke;
  }
  return most3;
}
function worstSlip(strokes) {
  const seen = strokes.map(({ stickSlip }) => stickSlip.seen);
  if (seen.includes("yes")) return "yes";
  return seen.length === 0 || seen.includes("cannot tell") ? "cannot tell" : "no";
}
function textOf(result, strokes) {
  const [first] = strokes;
  if (!first) return "no slow stroke was seen";
  const { breakAwayPa, breakAwayUncertaintyPa, runningPa, runningUncertaintyPa, seen } = result;
  const many = seen === 1 ? `1 slow stroke ${first.direction}` : `${seen} slow strokes ${first.direction}`;
  const most3 = seen === 1 ? "" : " at most";
  const broke = breakAwayPa === null ? "the pressure came too quickly for this gauge to show where the piston broke away" : `broke away at {pressure:${breakAwayPa}} \xB1 {difference:${breakAwayUncertaintyPa}}${most3}`;
  const ran = runningPa === null ? "too short to tell what keeps it moving" : `kept moving by {pressure:${runningPa}} \xB1 {difference:${runningUncertaintyPa}}${most3}`;
  return `${many}: ${broke}, ${ran}; ${slipText(strokes, result.stickSlip)}`;
}
function slipText(strokes, worst2) {
  if (worst2 === "no") return "no stick-slip";
  const shown = strokes.find(({ stickSlip }) => stickSlip.seen === worst2);
  const evidence = shown ? ` (stroke ${shown.number}: ${shown.stickSlip.text})` : "";
  return worst2 === "yes" ? `stick-slip${evidence}` : `stick-slip can't be told${evidence}`;
}
function deviationOf(strokes, { wanted, restS }) {
  if (wanted === 0) return null;
  const few = strokes.length < wanted ? `${strokes.length === 0 ? "no" : strokes.length} slow stroke${strokes.length === 1 ? "" : "s"} seen before the hold of ${wanted} asked for` : null;
  const short = strokes.filter((stroke) => stroke.restS < restS);
  const hasty = short.length === 0 ? null : `stroke ${short.map(({ number: number2 }) => number2).join(", ")} after less than {seconds:${restS}} at zero`;
  const all = [few, hasty].filter((text) => text !== null);
  return all.length === 0 ? null : all.join("; ");
}
function strokeGrounds(result, limits) {
  if (!limits) return [];
  const { breakAwayMaxPa, dragMaxPa, source } = limits;
  return [
    ...held("break-away", result?.breakAwayPa ?? null, result?.breakAwayUncertaintyPa ?? null, breakAwayMaxPa, source),
    ...held("drag", result?.runningPa ?? null, result?.runningUncertaintyPa ?? null, dragMaxPa, source)
  ];
}
function held(what, pa, u, maxPa, source) {
  if (maxPa === void 0) return [];
  const bound = `{pressure:${maxPa}} is allowed (${source})`;
  if (pa === null || u === null)
    return [{ verdict: "inconclusive", reason: `no ${what} could be read from the strokes; ${bound}` }];
  const found2 = `${what} {pressure:${pa}} \xB1 {difference:${u}}; ${bound}`;
  if (pa - u > maxPa) return [{ verdict: "fail", reason: found2 }];
  return pa + u > maxPa ? [{ verdict: "inconclusive", reason: `${found2}: too close to it` }] : [];
}

// src/evaluation/judge/verdicts.ts
var worstFirst = ["fail", "invalid", "inconclusive", "pass"];
var worst = (verdicts2) => worstFirst.find((verdict) => verdicts2.includes(verdict)) ?? "inconclusive";
var testVerdict = (ports) => worst(ports.map((port) => port.verdict));
function portResult(port, attempt, facts, stages, events, stiffness, strokes) {
  const breakAway2 = port.strokes ? breakAwayOf(strokes, port.strokes) : null;
  const gauge = leakByGauge(stages);
  const cup2 = port.collected ? judgeCollected(port.collected, facts.collected, gauge) : null;
  const grounds = [
    ...groundsBeside(port, facts, stiffness),
    ...lookGrounds(port, stages, events),
    ...strokeGrounds(breakAway2, port.strokes?.limits),
    ...stages.map((stage) => stageGround(stage, port, stiffness)),
    ...cup2 ? [cup2] : []
  ];
  const verdict = worst(grounds.map((ground) => ground.verdict));
  const reason = grounds.filter((ground) => ground.verdict === verdict).map((ground) => ground.reason);
  const caught = facts.collected;
  return {
    port: port.port,
    attempt,
    repeat: facts.repeat,
    verdict,
    reason: [...new Set(reason)].join("; "),
    position: port.position,
    opposite: port.opposite,
    ...coverage4(port, stiffness),
    stages,
    stiffness,
    ...port.strokes ? { strokes, breakAway: breakAway2 } : {},
    zeroBeforePa: facts.zeroBeforePa === null ? null : pressurePa(facts.zeroBeforePa),
    zeroAfterPa: facts.zeroAfterPa === null ? null : pressurePa(facts.zeroAfterPa),
    peakPa: facts.peakPa === null ? null : pressurePa(facts.peakPa),
    observations: facts.observations,
    collected: caught && caught.overS > 0 ? collectedResult(caught, gauge, port.collected, cup2?.verdict) : null,
    events,
    earlierAttempts: []
  };
}
function coverage4(port, { pistonSeal }) {
  const { covers, notCovered } = port;
  if (pistonSeal?.seen !== "cannot be seen" || !covers.includes(sealName)) return { covers, notCovered };
  return { covers: covers.filter((part2) => part2 !== sealName), notCovered: [sealName, ...notCovered] };
}
var sealName = "piston seal";
function stageGround(stage, port, stiffness) {
  const reason = `${stage.name}: ${stage.reason}`;
  const airPa = stiffness.finding === "free air" ? dissolvingPa(stage, port, stiffness.airFraction ?? 0) : 0;
  const proven = (stage.dropPa ?? 0) - (stage.dropUncertaintyPa ?? 0) - airPa > (stage.allowedDropPa ?? 0);
  if (stage.verdict !== "fail" || airPa === 0 || proven) return { verdict: stage.verdict, reason };
  const text = `free air that goes into solution may take up to {difference:${airPa}} of it`;
  return { verdict: "inconclusive", reason: `${reason}; ${text}` };
}
function dissolvingPa({ startPa: startPa2 }, { trapped }, share) {
  return trapped.bulkModulusPa * share * atmospherePa2 / ((startPa2 ?? 0) + atmospherePa2);
}
function whyNoPass(port, facts, stiffness) {
  const [ground] = groundsBeside(port, facts, stiffness);
  return ground?.reason ?? null;
}
function groundsBeside(port, facts, stiffness) {
  const grounds = facts.observations.filter(isExternalLeak).map((seen) => ({
    verdict: "fail",
    reason: `oil was seen outside at the ${seen.point} (${seen.amount}${seen.amount === "film" ? "; only the rod may have one" : ""})`
  }));
  if (facts.overpressure)
    grounds.push({
      verdict: "invalid",
      reason: `the pressure went to {pressure:${facts.peakPa ?? 0}}, above the limit of {pressure:${port.overpressurePa}}`
    });
  if (!facts.zeroInTolerance)
    grounds.push({
      verdict: "invalid",
      reason: `the vented gauge did not read zero: {difference:${facts.zeroBeforePa ?? 0}}, allowed {difference:${port.zeroTolerancePa}}`
    });
  if (facts.openPortPa !== null)
    grounds.push({
      verdict: "invalid",
      reason: `the other port was said to be open and stood at up to {pressure:${facts.openPortPa}}`
    });
  if (!facts.zeroKept)
    grounds.push({
      verdict: "inconclusive",
      reason: `the gauge did not come back to its zero: {difference:${facts.zeroBeforePa ?? 0}} before, {difference:${facts.zeroAfterPa ?? 0}} after, with {difference:${port.zeroTolerancePa}} allowed; it drifted, or pressure was still shut in`
    });
  if (stiffness.verdict === "too-stiff") grounds.push({ verdict: "invalid", reason: stiffness.text });
  if (stiffness.verdict === "too-soft") grounds.push({ verdict: "inconclusive", reason: stiffness.text });
  return grounds;
}
var isInspected = ({ name, dwellStartUs }, events) => events.findLast(
  ({ code, stage, timeUs }) => code === "inspection-taken-back" || code === "inspected" && stage === name && timeUs >= (dwellStartUs ?? 0)
)?.code === "inspected";
function lookGrounds(port, stages, events) {
  const byLooking2 = port.stages.filter(({ allowed }) => allowed.length === 0).map(({ name }) => name);
  const missed3 = stages.filter((stage) => byLooking2.includes(stage.name) && !isInspected(stage, events));
  return missed3.map(({ name }) => ({
    verdict: "inconclusive",
    reason: `${name}: it is judged by looking, and nobody confirmed that every leak point was looked at`
  }));
}
function leakByGauge(stages) {
  const { leakM3PerS = null, leakUncertaintyM3PerS = null } = stages.findLast((stage) => stage.leakM3PerS !== null) ?? {};
  return leakM3PerS === null || leakUncertaintyM3PerS === null ? null : { leakM3PerS, expandedU: leakUncertaintyM3PerS };
}
function collectedResult({ volumeM3, overS }, gauge, limit, verdict) {
  const leakM3PerS = volumeM3 / overS;
  const compared = gauge && compareCollected(gauge, leakM3PerS);
  return {
    leakM3PerS,
    volumeM3,
    overS,
    agrees: compared?.agrees ?? null,
    ...compared ? { text: compared.text } : {},
    ...limit && verdict ? { limit, verdict } : {}
  };
}
var untestedPort = (port) => ({
  port: port.port,
  attempt: 0,
  repeat: null,
  verdict: "inconclusive",
  reason: `port ${port.port} was not tested`,
  position: port.position,
  opposite: port.opposite,
  covers: [],
  notCovered: [...port.covers, ...port.notCovered],
  stages: [],
  stiffness: {
    verdict: "not-checked",
    seenM3PerPa: null,
    expectedM3PerPa: null,
    airFraction: null,
    text: "not tested"
  },
  ...port.strokes ? { strokes: [], breakAway: null } : {},
  zeroBeforePa: null,
  zeroAfterPa: null,
  peakPa: null,
  observations: [],
  collected: null,
  events: [],
  earlierAttempts: []
});

// src/evaluation/judge/judgement.ts
var Judgement = class {
  #plan;
  #benchLeak;
  #state;
  #dwell = null;
  #open;
  /** The newest early word, and what it was made of. */
  #early = null;
  #attempts = [];
  constructor(plan, options = {}) {
    this.#plan = plan;
    this.#benchLeak = options.benchCheckLeakM3PerS ?? null;
    this.#state = beginHold(plan.ports.length);
    this.#open = this.#freshAttempt();
  }
  /** Where the phases stand. */
  get state() {
    return this.#state;
  }
  /** One input on. Returns what the phases had to say to it. */
  add(input) {
    const before = this.#state;
    if (input.kind === "reading") {
      const level2 = asLevel(this.#plan, portOf(this.#plan, before), input.reading);
      this.#open.stiffness.add(before.phase, level2);
      this.#open.strokes.add(level2, before);
      const { timeUs, pressurePa: pressurePa2 } = input.reading;
      if (before.phase.name !== "dwell" && pressurePa2 !== null) this.#open.rises.add(timeUs, pressurePa2);
    }
    const { state, effects } = step(this.#plan, before, input);
    this.#state = state;
    if (state.phase.name === "stabilise" && before.phase.name !== "stabilise") {
      if (before.phase.name === "dwell") this.#keepProven(state.phase.sinceUs, effects);
      this.#shutIn(state.phase.sinceUs, state);
    }
    for (const effect of effects) this.#take(effect, before);
    const held3 = state.phase.name === "dwell" || state.phase.name === "stabilise";
    if (input.kind === "reading" && held3) {
      const { timeUs, pressurePa: pressurePa2, oilK: oilK2, flags } = input.reading;
      this.#dwell?.add(timeUs, pressurePa2, oilK2, flags);
    }
    return effects;
  }
  /** Readings on, one after another: what {@link add} makes of each in turn, quicker, and telling nothing. */
  addReadings(readings) {
    let port = portOf(this.#plan, this.#state);
    let levels = asLevels(this.#plan, port, readings);
    for (let at = 0; at < readings.length; at += 1) {
      const { state, until } = quietDwell(this.#plan, this.#state, levels, at);
      if (until > at) {
        this.#state = state;
        this.#open.stiffness.addHeld(levels, at, until);
        this.#dwell?.addColumns(readings, at, until);
        at = until;
      }
      if (at === readings.length) return;
      this.add({ kind: "reading", reading: readings.reading(at) });
      const now = portOf(this.#plan, this.#state);
      if (now !== port) [port, levels] = [now, asLevels(this.#plan, now, readings)];
    }
  }
  /** The running estimate of the hold under way; null while nothing is shut in. */
  early() {
    const { phase, signal } = this.#state;
    if (!this.#dwell || signal.lastUs === null || phase.name !== "dwell" && phase.name !== "stabilise") return null;
    const said = this.#dwell.early(signal.lastUs);
    if (this.#early?.said !== said || this.#early.facts !== this.#state.facts || this.#early.phase !== phase.name)
      this.#early = { said, facts: this.#state.facts, phase: phase.name, word: this.#knownBeside(said) };
    return this.#early.word;
  }
  /** The running estimate, or that the attempt can't pass any more whatever it says. */
  #knownBeside(said) {
    const port = portOf(this.#plan, this.#state);
    if (!port || this.#state.phase.name !== "dwell" || said.word === "certain to fail" || said.word === "fail likely")
      return said;
    const { facts } = this.#state;
    const because = whyNoPass(port, facts, checkStiffness(port, this.#open.stiffness.seen(), facts));
    return because === null ? said : { ...said, word: "cannot pass", because };
  }
  /** Stages judged so far in the attempt under way. */
  get stages() {
    return this.#open.stages;
  }
  /** The outcome of all ports as far as the inputs went. */
  result() {
    const ports = this.#plan.ports.map((port) => {
      const attempts = this.#attempts.filter((attempt) => attempt.port === port.port);
      const last2 = attempts.at(-1);
      return last2 ? { ...last2, earlierAttempts: attempts.slice(0, -1) } : untestedPort(port);
    });
    return { evaluationVersion, verdict: testVerdict(ports), ports };
  }
  /** Slow strokes read so far in the attempt under way. */
  get strokes() {
    return this.#open.strokes.strokes;
  }
  #context(stageIndex, state) {
    const port = portOf(this.#plan, state);
    const stage = port?.stages[stageIndex];
    if (!port || !stage) return null;
    return {
      stage,
      port,
      gauge: gaugeAt(this.#plan, port),
      corrections: correctionsOf(this.#plan, gaugeAt(this.#plan, port)),
      unmeasuredTemperatureK: this.#plan.unmeasuredTemperatureK,
      boundBy: this.#plan.boundBy ?? "procedure",
      benchCheckLeakM3PerS: this.#benchLeak,
      previousStages: [...this.#sameStage(port, stage), ...this.#open.stages],
      dropsPerMl: this.#plan.dropsPerMl
    };
  }
  /** The stage as earlier attempts at this port found it: a leak has the same rate each time, heat and creep less. */
  #sameStage(port, stage) {
    const earlier = this.#attempts.filter((attempt) => attempt.port === port.port);
    return earlier.flatMap((attempt) => attempt.stages.filter(({ name }) => name === stage.name));
  }
  #take(effect, before) {
    switch (effect.kind) {
      case "attempt-began":
        return;
      case "event":
        this.#open.events.push(effect.event);
        return;
      case "oil-temperature":
        this.#open.typedOil.push({ timeUs: effect.timeUs, oilK: effect.oilK });
        this.#dwell?.typedOil(effect.timeUs, effect.oilK);
        return;
      case "oil-temperature-taken-back":
        this.#open.typedOil = this.#open.typedOil.filter(({ timeUs }) => timeUs !== effect.timeUs);
        this.#dwell?.typedOilTakenBack(effect.timeUs);
        return;
      case "stroke-seen": {
        const port = portOf(this.#plan, before);
        if (port) this.#open.strokes.seen(effect.stroke, effect.number, port.port, gaugeAt(this.#plan, port));
        return;
      }
      case "shut-in":
        this.#shutIn(effect.timeUs, before);
        return;
      case "dwell-began":
        return;
      case "stage-ended": {
        const context = this.#context(effect.stageIndex, before);
        const { proven } = this.#open;
        const stage = context && judgeStage(context, this.#dwell, effect.endUs, effect.outcome);
        if (stage) this.#open.stages.push(proven && stage.verdict !== "fail" ? proven : stage);
        this.#open.proven = null;
        this.#dwell = null;
        return;
      }
      case "attempt-ended":
        this.#endAttempt(effect.facts, before);
        return;
      default:
        effect;
    }
  }
  /** A hold may begin here: its trace is taken from now on, and what went before tells of its heat. */
  #shutIn(timeUs, state) {
    const context = this.#context(state.stageIndex, state);
    if (!context) return;
    this.#dwell = startDwell({ ...context, rises: this.#open.rises.until(timeUs) });
    const typed = this.#open.typedOil.at(-1);
    if (typed) this.#dwell.typedOil(typed.timeUs, typed.oilK);
  }
  /** A dwell was spoilt and another begins: a loss that was proven by then stays proven. */
  #keepProven(timeUs, effects) {
    const mistrusted = effects.some((effect) => effect.kind === "event" && effect.event.code === "gauge-fault");
    if (mistrusted || this.#open.proven) return;
    const endUs = timeUs - beforeSpoiltUs;
    const loss = this.#dwell?.finish({ endUs, cutShort: true, voided: null, tail: "none" });
    if (loss?.verdict !== "fail") return;
    this.#open.proven = { ...loss, reason: `${loss.reason}; that another dwell followed does not undo it` };
  }
  #endAttempt(facts, before) {
    const port = portOf(this.#plan, before);
    if (!port) return;
    const { stages, events, strokes } = this.#open;
    const stiffness = checkStiffness(port, this.#open.stiffness.seen(), facts);
    this.#attempts.push(portResult(port, before.attempt, facts, stages, events, stiffness, strokes.strokes));
    this.#open = this.#freshAttempt();
  }
  #freshAttempt() {
    const gauge = gaugeAt(this.#plan, portOf(this.#plan, this.#state));
    const stiffness = new StiffnessWatch(gauge.resolutionPa);
    return {
      stages: [],
      events: [],
      stiffness,
      strokes: new StrokeWatch(),
      rises: new RiseHistory(),
      typedOil: [],
      proven: null
    };
  }
};
var beforeSpoiltUs = 1e7;

// tests/second-world/run-hold.ts
var template = path.resolve(import.meta.dirname, "../../templates/cylinder-proof.toml");
var shipped = readFileSync(template, "utf8");
function procedureText({ test: { dwellS, settleBarPerMin } }) {
  const dwelling = shipped.replace(
    /^(dwell *= )"[^"]*"/m,
    (line2, key) => dwellS === 300 && line2.includes('"5 min"') ? line2 : `${key}"${dwellS} s"`
  );
  if (settleBarPerMin === void 0) return dwelling;
  return dwelling.replace(/(stabilise *= \{ rate = )"[^"]*"/, `$1"${settleBarPerMin} bar/min"`);
}
function jobText({ cylinder, gauge }, procedure = "cylinder-proof") {
  const mm = (metres) => `"${Number((metres * 1e3).toFixed(3))} mm"`;
  const bar = (pa) => `${Number((pa / 1e5).toFixed(4))}`;
  return `work_order = "WO-1"
customer = "Invented Plant"
procedure = "${procedure}"
[gauge]
serial = "G-1"
range = "0..${bar(gauge.rangePa)} bar"
resolution = "${bar(gauge.resolutionPa)} bar"
accuracy = "0.25 %FS"
[cylinder]
serial = "C-1"
bore = ${mm(cylinder.boreM)}
rod = ${mm(cylinder.rodM)}
stroke = ${mm(cylinder.strokeM)}
rated_pressure = "${bar(cylinder.ratedPa)} bar"
${cylinder.wallStated ? `barrel_outside = ${mm(cylinder.boreM + 2 * cylinder.wallM)}
` : ""}[fluid]
kind = "ISO VG 46"
[[port]]
name = "${cylinder.port}"
position = "${cylinder.port === "A" ? "extended" : "retracted"}"
opposite = "open"
line_volume = "${Number((cylinder.lineM3 * 1e3).toFixed(4))} L"
`;
}
function planOf(spec) {
  const job = readJob(jobText(spec), { file: "job.toml" });
  if (job.gauge.kind !== "stated") throw new Error("the job states its gauge");
  const procedure = readProcedure(procedureText(spec), { file: "procedure.toml" });
  return makePlan({
    job,
    procedure,
    procedureSha256: "0".repeat(64),
    asShipped: procedureText(spec) === shipped,
    gauge: job.gauge.spec,
    attendance: "unattended"
  }).plan;
}
function asReading(row, firstS) {
  return {
    timeUs: Math.round((row.timeS - firstS) * 1e6),
    pressurePa: pressurePa(Math.round(row.bar * 1e5) + 0),
    oppositePa: null,
    oilK: row.celsius === null ? null : temperatureK(Math.round((row.celsius + 273.15) * 1e3) / 1e3),
    flags: 0
  };
}
function runHold({ spec, rows }) {
  const plan = planOf(spec);
  const judgement = new Judgement(plan);
  const supervision = supervisionStart();
  const limits = supervisionLimits({ ...plan.gauge, mode: "when-stable" });
  let decidedAtS = null;
  let lastUs = 0;
  const firstS = rows[0]?.timeS ?? 0;
  const take = (input) => {
    judgement.add(input);
    if (decidedAtS === null && judgement.stages.length > 0) decidedAtS = lastUs / 1e6;
  };
  for (const row of rows) {
    const reading = asReading(row, firstS);
    lastUs = reading.timeUs;
    take({ kind: "reading", reading });
    for (const fault of supervise(supervision, { kind: "reading", reading }, limits)) take({ kind: "fault", fault });
  }
  take({ kind: "end", timeUs: lastUs, why: "end of trace" });
  const result = judgement.result();
  const port = result.ports[0];
  const stage = port?.stages.at(-1) ?? null;
  const startUs = stage?.dwellStartUs ?? null;
  const dwellS = stage?.dwellS ?? null;
  return {
    verdict: result.verdict,
    reason: port?.reason ?? "",
    stageReason: stage?.reason ?? null,
    dropPa: stage?.dropPa ?? null,
    uncertaintyPa: stage?.dropUncertaintyPa ?? null,
    allowedPa: stage?.allowedDropPa ?? null,
    dwellStartS: startUs === null ? null : startUs / 1e6 + firstS,
    dwellEndS: startUs === null || dwellS === null ? null : startUs / 1e6 + firstS + dwellS,
    decidedAtS,
    stage
  };
}

// tests/second-world/trial.ts
var allowedPa = ({ test, operator }) => test.allowedShare * (operator.letBackToPa ?? operator.aimPa);
var laws = ["orifice", "gap", "constant"];
function steadyLeak(spec, multiple) {
  const law = Chance.of(spec.seed, "leak law").pick(laws);
  return { law, course: { kind: "steady", paPerS: multiple * allowedPa(spec) / spec.test.dwellS } };
}
var withLeaks = (spec, ...leaks) => ({
  ...spec,
  leaks: [...spec.leaks, ...leaks]
});
function tryHold(spec) {
  const hold = simulate(spec);
  last = hold;
  return trialOf(hold, runHold(hold));
}
var last = null;
function trialsKept(run) {
  last = null;
  const trial = run();
  if (!last) throw new Error("nothing was simulated");
  return { trial, hold: last };
}
function tryInDwell(spec, happens) {
  const hold = simulate(spec);
  const { dwellStartS } = runHold(hold);
  const { shutInS } = hold.truth;
  const startS = dwellStartS ?? shutInS + 60;
  return tryHold(happens(spec, { startS, endS: startS + spec.test.dwellS, shutInS }));
}
function trialOf({ spec, truth }, outcome) {
  const { dwellStartS, dwellEndS, dropPa, uncertaintyPa } = outcome;
  const judged2 = dwellStartS !== null && dwellEndS !== null;
  const [fromS, toS] = judged2 ? [dwellStartS, dwellEndS] : [truth.shutInS, truth.shutInS + spec.test.dwellS];
  const lossPa = truth.leakPa(fromS, toS);
  const limitPa = spec.test.allowedShare * valueAt(truth.course.cylinderPa, fromS);
  const stated = judged2 && dropPa !== null && uncertaintyPa !== null;
  const numbers = [dropPa, uncertaintyPa].filter((one) => one !== null);
  return {
    seed: spec.seed,
    verdict: outcome.verdict,
    reason: outcome.stageReason ?? outcome.reason,
    trueShare: lossPa * spec.test.dwellS / Math.max(toS - fromS, 1) / limitPa,
    error: stated ? (dropPa - lossPa) / uncertaintyPa : null,
    errorOfFall: stated ? (dropPa - truth.fallByLeakPa(fromS, toS)) / uncertaintyPa : null,
    finite: numbers.every(Number.isFinite) && (uncertaintyPa === null || uncertaintyPa > 0),
    endAfterS: judged2 ? dwellEndS - truth.shutInS : null,
    startAfterS: judged2 ? dwellStartS - truth.shutInS : null,
    uShare: stated ? uncertaintyPa / limitPa : null,
    fedShare: truth.fedPa(fromS, toS) / limitPa
  };
}

// tests/second-world/cells/cell.ts
var verdicts = [
  { count: "pass at a loss of the limit or more", atMost: 0.025 },
  { count: "fail at a loss of the limit or less", atMost: 0.025 },
  { count: "not finite", atMost: 0 }
];
var always = [...verdicts, { count: "covered", atLeast: 0.92, atMost: 0.98 }];
var group = (groupName) => (name, make2, bounds = []) => ({
  group: groupName,
  name,
  bounds: [...bounds, ...always],
  run: (seed) => tryHold(make2(Chance.of(seed, "cell"), seed))
});
var groupInDwell = (groupName, asked = "with coverage") => (name, make2, happens, bounds = []) => ({
  group: groupName,
  name,
  bounds: [...bounds, ...asked === "with coverage" ? always : verdicts],
  run: (seed) => tryInDwell(
    make2(Chance.of(seed, "cell"), seed),
    (spec, dwell) => happens(spec, dwell, Chance.of(seed, "in the dwell"))
  )
});
function leaking(seed, multiple, fixed = {}) {
  const spec = drawHold(seed, fixed);
  return multiple === 0 ? spec : withLeaks(spec, steadyLeak(spec, multiple));
}
var held2 = (spec, heldS) => ({
  ...spec,
  operator: { ...spec.operator, heldS }
});

// tests/second-world/cells/courses.ts
var begins = (kind, multiple, at) => (spec, { startS, endS }, c) => {
  const fromS = startS + c.between(...at) * (endS - startS);
  const totalPa = c.between(...multiple) * allowedPa(spec);
  const overS = endS - fromS;
  const course = kind === "late" ? { kind, fromS, paPerS: totalPa / overS } : { kind, fromS, overS, totalPa, power: c.pick([1, 2]) };
  return withLeaks(spec, { law: c.pick(["orifice", "gap", "constant"]), course });
};
var bursts = (multiple) => (spec, { startS, endS }, c) => {
  const count = Math.round(c.between(4, 15));
  const atS = Array.from({ length: count }, () => c.between(startS + 2, endS - 5)).sort((a, b) => a - b);
  const eachPa = multiple * allowedPa(spec) / count;
  return withLeaks(spec, { law: "constant", course: { kind: "bursts", atS, eachPa, lastsS: c.between(0.2, 1) } });
};
var stops = (low, high) => (spec, { startS, endS }, c) => {
  const untilS = startS + c.between(0.2, 0.8) * (endS - startS);
  const paPerS = c.between(low, high) * allowedPa(spec) / (untilS - startS);
  return withLeaks(spec, { law: "constant", course: { kind: "stopping", untilS, paPerS } });
};
var benches = [
  { name: "probe", make: (_, seed) => drawHold(seed, { probe: "good" }) },
  { name: "no probe", make: (_, seed) => drawHold(seed) },
  { name: "probe, 3 min", make: (_, seed) => drawHold(seed, { dwellS: 180, probe: "good" }) },
  { name: "no probe, 3 min", make: (_, seed) => drawHold(seed, { dwellS: 180 }) }
];
var kinds2 = [
  { name: "late at 20 to 80 %, just above", happens: begins("late", [1.02, 1.1], [0.2, 0.8]) },
  { name: "late at 20 to 80 %, 1.5 x", happens: begins("late", [1.5, 1.5], [0.2, 0.8]) },
  { name: "late at 93 to 97 %, 1.1 to 2 x", happens: begins("late", [1.1, 2], [0.93, 0.97]) },
  { name: "growing from 0 to 60 %, just above", happens: begins("growing", [1.02, 1.1], [0, 0.6]) },
  { name: "growing from 0 to 60 %, 0.5 x", happens: begins("growing", [0.5, 0.5], [0, 0.6]) },
  { name: "stops at 20 to 80 %, 0.5 to 0.95 x", happens: stops(0.5, 0.95) },
  { name: "stops at 20 to 80 %, just above", happens: stops(1.02, 1.1) },
  { name: "bursts, 0.5 x", happens: bursts(0.5) },
  { name: "bursts, 1.05 x", happens: bursts(1.05) },
  { name: "bursts, 3 x", happens: bursts(3), bounds: [{ count: "fail", atLeast: 0.97 }] }
];
function courseCells() {
  return kinds2.flatMap(
    ({ name, happens, bounds }) => benches.map(
      (bench) => groupInDwell("leaks that change in the dwell")(`${name}, ${bench.name}`, bench.make, happens, bounds)
    )
  );
}

// tests/second-world/colours.ts
var colours = [
  "white",
  "ar1 0.5",
  "ar1 0.9",
  "ar1 0.99",
  "pink",
  "walk",
  "compressor",
  "mean filter",
  "first-order filter",
  "slow updates"
];
function gaugeOfColour(c, colour) {
  const sdPa = c.octaves(2e3, 1e4);
  const ar1 = (coefficient) => ({ noise: { kind: "ar1", sdPa, coefficient } });
  switch (colour) {
    case "white":
      return { noise: { kind: "white", sdPa } };
    case "ar1 0.5":
      return ar1(0.5);
    case "ar1 0.9":
      return ar1(0.9);
    case "ar1 0.99":
      return ar1(0.99);
    case "pink":
      return { noise: { kind: "pink", sdPa } };
    case "walk":
      return { noise: { kind: "walk", sdPa, walkPaPerRootS: c.octaves(200, 1e3) } };
    case "compressor":
      return {
        noise: { kind: "compressor", sdPa, amplitudePa: c.octaves(5e3, 3e4), periodS: c.octaves(5, 60) }
      };
    case "mean filter":
      return { noise: { kind: "white", sdPa: 3 * sdPa }, filter: { kind: "mean", s: c.octaves(1, 20) } };
    case "first-order filter":
      return { noise: { kind: "white", sdPa: 3 * sdPa }, filter: { kind: "first order", s: c.octaves(1, 20) } };
    case "slow updates":
      return { noise: { kind: "white", sdPa }, lineHz: c.pick([5, 10, 20]), updateHz: c.pick([0.5, 1, 2]) };
  }
}

// tests/second-world/cells/gauges.ts
var good = { count: "pass", atLeast: 0.97 };
var usual = [40, 63, 100, 160];
var still = { noise: { kind: "none" }, zeroCreepPaPerS: 0 };
var steps2 = [0.5, 1, 2].flatMap((bar) => [
  { name: `quiet, ${bar} bar`, gauge: () => ({ ...still, resolutionPa: bar * 1e5 }) },
  { name: `some noise, ${bar} bar`, gauge: () => ({ resolutionPa: bar * 1e5 }) }
]);
var kinds3 = [
  { name: "quiet, 0.01 to 0.1 bar", gauge: (c) => ({ ...still, resolutionPa: c.pick([1e3, 5e3, 1e4]) }) },
  ...steps2,
  ...colours.map((colour) => ({ name: colour, gauge: (c) => gaugeOfColour(c, colour) })),
  ...[0.2, 1, 20, 100].map((hz) => ({ name: `${hz} Hz`, gauge: () => ({ lineHz: hz, updateHz: hz }) })),
  { name: "zero creeps by 0.1 bar", gauge: (c) => ({ zeroCreepPaPerS: c.pick([-1, 1]) * 1e4 / 1e3 }) }
];
var tight = (c, seed, gauge) => drawHold(seed, { bores: usual, creep: "none", gauge, probe: c.chance(0.5) ? "good" : null });
function standing2(c, seed) {
  const spec = tight(c, seed, { ...still, resolutionPa: c.pick([5e4, 1e5]) });
  return {
    ...spec,
    probe: null,
    oil: { ...spec.oil, conductivityWPerMK: 1e-9 },
    heat: { ...spec.heat, lineApart: false }
  };
}
function gaugeCells() {
  const onGood = group("gauges on good cylinders");
  const onLeakers = group("gauges on leakers just above the limit");
  return [
    ...kinds3.map(({ name, gauge }) => onGood(name, (c, seed) => tight(c, seed, gauge(c)), [good])),
    onGood(
      "quiet, hand pump",
      (c, seed) => {
        const spec = tight(c, seed, { ...still, resolutionPa: c.pick([1e3, 1e4, 5e4]) });
        const pump = { kind: "hand", paPerS: c.octaves(2e5, 4e5), strokeS: c.between(0.8, 2), uneven: 0.3 };
        return { ...spec, operator: { ...spec.operator, pump } };
      },
      [good]
    ),
    onGood("quiet, pressure stands, one digit or none", standing2, [good]),
    onGood("quiet, falls by a digit or two in the dwell", (c, seed) => {
      const spec = standing2(c, seed);
      return withLeaks(spec, steadyLeak(spec, c.between(0.05, 0.3)));
    }),
    ...kinds3.map(
      ({ name, gauge }) => onLeakers(name, (c, seed) => {
        const spec = tight(c, seed, gauge(c));
        return withLeaks(spec, steadyLeak(spec, c.between(1.01, 1.06)));
      })
    )
  ];
}

// tests/second-world/cells/hands.ts
var never = { count: "fed and passed", atMost: 0 };
var fedOf = (seed) => Chance.of(seed, "how much is fed").octaves(0.3, 3);
var feeding = (spec, feed) => ({
  ...spec,
  operator: { ...spec.operator, feeds: [feed] }
});
var steadily2 = (overS) => (spec, { startS, endS }, c) => {
  const fromS = c.between(startS + 5, Math.max(startS + 6, endS - overS - 5));
  return feeding(spec, { kind: "steady", fromS, overS, totalPa: fedOf(spec.seed) * allowedPa(spec) });
};
var stroked = (spec, { startS, endS }, c) => {
  const total = fedOf(spec.seed) * allowedPa(spec);
  const count = Math.max(2, Math.round(total / c.octaves(1e4, 5e4)));
  const everyS = (endS - startS - 10) / count;
  const atS = Array.from({ length: count }, (_, i) => startS + 5 + everyS * (i + 0.2 * c.next()));
  return feeding(spec, { kind: "strokes", atS, eachPa: total / count, lastsS: Math.min(0.5, everyS / 2) });
};
var hidden = (hz, settleBarPerMin) => (c, seed) => {
  const spec = drawHold(seed, { gauge: { lineHz: hz, updateHz: hz }, probe: c.chance(0.3) ? "good" : null });
  const multiple = c.pick([0, fedOf(seed), fedOf(seed) + 0.5]);
  const leaky2 = multiple === 0 ? spec : withLeaks(spec, steadyLeak(spec, multiple));
  return settleBarPerMin === void 0 ? leaky2 : { ...leaky2, test: { ...leaky2.test, settleBarPerMin } };
};
function feedCells() {
  const cell = groupInDwell("oil fed in the dwell", "verdicts only");
  return [
    ...[1, 2, 10].flatMap((hz) => [
      ...[2, 20, 60, 200].map((overS) => cell(`over ${overS} s, ${hz} Hz`, hidden(hz), steadily2(overS), [never])),
      cell(`strokes of 0.1 to 0.5 bar, ${hz} Hz`, hidden(hz), stroked, [never])
    ]),
    cell("over 60 s, 2 Hz, settling limit edited to 15 bar/min", hidden(2, 15), steadily2(60), [never]),
    cell("strokes, 2 Hz, settling limit edited to 15 bar/min", hidden(2, 15), stroked, [never])
  ];
}
var toppedUp = (c, seed, multiple) => {
  const spec = leaking(seed, multiple);
  const { operator, test } = spec;
  const topUp = {
    afterS: c.between(10, 400),
    toPa: Math.max(operator.letBackToPa ?? operator.aimPa, test.targetPa * 1.012),
    paPerS: c.octaves(5e4, 4e5)
  };
  return { ...spec, operator: { ...operator, topUps: [topUp] } };
};
function topUpCells() {
  const cell = group("topped up after the ramp");
  return [
    cell("tight", (c, seed) => toppedUp(c, seed, 0), [never]),
    cell("just above the limit", (c, seed) => toppedUp(c, seed, 1.05), [never]),
    cell("1.5 x", (c, seed) => toppedUp(c, seed, 1.5), [never])
  ];
}
function hiddenCells() {
  const cell = groupInDwell("what one gauge hardly sees", "verdicts only");
  return [
    cell(
      "valve shut at 5 to 60 % of the dwell, 2 x",
      (_, seed) => leaking(seed, 2),
      (spec, { startS, endS }, c) => ({
        ...spec,
        operator: { ...spec.operator, valveShutAtS: startS + c.between(0.05, 0.6) * (endS - startS) }
      })
    ),
    {
      group: "what one gauge hardly sees",
      name: "fed as much as leaks, all along: no bound",
      bounds: [{ count: "not finite", atMost: 0 }],
      run: cell(
        "",
        (_, seed) => leaking(seed, 2),
        (spec, { shutInS, endS }) => feeding(spec, {
          kind: "steady",
          fromS: shutInS + 1,
          overS: endS + 60 - shutInS,
          totalPa: 2 * allowedPa(spec) * (endS + 60 - shutInS) / spec.test.dwellS
        })
      ).run
    }
  ];
}

// tests/second-world/cells/heat.ts
var smaller = [40, 63, 100, 160];
var rarely = { count: "fail", atMost: 0.01 };
var tight2 = (bore) => smaller.includes(bore) ? [{ count: "pass within 5 min", atLeast: 0.9 }, { count: "pass within 10 min", atLeast: 0.97 }, rarely] : [{ count: "pass within 10 min", atLeast: 0.85 }, rarely];
var leaky = [
  { count: "pass", atMost: 0 },
  { count: "fail", atLeast: 0.85 }
];
function heatCells() {
  const cell = group("heat of compression, no probe");
  return [
    ...bores.flatMap((bore) => [
      cell(`tight, bore ${bore}`, (_, seed) => drawHold(seed, { bores: [bore] }), tight2(bore)),
      cell(`tight, bore ${bore}, 3 min`, (_, seed) => drawHold(seed, { bores: [bore], dwellS: 180 }), tight2(bore))
    ]),
    ...bores.map(
      (bore) => cell(
        `2.5 x, bore ${bore}, let go after 10 min`,
        (_, seed) => held2(leaking(seed, 2.5, { bores: [bore] }), 600),
        leaky
      )
    ),
    cell(
      "2.5 x, bores to 160, let go after 5 min",
      (_, seed) => held2(leaking(seed, 2.5, { bores: smaller }), 300),
      leaky
    ),
    cell("2.5 x, 3 min, let go after 5 min", (_, seed) => held2(leaking(seed, 2.5, { dwellS: 180 }), 300), leaky)
  ];
}

// tests/second-world/cells/leaks.ts
function grossCells() {
  const cell = group("gross leaks");
  const mustFail = { count: "fail", atLeast: 0.97 };
  return [
    ...[3, 5, 8, 12, 20, 50].map(
      (multiple) => cell(`${multiple} x, let go a dwell after shut-in`, (_, seed) => held2(leaking(seed, multiple), 300), [mustFail])
    ),
    cell("3 to 50 x, held on", (c, seed) => leaking(seed, c.octaves(3, 50)), [mustFail]),
    cell("3 to 50 x, dwell 3 min, let go", (c, seed) => held2(leaking(seed, c.octaves(3, 50), { dwellS: 180 }), 180), [
      mustFail
    ]),
    cell(
      "2 x with a probe, let go after 5 to 8 min",
      (c, seed) => held2(leaking(seed, 2, { probe: "good" }), c.between(300, 480))
    )
  ];
}
var about = (name, low, high) => ({ name, low, high });
var sizes2 = [
  about("no leak", 0, 0),
  about("0.5 x", 0.5, 0.5),
  about("just below the limit", 0.96, 1),
  about("just above the limit", 1.01, 1.06),
  about("1.5 x", 1.5, 1.5)
];
var probes = ["good", "lag", "steps", "offset", "barrel", "room"];
function limitCells() {
  const without2 = group("steady leaks, no probe");
  const withProbe = group("steady leaks, probe");
  const withoutHeat = group("steady leaks, no heat");
  return [
    ...sizes2.map(({ name, low, high }) => without2(name, (c, seed) => leaking(seed, c.between(low, high)))),
    without2("just above the limit, dwell 3 min", (c, seed) => leaking(seed, c.between(1.01, 1.06), { dwellS: 180 })),
    ...sizes2.map(
      ({ name, low, high }) => withoutHeat(
        name,
        (c, seed) => leaking(seed, c.between(low, high), { heat: "none" }),
        name === "1.5 x" ? [{ count: "fail", atLeast: 0.8 }] : []
      )
    ),
    ...[2, 3, 8].map(
      (multiple) => withoutHeat(`${multiple} x`, (_, seed) => leaking(seed, multiple, { heat: "none" }), [
        { count: "fail", atLeast: multiple < 3 ? 0.8 : 0.97 }
      ])
    ),
    ...probes.flatMap(
      (probe) => sizes2.map(
        ({ name, low, high }) => withProbe(
          `${probe}: ${name}`,
          (c, seed) => leaking(seed, c.between(low, high), { probe }),
          name === "1.5 x" && probe === "good" ? [{ count: "fail", atLeast: 0.8 }] : []
        )
      )
    )
  ];
}

// tests/second-world/cells/index.ts
var cells2 = [
  ...grossCells(),
  ...limitCells(),
  ...courseCells(),
  ...feedCells(),
  ...topUpCells(),
  ...heatCells(),
  ...gaugeCells(),
  ...hiddenCells()
];
function seedOf(seed, cell, hold) {
  let hash = seed >>> 0;
  for (const sign of `${cell.group}/${cell.name}/${hold}`)
    hash = Math.imul(hash ^ (sign.codePointAt(0) ?? 0), 2654435761) >>> 0;
  return hash;
}

// tests/zz-prof.ts
var names2 = ["steady leaks, no probe/0.5 x", "steady leaks, probe/good: 0.5 x", "gross leaks/8 x, let go a dwell after shut-in", "heat of compression, no probe/tight, bore 100"];
var holds = names2.flatMap((name) => {
  const cell = cells2.find((c) => `${c.group}/${c.name}` === name);
  return [1, 2].map((i) => trialsKept(() => cell.run(seedOf(4, cell, i))).hold);
});
var n = Number(process.argv[2] ?? 1);
var out = "";
var t = performance.now();
var cpu = process.cpuUsage();
for (let k = 0; k < n; k++) for (const hold of holds) {
  const o = runHold(hold);
  if (k === 0) out += `${o.verdict} ${o.dropPa} ${o.uncertaintyPa}
`;
}
var used = process.cpuUsage(cpu);
console.log(out, ((used.user + used.system) / 1e3 / n / holds.length).toFixed(1), "ms CPU a hold", ((performance.now() - t) / n / holds.length).toFixed(1));
