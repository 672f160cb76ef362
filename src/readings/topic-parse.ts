/** Topic filters of MQTT 3.1.1, section 4.7: `+` stands for one level, a last `#` for all that follow, and none. */

/** Whether it is a filter at all; shared subscriptions (`$share/…`) are none here. */
export function isTopicFilter(filter: string): boolean {
  const levels = filter.split('/');
  return (
    filter !== '' &&
    !filter.includes('\0') &&
    levels[0] !== '$share' &&
    levels.every(
      (level, index) =>
        level === '+' || (level === '#' && index === levels.length - 1) || !/[+#]/.test(level),
    )
  );
}

/** Topics that begin with `$` are the broker's own: a filter that begins with a wildcard leaves them out (4.7.2). */
export function topicMatches(filter: string, topic: string): boolean {
  const asked = filter.split('/');
  const levels = topic.split('/');
  if (topic.startsWith('$') && (asked[0] === '+' || asked[0] === '#')) return false;
  const open = asked.at(-1) === '#';
  const fixed = open ? asked.slice(0, -1) : asked;
  const isLong = open ? levels.length >= fixed.length : levels.length === fixed.length;
  return isLong && fixed.every((level, index) => level === '+' || level === levels[index]);
}
