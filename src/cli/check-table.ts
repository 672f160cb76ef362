/** The check answer for a terminal of 80 columns. */
import Table from 'cli-table3';
import type { CheckAnswer } from '../app/check-answer.ts';
import { deliveryWords } from './check-delivery.ts';
import { heatWords } from './check-heat.ts';
import { moneyLine } from './check-money.ts';
import { serviceWords } from './check-service.ts';
import { stateWords } from './state-words.ts';
import { alertWords } from '../message/alerts.ts';
import { actionWords, capital } from '../message/words.ts';
import { chanceText, isSingle } from '../message/chance.ts';
import { wrap } from '../message/wrap.ts';
import { HOUR_S, parseInstant } from '../quantity/instant.ts';
import { formatLocal, formatNear } from '../quantity/local-time.ts';

type UnitAnswer = CheckAnswer['units'][number];
type PlaceAnswer = CheckAnswer['places'][number];
type Shown = Parameters<typeof stateWords>[1];
type Advice = NonNullable<UnitAnswer['advice']>;

const COLUMNS = 80;

/** With a space on either side and the borders between them these make 80. */
const WIDTHS = [18, 17, 23, 17];
/** Stands for a space at which no line may break. One column wide, in no alphabet. */
const HARD_SPACE = '\uE000';

export function checkTable(answer: CheckAnswer): string {
  const table = new Table({
    head: ['Unit', 'Action', 'Start by', 'Chance of damage'],
    colWidths: WIDTHS,
    wordWrap: true,
    style: { head: [], border: [] },
  });
  for (const place of answer.places) {
    const units = answer.units.filter((u) => u.place === place.id);
    if (answer.places.length > 1 && units.length > 0) table.push(wide(`At ${place.label}:`));
    for (const unit of units) {
      const { asOf, currency } = answer;
      const shown = { asOf: parseInstant(asOf) ?? 0, timeZone: place.timeZone };
      const heat = heatWords(unit, { asOf, timeZone: place.timeZone });
      const water = noWaterWords(unit, place).trim();
      const words = [
        reason(unit, place, shown),
        serviceWords(unit, shown),
        water,
        heat,
        moneyLine(unit, currency),
      ];
      table.push(row(unit, place), wide(words.filter((text) => text !== '').join(' ')));
    }
  }
  const text = table.toString().replaceAll(HARD_SPACE, ' ');
  return [text, ...footnotes(answer), ''].join('\n');
}

/** A row of one cell. A number keeps its unit. */
function wide(text: string): { colSpan: number; content: string }[] {
  return [{ colSpan: WIDTHS.length, content: text.replaceAll(/(?<=\d) (?=[%h°])/g, HARD_SPACE) }];
}

function row(unit: UnitAnswer, place: PlaceAnswer): string[] {
  const label = `${unit.label}${unit.suspect ? ' (may have frozen)' : ''}`;
  if (unit.advice === null) return [label, 'unknown', '—', 'unknown'];
  return [label, action(unit, unit.advice), startBy(unit, place), chance(unit, place)];
}

/** Of a unit that may have frozen a person looks first, whatever else there is to do. */
function action({ suspect }: UnitAnswer, advice: Advice): string {
  const part = advice.circuits === undefined ? '' : ', in part';
  const words = `${actionWords(advice.action, advice.method ?? null, advice.measures ?? null)}${part}`;
  if (!suspect) return words;
  const first = advice.reasonCode === 'frozen-path' ? 'thaw it and check it first' : 'check it first';
  return advice.action === 'nothing' ? first : `${first}, then ${words}`;
}

function reason({ advice, problem, ...unit }: UnitAnswer, place: PlaceAnswer, shown: Shown): string {
  if (problem !== undefined) return problem.message;
  if (advice !== null) return `${stateWords(unit, shown)}. ${advice.reason}`;
  const why = place.problem?.message ?? 'No source answered.';
  return `No usable forecast: what the cold will do is unknown. ${why} Look at another forecast for the place yourself.`;
}

function startBy({ advice }: UnitAnswer, place: PlaceAnswer): string {
  const at = parseInstant(advice?.startBy ?? '');
  if (at === null) return '—';
  return `${formatLocal(at, place.timeZone)}${advice?.late === true ? ' (passed)' : ''}`;
}

