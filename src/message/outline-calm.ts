import { paragraph, section } from './body.ts';
import type { Section, Told } from './body.ts';
import { coldWords } from './reason.ts';
import { cautions, figures, filledAnswer, howTo, lowRows, spellBlocks, suspectNote } from './sections.ts';
import { nearForReader, troubleAt } from './times.ts';

/** The messages that ask for nothing yet, or nothing more: heads-up, all-clear, fill-again. */

export function headsUpOutline(told: Told): readonly (Section | null)[] {
  const { facts, reader } = told;
  return [
    figures(told, lowRows(told)),
    suspectNote(told),
    section('Why', [
      paragraph(
        `${coldWords(facts, reader)}. What can do damage is due${dueWords(told)}, beyond the ${facts.windowHours} h for which advice is given: it may still change, and advice with a time to start by follows if it does not.`,
      ),
      ...spellBlocks(told),
    ]),
    section('What can be done already', [
      {
        kind: 'list',
        items: [
          'Keep that day, or the one before it, free.',
          'Have at hand: wrench and seal for the heater plug, antifreeze for potable systems (about 2 gal, 7.5 L, with a heater bypass), pump kit or a plug for the air.',
          ...(facts.hasHeat ? [`Check ${reader.words.gas}, battery and furnace.`] : []),
          ...(facts.hasHose ? ['Plan to fill the fresh tank before the hose comes off.'] : []),
        ],
      },
    ]),
    cautions(told, null),
  ];
}

function dueWords(told: Told): string {
  const due = troubleAt(told);
  return due === null ? '' : ` about ${nearForReader(due, told)}`;
}

/** What the place's own water service asks for. */
export function serviceOutline(told: Told): readonly (Section | null)[] {
  return [figures(told, lowRows(told)), cautions(told, null)];
}

export function fillAgainOutline(told: Told): readonly (Section | null)[] {
  const { facts, reader } = told;
  return [
    figures(told, lowRows(told)),
    suspectNote(told),
    section('Why', [
      paragraph(
        `${coldWords(facts, reader)}. Nothing in the forecast calls for keeping this unit dry; a late frost is still possible, and then you are told.`,
      ),
    ]),
    howTo(told, 'refill'),
    filledAnswer(told),
    cautions(told, 'refill'),
  ];
}

export function allClearOutline(told: Told): readonly (Section | null)[] {
  const { facts, reader } = told;
  return [
    figures(told, lowRows(told)),
    suspectNote(told),
    section('What now', [paragraph(stateWords(told))]),
    section('Why', [
      paragraph(
        `${coldWords(facts, reader)}. Nothing in the next ${facts.windowHours} h calls for work on this unit as it stands. More cold brings a new message.`,
      ),
    ]),
    isDry(facts.waterState) ? filledAnswer(told) : null,
    cautions(told, isDry(facts.waterState) ? 'refill' : null),
  ];
}

function stateWords(told: Told): string {
  const { facts } = told;
  if (isDry(facts.waterState)) {
    return `Leave it so unless you want to use its water: the season may bring more cold, and filling it again is work. If you fill it, keep the heater off until water runs at the hot ${told.reader.words.faucet}.`;
  }
  const hose = facts.hasHose ? ' The hose may go back on.' : '';
  return `It may go on as it is.${hose}`;
}

function isDry(waterState: string): boolean {
  return /\b(drained|winterized)\b/.test(waterState);
}
