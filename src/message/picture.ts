/** The forecast against what the unit can take, as a drawing: what it shows the text says as well. */
import { DAY_S, HOUR_S } from '../quantity/instant.ts';
import { formatTemperature } from '../quantity/temperature.ts';
import type { Told } from './body.ts';
import type { CourseFacts } from './extra-facts.ts';
import type { Picture } from './message.ts';
import { bandPath, frameOf, linePath, type Frame } from './picture-frame.ts';
import {
  daysSvg,
  gridSvg,
  laterLow,
  laterSvg,
  legendSvg,
  levelsSvg,
  marksSvg,
  nightsSvg,
} from './picture-marks.ts';
import { DRAWING } from './palette.ts';
import { nearForReader } from './times.ts';
import { zoneWords } from './words.ts';

/** So much is shown behind the last thing that matters. */
const AFTER_S = 12 * HOUR_S;

/** A named low as near as this is drawn; farther ahead it would press together the days that work is planned for. */
const LOW_WITHIN_S = 6 * DAY_S;

/** Nearer to the air than this all along the zone's line is hidden by it, and shows nothing [K]. */
const HIDDEN_K = 0.3;

/** Null: there is no forecast to draw. */
export function pictureOf(told: Told): Picture | null {
  const course = shown(told);
  if (course === null) return null;
  const frame = frameOf(course, told);
  const body = [
    nightsSvg(frame, course),
    gridSvg(frame),
    daysSvg(frame, told),
    path(bandPath(frame, course), { fill: DRAWING.band }),
    zoneLine(frame, course),
    path(linePath(frame, course.times, course.middleC), { stroke: DRAWING.accent, width: 2.2 }),
    levelsSvg(frame, told),
    marksSvg(frame, told, course),
    laterSvg(frame, told),
    legendSvg(frame, course),
  ];
  return { svg: page(frame, body.join('')), alternative: alternativeOf(told, course) };
}

function page({ width, height }: Frame, body: string): string {
  const box = `width="${width}" height="${height}"`;
  return `<svg xmlns="http://www.w3.org/2000/svg" ${box} viewBox="0 0 ${width} ${height}" font-family="DejaVu Sans" font-size="15" fill="${DRAWING.ink}"><rect ${box} fill="${DRAWING.paper}"/>${body}<rect x=".5" y=".5" width="${width - 1}" height="${height - 1}" fill="none" stroke="${DRAWING.line}"/></svg>`;
}

function zoneLine(frame: Frame, { times, zone }: CourseFacts): string {
  if (zone === null) return '';
  return path(linePath(frame, times, zone.temperatureC), { stroke: DRAWING.zone, width: 1.8, dash: '6 3' });
}

interface Stroke {
  readonly fill?: string;
  readonly stroke?: string;
  readonly width?: number;
  readonly dash?: string;
}

function path(d: string, { fill = 'none', stroke, width, dash }: Stroke): string {
  const line =
    stroke === undefined ? '' : ` stroke="${stroke}" stroke-width="${width ?? 1}" stroke-linejoin="round"`;
  return `<path d="${d}" fill="${fill}"${line}${dash === undefined ? '' : ` stroke-dasharray="${dash}"`}/>`;
}

/** To the end of the window for which advice is given, and on to what lies beyond it and is spoken of. */
function shown({ facts, notice }: Told): CourseFacts | null {
  const { course } = facts;
  if (course === undefined || course === null) return null;
  const window = facts.asOf + facts.windowHours * HOUR_S;
  const wanted = notice.kind === 'heads-up' ? Infinity : window;
  const lowAt = facts.lowestOutside?.at ?? 0;
  const low = lowAt <= facts.asOf + LOW_WITHIN_S ? lowAt : 0;
  const end = Math.max(
    wanted,
    ...[facts.firstDamageAt ?? 0, notice.startBy ?? 0, low].map((at) => at + AFTER_S),
  );
  const count = course.times.filter((at) => at <= end).length;
  if (count < 2) return null;
  const cut = (values: readonly number[]): readonly number[] => values.slice(0, count);
  return {
    times: cut(course.times),
    middleC: cut(course.middleC),
    lowC: cut(course.lowC),
    highC: cut(course.highC),
    zone: seenZone(course.zone, count, course.middleC),
    nights: course.nights,
  };
}

/** Null: there is none, or it is as cold there as outside. */
function seenZone(zone: CourseFacts['zone'], count: number, middleC: readonly number[]): CourseFacts['zone'] {
  if (zone === null) return null;
  const temperatureC = zone.temperatureC.slice(0, count);
  const isSeen = temperatureC.some((value, i) => Math.abs(value - (middleC[i] ?? Number.NaN)) >= HIDDEN_K);
  return isSeen ? { id: zone.id, temperatureC } : null;
}

/** One sentence. */
function alternativeOf(told: Told, course: CourseFacts): string {
  const { facts, reader } = told;
  const lowest = Math.min(...course.middleC);
  const at = course.times[course.middleC.indexOf(lowest)] ?? facts.asOf;
  const span = `from ${nearForReader(course.times[0] ?? at, told)} to ${nearForReader(course.times.at(-1) ?? at, told)}`;
  const low = `lowest ${formatTemperature(lowest, reader.temperature)}, ${nearForReader(at, told)}`;
  const zone =
    course.zone === null
      ? ''
      : ` and ${zoneWords(course.zone.id)}, lowest ${formatTemperature(Math.min(...course.zone.temperatureC), reader.temperature)}`;
  const lost =
    facts.firstDamageAt === null
      ? ''
      : `; the ${facts.firstPart ?? 'first part'} would be lost about ${nearForReader(facts.firstDamageAt, told)}`;
  const later = laterLow(facts.lowestOutside, course.times.at(-1) ?? at);
  const behind =
    later === null
      ? ''
      : `; lowest later, ${formatTemperature(later.temperatureC, reader.temperature)}, ${nearForReader(later.at, told)}`;
  return `Temperatures forecast outside ${span}, ${low}${zone}${lost}${behind}.`;
}
