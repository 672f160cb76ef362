/** From the code of a link and what was filled in to what is said of the unit. */
import type { Config, PersonConfig } from '../config/config.ts';
import { startOfDay } from '../decision/local-day.ts';
import type { AnswerCode } from '../message/message.ts';
import { STRONGEST_PERCENT, WEAKEST_PERCENT } from '../model/antifreeze.ts';
import { parseQuantity } from '../quantity/quantity.ts';
import { DAY_S, type EpochSeconds } from '../quantity/instant.ts';
import { readNumber, type FilledIn } from '../web/answer-form.ts';
import type { LinkUse, MarkRequest } from './mark-request.ts';

type Said = Pick<MarkRequest, 'state'> & Partial<Pick<MarkRequest, 'method' | 'quality' | 'traps' | 'basis'>>;

/** Colour and a whole unit are seen; what was done is said by whoever did it. */
export const SAID: Readonly<Record<AnswerCode, Said>> = {
  'drained-well': { state: 'drained', quality: 'well' },
  'drained-quickly': { state: 'drained', quality: 'quick' },
  'winterized-colour': { state: 'winterized', method: 'antifreeze', basis: 'seen' },
  'winterized-air-traps': { state: 'winterized', method: 'air', traps: true },
  'winterized-air': { state: 'winterized', method: 'air' },
  winterized: { state: 'winterized' },
  'kept-warm': { state: 'kept-warm' },
  'on-my-way': { state: 'on-my-way' },
  'not-mine': { state: 'not-mine' },
  stop: { state: 'stop' },
  checked: { state: 'checked', basis: 'seen' },
};

/** STATE and options of `drainby mark` that say the same. */
export function markCommandOf(unit: string, answer: AnswerCode, person: string): string {
  const { state, method, quality, traps, basis } = SAID[answer];
  const options = [
    ...(quality === undefined || quality === null ? [] : [`--quality ${quality}`]),
    ...(method === undefined || method === null ? [] : [`--method ${method}`]),
    ...(traps === true ? ['--traps'] : []),
    ...(state === 'stop' ? ['--until DATE'] : []),
    ...(basis === 'seen' ? ['--seen'] : []),
    `--by ${person}`,
  ];
  return `drainby mark -c FILE ${unit} ${state} ${options.join(' ')}`;
}

export interface Pressed {
  readonly config: Config;
  readonly unit: string;
  readonly person: PersonConfig;
  readonly answer: AnswerCode;
  readonly filledIn: FilledIn;
  readonly link: LinkUse;
  readonly now: EpochSeconds;
}

export interface Requested {
  readonly request: MarkRequest;
  /** What was filled in and cannot be, in full sentences. */
  readonly mistakes: readonly string[];
}

export function requestOf({ config, unit, person, answer, filledIn, link, now }: Pressed): Requested {
  const { method = null, quality = null, ...said } = SAID[answer];
  const percent = answer === 'winterized-colour' ? percentOf(filledIn.percent) : NOT_GIVEN;
  const used = answer === 'winterized-colour' ? litresOf(filledIn.used, usedUnit(config)) : NOT_GIVEN;
  const until = answer === 'stop' ? untilOf(filledIn.until, person.timeZone, now) : NOT_GIVEN;
  return {
    request: {
      ...said,
      config,
      unit,
      circuits: [],
      method,
      quality: quality === null ? null : (filledIn.quality ?? quality),
      concentrationPercent: percent.value,
      ...(answer === 'winterized-colour' ? { withoutColour: filledIn.withoutColour } : {}),
      ...(used.value === null ? {} : { usedLitres: used.value }),
      ...(until.value === null ? {} : { until: until.value }),
      link,
      at: now,
      now,
      by: person.id,
    },
    mistakes: [percent, used, until].flatMap(({ mistake }) => mistake ?? []),
  };
}

/** Litres or gallons, as the config shows lengths. */
export function usedUnit({ display }: Pick<Config, 'display'>): 'gal' | 'L' {
  return display.length === 'ft' ? 'gal' : 'L';
}

interface Read {
  readonly value: number | null;
  readonly mistake: string | null;
}

const NOT_GIVEN: Read = { value: null, mistake: null };

function wrong(mistake: string): Read {
  return { value: null, mistake };
}

function percentOf(text: string | null): Read {
  if (text === null) return NOT_GIVEN;
  const value = readNumber(text);
  if (value !== null && value >= WEAKEST_PERCENT && value <= STRONGEST_PERCENT)
    return { value, mistake: null };
  return wrong(
    `“${text}” is no concentration of antifreeze in lines. Write the per cent by volume that was measured, ${WEAKEST_PERCENT} to ${STRONGEST_PERCENT}, or leave it empty.`,
  );
}

const MOST_LITRES = 400;

/** With its unit, or in the one that the page asks for. */
function litresOf(text: string | null, symbol: string): Read {
  if (text === null) return NOT_GIVEN;
  const plain = /^[\d.,]+$/.test(text) ? `${text} ${symbol}` : text;
  const result = parseQuantity('volume', plain.replace(',', '.').replace(/(\d)(?=[a-z])/i, '$1 '));
  if (result.ok && result.value > 0 && result.value <= MOST_LITRES)
    return { value: result.value, mistake: null };
  return wrong(
    `“${text}” is no amount of antifreeze. Write a number of ${symbol}, such as 2, or leave it empty.`,
  );
}

const LONGEST_SILENCE_DAYS = 366;

function untilOf(text: string | null, timeZone: string, now: EpochSeconds): Read {
  if (text === null) return wrong('Until which day? Choose one.');
  const value = startOfDay(text, timeZone);
  if (value === null) return wrong(`“${text}” is no day. Write it like 2026-12-01.`);
  if (value <= now) return wrong('That day has begun already. Choose one to come.');
  if (value - now > LONGEST_SILENCE_DAYS * DAY_S)
    return wrong('That is more than a year ahead. Choose an earlier day.');
  return { value, mistake: null };
}
