/** The scores of a place's forecasts for a terminal of 80 columns. */
import Table from 'cli-table3';
import type { ScoreAnswer } from '../app/score-answer.ts';
import { wrap } from '../message/wrap.ts';
import { formatDifference, formatTemperature, type TemperatureUnit } from '../quantity/temperature.ts';

type Lead = ScoreAnswer['forecasts'][number];
type Advice = ScoreAnswer['advice'][number];

const COLUMNS = 80;

/** With the borders between them these make 80. */
const WIDTHS = [10, 10, 10, 10, 10, 11, 11];

const TRUTH_WORDS: Readonly<Record<Lead['truth'], string>> = {
  readings: 'readings at the place',
  station: 'the public station near it',
  archive: 'the archive, which is computed and not measured',
};

/** Fewer days say nothing of how often something comes. */
const DAYS_TO_SAY = 10;

export function scoreText(answer: ScoreAnswer, unit: TemperatureUnit): string {
  const tables = new Map<string, Lead[]>();
  for (const lead of answer.forecasts) {
    const key = `${lead.source} ${lead.truth}`;
    tables.set(key, [...(tables.get(key) ?? []), lead]);
  }
  const pieces = [
    paragraph(`${answer.label}: how good its forecasts and its advice were.`),
    ...(tables.size === 0 ? [paragraph(NOTHING_YET)] : []),
    ...[...tables.values()].map((leads) => ofOneTruth(leads, unit)),
    ...(tables.size === 0 ? [] : [NOTES.map(paragraph).join('\n')]),
    ...(answer.advice.length === 0 ? [] : [answer.advice.map((of) => paragraph(adviceWords(of))).join('\n')]),
    ...remarks(answer).map(paragraph),
  ];
  return `${pieces.join('\n\n')}\n`;
}

const NOTHING_YET =
  'No forecast is scored yet. What forecasts say is kept from the first round on, and is scored once readings, a station or the archive tell what came.';

const NOTES = [
  'Bias: forecast less what was measured; above 0 the forecast is too warm. Error: root mean square. CRPS: the error of all that the forecast gave a chance to.',
  'Skill: of the chance that an hour is below freezing, and at or below the lower one. 1 is perfect, 0 no better than giving the same chance every hour, — where it always or never came.',
  'Hours of a day go together: fewer than about 30 days say little.',
];

function ofOneTruth(leads: readonly Lead[], unit: TemperatureUnit): string {
  const [first] = leads;
  if (first === undefined) return '';
  const days = leads.flatMap(({ firstDay, lastDay }) => [firstDay, lastDay]).toSorted();
  const table = new Table({
    head: heads(unit),
    colWidths: WIDTHS,
    wordWrap: true,
    style: { head: [], border: [] },
  });
  for (const lead of leads) table.push(row(lead, unit));
  const title = `${first.source} against ${TRUTH_WORDS[first.truth]}, ${days[0]} to ${days.at(-1)}:`;
  return [paragraph(title), table.toString(), ...reliability(leads, unit).map(paragraph)].join('\n');
}

function heads(unit: TemperatureUnit): string[] {
  const skills = [`Skill at ${formatTemperature(0, unit)}`, `Skill at ${formatTemperature(-4, unit)}`];
  return ['Days ahead', 'Days scored', 'Bias', 'Error', 'CRPS', ...skills];
}

function row(lead: Lead, unit: TemperatureUnit): string[] {
  const difference = (kelvin: number | null): string =>
    kelvin === null ? '—' : formatDifference(kelvin, unit);
  return [
    String(lead.leadDay),
    String(lead.days),
    `${sign(lead.biasK)}${difference(lead.biasK)}`,
    difference(lead.rmseK),
    difference(lead.crpsK),
    skill(lead.below0.skill),
    skill(lead.atOrBelowMinus4.skill),
  ];
}

function sign(value: number | null): string {
  if (value === null || value === 0) return '';
  return value < 0 ? '−' : '+';
}

function skill(value: number | null): string {
  return value === null ? '—' : `${value < 0 ? '−' : ''}${Math.abs(value).toFixed(2)}`;
}

/** Of tomorrow's chances, or of the next lead day's that is there. */
function reliability(leads: readonly Lead[], unit: TemperatureUnit): string[] {
  const lead = leads.find(({ leadDay }) => leadDay >= 1);
  if (lead === undefined) return [];
  const ahead = lead.leadDay === 1 ? 'A day' : `${lead.leadDay} days`;
  const percent = (share: number | null): string =>
    share === null ? 'unknown' : `${Math.round(100 * share)} %`;
  return lead.below0.tenths
    .filter(({ days }) => days >= DAYS_TO_SAY)
    .map(
      ({ from, to, meanChance, frequency, n, days }) =>
        `${ahead} ahead, chances of ${Math.round(100 * from)} to ${percent(to)} that it is below ${formatTemperature(0, unit)}: ${percent(meanChance)} on average; so it was in ${percent(frequency)} of ${n} hours on ${days} days.`,
    );
}

function remarks(answer: ScoreAnswer): string[] {
  const { doubtedReadings, doubts, missing, damaged, attributions } = answer;
  const blocks = [
    doubtedReadings === 0 ? [] : [`Readings that are not believed: ${doubtedReadings}.`, ...doubts],
    missing,
    damaged.length === 0 ? [] : [`Cannot be read and is left out: ${damaged.join('; ')}.`],
    attributions.map((attribution) => `${attribution}.`),
  ];
  return blocks.filter((sentences) => sentences.length > 0).map((sentences) => sentences.join(' '));
}

function adviceWords({
  label,
  nights,
  hits,
  misses,
  falseAlarms,
  correctRejections,
  leftOut,
}: Advice): string {
  const left = [
    [leftOut.withoutTruth, 'too little is known of the weather'],
    [leftOut.withoutAdvice, 'no advice was in force'],
    [leftOut.afterHarm, 'cold had done its harm before'],
    [leftOut.ahead, 'the warning was of a later night'],
  ] as const;
  const why = left.filter(([n]) => n > 0).map(([n, reason]) => `${n} where ${reason}`);
  const without = why.length === 0 ? '' : ` Left out: ${why.join(', ')}.`;
  if (nights === 0) return `${label}: no night is scored yet.${without}`;
  return `${label}, nights scored: ${nights}. Of ${hits + misses} that would have harmed it, ${hits} had been warned of and ${misses} missed. Of ${falseAlarms + correctRejections} that would not, ${falseAlarms} had been warned of for nothing.${without}`;
}

function paragraph(text: string): string {
  return wrap(text, { first: '', rest: '', width: COLUMNS });
}
