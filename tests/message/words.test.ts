import { describe, expect, it } from 'vitest';
import type { WaterState } from '../../src/model/water-state.ts';
import {
  holdOutWords,
  markWords,
  marksWords,
  minutesWords,
  verb,
  waterStateWords,
  zoneWords,
} from '../../src/message/words.ts';

describe('words', () => {
  it('writes minutes as people say them', () => {
    expect([20, 60, 90, 125].map(minutesWords)).toEqual(['20 min', '1 h', '1 h 30 min', '2 h 5 min']);
  });

  it('never promises a longer hold-out than was computed', () => {
    expect([0.4, 0.9, 2.9, 3.9, 11.99].map(holdOutWords)).toEqual([
      'less than half an hour',
      'about 0.5 h',
      'about 2.5 h',
      'about 3 h',
      'about 11 h',
    ]);
  });

  it.each([
    [{ kind: 'wet' }, 'in use'],
    [{ kind: 'unknown' }, 'unknown, taken as in use'],
    [{ kind: 'drained', quality: 'well' }, 'drained'],
    [{ kind: 'drained', quality: 'quick' }, 'drained (quickly)'],
    [{ kind: 'blown' }, 'winterized (air)'],
    [{ kind: 'antifreeze' }, 'winterized (antifreeze)'],
    [{ kind: 'antifreeze', concentrationPercent: 15 }, 'winterized (antifreeze, 15 %)'],
  ] as const satisfies readonly (readonly [WaterState, string])[])('calls %j %s', (state, words) => {
    expect(waterStateWords(state)).toBe(words);
  });

  it.each([
    ['water heater’s outside fittings', 'go'],
    ['elbows behind the cupboards', 'go'],
    ['check valves', 'go'],
    ['ice maker’s valve and line', 'go'],
    ['outside shower valve, hot side', 'goes'],
    ['hydronic heater’s domestic coil', 'goes'],
    ['line in the slide', 'goes'],
    ['vacuum breaker of the flush line', 'goes'],
    ['hose’s end at the post', 'goes'],
    ['hose', 'goes'],
  ])('%s: %s', (part, word) => {
    expect(verb(part, 'goes', 'go')).toBe(word);
  });

  it('names how to answer for each action', () => {
    expect(markWords('keep-warm', null)).toBe('kept-warm');
    expect(markWords('drain', null)).toBe('drained --quality well');
    expect(markWords('winterize', 'air')).toBe('winterized --method air --traps');
    expect(marksWords('winterize', 'air', ['cold', 'trap-sink', 'tank-grey'])).toEqual([
      'winterized --method air --circuit cold',
      'winterized --method antifreeze --circuit trap-sink',
      'drained --quality well --circuit tank-grey',
    ]);
    expect(marksWords('winterize', 'antifreeze', ['cold', 'trap-sink'])).toEqual([
      'winterized --method antifreeze --circuit cold --circuit trap-sink',
    ]);
    expect(markWords('winterize', null)).toBe('winterized --method antifreeze');
  });

  it('keeps the name of a zone it does not know', () => {
    expect(zoneWords('underbelly')).toBe('in the underbelly');
    expect(zoneWords('outside')).toBe('outside');
    expect(zoneWords('porch')).toBe('porch');
  });
});
