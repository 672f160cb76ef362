/** A part through air that a test makes up, by way of the model's own tracks. */
import { AirTrack } from '../../src/model/air-track.ts';
import type { System } from '../../src/model/linear-system.ts';
import { heatedLevels } from '../../src/model/part-levels.ts';
import { PartBody, type Line, type Phase } from '../../src/model/part.ts';
import { ZONES, type Network, type Part, type ZoneAir, type ZoneId } from '../../src/model/unit.ts';
import { MOST_NODES, ZoneTrack } from '../../src/model/zone-track.ts';

/** y(t) = a + b·t + Σ e^(αt)·(p·cos βt + q·sin βt) over `durationS`. */
export interface MadeAir {
  readonly a: number;
  readonly b: number;
  readonly durationS: number;
  readonly modes?: readonly { alpha: number; beta: number; p: number; q: number }[];
  /** Supplies that are there; 0: none. */
  readonly supply?: number;
}

/** Air given by its values at whole hours, linear in between. */
export function hourly(values: readonly number[], cuts = 1): MadeAir[] {
  return values.slice(1).flatMap((to, hour) => {
    const from = values[hour] ?? Number.NaN;
    return Array.from({ length: cuts }, (_, cut) => ({
      a: from + ((to - from) * cut) / cuts,
      b: (to - from) / 3600,
      durationS: 3600 / cuts,
    }));
  });
}

export interface Point {
  readonly phase: Phase;
  readonly temperatureC: number;
  readonly taken: number;
  readonly iceFraction: number;
}

export interface PartRun {
  /** At the end of every piece of air that was made up. */
  readonly points: readonly Point[];
  /** Seconds from the start. */
  readonly events: readonly { readonly at: number; readonly line: Line }[];
  readonly end: Point;
}

export interface From {
  readonly temperatureC: number;
  /** Cold taken, σ; above 0 only at 0 °C. */
  readonly taken?: number;
  /** All ice, and as cold as it is. */
  readonly solid?: boolean;
}

export function runThrough(part: Part, air: readonly MadeAir[], from: From): PartRun {
  const track = trackOf(air);
  const airTrack = new AirTrack(NETWORK, 'inside');
  airTrack.fill(track, part.heat === undefined ? undefined : heatedLevels(part, () => 0));
  const body = new PartBody(part);
  body.phase = from.solid === true ? 'solid' : (from.taken ?? 0) > 0 ? 'ice' : 'liquid';
  body.temperatureC = from.temperatureC;
  body.taken = from.taken ?? 0;
  const events: { at: number; line: Line }[] = [];
  const points: Point[] = [];
  const now = (): Point => ({
    phase: body.phase,
    temperatureC: body.temperatureC,
    taken: body.taken,
    iceFraction: body.iceFraction,
  });
  for (let i = 0; i < airTrack.count; i++) {
    body.advance(airTrack, i, 0);
    const { zeroS, blockedS, solidS } = body.passed;
    const lines = [
      ['zero', zeroS],
      ['blocked', blockedS],
      ['solid', solidS],
    ] as const;
    for (const [line, atS] of lines)
      if (!Number.isNaN(atS)) events.push({ at: airTrack.startS[i]! + atS, line });
    points[airTrack.stretch[i]!] = now();
  }
  return { points, events, end: now() };
}

const AIR: ZoneAir = { of: [{ end: 'inside', weight: 1 }], lagS: 0 };

const NETWORK: Network = {
  nodes: [{ id: 'inside', capacityJPerK: 1 }],
  paths: [],
  zones: Object.fromEntries(ZONES.map((zone) => [zone, AIR])) as Record<ZoneId, ZoneAir>,
};

function trackOf(air: readonly MadeAir[]): ZoneTrack {
  const track = new ZoneTrack();
  let startS = 0;
  for (const { a, b, durationS, modes = [], supply = 0 } of air) {
    track.grow();
    const i = track.count;
    track.hour[i] = i;
    track.startS[i] = startS;
    track.durationS[i] = durationS;
    track.supply[i] = supply;
    track.systems[i] = systemOf(i, modes);
    track.a[i * MOST_NODES] = a;
    track.b[i * MOST_NODES] = b;
    modes.forEach((mode, k) => {
      track.p[i * MOST_NODES * MOST_NODES + k] = mode.p;
      track.q[i * MOST_NODES * MOST_NODES + k] = mode.q;
    });
    track.count = i + 1;
    startS += durationS;
  }
  return track;
}

function systemOf(index: number, modes: NonNullable<MadeAir['modes']>): System {
  const alpha = Float64Array.from(modes, (m) => m.alpha);
  const beta = Float64Array.from(modes, (m) => m.beta);
  const none = new Float64Array(0);
  return {
    index,
    rows: new Int32Array(0),
    cappedRow: -1,
    alpha,
    beta,
    hourCos: alpha.map((x, k) => Math.exp(x * 3600) * Math.cos((beta[k] ?? 0) * 3600)),
    hourSin: alpha.map((x, k) => Math.exp(x * 3600) * Math.sin((beta[k] ?? 0) * 3600)),
    hourIntegral: alpha.map((x) => Math.expm1(x * 3600) / x),
    vectors: none,
    inverseVectors: none,
    inverseA: none,
    perOutside: none,
    perGround: none,
    perLimit: none,
    constant: none,
  };
}
