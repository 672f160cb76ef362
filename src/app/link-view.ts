/** What the page behind a link shows: what the answer means, what follows from it, and how the unit stands. */
import type { Config, PersonConfig, UnitConfig } from '../config/config.ts';
import { answerMeaning } from '../message/answer-meaning.ts';
import { circuitWords, circuitsWords, traps } from '../message/circuits.ts';
import type { AnswerCode } from '../message/message.ts';
import { capital, waterStateWords } from '../message/words.ts';
import { isTank, isTrap } from '../model/circuit-names.ts';
import { circuitState, type UnitWater } from '../model/water-state.ts';
import { formatLocal } from '../quantity/local-time.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { UnitRecord } from '../store/store.ts';
import type { FilledIn } from '../web/answer-form.ts';
import type { AnswerForm, AnswerView, Field } from '../web/answer-view.ts';
import { heldWater } from './held-water.ts';
import { isMainLine } from './marked-water.ts';
import { canHold, circuitsIn } from './mark-request.ts';
import { markCommandOf, usedUnit } from './link-request.ts';
import { saidWords } from './said.ts';

export interface Viewed {
  readonly config: Config;
  readonly unit: UnitConfig;
  readonly person: PersonConfig;
  readonly answer: AnswerCode;
  /** Null: nothing was ever written of it. */
  readonly record: UnitRecord | null;
  readonly now: EpochSeconds;
}

/** A page with its button. */
export function askingView(viewed: Viewed, filledIn: FilledIn | null): AnswerView {
  const { means, follows } = answerMeaning(viewed.answer, viewed.person.words);
  const view = standingView(viewed);
  return {
    ...view,
    rows: [
      { label: 'What you say', texts: [means] },
      { label: 'What follows', texts: [follows] },
      ...view.rows,
    ],
    form: formOf(viewed, filledIn),
  };
}

/** A page without one: how it stands, and nothing to press. */
export function standingView(viewed: Viewed): AnswerView {
  const { unit, person, answer } = viewed;
  return {
    title: answerMeaning(answer, person.words).title,
    unit: unit.label,
    notes: [],
    rows: [{ label: 'As it stands', texts: stateWords(viewed) }],
    form: null,
    question: null,
    command: null,
  };
}

/** Where the link changes nothing, and how to say it all the same. */
export function refusedView(viewed: Viewed, why: string): AnswerView {
  const { unit, answer, person } = viewed;
  return {
    ...standingView(viewed),
    notes: [{ kind: 'wrong', text: why }],
    command: markCommandOf(unit.id, answer, person.id),
  };
}

/** What was said, with what was filled in; the title of the page that says it was kept. */
export function keptTitle(
  { answer, person }: Pick<Viewed, 'answer' | 'person'>,
  withoutColour: readonly string[],
): string {
  if (withoutColour.length === 0) return answerMeaning(answer, person.words).title;
  const where = circuitsWords(withoutColour);
  return withoutColour.some(isMainLine)
    ? `Not winterized: no colour at ${where}`
    : `Winterized, but not ${where}`;
}

/** The three ways, for whoever did not say which. */
export function howQuestion({ person }: Viewed): NonNullable<AnswerView['question']> {
  const codes = ['winterized-colour', 'winterized-air-traps', 'winterized-air'] as const;
  return {
    text: 'How was it winterized?',
    answers: codes.map((code) => ({ answer: code, label: answerMeaning(code, person.words).title })),
  };
}

function stateWords(viewed: Viewed): readonly string[] {
  const { config, unit, person, record, now } = viewed;
  if (record?.damaged === true)
    return ['What the database holds of it cannot be read: it is unknown, and taken as in use.'];
  const { water } = heldWater(unit, record, now);
  const suspect = (record?.memory.suspectSince ?? null) !== null;
  const said = saidWords(config, { unit, record: record ?? {}, timeZone: person.timeZone }, now);
  return [
    `${unit.label}: ${waterStateWords(water.all.state)}${sinceWords(viewed, water)}.`,
    ...otherwise(unit, water),
    ...(water.keptWarm === true ? ['Somebody keeps it warm.'] : []),
    ...(suspect ? ['It may have frozen, and nobody has checked it since. Do not pressurise it.'] : []),
    ...said,
  ];
}

