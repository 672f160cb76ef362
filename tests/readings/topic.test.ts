/** Topic filters. The examples are those of MQTT 3.1.1 (OASIS standard of 2014), sections 4.7.1.2, 4.7.1.3 and 4.7.2. */
import { describe, expect, it } from 'vitest';
import { isTopicFilter, topicMatches } from '../../src/readings/topic-parse.ts';

describe('a topic filter', () => {
  it.each([
    ['sport/tennis/player1/#', 'sport/tennis/player1', true],
    ['sport/tennis/player1/#', 'sport/tennis/player1/ranking', true],
    ['sport/tennis/player1/#', 'sport/tennis/player1/score/wimbledon', true],
    ['sport/#', 'sport', true],
    ['#', 'any/thing', true],
    ['sport/tennis/+', 'sport/tennis/player1', true],
    ['sport/tennis/+', 'sport/tennis/player1/ranking', false],
    ['sport/+', 'sport', false],
    ['sport/+', 'sport/', true],
    ['+/+', '/finance', true],
    ['/+', '/finance', true],
    ['+', '/finance', false],
    ['#', '$SYS/uptime', false],
    ['+/monitor/Clients', '$SYS/monitor/Clients', false],
    ['$SYS/#', '$SYS/uptime', true],
    ['porch', 'Porch', false],
    ['porch/temperature', 'porch/temperature', true],
  ])('%s takes %s: %s', (filter, topic, taken) => {
    expect(topicMatches(filter, topic)).toBe(taken);
  });

  it.each(['#', '+', '+/tennis/#', 'sport/+/player1', '/', 'a b/c', '$SYS/#'])('may be %s', (filter) => {
    expect(isTopicFilter(filter)).toBe(true);
  });

  it.each(['', 'sport/tennis#', 'sport/tennis/#/ranking', 'sport+', '$share/group/a', 'a\0b'])(
    'may not be "%s"',
    (filter) => {
      expect(isTopicFilter(filter)).toBe(false);
    },
  );
});
