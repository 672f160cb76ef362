/** Where the forecast comes from, how old it is, and what the place's own readings do to it. */
import { alertWords } from '../message/alerts.ts';
import { DAY_S, HOUR_S, parseInstant } from '../quantity/instant.ts';
import { formatClock } from '../quantity/local-time.ts';
import { formatDifference } from '../quantity/temperature.ts';
import { instantOf, items, near, sentences, type ExplainView } from './explain-view.ts';

const ORIGIN_WORDS: Readonly<Record<string, string>> = {
  'kept past': 'as kept from earlier rounds',
  interpolated: 'interpolated between its neighbours',
  'between steps': 'between steps of the service',
  unknown: 'unknown',
};

export function forecastSources(view: ExplainView): string {
  const { forecast, alerts, attributions } = view.answer.place;
  if (forecast === null) return '';
  const age =
    forecast.issuedAt === null
      ? `last renewed ${near(forecast.fetchedAt, view)}`
      : `issued ${near(forecast.issuedAt, view)}`;
  const odd = forecast.stretches.filter(({ what }) => what !== 'forecast').map((s) => stretch(s, view));
  const warnings = alerts.map((alert) =>
    alertWords(
      {
        ...alert,
        sentAt: instantOf(alert.sentAt),
        onsetAt: parseInstant(alert.onsetAt ?? ''),
        endsAt: parseInstant(alert.endsAt ?? ''),
      },
      view.display.timeZone,
    ),
  );
  return [
    sentences(`The forecast is ${forecast.source}’s, ${age}, in ${forecast.members} courses.`),
    items([...odd, ...warnings, ...attributions]),
    biasLines(view),
  ]
    .filter((piece) => piece !== '')
    .join('\n');
}

function stretch(
  { from, to, source, what }: NonNullable<ExplainView['answer']['place']['forecast']>['stretches'][number],
  view: ExplainView,
): string {
  const hours = from === to ? near(from, view) : `${near(from, view)} to ${near(to, view)}`;
  const whose = what === 'kept past' ? ` (${source})` : '';
  return `${hours}: ${ORIGIN_WORDS[what] ?? what}${whose}.`;
}

/** Every third hour of the local day: how much warmer the forecast has been than the readings. */
function biasLines(view: ExplainView): string {
  const { learned } = view.answer.place;
  if (learned?.biasK === undefined) return '';
  const { biasK, readings = [] } = learned;
  const total = readings.reduce((sum, n) => sum + n, 0);
  const today = Math.floor(instantOf(view.answer.asOf) / DAY_S) * DAY_S;
  const hours = biasK
    .map((bias, hour) => ({ bias: bias ?? 0, n: readings[hour] ?? 0, at: today + hour * HOUR_S }))
    .filter(({ n }) => n > 0)
    .map(({ bias, n, at }) => ({
      clock: formatClock(at, view.display.timeZone),
      text: `${signed(bias, view)} (${n})`,
    }))
    .toSorted((a, b) => (a.clock < b.clock ? -1 : 1))
    .map(({ clock, text }) => `${clock} ${text}`);
  const heading = `What ${total} readings here have taught: by so much the forecast came out too warm (with −, too cold), by hour of the day here, with the readings behind it; what is taken of it stands below:`;
  return sentences(`${heading} ${hours.join(', ')}.`);
}

function signed(kelvin: number, { display }: ExplainView): string {
  const size = formatDifference(Math.abs(kelvin), display.temperature);
  return kelvin < 0 ? `−${size}` : size;
}