/** Since when, and by whose word. */
function sinceWords({ config, person, record }: Viewed, water: UnitWater): string {
  const { since, by } = water.all;
  if (since === null) return '';
  const name = config.people.find(({ id }) => id === by)?.name;
  const basis = record?.answers?.findLast((a) => a.at === since && a.person === by)?.basis ?? 'said';
  const who = name === undefined ? '' : `, ${basis} by ${name}`;
  return ` since ${formatLocal(since, person.timeZone)}${who}`;
}

function otherwise(unit: UnitConfig, water: UnitWater): readonly string[] {
  const whole = waterStateWords(water.all.state);
  const groups = new Map<string, string[]>();
  for (const circuit of circuitsIn(unit)) {
    const words = waterStateWords(circuitState(water, circuit).state);
    if (words !== whole) groups.set(words, [...(groups.get(words) ?? []), circuit]);
  }
  return [...groups].map(([words, circuits]) => `${capital(circuitsWords(circuits))}: ${words}.`);
}

function formOf(viewed: Viewed, filledIn: FilledIn | null): AnswerForm {
  const { answer, person, record } = viewed;
  const { title } = answerMeaning(answer, person.words);
  return {
    button: answer === 'winterized-colour' ? 'Say: Winterized, as filled in' : `Say: ${title}`,
    fields: fieldsOf(viewed, filledIn),
    hidden: { shown: String(record?.answers?.at(-1)?.id ?? 0) },
  };
}

function fieldsOf(viewed: Viewed, filledIn: FilledIn | null): readonly Field[] {
  switch (viewed.answer) {
    case 'winterized-colour':
      return colourFields(viewed, filledIn);
    case 'drained-well':
    case 'drained-quickly':
      return [qualityField(viewed.answer, filledIn)];
    case 'stop':
      return [
        {
          kind: 'date',
          name: 'until',
          label: 'Until which day?',
          hint: `From its beginning on you are asked again (${viewed.person.timeZone}).`,
          value: filledIn?.until ?? '',
          required: true,
        },
      ];
    default:
      return [];
  }
}

function qualityField(answer: AnswerCode, filledIn: FilledIn | null): Field {
  const chosen = filledIn?.quality ?? (answer === 'drained-well' ? 'well' : 'quick');
  const option = (value: 'well' | 'quick', label: string) => ({ value, label, chosen: value === chosen });
  return {
    kind: 'choices',
    name: 'quality',
    legend: 'How was it drained?',
    many: false,
    options: [
      option('well', 'Well: pump, strainer, filter bowl, flush line and city inlet are empty, too'),
      option('quick', 'Quickly: only what runs out by itself'),
    ],
  };
}

/** At which taps colour can show. The heater is bypassed, tanks are drained, and the hose is taken in. */
function coloured(unit: UnitConfig): readonly string[] {
  return circuitsIn(unit).filter(
    (circuit) => circuit !== 'heater' && !isTank(circuit) && canHold(unit, circuit, 'antifreeze'),
  );
}

function colourFields({ config, unit, person }: Viewed, filledIn: FilledIn | null): readonly Field[] {
  const symbol = usedUnit(config);
  return [
    {
      kind: 'choices',
      name: 'without-colour',
      legend: 'Colour everywhere, but not here',
      hint: 'Tick where no colour was seen, and traps that hold no antifreeze. None ticked: it was seen everywhere.',
      many: true,
      options: coloured(unit).map((circuit) => ({
        value: circuit,
        label: isTrap(circuit) ? `Trap: ${traps([circuit])}` : capital(circuitWords(circuit)),
        chosen: filledIn?.withoutColour.includes(circuit) ?? false,
      })),
    },
    {
      kind: 'number',
      name: 'percent',
      label: `Measured at the last ${person.words.faucet}, per cent by volume`,
      hint: 'Leave it empty if it was not measured: then it is taken as thinned by what a good drain leaves.',
      value: filledIn?.percent ?? '',
      required: false,
    },
    {
      kind: 'number',
      name: 'used',
      label: `Antifreeze used, ${symbol}`,
      hint: 'Leave it empty if you do not know.',
      value: filledIn?.used ?? '',
      required: false,
    },
  ];
}
