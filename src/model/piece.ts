import { AirPieces, Moment } from './air-pieces.ts';
import { decay } from './decay.ts';

const SHARPEST_S = 1e-9;
/** A step this short is followed by no other: what is left is of its third order. */
const CLOSE_S = 0.02;
const MOST_TRIES = 200;

/** Lines passed within a piece [s from its start], the last of each kind; NaN: not passed. */
export class Passed {
  zeroS = Number.NaN;
  blockedS = Number.NaN;
  solidS = Number.NaN;

  clear(): void {
    this.zeroS = Number.NaN;
    this.blockedS = Number.NaN;
    this.solidS = Number.NaN;
  }
}

/** A piece of air and how far a part has come through it. A register: set, then asked. */
export class Piece {
  air = new AirPieces();
  i = 0;
  wind = 0;
  /** Its length [s]. */
  endS = Number.NaN;
  /** Whether air and heater together are above freezing within. */
  sign = 0;
  /** Reached so far [s]. */
  from = Number.NaN;
  /** What the part's own heater is worth, as kelvins of air. */
  offsetK = Number.NaN;
  /** Air and heater at `from`, and their integral until then [K·s]. */
  airC = Number.NaN;
  before = Number.NaN;
  /** The body at `from`, what it then is above what it tends to follow, and where it is at the moment. */
  startC = Number.NaN;
  gapK = Number.NaN;
  bodyC = Number.NaN;
  /** What is to be reached, and when it is. Here, as numbers that are handed to functions may be boxed. */
  line = Number.NaN;
  found = Number.NaN;
  readonly moment = new Moment();

  /** Becomes a piece of air, nothing of it passed yet. */
  set(air: AirPieces, i: number): void {
    this.air = air;
    this.i = i;
    this.wind = air.wind(i);
    this.endS = air.durationS(i);
    this.from = 0;
    this.offsetK = 0;
  }

  /** Where the body is at the moment. */
  lookAtBody(): void {
    const { air, i, moment } = this;
    air.lookFollowed(i, moment);
    this.bodyC = moment.followedC + this.offsetK + this.gapK * decay(-moment.rate * (moment.t - this.from));
  }

  /** Moves to the instant at which a body that moves one way comes to a line that it passes before the piece ends. */
  reachLine(lineC: number): void {
    this.line = lineC;
    this.#findLine();
  }

  #findLine(): void {
    const { from, moment, line: lineC } = this;
    let low = from;
    let high = moment.t;
    const yLow = this.startC - lineC;
    const yHigh = this.bodyC - lineC;
    if (yLow === 0) return;
    const sign = yLow > 0 ? 1 : -1;
    // From the parabola through both ends that starts as the body does.
    const all = high - low;
    const start = moment.rate * (this.airC - this.startC);
    const bend = (yHigh - yLow - start * all) / (all * all);
    const root = Math.sqrt(start * start - 4 * bend * yLow);
    let t = low + (2 * yLow) / (sign * root - start);
    if (!(t > low && t < high)) t = (low * yHigh - high * yLow) / (yHigh - yLow);
    for (let n = 0; n < MOST_TRIES && high - low > SHARPEST_S; n++) {
      moment.t = t;
      this.lookAtBody();
      const y = this.bodyC - lineC;
      if (sign * y > 0) low = t;
      else high = t;
      const slope = moment.rate * (moment.airC + this.offsetK - this.bodyC);
      const newton = -y / slope;
      const bent = (newton * moment.rate * (moment.slope - slope)) / (2 * slope);
      const next = t + newton / (1 + bent);
      t = next > low && next < high ? next : (low + high) / 2;
      if (t === next && Math.abs(newton) < CLOSE_S && Math.abs(newton * bent * bent) < SHARPEST_S) break;
    }
    this.from = t;
  }

  /**
   * Instant at which ∫(air + heater) from `piece.from` on comes to `kelvinSeconds`, known to be passed before the piece
   * ends. Newton's method kept within its bracket, from where air that is linear would bring it: the slope is the air
   * itself, which keeps its sign.
   */
  reachCold(kelvinSeconds: number): number {
    this.line = kelvinSeconds;
    this.#findCold();
    return this.found;
  }

  #findCold(): void {
    const { air, i, from, endS, offsetK, sign, moment, line: kelvinSeconds } = this;
    let low = from;
    let high = endS;
    const first = sign * this.airC;
    const change = (sign * (air.endOf(i) + offsetK) - first) / (high - low);
    const needed = sign * kelvinSeconds;
    let t = from + (2 * needed) / (first + Math.sqrt(first * first + 2 * change * needed));
    if (!(t > low && t < high)) t = (low + high) / 2;
    for (let n = 0; n < MOST_TRIES && high - low > SHARPEST_S; n++) {
      moment.t = t;
      air.look(i, moment);
      const left = sign * (kelvinSeconds - (moment.kelvinSeconds + offsetK * t - this.before));
      if (left > 0) low = t;
      else high = t;
      const slope = sign * (moment.airC + offsetK);
      const newton = left / slope;
      const bent = (sign * newton * moment.slope) / (2 * slope);
      const next = t + newton / (1 + bent);
      t = next > low && next < high ? next : (low + high) / 2;
      if (t === next && Math.abs(newton) < CLOSE_S && Math.abs(newton * bent * bent) < SHARPEST_S) break;
    }
    this.found = t;
  }
}
