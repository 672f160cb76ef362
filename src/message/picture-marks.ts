/** What stands in the drawing beside its courses: nights, days, levels, marks and what each line is. */
import type { EpochSeconds } from '../quantity/instant.ts';
import { formatClock, formatLocal, localDays } from '../quantity/local-time.ts';
import { formatTemperature } from '../quantity/temperature.ts';
import type { Told } from './body.ts';
import type { CourseFacts } from './extra-facts.ts';
import { escapeHtml } from './html.ts';
import { DRAWING } from './palette.ts';
import { tenth, type Frame } from './picture-frame.ts';
import { shortened } from './plain.ts';
import { zoneName } from './words.ts';

/** DejaVu Sans: nearly so wide is a letter of 15 px, on average. */
const LETTER_WIDTH = 9.2;
const LABEL_LENGTH = 30;
const LABEL_HEIGHT = 20;
/** Day names nearer to each other than this run together. */
const DAY_WIDTH = 64;

export function nightsSvg({ x, from, to, top, bottom }: Frame, { nights }: CourseFacts): string {
  return nights
    .map(({ start, end }) => [Math.max(start, from), Math.min(end, to)] as const)
    .filter(([start, end]) => end > start)
    .map(
      ([start, end]) =>
        `<rect x="${x(start)}" y="${top}" width="${tenth(x(end) - x(start))}" height="${bottom - top}" fill="${DRAWING.night}"/>`,
    )
    .join('');
}

export function gridSvg({ ticks, left, right, unit }: Frame): string {
  return ticks
    .map(({ shown, y }, index, all) => {
      // Only the topmost says of which unit.
      const degree = index === all.length - 1 ? `°${unit}` : '°';
      const text = `${shown < 0 ? '−' : ''}${Math.abs(shown)}${degree}`;
      return `<path d="M${left} ${y}H${right}" stroke="${DRAWING.line}"/>${label(text, { x: left - 6, y: y + 5, anchor: 'end', fill: DRAWING.muted })}`;
    })
    .join('');
}

/** A tick where each day of the place begins, and its name in the middle of what is seen of it. */
export function daysSvg(frame: Frame, { facts: { place } }: Told): string {
  const { x, from, to, top, bottom, left, right } = frame;
  const days = localDays(from, to, place.timeZone);
  const ticks = days.map(({ at }) => `<path d="M${x(at)} ${top}V${bottom + 5}" stroke="${DRAWING.line}"/>`);
  const step = Math.ceil((DAY_WIDTH * days.length) / (right - left));
  const names = days
    .filter((_, index) => index % step === 0)
    .map(({ at, date }, _, all) => {
      const name = right - left > 104 * all.length ? date : date.split(' ').slice(0, 2).join(' ');
      const end = Math.min(to, at + 86_400);
      const middle = (x(at) + x(end)) / 2;
      const isRoom = x(end) - x(at) > LETTER_WIDTH * name.length + 4;
      return isRoom || step > 1
        ? label(name, { x: tenth(middle), y: bottom + 23, anchor: 'middle', fill: DRAWING.muted })
        : '';
    });
  const now = label('now', { x: left, y: bottom + 23, anchor: 'start', fill: DRAWING.muted });
  const first = days[0];
  return [...ticks, ...names, first === undefined || x(first.at) - left > 44 ? now : ''].join('');
}

/** Freezing always; the limit of drained lines or of antifreeze where it counts. */
export function levelsSvg(frame: Frame, { facts }: Told): string {
  const { unit } = frame;
  const { limit } = facts;
  const zero = formatTemperature(0, unit);
  const freezing = level(frame, 0, { text: `freezing, ${zero}`, colour: DRAWING.ink, dash: 'none' });
  if (limit?.kind !== 'cold' || limit.atC >= 0 || frame.y(limit.atC) > frame.bottom) return freezing;
  const long = limit.hours > 0 ? ` for ${Math.round(limit.hours)} h` : '';
  const text = `limit, ${formatTemperature(limit.atC, unit)}${long}`;
  const isBelow = frame.y(limit.atC) - frame.y(0) < LABEL_HEIGHT;
  return freezing + level(frame, limit.atC, { text, colour: DRAWING.limit, dash: '3 3', isBelow });
}

