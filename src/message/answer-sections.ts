/** How a reader tells the program what was done: by links where they can be had, else by commands. */
import type { Action, Method } from '../decision/advice.ts';
import { answerLines, answersOf, isAskedHow } from './answers.ts';
import { paragraph, section } from './body.ts';
import type { Block, Section, Told } from './body.ts';
import { circuitsOf, methodOf } from './times.ts';
import { marksWords } from './words.ts';

interface Answer {
  readonly heading: string;
  /** STATE and options of each `drainby mark`. */
  readonly states: readonly string[];
  /** What makes the answer more exact; empty: nothing. */
  readonly hint: string;
}

export function actionAnswer(told: Told): Section | null {
  const action = told.notice.action;
  if (action === 'nothing') return quietAnswer(told);
  const circuits = circuitsOf(told);
  if (told.reader.linked === true && circuits === null) return linked(told, 'When it is done');
  const method = methodOf(told);
  const states = [...checkedStates(told), ...marksWords(action, method, circuits)];
  const commands = answer(told, { heading: 'When it is done', states, hint: hintOf(action, method) });
  // Links cannot say which circuits were done; who does it they can.
  return withBlocks(commands, [...howBlocks(told), ...linkBlocks(told)]);
}

/** The question stands where the answers are: they may leave nothing to do. */
function howBlocks(told: Told): readonly Block[] {
  if (!isAskedHow(told)) return [];
  const asked = paragraph(
    'How was it winterized? Somebody said that it was, and not how; until then it is taken as blown out with air, and the traps as they were.',
  );
  const commands = told.reader.linked === true ? [] : HOW_STATES.map((state) => command(told, state));
  return [asked, ...commands];
}

const HOW_STATES: readonly string[] = [
  'winterized --method antifreeze',
  'winterized --method air --traps',
  'winterized --method air',
];

/** The answer to a unit that was filled again. */
export function filledAnswer(told: Told): Section | null {
  return answer(told, { heading: 'When it is filled again', states: ['in-use'], hint: '' });
}

/** How to lift the suspicion that a unit has frozen. */
export function checkedAnswer(told: Told): Section | null {
  const heading = 'When somebody has looked';
  const note = paragraph('It stays under suspicion until a person has checked it and says so:');
  const links = linkBlocks(told);
  if (links.length > 0) return section(heading, [note, ...links]);
  return section(heading, [note, command(told, 'checked')]);
}

/** For messages that ask for no work of their own. */
export function quietAnswer(told: Told): Section | null {
  return checkedStates(told).length > 0 ? checkedAnswer(told) : linked(told, 'Your answer');
}

/** A tank that counts as drained is watched again once somebody has said that it is full. */
export function tankFilledAnswer(told: Told): Section | null {
  const isDrained = told.facts.service?.tankDrained === true;
  if (!isDrained || checkedStates(told).length > 0) return quietAnswer(told);
  const commands = answer(told, {
    heading: 'When it is full',
    states: ['in-use --circuit tank-fresh'],
    hint: 'Until then the fresh tank counts as drained: whether its outlet freezes is not computed.',
  });
  return withBlocks(commands, linkBlocks(told));
}

/** Null: nothing is offered, or only by command. */
function linked(told: Told, heading: string): Section | null {
  const blocks = linkBlocks(told);
  return blocks.length === 0 ? null : section(heading, [paragraph('Say so by what is true:'), ...blocks]);
}

function linkBlocks(told: Told): readonly Block[] {
  if (told.reader.linked !== true) return [];
  const items = answerLines(answersOf(told));
  return items.length === 0 ? [] : [{ kind: 'answers', items }];
}

function withBlocks(one: Section | null, blocks: readonly Block[]): Section | null {
  return one === null ? null : { ...one, blocks: [...one.blocks, ...blocks] };
}

function answer(told: Told, { heading, states, hint }: Answer): Section | null {
  return section(heading, [
    paragraph('Say so, and the next computation starts from it (FILE is your config file):'),
    ...states.map((state) => command(told, state)),
    paragraph(hint),
  ]);
}

function command(told: Told, state: string): Block {
  return { kind: 'command', text: `drainby mark -c FILE ${told.facts.unit.id} ${state}` };
}

/** Suspicion is lifted before anything else is said of it. */
function checkedStates({ facts }: Told): readonly string[] {
  return facts.suspect || facts.alreadyDamaged ? ['checked'] : [];
}

function hintOf(action: Action, method: Method | null): string {
  if (action === 'drain-part')
    return 'Leave --quality well out where you are not sure that nothing stayed in it.';
  if (action === 'drain') {
    return 'Leave --quality well out if filter bowl, strainer, flush line, city inlet or an appliance was not emptied.';
  }
  if (action === 'winterize' && method !== 'air') {
    return 'Add --concentration with the per cent you measured at the last outlet, if you did, and --fluid ethanol for alcohol-based fluid.';
  }
  if (action === 'winterize') return 'Leave --traps out if no antifreeze went into traps, toilets and pump.';
  return '';
}
