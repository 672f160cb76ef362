import type { MessageKind } from '../decision/memory.ts';
import { plannedWords } from './planned.ts';
import { alertSection } from './alerts.ts';
import { isQuiet, type Body, type Section, type Told } from './body.ts';
import { leadOf } from './lead.ts';
import {
  actOutline,
  lastCallOutline,
  lateOutline,
  unreachedOutline,
  worseOutline,
} from './outline-advice.ts';
import { allClearOutline, fillAgainOutline, headsUpOutline } from './outline-calm.ts';
import { dumpByOutline, fillByOutline } from './outline-service.ts';
import { frozenOutline, noForecastOutline } from './outline-trouble.ts';
import { assumed, sources } from './sections.ts';

type Outline = (told: Told) => readonly (Section | null)[];

/**
 * What each kind of message says, in order: what to do and by when (the first line), how sure, why, what if not, what
 * else, the data and its age; then cautions, right before the steps that they belong to. Official warnings, what was
 * assumed and credits close every one.
 */
const OUTLINES: Readonly<Record<MessageKind, Outline>> = {
  act: actOutline,
  'last-call': lastCallOutline,
  worse: worseOutline,
  late: lateOutline,
  frozen: frozenOutline,
  'all-clear': allClearOutline,
  'no-forecast': noForecastOutline,
  'heads-up': headsUpOutline,
  'fill-again': fillAgainOutline,
  'fill-by': fillByOutline,
  'dump-by': dumpByOutline,
  unreached: unreachedOutline,
};

export function bodyOf(told: Told): Body {
  // That the forecast is back is not what a heads-up is about.
  const isAhead = told.notice.kind === 'heads-up' && plannedWords(told) !== null;
  const back = told.notice.forecastBack === true && isQuiet(told.notice) && !isAhead;
  const outline = back ? allClearOutline : OUTLINES[told.notice.kind];
  const sections = [...outline(told), alertSection(told), assumed(told), sources(told)];
  return { lead: leadOf(told), sections: sections.filter((one) => one !== null) };
}
