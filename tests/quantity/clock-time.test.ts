import { describe, expect, it } from 'vitest';
import { formatClockSpan, parseClockSpan } from '../../src/quantity/clock-time.ts';

describe('a span of hours', () => {
  it('may wrap midnight', () => {
    expect(parseClockSpan('22:00-07:00')).toEqual({ fromMinute: 1320, toMinute: 420 });
    expect(parseClockSpan('09:15 – 17:45')).toEqual({ fromMinute: 555, toMinute: 1065 });
  });

  it.each(['22:00', '24:00-07:00', '22:60-07:00', '7:00-8:00', '22:00-22:00', '', 'x'])(
    'is not read from %j',
    (text) => {
      expect(parseClockSpan(text)).toBeNull();
    },
  );

  it('comes back as it was written', () => {
    expect(formatClockSpan({ fromMinute: 1320, toMinute: 425 })).toBe('22:00-07:05');
  });
});
