/** Winters counted and set side by side. */
import { countOf, judged, NONE, sum, type Count } from './count.ts';
import type { Accepted } from './lot.ts';
import { followRule } from './rule.ts';
import type { Season } from './season.ts';
import type { Winter } from './series.ts';
import { watchWinter, type WatchOf } from './watch.ts';

/** Of the forecast's low within three days. */
const RULES_F = [28, 25, 20] as const;

export interface TableOf {
  readonly winters: readonly Winter[];
  readonly seeds: readonly number[];
  readonly accepted: readonly Accepted[];
  readonly members: readonly number[];
  /** Hours before the time to start by at which work is first called for. */
  readonly callAhead: readonly number[];
  readonly days?: readonly [number, number];
  readonly write: (line: string) => void;
  /** Every missed onset and false alarm, too. */
  readonly each?: boolean;
}

export interface Line {
  readonly name: string;
  readonly count: Count;
}

/** Each winter and seed is written as it is done; the sums at the end. */
export async function table(of: TableOf): Promise<readonly Line[]> {
  const sums = new Map<string, Count>();
  const add = (name: string, season: Season, winter: Winter): void => {
    const count = countOf(season, winter);
    sums.set(name, sum(sums.get(name) ?? NONE, count));
    if (of.each === true) writeEach(of.write, season, winter);
  };
  for (const seed of of.seeds) {
    for (const winter of of.winters) {
      for (const degF of RULES_F) {
        const atC = ((degF - 32) * 5) / 9;
        of.write(`${winter.name}, seed ${seed}, rule ${degF} °F`);
        add(`rule ${degF} °F`, followRule({ winter, seed, atC, ...daysOf(of) }), winter);
      }
      for (const way of waysOf(of)) {
        const name = nameOf(way);
        of.write(`${winter.name}, seed ${seed}, ${name}`);
        add(name, await watchWinter({ winter, seed, ...way, ...daysOf(of) }), winter);
      }
    }
    of.write(`after seed ${seed}:`);
    for (const [name, count] of sums) of.write(sentence({ name, count }));
  }
  return [...sums].map(([name, count]) => ({ name, count }));
}

type Way = Pick<WatchOf, 'members' | 'accepted' | 'callAhead'>;

function waysOf({ members, accepted, callAhead }: TableOf): readonly Way[] {
  return members.flatMap((count) =>
    accepted.flatMap((chance) =>
      callAhead.map((hours) => ({ members: count, accepted: chance, callAhead: hours })),
    ),
  );
}

function nameOf({ accepted, members, callAhead }: Way): string {
  return `tolerance ${accepted}, ${members} members, called ${callAhead} h before`;
}

function daysOf({ days }: TableOf): { readonly days?: readonly [number, number] } {
  return days === undefined ? {} : { days };
}

export function sentence({ name, count }: Line): string {
  const { onsets, missed, harmed, harmedThoughCalled, trueAlarms, falseAlarms, everyCall, works } = count;
  const ratio = trueAlarms === 0 ? 'none true' : `${(falseAlarms / trueAlarms).toFixed(2)} per true one`;
  return [
    `${name}: ${missed} of ${onsets} onsets missed; ${trueAlarms} true alarms, ${falseAlarms} false (${ratio})`,
    `every call: ${everyCall.true} true, ${everyCall.false} false`,
    `work done ${works} times, ${count.needlessWorks} for nothing`,
    `harmed ${harmed}, ${harmedThoughCalled} of them though called`,
    `${count.messages} messages, at most ${count.mostADay} a day, ${count.mostIn24h} in 24 h`,
  ].join('; ');
}

function writeEach(write: (line: string) => void, season: Season, winter: Winter): void {
  const iso = (at: number | null): string => (at === null ? 'none' : new Date(at * 1000).toISOString());
  for (const { stretch, onsetAt, isMissed, isFalse } of judged(season, winter)) {
    if (!isMissed && !isFalse && stretch.harmedAt === null) continue;
    const what = [
      isMissed ? 'MISSED' : '',
      isFalse ? 'FALSE' : '',
      stretch.harmedAt === null ? '' : 'HARMED',
    ];
    const calls = stretch.calls.map((c) => `${iso(c.at)} ${c.what}`).join(', ');
    write(
      `    ${what.filter((w) => w !== '').join(' ')} ${stretch.unit} from ${iso(stretch.from)} to ${iso(stretch.to)}: onset ${iso(onsetAt)}, harmed ${iso(stretch.harmedAt)}; ${calls}`,
    );
  }
}
