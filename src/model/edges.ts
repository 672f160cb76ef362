import { HOUR_S } from '../quantity/instant.ts';
import type { HourlyAir } from './hourly-air.ts';

/** Edges of the network over a stretch, linear in time. */
export class Edges {
  hour = 0;
  outsideC = Number.NaN;
  outsideSlope = Number.NaN;
  groundC = Number.NaN;
  groundSlope = Number.NaN;

  /** From an instant within the hour on. */
  set({ temperatureC, groundC }: HourlyAir, { fromS }: { readonly fromS: number }): void {
    const { hour } = this;
    const t = fromS - hour * HOUR_S;
    this.outsideSlope = (temperatureC[hour + 1]! - temperatureC[hour]!) / HOUR_S;
    this.groundSlope = (groundC[hour + 1]! - groundC[hour]!) / HOUR_S;
    this.outsideC = temperatureC[hour]! + this.outsideSlope * t;
    this.groundC = groundC[hour]! + this.groundSlope * t;
  }
}
