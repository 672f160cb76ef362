/** Hour by hour through the coldest stretch of the next days. */
import Table from 'cli-table3';
import { capital, zoneName } from '../message/words.ts';
import { HOUR_S } from '../quantity/instant.ts';
import { percent } from './explain-story.ts';
import {
  coldestHour,
  degrees,
  firstHourAhead,
  instantOf,
  items,
  near,
  nearestToLimit,
  partOf,
  sentences,
  type ExplainView,
  type PartAnswer,
} from './explain-view.ts';

/** How far ahead the coldest hour is looked for, and what is shown around it. */
const AHEAD_H = 72;
/** After the first damage, where that is further ahead. */
const DAMAGE_H = 24;
const BEFORE_H = 24;
const AFTER_H = 12;
const STEP_H = 3;
const SHOWN_PARTS = 3;
const LETTERS = 'ABC';

export function hours(view: ExplainView): string {
  const nearest = nearestToLimit(view).slice(0, SHOWN_PARTS);
  const leading = partOf(view.answer.firstDamage?.part, view) ?? nearest[0];
  const zone = leading === undefined || leading.zone === 'outside' ? null : leading.zone;
  const heated = view.answer.hours.furnaceW.some((watts) => watts > 0);
  const table = new Table({
    head: [
      'Time',
      'Outside',
      ...(zone === null ? [] : [capital(zoneName(zone))]),
      ...(heated ? ['Furnace'] : []),
      ...nearest.map((_, i) => LETTERS.charAt(i)),
    ],
    style: { head: [], border: [], compact: true },
  });
  const { time, zonesC, furnaceW } = view.answer.hours;
  for (const hour of stretch(view)) {
    table.push([
      near(time[hour] ?? '', view),
      degrees(zonesC['outside']?.[hour], view),
      ...(zone === null ? [] : [degrees(zonesC[zone]?.[hour], view)]),
      ...(heated ? [`${((furnaceW[hour] ?? furnaceW.at(-1) ?? 0) / 1000).toFixed(1)} kW`] : []),
      ...nearest.map((part) => taken(part, hour)),
    ]);
  }
  const legend = nearest.map((part, i) => `${LETTERS.charAt(i)}: ${part.label} (${zoneName(part.zone)})`);
  const heading = 'The coldest stretch of the next days, every third hour';
  const what = nearest.length === 0 ? ':' : ', with the cold taken of what each can take:';
  return [
    sentences(`${heading}${what}`),
    ...(legend.length === 0 ? [] : [items(legend)]),
    table.toString(),
  ].join('\n');
}

/** Every third hour, the coldest one and the first part's end among what is shown where they lie near enough. */
function stretch(view: ExplainView): readonly number[] {
  const { time, zonesC } = view.answer.hours;
  const now = firstHourAhead(view);
  const at = instantOf(view.answer.firstDamage?.at);
  const known = Number.isNaN(at) ? null : Math.floor((at - instantOf(time[0])) / HOUR_S);
  const until = Math.max(now + AHEAD_H, known === null ? 0 : known + DAMAGE_H);
  const coldest = coldestHour(zonesC['outside'] ?? [], { from: now, until });
  const damage = known ?? coldest;
  const from = Math.max(
    now,
    Math.min(coldest - BEFORE_H, Math.max(damage - 2 * STEP_H, coldest - 2 * BEFORE_H)),
  );
  const to = Math.min(time.length - 1, coldest + AFTER_H);
  const start = coldest - STEP_H * Math.floor((coldest - from) / STEP_H);
  return Array.from({ length: Math.floor((to - start) / STEP_H) + 1 }, (_, i) => start + i * STEP_H);
}

function taken(part: PartAnswer, hour: number): string {
  const used = part.usedKelvinHours[hour] ?? null;
  if (used === null) return 'empty';
  const share = used / part.budgetKelvinHours.blocked;
  return share >= 1 ? 'blocked' : percent(share);
}
