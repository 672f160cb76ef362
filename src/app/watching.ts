/** Who is told once a week that the units are watched, and what they read. Pure. */
import type { Config, PersonConfig } from '../config/config.ts';
import { asksForWork } from '../decision/advice.ts';
import { watchWeek } from '../decision/watch-week.ts';
import { watchingText, type WatchedUnit } from '../message/watching.ts';
import { orderWords, uncapital, waterStateWords } from '../message/words.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { OutboxEntry } from '../store/store.ts';
import type { Evaluation, UnitEvaluation } from './evaluate.ts';
import { messageIdOf } from './message-id.ts';
import { waysOut } from './ways-out.ts';

/** A series that is written once a day, and some hours late. */
const FRESH_HOURS = 30;

interface Asked {
  readonly config: Config;
  readonly evaluation: Evaluation;
  /** What is not fresh. */
  readonly reasons: readonly string[];
}

/** The same in every round of the week: the outbox takes what it has not got. */
export function watchingEntries({ config, evaluation, reasons }: Asked): OutboxEntry[] {
  const { now, units } = evaluation;
  return config.people
    .filter((person) => person.stillWatching)
    .flatMap((person) => {
      const week = watchWeek(person.timeZone, now);
      const theirs = units.filter((one) => isTheirs(one, person));
      if (week === null || theirs.length === 0) return [];
      const watching = theirs.map((one) => watched(one, now));
      const all = [...reasons, ...outOfDate(watching)];
      const facts = { asOf: now, units: watching, reasons: all };
      const episode = `watching.${week.id}`;
      const message = {
        messageId: messageIdOf(config, episode, person.id),
        kind: 'watching' as const,
        unit: 'none',
        action: 'nothing' as const,
        startBy: null,
        cause: all.length === 0 ? 'all-fresh' : 'not-fresh',
        to: { id: person.id, name: person.name, email: person.email, text: person.text },
        createdAt: now,
        episode,
        useBefore: week.until,
        ...watchingText(facts, person),
      };
      const { until: useBefore } = week;
      return waysOut(person, { episode, useBefore, canWait: true, now, message, gathers: false });
    });
}

function isTheirs({ unit, place }: UnitEvaluation, { id }: PersonConfig): boolean {
  return unit.contacts.includes(id) || place.place.managers.includes(id);
}

function watched({ unit, place, water, assessment, record }: UnitEvaluation, now: EpochSeconds): WatchedUnit {
  const outside = assessment?.middle.zones.find((z) => z.zone === 'outside')?.statistics;
  const madeAt = place.outlook?.issuedAt ?? place.outlook?.fetchedAt ?? null;
  return {
    label: unit.label,
    place: place.place.label,
    waterState: waterStateWords(water.all.state),
    suspect: record.memory.suspectSince !== null || (assessment?.alreadyDamaged ?? false),
    forecastAgeHours: assessment === null || madeAt === null ? null : Math.max(0, now - madeAt) / HOUR_S,
    lowest: outside === undefined ? null : { temperatureC: outside.minimumC, at: outside.minimumAt },
    work: workOf(unit.label, assessment),
  };
}

/** A source without a limit of its own is used however old it is. */
function outOfDate(units: readonly WatchedUnit[]): readonly string[] {
  const places = units
    .filter(({ forecastAgeHours: age }) => age !== null && age > FRESH_HOURS)
    .map(({ place }) => place);
  return [...new Set(places)].map(
    (place) => `The forecast for ${place} has not changed for more than a day.`,
  );
}

function workOf(label: string, assessment: UnitEvaluation['assessment']): string | null {
  const advice = assessment?.advice;
  if (advice === undefined || !asksForWork(advice)) return null;
  const { action, method } = advice;
  return uncapital(orderWords(action, { label, method, hasHose: false, circuits: advice.circuits ?? null }));
}
