/** What each answer that a link can give means, and what drainby makes of it. */
import type { AnswerCode, Words } from './message.ts';

export interface AnswerMeaning {
  /** As a heading, and on the button. */
  readonly title: string;
  /** What whoever gives it says is so; full sentences. */
  readonly means: string;
  /** What follows from it; full sentences. */
  readonly follows: string;
}

const NEXT_ROUND = 'The forecast is looked at again at once, with the unit as you say it is.';
const TRAPS_STAY = 'Traps are taken as they were: neither draining nor air empties them.';

export function answerMeaning(answer: AnswerCode, words: Words): AnswerMeaning {
  return { ...emptied(words.faucet), ...others(words.gas) }[answer];
}

type Emptied = Extract<AnswerCode, `drained${string}` | `winterized${string}`>;

function emptied(tap: Words['faucet']): Readonly<Record<Emptied, AnswerMeaning>> {
  return {
    'drained-well': {
      title: 'Drained well',
      means: `Low points, tank and water heater are open and empty, every ${tap} was opened, and what gravity leaves full (pump, strainer, filter bowl, flush line, city inlet) was emptied too.`,
      follows: `${TRAPS_STAY} ${NEXT_ROUND}`,
    },
    'drained-quickly': {
      title: 'Drained quickly',
      means: `Low points and drains were opened until nothing ran any more. What gravity leaves full (pump, strainer, filter bowl, flush line, city inlet) may still hold water.`,
      follows: `${TRAPS_STAY} ${NEXT_ROUND}`,
    },
    'winterized-colour': {
      title: `Winterized, colour seen at every ${tap}`,
      means: `Antifreeze was pumped through until its full colour showed at every ${tap}, hot and cold, and at the toilet, and it stands in the traps.`,
      follows: `Where no colour showed is taken as full of water, and is asked for again. ${NEXT_ROUND}`,
    },
    'winterized-air-traps': {
      title: 'Winterized with air, traps and pump done',
      means:
        'The lines were blown out, the pump was run dry, and antifreeze was poured into every trap and the toilets.',
      follows: NEXT_ROUND,
    },
    'winterized-air': {
      title: 'Winterized with air only',
      means: 'The lines were blown out. Traps, toilets and pump were not done.',
      follows: `${TRAPS_STAY} They are asked for if the cold can split them. ${NEXT_ROUND}`,
    },
    winterized: {
      title: 'Winterized',
      means: 'It was winterized; how is not said yet.',
      follows: `You are asked how. Until somebody says so it counts as blown out with air only, traps not done. ${NEXT_ROUND}`,
    },
  };
}

function others(gas: Words['gas']): Readonly<Record<Exclude<AnswerCode, Emptied>, AnswerMeaning>> {
  return {
    'kept-warm': {
      title: 'Kept warm',
      means: `The heat is on with ${gas} enough for the night, the hose is in and empty, and the list for dusk is done.`,
      follows: NEXT_ROUND,
    },
    'on-my-way': {
      title: 'On my way',
      means: 'You are going there to do what was asked for.',
      follows:
        'You are not asked for it again while you can be on the way and at work. The unit stays as it is until somebody says that it was done.',
    },
    'not-mine': {
      title: 'Not mine',
      means: 'This unit is none of yours, or no longer.',
      follows:
        'You are told nothing more of it. Whoever runs drainby reads in its log that you are not, and should name somebody else.',
    },
    stop: {
      title: 'Stop until a date',
      means: 'You do not want to be asked for work on this unit before a day that you name.',
      follows: 'The cold goes on all the same, and so does the watch over it; the others are told as before.',
    },
    checked: {
      title: 'Checked after a freeze',
      means:
        'Everything has thawed, it was looked at wherever water can stand, and it is whole. Before that it must not be put under pressure.',
      follows: `It no longer counts as one that may have frozen. ${NEXT_ROUND}`,
    },
  };
}
