/**
 * A unit computed again from its equations by an independent solver (odex): the network's balance, the law of its
 * heat, the lag of its zones, battery, and the enthalpy of some of its parts, all as one system. Wherever one of its laws changes
 * (an hour begins, something is switched, a thermostat comes to another piece, the duct below shuts or opens, a
 * part changes phase, something runs out) the integration stops and starts anew; the instant is found by halving.
 */
import { windClass, windOfClass } from '../../src/model/film.ts';
import type { HeatPlan, Switch } from '../../src/model/heat-plan.ts';
import type { Heat, Part, UnitModel, ZoneId } from '../../src/model/unit.ts';
import { integrate } from './ode.ts';
import { PartEnthalpy } from './part-enthalpy.ts';

const HOUR = 3600;
const BAND_K = 1;
const CAP_C = 25;
/** Short enough that nothing switches there and back within, and short enough for a part that is near to it. */
const STEP_S = 300;
const CAREFUL_STEP_S = 20;
const SHARP_S = 1e-7;
const STORED_S = 6 * HOUR;

export interface ReferenceCase {
  readonly unit: UnitModel;
  readonly temperatureC: readonly number[];
  readonly groundC: readonly number[];
  /** By hour, at the unit; its class is taken. */
  readonly windMps: readonly number[];
  /** In seconds from the first hour. */
  readonly plan: HeatPlan;
  readonly parts: readonly Part[];
}

/** At one hour. */
export interface ReferencePoint {
  readonly zonesC: Readonly<Partial<Record<ZoneId, number>>>;
  readonly parts: readonly { readonly temperatureC: number; readonly iceFraction: number }[];
  /** Heat of the furnace so far [J]. */
  readonly furnaceJ: number;
}

interface Path {
  readonly one: number;
  readonly other: number;
  readonly calmWPerK: number;
  readonly windWPerKPerMps: number;
  g: number;
}

interface Lagged {
  readonly zone: ZoneId;
  readonly lagS: number;
  readonly of: readonly { readonly index: number; readonly weight: number }[];
}

/** Indices of edges among the temperatures; nodes are 0 and up. */
const OUTSIDE = -1;
const GROUND = -2;

const NO_HEAT: Heat = { setC: 0, capacityW: 0, ductedShare: 0, running: false, shore: true };

export class UnitReference {
  /** Of the supplies [s]; infinite while they last. */
  batteryOutS = Infinity;
  readonly #of: ReferenceCase;
  readonly #heat: Heat;
  readonly #capacities: readonly number[];
  readonly #paths: readonly Path[];
  readonly #lagged: readonly Lagged[];
  readonly #parts: readonly PartEnthalpy[];
  readonly #conductances: number[];
  readonly #inside: number;
  readonly #underbelly: number;
  #y: number[] = [];
  /** Law at hand. */
  #hour = 0;
  #windMps = 0;
  #heated = false;
  #limitW = 0;
  #electricW = 0;
  #chargePerJoule = 0;
  #chargePerSecond = 0;
  #furnace: 'none' | 'band' | 'limit' = 'none';
  #electric: 'none' | 'band' | 'full' = 'none';
  #held = false;
  /** Which supplies of part heaters are there, and until when they last were [s]. */
  readonly #there = { shore: false, gas: false };
  readonly #lastS = { shore: -Infinity, gas: -Infinity };

