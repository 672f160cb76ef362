/** What an answer says of a place: its forecast and where that comes from, warnings, and what readings taught. */
import type { Config } from '../config/config.ts';
import { HOUR_S, isoSecond } from '../quantity/instant.ts';
import type { Alert } from '../weather/alert.ts';
import type { Observation } from '../weather/reading.ts';
import type { Stretch } from '../weather/stretches.ts';
import { instant, rounded } from './answer-values.ts';
import type { PlaceEvaluation } from './evaluate-place.ts';

export function placeAnswer(config: Config, evaluated: PlaceEvaluation) {
  const { place, outlook, problem, alerts, observation, attributions } = evaluated;
  const forecast =
    outlook === null
      ? null
      : {
          source: outlook.source,
          issuedAt: instant(outlook.issuedAt),
          fetchedAt: isoSecond(outlook.fetchedAt),
          firstHour: isoSecond(outlook.firstHour),
          lastHour: isoSecond(outlook.firstHour + (outlook.hours - 1) * HOUR_S),
          hours: outlook.hours,
          members: outlook.members.length,
          resolution: outlook.resolution,
          errorModel: config.weather.errorModel.kind,
          attribution: outlook.attribution,
          assumptions: outlook.assumptions,
          stretches: outlook.stretches.map(stretchAnswer),
        };
  return {
    id: place.id,
    label: place.label,
    timeZone: place.timeZone,
    forecast,
    problem,
    alerts: alerts.map(alertAnswer),
    observation: observation === null ? null : observationAnswer(observation),
    attributions,
    learned: learnedAnswer(evaluated),
  };
}

function stretchAnswer({ from, to, source, issuedAt, what }: Stretch) {
  return { from: isoSecond(from), to: isoSecond(to), source, issuedAt: instant(issuedAt), what };
}

/** What its readings have taught; null: it has none. Biases by hour of the UTC day, as learned, before fading. */
function learnedAnswer({ learned }: PlaceEvaluation) {
  if (learned === null) return null;
  const { record, doubts } = learned;
  return {
    doubts: doubts.map(({ code, message, since, until, readings }) => ({
      code,
      message,
      since: isoSecond(since),
      until: isoSecond(until),
      readings,
    })),
    ...(record === null
      ? {}
      : {
          biasK: record.biasK.map(rounded),
          readings: record.readings,
          lastReadingAt: isoSecond(record.lastReadingAt),
          spread: record.spread.map((s) => ({
            ...s,
            errorK: rounded(s.errorK),
            memberK: rounded(s.memberK),
          })),
        }),
  };
}

/** As its issuer has it. */
function alertAnswer({ event, title, issuer, headline, ...times }: Alert) {
  const { sentAt, onsetAt, endsAt } = times;
  const at = { sentAt: isoSecond(sentAt), onsetAt: instant(onsetAt), endsAt: instant(endsAt) };
  return { event, title, issuer, headline, ...at };
}

function observationAnswer({ station, at, temperatureC, distanceKm }: Observation) {
  return { station, at: isoSecond(at), temperatureC: rounded(temperatureC), distanceKm: rounded(distanceKm) };
}
