import { formatLocal } from '../quantity/local-time.ts';
import { actionAnswer } from './answer-sections.ts';
import { paragraph, section } from './body.ts';
import type { Section, Told } from './body.ts';
import { pointSection, workPoints } from './points.ts';
import { measuresWords } from './measures.ts';
import { jobOf } from './procedure.ts';
import type { Job } from './procedure.ts';
import { cautions, figures, howTo, placeTimeRows, shedRows, suspectNote } from './sections.ts';
import { circuitsOf, methodOf } from './times.ts';
import { actionWords } from './words.ts';

/** The messages that ask for work: act, last-call, worse, late, unreached. Cautions stand right before the steps. */

function adviceOutline(told: Told): readonly (Section | null)[] {
  const job = jobOf(told.notice.action, methodOf(told));
  return [...advicePoints(told), cautions(told, job), howTo(told, job), actionAnswer(told)];
}

/** Everything of an advice that is read before the work begins. */
function advicePoints(told: Told): readonly (Section | null)[] {
  const points = { ...workPoints(told), before: [...shedRows(told), ...placeTimeRows(told)] };
  return [suspectNote(told), pointSection(told, points), figures(told)];
}

export function lastCallOutline(told: Told): readonly (Section | null)[] {
  const note = isBegun(told)
    ? 'What was said to be done so far is not enough for this cold. If more was done, say so and these messages stop.'
    : 'Nobody has said that it is done. If it is done, say so and these messages stop.';
  const more = moreTimeWords(told);
  const lines = [
    ...(more === '' ? [] : [paragraph(more)]),
    paragraph(`The time to start by is nearly up. ${note}`),
  ];
  return [section(null, lines), ...adviceOutline(told)];
}

/** Whoever has drained it, or filled part of it, has said something. */
function isBegun(told: Told): boolean {
  return circuitsOf(told) !== null || /\b(drained|winterized)\b/.test(told.facts.waterState);
}

/** Asked for once more, with another time: those who let the first one pass hear what has become of it. */
export function actOutline(told: Told): readonly (Section | null)[] {
  return [section(null, [paragraph(moreTimeWords(told))]), ...adviceOutline(told)];
}

function moreTimeWords({ notice, facts, reader }: Told): string {
  const before = notice.previous?.startBy ?? null;
  if (before === null || notice.startBy === null || before >= notice.startBy) return '';
  const then = formatLocal(before, reader.timeZone);
  if (before > facts.asOf) return `There is more time than was said before: that was until ${then}.`;
  const harmed = facts.suspect || facts.alreadyDamaged;
  return `The time to start by that was said before, ${then}, has passed${harmed ? '' : ', and by the computation nothing has come to harm'}. This is the time for the cold that may still come.`;
}

export function worseOutline(told: Told): readonly (Section | null)[] {
  return [section(null, [paragraph(changeWords(told))]), ...adviceOutline(told)];
}

function changeWords(told: Told): string {
  const { notice, reader } = told;
  const by = (startBy: number | null): string =>
    startBy === null ? '' : `, start by ${formatLocal(startBy, reader.timeZone)}`;
  const now = `Now: ${actionWords(notice.action, methodOf(told), told.facts.measures)}${by(notice.startBy)}.`;
  if (notice.previous === null) return `${now} This takes the place of what you were told before.`;
  const before = `Before: ${actionWords(notice.previous.action, null)}${by(notice.previous.startBy)}.`;
  const added = addedWords(told);
  return added === null ? `${before} ${now}` : `${before} ${now} ${added}`;
}

/** Keeping it warm takes more than before; null: it does not, or another action. */
function addedWords({ notice: { action, previous }, facts: { measures } }: Told): string | null {
  if (previous?.action !== action) return null;
  const asked = previous.measures ?? [];
  const added = measures.filter((measure) => !asked.includes(measure));
  return asked.length === 0 || added.length === 0 ? null : `New is: ${measuresWords(added)}.`;
}

/** Who was not reached, and why not, before what they were to be told. */
export function unreachedOutline(told: Told): readonly (Section | null)[] {
  const items = (told.facts.unreached ?? []).map(({ name, error }) => {
    const why = error === null ? 'no way out took the message' : error.replace(/\.$/, '');
    return `${name}: ${why}.`;
  });
  return [section(null, [{ kind: 'list', items }]), ...adviceOutline(told)];
}

export function lateOutline(told: Told): readonly (Section | null)[] {
  const job = jobOf(told.notice.action, methodOf(told));
  return [...advicePoints(told), ...lateWork(told, job), actionAnswer(told)];
}

/** Heat first where heat is the advice; otherwise what empties the lines soonest, then the rest of the job. */
function lateWork(told: Told, job: Job | null): readonly (Section | null)[] {
  if (job === null) return [cautions(told, 'late'), howTo(told, 'late')];
  if (circuitsOf(told) !== null) return [cautions(told, job), howTo(told, job)];
  if (job === 'keep-warm') {
    const bridge = 'The heat cannot be had soon? Then save what can be saved without it.';
    return [
      cautions(told, 'late'),
      extraCautions(told, job),
      howTo(told, job),
      section('If it cannot be kept warm', [paragraph(bridge)]),
      howTo(told, 'late'),
    ];
  }
  const bridge =
    'Go on with the whole job. What is done already is done; the water heater has no water left to cool it, so it cools by itself, for many hours, before it is opened.';
  return [
    cautions(told, 'late'),
    howTo(told, 'late'),
    section('Then, as long as nothing has frozen', [paragraph(bridge)]),
    extraCautions(told, job),
    howTo(told, job),
  ];
}

/** The cautions of the whole job that the ones for being late have not said. */
function extraCautions(told: Told, job: Job): Section | null {
  const said = new Set(blockItems(cautions(told, 'late')));
  const items = blockItems(cautions(told, job)).filter((item) => !said.has(item));
  return section('Cautions for the whole job', [{ kind: 'list', items }]);
}

function blockItems(from: Section | null): readonly string[] {
  return (from?.blocks ?? []).flatMap((block) => (block.kind === 'list' ? block.items : []));
}
