/** A part through air that a test makes up, by way of the model's own tracks. */
import { INTEGRAL, MARKS, PIECE, SIGN } from '../../src/model/air-pieces.ts';
import { AirTrack } from '../../src/model/air-track.ts';
import { MOST_NODES, type System } from '../../src/model/linear-system.ts';
import { heatedLevels } from '../../src/model/part-levels.ts';
import { PartBody, type Line, type Phase } from '../../src/model/part.ts';
import { ZONES, type Network, type Part, type ZoneAir, type ZoneId } from '../../src/model/unit.ts';
import { DURATION_S, SLOPE, START_S, STRETCH, TENDS, WEIGHT, ZoneTrack } from '../../src/model/zone-track.ts';

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
    body.advance(airTrack, i);
    const { zeroS, blockedS, solidS } = body.passed;
    const lines = [
      ['zero', zeroS],
      ['blocked', blockedS],
      ['solid', solidS],
    ] as const;
    for (const [line, atS] of lines)
      if (!Number.isNaN(atS)) events.push({ at: airTrack.startS(i) + atS, line });
    // Each piece of air that was made up is an hour of its own.
    points[airTrack.hour(i)] = now();
  }
  return { points, events, end: now() };
}

/** Air between two crossings of freezing, or of the hour. Seconds from the start. */
export interface AirPiece {
  readonly fromS: number;
  readonly untilS: number;
  readonly isBelow: boolean;
  /** ∫ of it [K·s]. */
  readonly kelvinSeconds: number;
  /** At its start, in its middle and at its end. */
  readonly valuesC: readonly [number, number, number];
}

/** The pieces that air falls into, in a zone that follows it with a lag. */
export function piecesOf(air: readonly MadeAir[], lagS = 0): AirPiece[] {
  const track = new AirTrack(networkOf(lagS), 'inside');
  track.fill(trackOf(air));
  return Array.from({ length: track.count }, (_, i) => {
    const [fromS, durationS] = [track.startS(i), track.durationS(i)];
    return {
      fromS,
      untilS: fromS + durationS,
      isBelow: track.marks[i * MARKS + SIGN]! < 0,
      kelvinSeconds: track.numbers[i * PIECE + INTEGRAL]!,
      valuesC: [track.valueAt(i, 0), track.valueAt(i, durationS / 2), track.endOf(i)],
    };
  });
}

const NETWORK = networkOf(0);

function networkOf(lagS: number): Network {
  const air: ZoneAir = { of: [{ end: 'inside', weight: 1 }], lagS };
  return {
    // As many as there may be, so that air can have as many modes.
    nodes: (['inside', 'underbelly', 'underneath', 'barn'] as const).map((id) => ({ id, capacityJPerK: 1 })),
    paths: [],
    zones: Object.fromEntries(ZONES.map((zone) => [zone, air])) as Record<ZoneId, ZoneAir>,
  };
}

function trackOf(air: readonly MadeAir[]): ZoneTrack {
  const track = new ZoneTrack();
  let startS = 0;
  for (const { a, b, durationS, modes = [], supply = 0 } of air) {
    track.grow();
    const i = track.count;
    track.hour[i] = i;
    track.supply[i] = supply;
    track.systems[i] = systemOf(i, modes);
    const row = i * STRETCH;
    track.rows[row + START_S] = startS;
    track.rows[row + DURATION_S] = durationS;
    track.rows[row + TENDS] = a;
    track.rows[row + SLOPE] = b;
    placesOf(modes).forEach((place, m) => {
      track.rows[row + WEIGHT + place] = modes[m]!.p;
      if (modes[m]!.beta !== 0) track.rows[row + WEIGHT + place + 1] = modes[m]!.q;
    });
    track.count = i + 1;
    startS += durationS;
  }
  return track;
}

/** A mode that turns takes two places. */
function placesOf(modes: NonNullable<MadeAir['modes']>): readonly number[] {
  let next = 0;
  return modes.map(({ beta }) => {
    const place = next;
    next += beta === 0 ? 1 : 2;
    return place;
  });
}

function systemOf(index: number, modes: NonNullable<MadeAir['modes']>): System {
  const alpha = new Float64Array(MOST_NODES).fill(-1);
  const beta = new Float64Array(MOST_NODES);
  const vectors = new Float64Array(MOST_NODES * MOST_NODES);
  placesOf(modes).forEach((place, m) => {
    alpha[place] = modes[m]!.alpha;
    beta[place] = modes[m]!.beta;
    vectors[place] = 1;
  });
  const none = new Float64Array(0);
  return {
    index,
    windClass: 0,
    piece: 'off',
    capped: false,
    electricW: 0,
    nodes: MOST_NODES,
    turns: beta.some((b) => b !== 0),
    alpha,
    beta,
    hourGrowth: alpha.map((x) => Math.exp(x * 3600)),
    hourIntegral: alpha.map((x) => Math.expm1(x * 3600) / x),
    vectors,
    inverseVectors: none,
    inverseA: none,
    perOutside: none,
    perGround: none,
    perLimit: none,
    constant: none,
  };
}
