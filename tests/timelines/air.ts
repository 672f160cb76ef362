/** Courses of the air that stories are told by: steady, with stretches that are colder or warmer, or nights and days. */
import { seconds } from '../support/instants.ts';
import { HOUR } from './story.ts';

export interface Stretch {
  readonly from: string;
  readonly hours: number;
  readonly celsius: number;
}

/** The air at an instant [°C]. */
export type Air = (at: number) => number;

/** Steady but for these; between hours it goes in a straight line. */
export function steady(usualC: number, stretches: readonly Stretch[]): Air {
  return (at) => {
    const within = stretches.findLast(({ from, hours }) => {
      const start = seconds(from);
      return at >= start && at < start + hours * HOUR;
    });
    return within?.celsius ?? usualC;
  };
}

/** Coldest at three in the morning in Denver's winter (10Z), warmest at three in the afternoon (22Z). */
export function nightsAndDays(nightC: number, dayC: number): Air {
  return (at) => {
    const hour = (at / HOUR - 22) % 24;
    return (nightC + dayC) / 2 + ((dayC - nightC) / 2) * Math.cos((2 * Math.PI * hour) / 24);
  };
}

/** One air from an instant on, another before it. */
export function turning(before: Air, at: string, after: Air): Air {
  const change = seconds(at);
  return (instant) => (instant < change ? before(instant) : after(instant));
}