interface Level {
  readonly text: string;
  readonly colour: string;
  readonly dash: string;
  /** Its name stands below it: above is no room. */
  readonly isBelow?: boolean;
}

function level(frame: Frame, temperatureC: number, { text, colour, dash, isBelow = false }: Level): string {
  const { y, left, right } = frame;
  const at = y(temperatureC);
  const line = `<path d="M${left} ${at}H${right}" stroke="${colour}" stroke-width="1.4" stroke-dasharray="${dash}"/>`;
  return `${line}${label(text, { x: right - 4, y: at + (isBelow ? 16 : -5), anchor: 'end', fill: colour })}`;
}

/** When to begin, and when the first part is lost. */
export function marksSvg(frame: Frame, { facts, notice, reader }: Told, course: CourseFacts): string {
  const { firstDamageAt, firstPart } = facts;
  const clock = (at: EpochSeconds): string =>
    `${formatLocal(at, reader.timeZone).slice(0, 3)} ${formatClock(at, reader.timeZone)}`;
  const isLost = firstDamageAt !== null && isSeen(frame, firstDamageAt);
  const lost = isLost ? `${shortPart(firstPart ?? 'first part')} lost, ${clock(firstDamageAt)}` : null;
  const start =
    notice.startBy === null || !isSeen(frame, notice.startBy)
      ? ''
      : startMark(frame, notice.startBy, {
          text: `start by ${clock(notice.startBy)}`,
          below: lost === null || !isLost ? null : placed(frame, firstDamageAt, lost),
        });
  if (!isLost || lost === null) return start;
  const values = course.zone?.temperatureC ?? course.middleC;
  const valueC = valueAt(course.times, values, firstDamageAt);
  const dot =
    valueC === null
      ? ''
      : `<circle cx="${frame.x(firstDamageAt)}" cy="${frame.y(valueC)}" r="4.5" fill="${DRAWING.loss}" stroke="${DRAWING.paper}" stroke-width="1.5"/>`;
  return `${start}${lossMark(frame, firstDamageAt, lost)}${dot}`;
}

/** Where it hangs is left out where there is no room for it. */
function shortPart(part: string): string {
  if (part.length <= LABEL_LENGTH) return part;
  return shortened(part.split(/,| (?:at|behind|from|in|on|under)\b/)[0] ?? part, LABEL_LENGTH);
}

function isSeen({ from, to }: Frame, at: EpochSeconds): boolean {
  return at >= from && at <= to;
}

/** The name of a mark, and from where to where it reaches. */
interface Placed {
  readonly x: number;
  readonly anchor: 'start' | 'end';
  readonly left: number;
  readonly right: number;
}

/** Beside its line; what would stand out on either side is moved back in. */
function placed(frame: Frame, at: EpochSeconds, text: string): Placed {
  const x = frame.x(at);
  const width = LETTER_WIDTH * text.length;
  if (x + width + 6 <= frame.right)
    return { x: tenth(x + 5), anchor: 'start', left: x + 5, right: x + 5 + width };
  const left = x - 5 - width;
  if (left >= frame.left) return { x: tenth(x - 5), anchor: 'end', left, right: x - 5 };
  return { x: frame.left, anchor: 'start', left: frame.left, right: frame.left + width };
}

/** The names stand in a row each, so that neither runs over the other, and no line through either. */
const ROWS = { start: -26, loss: -7 } as const;
const ABOVE_BASE = 13;
const BELOW_BASE = 5;

function startMark(
  frame: Frame,
  at: EpochSeconds,
  { text, below }: { readonly text: string; readonly below: Placed | null },
): string {
  const x = frame.x(at);
  const y = frame.top + ROWS.start;
  const isCrossed = below !== null && x > below.left - 4 && x < below.right + 4;
  const from = y - ABOVE_BASE;
  const line = isCrossed
    ? `M${x} ${from}V${y + BELOW_BASE - 1}M${x} ${frame.top + ROWS.loss + BELOW_BASE}V${frame.bottom}`
    : `M${x} ${from}V${frame.bottom}`;
  return markSvg({ line, words: { ...placed(frame, at, text), y }, text, colour: DRAWING.accent });
}

