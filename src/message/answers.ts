/** Which answers a message offers, and what their links say. */
import type { AnswerLine, Told } from './body.ts';
import type { AnswerCode } from './message.ts';
import { circuitsOf, methodOf } from './times.ts';

/** Who does the work, or does not. */
const ABOUT: readonly AnswerCode[] = ['on-my-way', 'not-mine', 'stop'];

/** Ice closes the way: nothing is drained, blown or filled until somebody has looked. */
const OF_ICE: readonly AnswerCode[] = ['checked', ...ABOUT];

/** In the order in which they are shown. */
export function answersOf(told: Told): readonly AnswerCode[] {
  const { kind, action } = told.notice;
  switch (kind) {
    case 'act':
    case 'last-call':
    case 'worse':
    case 'late':
      return [...checked(told), ...doneAnswers(told), ...ABOUT];
    case 'no-forecast':
      return action === 'nothing' ? ['not-mine', 'stop'] : [...checked(told), ...doneAnswers(told), ...ABOUT];
    case 'unreached':
      return isOfIce(told) ? OF_ICE : [...checked(told), ...doneAnswers(told), ...ABOUT];
    case 'frozen':
      return OF_ICE;
    case 'fill-by':
    case 'dump-by':
      return ABOUT;
    case 'heads-up':
      return [...checked(told), 'not-mine', 'stop'];
    case 'all-clear':
      return checked(told);
    // That water is in it again is said by command: a link touched by mistake would have it dry no more.
    case 'fill-again':
      return checked(told);
  }
}

/** What somebody was to hear of and did not. */
function isOfIce({ facts }: Told): boolean {
  return facts.unreached?.some(({ kind }) => kind === 'frozen') ?? false;
}

function checked({ facts }: Told): readonly AnswerCode[] {
  return facts.suspect || facts.alreadyDamaged ? ['checked'] : [];
}

/** Somebody said that it was winterized, and left open how; what is still asked for hangs on it. */
export function isAskedHow({ facts, notice }: Told): boolean {
  return facts.asks === 'how-winterized' && notice.action === 'winterize';
}

/** How it was winterized; without a word it is taken as the last of these. */
const HOW: readonly AnswerCode[] = ['winterized-colour', 'winterized-air-traps', 'winterized-air'];

/** A link speaks of the whole unit: of some circuits only the command can say that they are done. */
function doneAnswers(told: Told): readonly AnswerCode[] {
  if (isAskedHow(told)) return HOW;
  if (circuitsOf(told) !== null) return [];
  switch (told.notice.action) {
    case 'nothing':
    case 'drain-part':
      return [];
    case 'keep-warm':
      return ['kept-warm', 'drained-well', 'drained-quickly'];
    case 'drain':
      return ['drained-well', 'drained-quickly'];
    case 'winterize':
      return methodOf(told) === 'air'
        ? ['winterized-air-traps', 'winterized-air', 'winterized-colour']
        : ['winterized-colour', 'winterized-air-traps', 'winterized-air'];
  }
}

export function answerLines(codes: readonly AnswerCode[]): readonly AnswerLine[] {
  return codes.map((code) => ({ code, label: answerWords(code) }));
}

function answerWords(code: AnswerCode): string {
  switch (code) {
    case 'drained-well':
      return 'Drained well, bowls and flush line too';
    case 'drained-quickly':
      return 'Drained quickly';
    case 'winterized-colour':
      return 'Antifreeze in, colour at every outlet';
    case 'winterized-air-traps':
      return 'Blown out, antifreeze in traps and pump';
    case 'winterized-air':
      return 'Blown out, traps not done';
    case 'winterized':
      return 'Winterized';
    case 'kept-warm':
      return 'Heat on, any hose off';
    case 'on-my-way':
      return 'On my way';
    case 'not-mine':
      return 'Not mine to do';
    case 'stop':
      return 'Stop telling me';
    case 'checked':
      return 'I have looked: it is whole';
  }
}
