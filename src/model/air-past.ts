import type { AirPieces, Levels } from './air-pieces.ts';
import type { ZoneTrack } from './zone-track.ts';

/** The end of the past that a zone's air shares with the next member's, as `past.ts` has it of the nodes. */
export class AirPast {
  #track: ZoneTrack | null = null;
  #number = 0;
  #levels: Levels | undefined;
  #count = 0;
  #goesBelow = false;
  #lastSystem = 0;
  readonly #lagged = new Float64Array(1);

  keep(air: AirPieces, track: ZoneTrack, levels: Levels | undefined): void {
    this.#track = track;
    this.#number = track.pasts;
    this.#levels = levels;
    this.#count = air.count;
    this.#goesBelow = air.goesBelow;
    this.#lastSystem = air.lastSystem;
    this.#lagged.set(air.lagged);
  }

  /** Puts the air back to the end of a track's past; false where it has not been through this one. */
  resume(air: AirPieces, track: ZoneTrack, levels: Levels | undefined): boolean {
    if (track.past === 0 || track !== this.#track) return false;
    if (track.pasts !== this.#number || levels !== this.#levels) return false;
    air.count = this.#count;
    air.goesBelow = this.#goesBelow;
    air.lastSystem = this.#lastSystem;
    air.lagged.set(this.#lagged);
    return true;
  }
}