  constructor(of: ReferenceCase) {
    this.#of = of;
    const { nodes, paths, zones } = of.unit.network;
    const index = (end: string): number => {
      if (end === 'outside') return OUTSIDE;
      return end === 'ground' ? GROUND : nodes.findIndex((n) => n.id === end);
    };
    this.#heat = of.unit.heat ?? NO_HEAT;
    this.#capacities = nodes.map((n) => n.capacityJPerK);
    this.#paths = paths.map(({ between: [one, other], calmWPerK, windWPerKPerMps }) => {
      return { one: index(one), other: index(other), calmWPerK, windWPerKPerMps, g: 0 };
    });
    this.#inside = index('inside');
    this.#underbelly = index('underbelly');
    const wanted = Object.entries(zones) as [ZoneId, (typeof zones)[ZoneId]][];
    this.#lagged = wanted
      .filter(([, { lagS }]) => lagS > 0)
      .map(([zone, { of: ends, lagS }]) => ({
        zone,
        lagS,
        of: ends.map(({ end, weight }) => ({ index: index(end), weight })),
      }));
    this.#parts = of.parts.map((part) => new PartEnthalpy(part));
    this.#conductances = of.parts.map(() => 0);
  }

  /** From nodes that the caller says are at rest; parts start by their own law. */
  start(nodesC: readonly number[]): void {
    this.#hour = 0;
    this.#y = [
      ...nodesC,
      ...this.#lagged.map(() => 0),
      ...this.#parts.map(() => 0),
      // Heat of the furnace, charge left of 1.
      0,
      1,
    ];
    this.#lagged.forEach(({ of }, i) => {
      this.#y[nodesC.length + i] = this.#blend(of, this.#y, 0);
    });
    this.#law(0);
    this.#parts.forEach((part, i) => {
      const airC = this.#zone(part.part.zone, this.#y, 0);
      this.#y[this.#partAt(i)] = part.start(airC, this.#conductances[i]!, part.heater !== 'none');
    });
    this.#held = this.#underbelly >= 0 && nodesC[this.#underbelly]! >= CAP_C - 1e-9;
    this.#settle(0);
  }

  /** How fast the nodes would move if the weather stood still [K/s]: nothing, at rest. */
  driftOfNodes(): number {
    const rates = this.#rates(0, this.#y);
    return Math.max(...this.#capacities.map((_, i) => Math.abs(rates[i]!)));
  }

  /** Through one more hour. */
  advance(): ReferencePoint {
    const from = this.#hour * HOUR;
    const steps = Object.values(this.#lastS).flatMap((last) => [last + STORED_S, last + 2 * STORED_S]);
    const cuts = [...this.#of.plan.switches.map((s) => s.at), ...steps]
      .filter((at) => at > from && at < from + HOUR)
      .toSorted((x, y) => x - y);
    [...cuts, from + HOUR].forEach((to, i, all) => this.#cross(i === 0 ? from : all[i - 1]!, to));
    this.#hour++;
    return this.point();
  }

  point(): ReferencePoint {
    const at = this.#hour * HOUR;
    const zones = Object.keys(this.#of.unit.network.zones) as ZoneId[];
    return {
      zonesC: Object.fromEntries(zones.map((zone) => [zone, this.#zone(zone, this.#y, at)])),
      parts: this.#parts.map((part, i) => ({
        temperatureC: part.temperatureC(this.#y[this.#partAt(i)]!),
        iceFraction: part.iceFraction(this.#y[this.#partAt(i)]!),
      })),
      furnaceJ: this.#y.at(-2)!,
    };
  }

  #partAt(i: number): number {
    return this.#capacities.length + this.#lagged.length + i;
  }

  /** What holds from an instant until the hour ends or something is switched. */
  #law(at: number): void {
    const { plan, unit, windMps, temperatureC } = this.#of;
    const on: Omit<Switch, 'at'> = plan.switches.findLast((s) => s.at <= at) ?? {
      heat: false,
      shore: true,
      gas: true,
    };
    const { capacityW, electricW = 0, heatPump, battery } = this.#heat;
    const hour = Math.min(this.#hour, windMps.length - 1);
    this.#windMps = windOfClass(windClass(windMps[hour]!));
    const coldestC = Math.min(temperatureC[hour]!, temperatureC[hour + 1]!);
    const shore = on.shore && unit.heat?.shore !== false;
    // On shore power a flat battery is no hindrance.
    const out = this.batteryOutS <= at && !shore;
    this.#heated = on.heat && unit.heat !== null;
    this.#limitW = this.#heated && !out ? Math.min(capacityW, this.#boilOffW(at, coldestC)) : 0;
    const pumpW = heatPump !== undefined && coldestC >= heatPump.limitC ? heatPump.watts : 0;
    this.#electricW = this.#heated && shore ? electricW + pumpW : 0;
    const coulombs =
      battery === undefined ? 0 : battery.usableAh * HOUR * chargeShare(battery.shareAtMinus15, coldestC);
    const draws = battery !== undefined && !shore && at >= plan.suppliedFrom;
    this.#chargePerJoule = draws ? battery.blowerA / capacityW / coulombs : 0;
    this.#chargePerSecond = draws ? battery.standbyA / coulombs : 0;
    for (const path of this.#paths) path.g = path.calmWPerK + path.windWPerKPerMps * this.#windMps;
    for (const supply of ['shore', 'gas'] as const) if (this.#there[supply]) this.#lastS[supply] = at;
    this.#there.shore = shore;
    this.#there.gas = on.gas && !out;
    this.#parts.forEach((part, i) => {
      this.#conductances[i] = part.conductance(this.#windMps);
      part.watts = this.#wattsOf(part.part, at);
      if (part.watts === 0) part.heater = 'none';
      else if (part.heater === 'none') part.heater = 'on';
    });
  }

  /** On its supply, or on what a hot tank gives for twice 6 h after it. */
  #wattsOf({ heat }: Part, at: number): number {
    if (heat === undefined) return 0;
    if (this.#there[heat.needs]) return heat.watts;
    const step = Math.floor((at - this.#lastS[heat.needs] + SHARP_S) / STORED_S);
    return heat.stored?.[step] ?? 0;
  }

  /** D·L·K·(T°F + 20)/20 BTU/h, three quarters of it heat; of gas that somebody keeps at its level. */
  #boilOffW(at: number, outsideC: number): number {
    const { gas } = this.#heat;
    if (gas === undefined || at < this.#of.plan.suppliedFrom) return Infinity;
    if (!gas.refilled) throw new Error('The reference has no law for gas that sinks.');
    const inUse = Math.min(1, gas.kg / gas.cylinderKg);
    const [below, above] = [Math.floor(inUse * 10), Math.ceil(inUse * 10)].map(
      (n) => CONTAINER[Math.min(n, 6)]!,
    );
    const factor = below! + (above! - below!) * (inUse * 10 - Math.floor(inUse * 10));
    return (
      0.75 * 0.293071 * 12 * ((12 * gas.cylinderKg) / 9.07) * factor * Math.max(0, (1.8 * outsideC + 52) / 20)
    );
  }

  #cross(from: number, to: number): void {
    this.#law(from);
    this.#settle(from);
    for (let t = from, steps = 0; t < to - SHARP_S; steps++) {
      if (steps > 2000) throw new Error(`Hour ${this.#hour} has no end.`);
      const end = Math.min(to, t + this.#stepS());
      const next = this.#move(this.#y, t, end);
      if (this.#fits(end, next)) {
        this.#y = next;
        t = end;
        continue;
      }
      let [low, high] = [t, end];
      let after = next;
      while (high - low > SHARP_S) {
        const middle = (low + high) / 2;
        const half = this.#move(this.#y, t, middle);
        if (this.#fits(middle, half)) low = middle;
        else [high, after] = [middle, half];
      }
      this.#y = after;
      t = high;
      this.#settle(t);
    }
  }

  #stepS(): number {
    const isNear = this.#parts.some((part, i) =>
      part.isNearLine(this.#y[this.#partAt(i)]!, this.#conductances[i]!),
    );
    return isNear ? CAREFUL_STEP_S : STEP_S;
  }

  #move(y: readonly number[], from: number, to: number): number[] {
    const firstStep = Math.min(60, to - from);
    return [...integrate((t, x) => this.#rates(t, x), y, { from, to, firstStep })];
  }

  #edge(values: readonly number[], t: number): number {
    const [from, to] = [values[this.#hour]!, values[this.#hour + 1] ?? Number.NaN];
    const share = t / HOUR - this.#hour;
    return share === 0 ? from : from + (to - from) * share;
  }

  #at(index: number, y: readonly number[], t: number): number {
    if (index >= 0) return y[index]!;
    return this.#edge(index === OUTSIDE ? this.#of.temperatureC : this.#of.groundC, t);
  }

  #blend(of: Lagged['of'], y: readonly number[], t: number): number {
    return of.reduce((sum, { index, weight }) => sum + weight * this.#at(index, y, t), 0);
  }

  #zone(zone: ZoneId, y: readonly number[], t: number): number {
    const own = this.#lagged.findIndex((lagged) => lagged.zone === zone);
    if (own >= 0) return y[this.#capacities.length + own]!;
    const { nodes, zones } = this.#of.unit.network;
    return zones[zone].of.reduce((sum, { end, weight }) => {
      return (
        sum + weight * this.#at(end === 'outside' ? OUTSIDE : nodes.findIndex((n) => n.id === end), y, t)
      );
    }, 0);
  }

  #wantedW(y: readonly number[]): number {
    return (this.#heat.capacityW * (this.#heat.setC + BAND_K / 2 - y[this.#inside]!)) / BAND_K;
  }

  #furnaceW(y: readonly number[]): number {
    if (this.#furnace === 'none') return 0;
    return this.#furnace === 'limit' ? this.#limitW : this.#wantedW(y);
  }

  #electricWantedW(y: readonly number[]): number {
    return (this.#electricW * (this.#heat.setC + 1.5 * BAND_K - y[this.#inside]!)) / BAND_K;
  }

  /** Into each node by its paths [W]. */
  #flows(t: number, y: readonly number[]): number[] {
    const flows = this.#capacities.map(() => 0);
    for (const { one, other, g } of this.#paths) {
      const flow = g * (this.#at(other, y, t) - this.#at(one, y, t));
      if (one >= 0) flows[one]! += flow;
      if (other >= 0) flows[other]! -= flow;
    }
    return flows;
  }

  #rates(t: number, y: readonly number[]): number[] {
    const flows = this.#flows(t, y);
    const furnaceW = this.#furnaceW(y);
    const electricW =
      this.#electric === 'none' ? 0 : this.#electric === 'full' ? this.#electricW : this.#electricWantedW(y);
    const ducted = furnaceW * this.#heat.ductedShare;
    let below = ducted;
    if (this.#held) below = -flows[this.#underbelly]!;
    if (this.#underbelly >= 0) flows[this.#underbelly]! += below;
    // Under an open belly the ducted share warms the open air.
    flows[this.#inside]! += furnaceW - below + electricW;
    const nodes = flows.map((flow, i) => flow / this.#capacities[i]!);
    const lags = this.#lagged.map(({ of, lagS }, i) => (this.#blend(of, y, t) - y[nodes.length + i]!) / lagS);
    const parts = this.#parts.map((part, i) =>
      part.rate(y[this.#partAt(i)]!, this.#zone(part.part.zone, y, t), this.#conductances[i]!),
    );
    // Starved of gas it gives less, but its blower never rests.
    const blownW = this.#furnace === 'limit' ? this.#heat.capacityW : furnaceW;
    return [...nodes, ...lags, ...parts, furnaceW, -blownW * this.#chargePerJoule - this.#chargePerSecond];
  }

  /** What the duct could give beyond what the underbelly at its cap loses [W]. */
  #spareW(t: number, y: readonly number[]): number {
    return this.#furnaceW(y) * this.#heat.ductedShare + this.#flows(t, y)[this.#underbelly]!;
  }

  #fits(t: number, y: readonly number[]): boolean {
    if (!this.#furnaceFits(y) || !this.#electricFits(y) || !this.#ductFits(t, y)) return false;
    if (this.batteryOutS === Infinity && y.at(-1)! < 0) return false;
    return this.#parts.every((part, i) =>
      part.fits(y[this.#partAt(i)]!, this.#zone(part.part.zone, y, t), this.#conductances[i]!),
    );
  }

  #furnaceFits(y: readonly number[]): boolean {
    const wanted = this.#wantedW(y);
    if (this.#limitW <= 0) return this.#furnace === 'none';
    if (this.#furnace === 'none') return wanted <= NEAR_W;
    if (this.#furnace === 'limit') return wanted >= this.#limitW - NEAR_W;
    return wanted >= -NEAR_W && wanted <= this.#limitW + NEAR_W;
  }

  #electricFits(y: readonly number[]): boolean {
    const wanted = this.#electricWantedW(y);
    if (this.#electricW <= 0) return this.#electric === 'none';
    if (this.#electric === 'none') return wanted <= NEAR_W;
    if (this.#electric === 'full') return wanted >= this.#electricW - NEAR_W;
    return wanted >= -NEAR_W && wanted <= this.#electricW + NEAR_W;
  }

  #ductFits(t: number, y: readonly number[]): boolean {
    if (this.#underbelly < 0) return true;
    if (this.#held) return this.#furnace !== 'none' && this.#spareW(t, y) >= -1e-6;
    return this.#furnace === 'none' || this.#heat.ductedShare === 0 || y[this.#underbelly]! <= CAP_C + 1e-9;
  }

  /** To laws that fit the state at an instant. */
  #settle(t: number): void {
    if (this.batteryOutS === Infinity && this.#y.at(-1)! < 0) {
      this.batteryOutS = t;
      this.#law(t);
    }
    const y = this.#y;
    const wanted = this.#wantedW(y);
    if (!this.#furnaceFits(y))
      this.#furnace = this.#limitW <= 0 || wanted <= 0 ? 'none' : wanted >= this.#limitW ? 'limit' : 'band';
    const electric = this.#electricWantedW(y);
    if (!this.#electricFits(y))
      this.#electric =
        this.#electricW <= 0 || electric <= 0 ? 'none' : electric >= this.#electricW ? 'full' : 'band';
    if (!this.#ductFits(t, y)) {
      this.#held = !this.#held;
      if (this.#held) y[this.#underbelly] = CAP_C;
    }
    this.#parts.forEach((part, i) => {
      const at = this.#partAt(i);
      y[at] = part.settle(y[at]!, this.#zone(part.part.zone, y, t), this.#conductances[i]!);
    });
  }
}

/** So near the edge of a piece counts as in it [W]: 1e-9 K of a furnace's band. */
const NEAR_W = 1e-6;
/** Factor of the container rule by tenths of what a cylinder holds; from 60 % on it stays. */
const CONTAINER = [0, 45, 60, 70, 80, 90, 100] as const;

/** Linear from all at 25 °C to its share at −15 °C. */
function chargeShare(cold: number, outsideC: number): number {
  return 1 - (1 - cold) * Math.min(1, Math.max(0, (25 - outsideC) / 40));
}
