import { formatLocal } from '../quantity/local-time.ts';
import { paragraph, section } from './body.ts';
import type { Section, Told } from './body.ts';
import { jobOf } from './procedure.ts';
import type { Job } from './procedure.ts';
import {
  actionAnswer,
  cautions,
  dangerRows,
  figures,
  howTo,
  placeTimeRows,
  suspectNote,
  why,
} from './sections.ts';
import { circuitsOf, methodOf } from './times.ts';
import { actionWords } from './words.ts';

/** The messages that ask for work: act, last-call, worse, late. */

export function adviceOutline(told: Told): readonly (Section | null)[] {
  return [figures(told, [...placeTimeRows(told), ...dangerRows(told)]), ...adviceRest(told)];
}

/** Everything of an advice below its figures. */
function adviceRest(told: Told): readonly (Section | null)[] {
  const job = jobOf(told.notice.action, methodOf(told));
  return [suspectNote(told), why(told), howTo(told, job), actionAnswer(told), cautions(told, job)];
}

export function lastCallOutline(told: Told): readonly (Section | null)[] {
  const note =
    'The time to start by is nearly up, and nobody has said that it is done. If it is done, say so and these messages stop.';
  return [section(null, [paragraph(note)]), ...adviceOutline(told)];
}

export function worseOutline(told: Told): readonly (Section | null)[] {
  return [section('What changed', [paragraph(changeWords(told))]), ...adviceOutline(told)];
}

function changeWords(told: Told): string {
  const { notice, reader } = told;
  const by = (startBy: number | null): string =>
    startBy === null ? '' : `, start by ${formatLocal(startBy, reader.timeZone)}`;
  const now = `Now: ${actionWords(notice.action, methodOf(told))}${by(notice.startBy)}.`;
  if (notice.previous === null) return `${now} This takes the place of what you were told before.`;
  const before = `Before: ${actionWords(notice.previous.action, null)}${by(notice.previous.startBy)}.`;
  return `${before} ${now}`;
}

export function lateOutline(told: Told): readonly (Section | null)[] {
  const job = jobOf(told.notice.action, methodOf(told));
  return [
    figures(told, [...placeTimeRows(told), ...dangerRows(told)]),
    suspectNote(told),
    ...lateWork(told, job),
    actionAnswer(told),
    ...lateCautions(told, job),
    why(told),
  ];
}

/** Heat first where heat is the advice; otherwise what empties the lines soonest, then the rest of the job. */
function lateWork(told: Told, job: Job | null): readonly (Section | null)[] {
  if (job === 'keep-warm') {
    const bridge = 'The heat cannot be had soon? Then save what can be saved without it.';
    return [howTo(told, job), section('If it cannot be kept warm', [paragraph(bridge)]), howTo(told, 'late')];
  }
  if (job === null) return [howTo(told, 'late')];
  if (circuitsOf(told) !== null) return [howTo(told, job)];
  const bridge = 'Go on with the whole job. What is done already is done.';
  return [
    howTo(told, 'late'),
    section('Then, as long as nothing has frozen', [paragraph(bridge)]),
    howTo(told, job),
  ];
}

function lateCautions(told: Told, job: Job | null): readonly (Section | null)[] {
  if (job === null) return [cautions(told, 'late')];
  if (circuitsOf(told) !== null) return [cautions(told, job)];
  return [cautions(told, 'late'), extraCautions(told, job)];
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
