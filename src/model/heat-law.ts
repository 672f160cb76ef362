/**
 * The law by which a unit is heated: what the thermostats make of the temperature inside. It falls in pieces,
 * each linear, so that one linear system holds within each:
 *
 *     off        nothing                                   above the electric heaters' band
 *     electric   electric heaters in proportion            over 1 K above the furnace's band
 *     band       electric heaters full, furnace in         over 1 K about the set temperature, or as much
 *                proportion                                of it as the furnace can give
 *     full       both, all they can give                   below
 *
 * A thermostat that switches is averaged to one that acts in proportion over the band in which it would switch.
 */
export type Piece = 'off' | 'electric' | 'band' | 'full';
export const PIECES: readonly Piece[] = ['off', 'electric', 'band', 'full'];

/** Each thermostat acts in proportion over this band; the furnace's is centred on the set temperature. */
export const BAND_K = 1;
/** The duct below closes when the underbelly reaches this. */
export const UNDERBELLY_CAP_C = 25;

/** What heat there is in one stretch of time. */
export interface HeatGiven {
  readonly setC: number;
  /** The furnace at full power [W], which sets the slope of its band. */
  readonly capacityW: number;
  /** What it can give now: by boil-off, or nothing once gas or battery are out [W]. */
  limitW: number;
  electricW: number;
}

/** Lower end of a piece's temperatures inside [°C]; −∞ for the last. */
export function lowerEnd(piece: Piece, { setC, capacityW, limitW, electricW }: HeatGiven): number {
  const furnaceTop = setC + BAND_K / 2;
  if (piece === 'full') return -Infinity;
  if (piece === 'band') return capacityW > 0 ? furnaceTop - (BAND_K * limitW) / capacityW : furnaceTop;
  return piece === 'off' && electricW > 0 ? furnaceTop + BAND_K : furnaceTop;
}

/** The pieces between which there is none of any width: the next warmer and the next colder. */
export function warmer(piece: Piece, { limitW, electricW }: HeatGiven): Piece {
  if (piece === 'full' && limitW > 0) return 'band';
  if (piece !== 'electric' && piece !== 'off' && electricW > 0) return 'electric';
  return 'off';
}

export function colder(piece: Piece, { limitW, electricW }: HeatGiven): Piece {
  if (piece === 'off' && electricW > 0) return 'electric';
  if (piece !== 'band' && piece !== 'full' && limitW > 0) return 'band';
  return limitW > 0 || electricW > 0 ? 'full' : 'off';
}

/** The piece at a temperature inside. */
export function pieceAt(insideC: number, given: HeatGiven): Piece {
  let piece: Piece = 'off';
  if (given.limitW <= 0 && given.electricW <= 0) return piece;
  while (insideC <= lowerEnd(piece, given)) piece = colder(piece, given);
  return piece;
}

/** What the furnace gives in its band when it is so far below the set temperature inside [W]. */
export function bandOutput({ capacityW }: HeatGiven, belowSetK: number): number {
  return (capacityW / BAND_K) * (belowSetK + BAND_K / 2);
}

/** Whether the furnace runs all the time and gives less than it could: its gas boils off too slowly. */
export function isShort(piece: Piece, { limitW, capacityW }: HeatGiven): boolean {
  return piece === 'full' && limitW > 0 && limitW < capacityW;
}

/** Between which temperatures inside the law of a piece holds: a register, found anew only when the heat is another. */
export class PieceEnds {
  lowC = Number.NaN;
  highC = Number.NaN;
  /** Whether the piece has any width. */
  isWide = true;
  #piece: Piece = 'off';
  #limitW = Number.NaN;
  #electricW = Number.NaN;

  of(piece: Piece, given: HeatGiven): this {
    const { limitW, electricW } = given;
    if (this.#piece === piece && this.#limitW === limitW && this.#electricW === electricW) return this;
    const above = warmer(piece, given);
    this.#piece = piece;
    this.#limitW = limitW;
    this.#electricW = electricW;
    this.lowC = lowerEnd(piece, given);
    this.highC = piece === 'off' ? Infinity : lowerEnd(above, given);
    this.isWide = piece === 'off' || colder(above, given) === piece;
    return this;
  }
}
