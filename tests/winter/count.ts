/** What a season came to: damage that nobody was told of in time, and calls to act that were for nothing. */
import { lotOf, trueDamage, WET } from './lot.ts';
import type { Winter } from './series.ts';
import type { Season } from './watch.ts';

const HOUR = 3600;
const IN_TIME_S = 12 * HOUR;
const WINDOW_S = 72 * HOUR;

export interface Count {
  /** Damage without a call to act at least twelve hours before. */
  readonly missed: number;
  /** Damage in spite of one. */
  readonly told: number;
  readonly trueAlarms: number;
  readonly falseAlarms: number;
  readonly mostADay: number;
}

export const NONE: Count = { missed: 0, told: 0, trueAlarms: 0, falseAlarms: 0, mostADay: 0 };

export function countOf(season: Season, winter: Winter): Count {
  const config = lotOf({ winter, tolerance: 0.05 });
  const inTime = season.damages.filter(({ at, toldAt }) => toldAt !== null && at - toldAt >= IN_TIME_S);
  const isTrue = season.alarms.filter(({ unit: id, at }) => {
    const unit = config.units.find((one) => one.id === id)!;
    const wet = { ...WET, all: { ...WET.all, since: at } };
    return trueDamage({ config, unit, winter, water: wet }, { from: at, to: at + WINDOW_S }) !== null;
  });
  return {
    missed: season.damages.length - inTime.length,
    told: inTime.length,
    trueAlarms: isTrue.length,
    falseAlarms: season.alarms.length - isTrue.length,
    mostADay: season.mostADay,
  };
}

export function sum(a: Count, b: Count): Count {
  return {
    missed: a.missed + b.missed,
    told: a.told + b.told,
    trueAlarms: a.trueAlarms + b.trueAlarms,
    falseAlarms: a.falseAlarms + b.falseAlarms,
    mostADay: Math.max(a.mostADay, b.mostADay),
  };
}
