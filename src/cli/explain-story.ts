/** The explanation's first paragraphs: the weather, what goes first and why, and what its shelter is worth. */
import { uncapital, verb, zoneName, zoneWords } from '../message/words.ts';
import { formatDifference } from '../quantity/temperature.ts';
import {
  coldestHour,
  degrees,
  cold,
  firstHourAhead,
  near,
  nearestToLimit,
  partOf,
  sentences,
  shareUsed,
  type ExplainView,
  type PartAnswer,
} from './explain-view.ts';

export function story(view: ExplainView): string {
  return [...standing(view), `${weather(view)} ${first(view)}${harmless(view)}`, shelter(view)]
    .map(sentences)
    .join('\n\n');
}

/** What makes the rest doubtful comes first. */
function standing({ answer }: ExplainView): readonly string[] {
  const { problem } = answer;
  const damaged =
    problem === undefined
      ? []
      : [`${problem.message} It is taken as full of water here. ${problem.hint ?? ''}`.trim()];
  if (!answer.suspect) return damaged;
  return [
    ...damaged,
    'By the cold so far it may already have frozen: do not pressurise it until a person has checked it.',
  ];
}

function weather(view: ExplainView): string {
  const outside = view.answer.hours.zonesC['outside'] ?? [];
  const hour = coldestOutside(view);
  const lowest = outside[hour];
  if (lowest === undefined || lowest >= 0) return `Outside it stays at ${degrees(lowest, view)} or above.`;
  return `Outside it goes down to ${degrees(lowest, view)}, on ${near(view.answer.hours.time[hour] ?? '', view)}.`;
}

/** Over all that is known. */
function coldestOutside(view: ExplainView): number {
  const outside = view.answer.hours.zonesC['outside'] ?? [];
  return coldestHour(outside, { from: firstHourAhead(view), until: outside.length - 1 });
}

function first(view: ExplainView): string {
  const { firstDamage } = view.answer;
  const part = partOf(firstDamage?.part, view);
  if (firstDamage === null || part === undefined) return spared(view);
  const goes = `The ${part.label} ${verb(part.label, 'goes', 'go')} first, about ${near(firstDamage.at, view)}.`;
  if (firstDamage.by.kind === 'ice') {
    const ahead = isInWind(part) ? 'The cold and the wind ahead are' : 'The cold ahead is';
    return `${goes} ${budget(part, view)} ${ahead} more than that.`;
  }
  const { atC, hours } = firstDamage.by;
  const at = degrees(atC, view);
  const zone = `the air around it (${zoneName(part.zone)})`;
  if (part.waterState === 'antifreeze')
    return `${goes} Its antifreeze bursts nothing down to ${at}, and ${zone} gets colder.`;
  return `${goes} What is left in it after draining is taken to break it once ${zone} has been at or below ${at} for ${hours} h.`;
}

function spared(view: ExplainView): string {
  const [nearest] = nearestToLimit(view);
  if (nearest === undefined)
    return 'No part holds water that could break it, and this cold does nothing to what is left in the rest.';
  const used = shareUsed(nearest);
  if (used < 0.005) return 'No part takes any of the cold, so nothing is damaged.';
  if (used >= 1)
    return `The ${nearest.label} ${verb(nearest.label, 'is', 'are')} blocked by ice already. ${budget(nearest, view)}`;
  return `Nothing is damaged. Nearest to its limit is the ${nearest.label}: ${uncapital(budget(nearest, view))} At most ${percent(used)} is used, on ${near(nearest.mostUsedAt, view)}.`;
}

/** Ice with room to grow into closes the way and breaks nothing. */
function harmless({ answer }: ExplainView): string {
  const labels = answer.parts
    .filter((part) => part.headroom && shareUsed(part) >= 1)
    .map(({ label }) => label);
  return labels.length === 0
    ? ''
    : ` Ice also closes these, and breaks nothing, since it has room to grow into: ${labels.join(', ')}.`;
}

function budget(part: PartAnswer, view: ExplainView): string {
  const can = `It hangs ${zoneWords(part.zone)} and can take ${cold(part.budgetKelvinHours.blocked, view)} of cold in still air until ice blocks it`;
  return isInWind(part) ? `${can}, less in wind.` : `${can}.`;
}

/** A conductance that the wind changes is given by hour. */
function isInWind({ conductanceWPerK }: PartAnswer): boolean {
  return typeof conductanceWPerK !== 'number';
}

export function percent(share: number): string {
  return `${Math.min(100, Math.round(100 * share))} %`;
}

/** The air around the leading part against that outside, and the unit's other zones, when it is coldest. */
function shelter(view: ExplainView): string {
  const { zonesC, time } = view.answer.hours;
  const hour = coldestOutside(view);
  const outside = zonesC['outside']?.[hour];
  const leading = partOf(view.answer.firstDamage?.part, view) ?? nearestToLimit(view)[0];
  const own = zonesC[leading?.zone ?? 'outside']?.[hour];
  if (outside === undefined || own === undefined || leading === undefined) return '';
  const gain = own - outside;
  const when = `When it is coldest outside (${degrees(outside, view)}, ${near(time[hour] ?? '', view)})`;
  const worth =
    gain < 0.05
      ? `nothing shelters the ${leading.label}: it is as cold around it.`
      : `it is ${degrees(own, view)} around the ${leading.label}: its shelter is worth ${formatDifference(gain, view.display.temperature)}.`;
  const others = Object.entries(zonesC)
    .filter(([zone, values]) => zone !== 'outside' && zone !== leading.zone && values[hour] !== undefined)
    .map(([zone, values]) => `${zoneName(zone)} ${degrees(values[hour], view)}`);
  return `${when} ${worth}${others.length === 0 ? '' : ` Elsewhere: ${others.join(', ')}.`}`;
}
