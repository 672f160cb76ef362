/** What a place's readings say of its forecasts: which are believed, and what they teach. Pure. */
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { TemperatureUnit } from '../quantity/temperature.ts';
import { learn, localRecord, pairsOf } from '../verify/bias.ts';
import { judgeSensor, type DoubtSummary } from '../verify/sensor.ts';
import { spreadRecords } from '../verify/spread.ts';
import { nightOf, type Spot } from '../weather/local-correction.ts';
import type { LocalRecord } from '../weather/local-record.ts';
import type { SourcedOutlook } from '../weather/outlook.ts';
import type { Reading } from '../weather/reading.ts';
import type { Lesson, PlaceKnowledge } from './knowledge.ts';

export interface LearnQuestion {
  readonly outlook: SourcedOutlook;
  readonly spot: Spot;
  readonly knowledge: PlaceKnowledge;
  readonly now: EpochSeconds;
  readonly temperature: TemperatureUnit;
}

export interface Learned {
  /** To be kept. */
  readonly lesson: Lesson;
  /** To be used; null: nothing was learned yet. */
  readonly record: LocalRecord | null;
  /** What is wrong with the sensor. */
  readonly doubts: readonly DoubtSummary[];
  /** What became of an older lesson, in full sentences. */
  readonly remarks: readonly string[];
}

/** Null: the place has no readings of its own air, and never had. */
export function learnFrom(question: LearnQuestion): Learned | null {
  const { outlook, knowledge, now } = question;
  const { before, remarks } = lessonBefore(question);
  const outside = ownAir(knowledge.readings);
  if (outside.length === 0 && before === null) return null;
  const verdict = judged(question, outside);
  const doubted = outside.filter((_, i) => verdict.doubts[i] !== null);
  const believed = outside.filter((_, i) => verdict.doubts[i] === null);
  const passed = believed.filter(({ at }) => at <= now);
  const evidence = learn(before?.evidence ?? null, {
    pairs: pairsOf({ ...ownHours(outlook), weight: tellingOf(question) }, passed),
    doubted: doubted.map(({ at }) => at),
  });
  const lesson = withSpread(question, { before, evidence });
  const record = localRecord(evidence, lesson.spread, now);
  return { lesson, record, doubts: verdict.summary, remarks };
}

/** Of the place as it is now: what was taught under another lie or height is about another correction. */
function lessonBefore({ outlook, spot, knowledge }: LearnQuestion): {
  readonly before: Lesson | null;
  readonly remarks: readonly string[];
} {
  const before = knowledge.lessons.get(outlook.source) ?? null;
  if (before === null || before.taughtUnder === nameOf(spot)) return { before, remarks: [] };
  const remarks = [
    `What readings taught about ${outlook.source} is begun anew, since the place’s lie, cold spot, height or coordinates were changed.`,
  ];
  return { before: null, remarks };
}

function nameOf({ latitude, longitude, lie, coldSpotK, elevationM }: Spot): string {
  return [latitude, longitude, lie, coldSpotK, elevationM ?? 'unknown'].join(' ');
}

function ownAir(readings: readonly Reading[]): readonly Reading[] {
  return readings.filter(({ zone }) => zone === 'outside');
}

/** What it said itself: hours kept of another source, and those in between, say nothing of this one. */
function ownHours({ source, stretches, firstHour, untaught: { meanC } }: SourcedOutlook) {
  const own = stretches.filter(
    (s) => s.source === source && s.what !== 'unknown' && s.what !== 'interpolated',
  );
  const isOwn = (at: EpochSeconds): boolean => own.some(({ from, to }) => at >= from && at <= to);
  return { firstHour, temperatureC: meanC.map((t, i) => (isOwn(firstHour + i * HOUR_S) ? t : Number.NaN)) };
}

function untaught({ firstHour, untaught: { meanC } }: SourcedOutlook) {
  return { firstHour, temperatureC: meanC };
}

/** By hour, how much a reading tells of what nights are corrected for. */
function tellingOf({ outlook: { firstHour, hours, untaught: sky }, spot }: LearnQuestion): Float64Array {
  return nightOf(spot, firstHour, hours).darkness.map(
    (dark, i) => 1 - dark * (1 - (sky.clear[i] ?? 1) * (sky.calm[i] ?? 1)),
  );
}

function judged({ outlook, spot, now, temperature }: LearnQuestion, readings: readonly Reading[]) {
  const night = nightOf(spot, outlook.firstHour, outlook.hours);
  return judgeSensor({
    readings,
    of: 'outside',
    forecast: untaught(outlook),
    night,
    clear: outlook.untaught.clear,
    now,
    unit: temperature,
  });
}

interface Taught {
  readonly before: Lesson | null;
  readonly evidence: Lesson['evidence'];
}

/** The spread is learned anew where the record was brought along for it, from readings that were believed. */
function withSpread({ knowledge, outlook, spot, now }: LearnQuestion, { before, evidence }: Taught): Lesson {
  const taughtUnder = nameOf(spot);
  const { spread = [], spreadAt = now } = before ?? {};
  if (knowledge.record === null) return { taughtUnder, evidence, spread, spreadAt };
  const believed = new Set(evidence.open.map(({ at }) => at));
  const readings = ownAir(knowledge.record.readings).filter(({ at }) => believed.has(at));
  const kept = knowledge.record.kept.filter(({ source }) => source === outlook.source);
  return { taughtUnder, evidence, spread: spreadRecords(kept, readings), spreadAt: now };
}