function lossMark(frame: Frame, at: EpochSeconds, text: string): string {
  const x = frame.x(at);
  const y = frame.top + ROWS.loss;
  const words = placed(frame, at, text);
  const isCrossed = x > words.left && x < words.right;
  const line = `M${x} ${isCrossed ? y + BELOW_BASE : y - ABOVE_BASE}V${frame.bottom}`;
  return markSvg({ line, words: { ...words, y }, text, colour: DRAWING.loss });
}

interface Mark {
  readonly line: string;
  readonly words: Placed & { readonly y: number };
  readonly text: string;
  readonly colour: string;
}

function markSvg({ line, words: { x, y, anchor }, text, colour }: Mark): string {
  const drawn = `<path d="${line}" fill="none" stroke="${colour}" stroke-width="1.6"/>`;
  return `${drawn}${label(text, { x, y, anchor, fill: colour, bold: true })}`;
}

/** Linear between the hours. */
function valueAt(times: readonly EpochSeconds[], values: readonly number[], at: EpochSeconds): number | null {
  const next = times.findIndex((time) => time >= at);
  const [t1, v1] = [times[next], values[next]];
  if (t1 === undefined || v1 === undefined) return null;
  const [t0, v0] = [times[next - 1] ?? t1, values[next - 1] ?? v1];
  return t1 === t0 ? v1 : v0 + ((v1 - v0) * (at - t0)) / (t1 - t0);
}

export function legendSvg({ left }: Frame, { zone }: CourseFacts): string {
  const zoneText = zone === null ? null : shortened(zoneName(zone.id), LABEL_LENGTH);
  const swatch = (x: number, colour: string, dash: string): string =>
    `<path d="M${x} 17H${x + 22}" stroke="${colour}" stroke-width="2.4" stroke-dasharray="${dash}"/>`;
  const air = `<rect x="${left}" y="9" width="22" height="16" fill="${DRAWING.band}"/>${swatch(left, DRAWING.accent, 'none')}${label('air outside; 8 in 10 lie in the band', { x: left + 28, y: 22, anchor: 'start', fill: DRAWING.ink })}`;
  if (zoneText === null) return air;
  const x = left + 342;
  return `${air}${swatch(x, DRAWING.zone, '6 3')}${label(zoneText, { x: x + 28, y: 22, anchor: 'start', fill: DRAWING.ink })}`;
}

/** The coldest that is named lies behind what is drawn: that it comes, and when, stands in the corner. */
export function laterSvg({ right, bottom, to, unit }: Frame, { facts, reader }: Told): string {
  const later = laterLow(facts.lowestOutside, to);
  if (later === null) return '';
  const at = formatLocal(later.at, reader.timeZone).split(',')[0] ?? '';
  const text = `lowest later: ${formatTemperature(later.temperatureC, unit)}, ${at}`;
  return label(text, { x: right - 4, y: bottom - 8, anchor: 'end', fill: DRAWING.accent });
}

/** Null: it is drawn, or not known. */
export function laterLow<T extends { readonly at: EpochSeconds }>(
  lowest: T | null,
  to: EpochSeconds,
): T | null {
  return lowest === null || lowest.at <= to ? null : lowest;
}

interface Label {
  readonly x: number;
  readonly y: number;
  readonly anchor: 'start' | 'middle' | 'end';
  readonly fill: string;
  readonly bold?: boolean;
}

function label(text: string, { x, y, anchor, fill, bold = false }: Label): string {
  const weight = bold ? ' font-weight="bold"' : '';
  return `<text x="${x}" y="${tenth(y)}" text-anchor="${anchor}" fill="${fill}"${weight} stroke="${DRAWING.paper}" stroke-width="3" paint-order="stroke">${escapeHtml(text)}</text>`;
}