/** As it stands, and what the action leaves of it. What is broken already is not in it. */
function chance({ advice, chanceOfDamage, partialDrain, suspect }: UnitAnswer, place: PlaceAnswer): string {
  const text = (value: number | undefined): string =>
    value === undefined ? 'unknown' : chanceText(value, place.forecast?.resolution ?? 1);
  const more = suspect ? 'of more damage: ' : '';
  if (advice === null || advice.action === 'nothing') return `${more}${text(chanceOfDamage?.nothing)}`;
  const left = advice.partial === true ? partialDrain?.chanceOfDamage : chanceOfDamage?.[advice.action];
  return `${more}${text(chanceOfDamage?.nothing)}, then ${text(left)}`;
}

/** That the taps run dry is said where it is another chance than that of damage. */
function noWaterWords(
  { chanceOfNoWater, noWaterPart = null, chanceOfDamage, parts }: UnitAnswer,
  { forecast }: PlaceAnswer,
): string {
  if (chanceOfNoWater === undefined || chanceOfNoWater === 0) return '';
  const resolution = forecast?.resolution ?? 1;
  const [dry, damage] = [chanceOfNoWater, chanceOfDamage?.nothing ?? 0].map((c) => chanceText(c, resolution));
  if (dry === undefined || dry === damage) return '';
  const label = parts?.find(({ id }) => id === noWaterPart)?.label ?? noWaterPart;
  const first = noWaterPart === null ? '' : `, first in: ${label}`;
  if (isSingle(resolution))
    return `By this single forecast ice closes the way of the water to the taps${first}. `;
  return `${capital(dry)} chance that ice closes the way of the water to the taps${first}. `;
}

function footnotes(answer: CheckAnswer): string[] {
  const attributions = new Set(answer.places.flatMap((p) => p.attributions));
  const problems = answer.places.flatMap((place) => problemWords(place, answer));
  return [
    ...deliveryWords(answer),
    `Chances are for the next ${answer.windowHours} h, or as far as the forecast reaches:`,
    'as it stands, then after the action.',
    ...answer.places.flatMap((place) => forecastWords(place, answer)),
    ...problems,
    ...answer.units.flatMap((unit) => unit.contactsSaid ?? []),
    ...answer.places.flatMap(warnings),
    ...assumed(answer),
    ...attributions,
  ].map((line) => wrap(line, { first: '', rest: '', width: COLUMNS }));
}

/** Whose forecast it is, and how old. */
function forecastWords({ label, forecast, timeZone }: PlaceAnswer, { asOf }: CheckAnswer): readonly string[] {
  const at = parseInstant(forecast?.issuedAt ?? forecast?.fetchedAt ?? '');
  const now = parseInstant(asOf);
  if (forecast === null || at === null || now === null) return [];
  const verb = forecast.issuedAt === null ? 'last renewed' : 'issued';
  const hours = Math.max(0, Math.floor((now - at) / HOUR_S));
  const age = hours === 0 ? '' : `, ${hours} h ago`;
  return [`${label}: forecast of ${forecast.source}, ${verb} ${formatNear(at, now, timeZone)}${age}.`];
}

/** The rows of its units say already that a place has no forecast, and why; what is left is what to do. */
function problemWords(
  { id, label, forecast, problem }: PlaceAnswer,
  { units }: CheckAnswer,
): readonly string[] {
  if (problem === null) return [];
  const isSaid = forecast === null && units.some((unit) => unit.place === id);
  const words = [isSaid ? '' : problem.message, problem.hint ?? ''].join(' ').trim();
  return words === '' ? [] : [`${label}: ${words}`];
}

/** Official warnings in their issuers' words. */
function warnings({ label, alerts, timeZone }: PlaceAnswer): readonly string[] {
  const at = (text: string | null): number | null => parseInstant(text ?? '');
  return alerts.map((alert) => {
    const times = { sentAt: at(alert.sentAt) ?? 0, onsetAt: at(alert.onsetAt), endsAt: at(alert.endsAt) };
    return `${label}: ${alertWords({ ...alert, ...times }, timeZone)}`;
  });
}

/** What the forecasts leave open: said once for all places where it is the same at all. */
function assumed({ places }: CheckAnswer): readonly string[] {
  const known = places.flatMap((p) =>
    p.forecast === null ? [] : [{ label: p.label, of: p.forecast.assumptions }],
  );
  const sentences = [...new Set(known.flatMap(({ of }) => of))];
  return sentences.map((sentence) => {
    const at = known.filter(({ of }) => of.includes(sentence)).map(({ label }) => label);
    return at.length === known.length ? sentence : `${at.join(', ')}: ${sentence}`;
  });
}
