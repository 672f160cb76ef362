/** What a place's water service cannot say. */
import { compareDates, parseLocalDate, type LocalDate } from '../quantity/local-date.ts';
import type { Draft } from './draft.ts';
import { has, mapAt, mapsAt, problemAt, quantityAt, textAt } from './draft.ts';
import { shown } from './found.ts';
import type { Problem } from './problem.ts';

const CLOSINGS = ['shutsOn', 'shutsBelow', 'dumpClosesOn', 'dumpClosesBelow'] as const;
const DATES = ['shutsOn', 'dumpClosesOn'] as const;

export function serviceRules(root: Draft): readonly Problem[] {
  return [
    ...mapsAt(root, 'places')
      .filter((place) => has(place, 'water'))
      .flatMap(closingRules),
    ...mapsAt(root, 'units').flatMap(amountRules),
  ];
}

function closingRules(place: Draft): readonly Problem[] {
  const water = mapAt(place, 'water');
  if (!CLOSINGS.some((key) => has(water, key))) {
    const keys = CLOSINGS.join(', ');
    return [problemAt(place, 'water', `must say when something ends (${keys}), found none of these`)];
  }
  return [...hourRules(water), ...openingRules(water)];
}

/** An hour belongs to a date. */
function hourRules(water: Draft): readonly Problem[] {
  if (!has(water, 'at') || [...DATES, 'opensOn'].some((key) => has(water, key))) return [];
  return [problemAt(water, 'at', `belongs to a date (${DATES.join(', ')}), found it without one`)];
}

function openingRules(water: Draft): readonly Problem[] {
  const opens = dateAt(water, 'opensOn');
  if (opens === null) return [];
  return DATES.flatMap((key) => {
    const ends = dateAt(water, key);
    if (ends === null || compareDates(opens, ends) > 0) return [];
    const text = `must be after ${key} (${textAt(water, key)}), found ${shown(textAt(water, 'opensOn'))}`;
    return [problemAt(water, 'opensOn', text)];
  });
}

function dateAt(draft: Draft, key: string): LocalDate | null {
  const text = textAt(draft, key);
  return text === null ? null : parseLocalDate(text);
}

/** Rounding between gallons and litres is no mistake. */
const SLACK_LITRES = 0.5;

function amountRules(unit: Draft): readonly Problem[] {
  const use = mapAt(unit, 'waterUse');
  const onBoard = quantityAt(use, 'onBoard', 'volume');
  const tank = quantityAt(use, 'tank', 'volume');
  if (onBoard === null || tank === null || onBoard <= tank + SLACK_LITRES) return [];
  const text = `must not be more than the tank holds (${textAt(use, 'tank')}), found ${shown(textAt(use, 'onBoard'))}`;
  return [problemAt(use, 'onBoard', text)];
}
