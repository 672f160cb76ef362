/** Places, people and the ways to them, as text. */
import type { ClosingTerms, ServiceTerms } from '../decision/service.ts';
import { formatClock, formatFreeTime } from '../quantity/clock-time.ts';
import type { LocalDate } from '../quantity/local-date.ts';
import { formatDuration, formatNumber } from '../quantity/quantity.ts';
import { formatTemperature } from '../quantity/temperature.ts';
import type { Display } from './config.ts';
import type { ConfigDescription, PersonDescription, PlaceDescription } from './describe.ts';
import { hanging, lengthText, named } from './description-lines.ts';

export function placeLines(place: PlaceDescription, display: Display): readonly string[] {
  const height = place.elevationM === null ? "the ground's" : lengthText(place.elevationM, display);
  const zone = place.timeZoneFrom === 'config' ? 'given' : 'from the coordinates';
  return [
    ...hanging(`Place ${place.id}: ${place.label}`, 2, 0),
    ...named('coordinates', `latitude ${place.latitude}, longitude ${place.longitude}`),
    ...named('height', height),
    ...named('time zone', `${place.timeZone} (${zone})`),
    ...named('lie', lieText(place)),
    ...named('sources', place.sources.join(', then ')),
    ...(place.managers.length === 0 ? [] : named('managers', place.managers.join(', '))),
    ...(place.water === null ? [] : serviceLines(place.water, display)),
  ];
}

function lieText({ lie, coldSpotK }: PlaceDescription): string {
  if (coldSpotK === 0) return lie;
  const than = coldSpotK > 0 ? 'colder' : 'warmer';
  return `${lie}; ${formatNumber(Math.abs(coldSpotK))} K ${than} than forecast`;
}

/** When its water is shut and its dump closed. */
function serviceLines({ water, dump, opensOn, atMinute }: ServiceTerms, display: Display): readonly string[] {
  const opens = opensOn === null ? '' : `; open again on ${dateText(opensOn)}`;
  const one = (terms: ClosingTerms): string => `${closingText(terms, atMinute, display)}${opens}`;
  return [...named('water shut', one(water)), ...named('dump closed', one(dump))];
}

function closingText({ on, belowC }: ClosingTerms, atMinute: number, display: Display): string {
  const ways = [
    on === null ? null : `on ${dateText(on)}, ${formatClock(atMinute)}`,
    belowC === null ? null : `at ${formatTemperature(belowC, display.temperature)} or below`,
  ].filter((way) => way !== null);
  return ways.length === 0 ? 'not known to be' : ways.join(', or ');
}

function dateText({ year, month, day }: LocalDate): string {
  const two = (value: number): string => String(value).padStart(2, '0');
  return `${year}-${two(month)}-${two(day)}`;
}

export function personLines(
  person: PersonDescription,
  delivery: ConfigDescription['delivery'],
): readonly string[] {
  const zone = person.timeZoneFrom === 'config' ? 'given' : "their unit's place";
  const headsUp = `${formatDuration(person.headsUpHours * 3600)} ahead`;
  const unused =
    person.text !== null && delivery.email === null ? ' (not used: there is no delivery.email)' : '';
  return [
    ...hanging(`Person ${person.id}: ${person.name}`, 2, 0),
    ...(person.email === null ? [] : named('e-mail', person.email)),
    ...(person.text === null ? [] : named('text', `${person.text}${unused}`)),
    ...named('channels', channelsText(person)),
    ...named('reads', `°${person.temperature}, times of ${person.timeZone} (${zone})`),
    ...named('quiet', person.quiet ?? 'never'),
    ...named('free', person.free === null ? 'at any hour' : person.free.map(formatFreeTime).join(', ')),
    ...named('heads-up', headsUp),
    ...(person.stillWatching ? named('weekly', 'a line that it is still watching') : []),
  ];
}

function channelsText({ channels, urgent, reach }: PersonDescription): string {
  const all = channels.join(', ') || 'none';
  const hurry = urgent.join(', ') === channels.join(', ') ? '' : `; what cannot wait: ${urgent.join(', ')}`;
  return `${all}${hurry}${reach === 'first' && channels.length > 1 ? '; the first that takes it' : ''}`;
}

export function deliveryText(delivery: ConfigDescription['delivery']): string {
  const { email, fileDirectory, webhook, mqtt, console } = delivery;
  const ways = [
    email === null ? null : `e-mail by ${email.host}:${email.port} (${email.security}), from ${email.from}`,
    webhook === null ? null : `a webhook at ${webhook.host}${webhook.signed ? ', signed' : ''}`,
    fileDirectory === null ? null : `files in ${fileDirectory}`,
    mqtt === null ? null : `states of units under ${mqtt.topic} at ${mqtt.host}`,
    console ? 'the console' : null,
  ];
  return ways.filter((way) => way !== null).join('; ');
}
