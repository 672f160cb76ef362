/** What a round has to say of a unit, given what was said before. Pure: memory in, memory and notices out. */
import { HOUR_S } from '../quantity/instant.ts';
import { joined } from '../model/measure.ts';
import { asksForWork, isFrozenIn, type Advice } from './advice.ts';
import type { Finding } from './finding.ts';
import { withSilences } from './hearing.ts';
import { withoutFuture, type AddressedNotice, type Grounds, type Memory } from './memory.ts';
import { standing, type StandingOf } from './standing.ts';
import { isEarly, isUncalled, sayAdvice, sayTime } from './tell-act.ts';
import { sayBack } from './tell-back.ts';
import { sayQuiet } from './tell-calm.ts';
import { lastAdvice, Telling } from './telling.ts';

export interface Told {
  readonly memory: Memory;
  /** What is said in this round. */
  readonly notices: readonly AddressedNotice[];
  /** What was said before and still holds, for those whom it has not reached. */
  readonly standing: readonly AddressedNotice[];
}

export function tell(finding: Finding, remembered: Memory): Told {
  const memory = withSilences(withoutFuture(remembered, finding.now), finding.contacts, finding.now);
  const { advice } = finding;
  return advice === null ? tellBlind(finding, memory) : tellSeen(finding, advice, memory);
}

function tellSeen(finding: Finding, advice: Advice, memory: Memory): Told {
  const before = isMadeSafe(finding, advice, memory) ? closed(memory) : memory;
  const seen = { ...before, blindSince: null, relaxing: finding.relaxing, lastKnown: known(finding, memory) };
  const telling = tellingOf(finding, seen);
  if (finding.alreadyDamaged && memory.suspectSince === null && !isFrozenTold(finding, memory))
    telling.say('frozen', advice.action, null);
  sayOf(telling, finding, advice);
  sayBack(telling, finding, { advice, before: memory });
  const after = {
    ...telling.memory,
    suspectSince: memory.suspectSince ?? (finding.alreadyDamaged ? finding.now : null),
    advice: inForceAfter(finding, advice, memory),
  };
  const work = asksForWork(advice) ? { ...advice, uncalled: isUncalled(finding, advice) } : null;
  return concluded(finding, telling, { after, work });
}

/** That ice closes its way and that it may be damaged are the same news within so many hours, until it was checked. */
const SAME_ICE_S = 12 * HOUR_S;

function isFrozenTold({ now, checkedAt }: Finding, { told }: Memory): boolean {
  const since = Math.max(checkedAt ?? -Infinity, now - SAME_ICE_S);
  return told.some((t) => t.kind === 'frozen' && t.at > since);
}

function sayFrozenIn(telling: Telling): void {
  if (!telling.memory.told.some((t) => t.kind === 'frozen')) telling.say('frozen', 'nothing', null);
}

/** What can still be done round the ice is not enough: what it closes may already be split. */
function isFrozenRound({ iceHasRoom }: Finding, advice: Advice): boolean {
  return advice.closed !== undefined && advice.reasonCode === 'nothing-suffices' && iceHasRoom !== true;
}

/** Somebody has done what the advice was for, and there is nothing left to do. */
function isMadeSafe({ acted }: Finding, advice: Advice, { advice: before }: Memory): boolean {
  const isDone = !asksForWork(advice) && !isFrozenIn(advice);
  return acted && isDone && before !== null && before.action !== 'nothing';
}

/** Cold that threatens the unit once it is used again is another story; the all-clear of this one is still due. */
function closed(memory: Memory): Memory {
  const { episode, advice } = memory;
  const told = memory.told.filter((t) => t.kind === 'frozen');
  const { action: done, dueAt } = advice ?? {};
  const askedAt = lastAdvice(memory)?.at ?? episode?.askedAt;
  const of = {
    ...(done === undefined ? {} : { done }),
    ...(dueAt === undefined ? {} : { dueAt }),
    ...(askedAt === undefined ? {} : { askedAt }),
  };
  const over = { over: true, ...of } as const;
  return { ...memory, episode: episode === null ? null : { ...episode, ...over }, told };
}

/** Ice in the way suspends advice; it does not relax it. */
function inForceAfter(
  { now, deadlineAt, waterAt }: Finding,
  advice: Advice,
  memory: Memory,
): Memory['advice'] {
  if (isFrozenIn(advice)) return memory.advice;
  const { action, method, startBy, circuits } = advice;
  const before = memory.advice?.action === action ? memory.advice : null;
  const since = before?.since ?? now;
  const given = before === null ? waterAt : before.waterAt;
  const water = given === undefined ? {} : { waterAt: given };
  const measures = askedFor(advice, before);
  const dueAt = action === 'nothing' ? undefined : (deadlineAt ?? before?.dueAt);
  const due = dueAt === undefined ? {} : { dueAt };
  return {
    action,
    method,
    startBy,
    since,
    ...water,
    ...due,
    ...(measures === undefined ? {} : { measures }),
    ...(circuits === undefined ? {} : { circuits }),
  };
}

/** What was asked once may have been done: it is not taken back. Advice that is only held asks nothing new. */
function askedFor({ measures, reasonCode }: Advice, before: Memory['advice']): Advice['measures'] {
  const asked = before?.measures;
  if (measures === undefined || (reasonCode === 'held' && asked !== undefined)) return asked;
  return joined(asked ?? [], measures);
}

function sayOf(telling: Telling, finding: Finding, advice: Advice): void {
  // Stubs under a heated floor freeze in every hard night, and that is no news.
  if (isFrozenIn(advice))
    return finding.iceHasRoom === true ? sayQuiet(telling, finding) : sayFrozenIn(telling);
  if (isFrozenRound(finding, advice)) sayFrozenIn(telling);
  if (advice.action !== 'nothing') return sayAdvice(telling, finding, advice);
  if (asksForWork(advice)) return telling.sayOnce('act', 'nothing', null);
  sayQuiet(telling, finding);
}

function known({ lowest }: Finding, memory: Memory): Memory['lastKnown'] {
  if (lowest === null) return memory.lastKnown;
  return { asOf: lowest.madeAt, lowestOutsideC: lowest.temperatureC, lowestAt: lowest.at };
}

/** Without a forecast the clock still runs on what was said before, unless that has been done. */
function tellBlind(finding: Finding, memory: Memory): Told {
  const { now } = finding;
  const blindSince = memory.blindSince ?? now;
  const telling = tellingOf(finding, { ...memory, blindSince });
  const { advice } = memory;
  const isOpen = advice !== null && advice.action !== 'nothing' && finding.isDone !== true;
  const work = isOpen ? advice : null;
  const before = telling.lastAdvice();
  if (work !== null && work.startBy !== null && before !== null) {
    sayTime(telling, { now, action: work.action, startBy: work.startBy, before });
  }
  // What was not yet called for while there was a forecast is, now that none can take it back.
  if (work !== null && before === null && !isEarly(finding, work))
    telling.say(work.startBy !== null && work.startBy < now ? 'late' : 'act', work.action, work.startBy);
  if (finding.blindTooLong)
    telling.sayBlind(blindSince, advice?.action ?? 'nothing', advice?.startBy ?? null);
  const after = telling.memory;
  return concluded(finding, telling, { after, work });
}

function tellingOf(finding: Finding, memory: Memory): Telling {
  const { unit, now, deadlineAt, contacts } = finding;
  return new Telling({ unit, now, deadlineAt, contacts, under: groundsOf(finding) }, memory);
}

function groundsOf({ forecast, chanceAsItStands: chance, lowest }: Finding): Grounds | null {
  if (forecast === undefined || chance === undefined) return null;
  return { forecast, chance, lowestC: lowest?.temperatureC ?? null };
}

interface Outcome {
  readonly after: Memory;
  readonly work: StandingOf['work'];
}

/** With what stands, short of what this very round says. */
function concluded(
  { unit, contacts, now, deadlineAt }: Finding,
  { notices }: Telling,
  { after, work }: Outcome,
): Told {
  const said = new Set(notices.map(nameOf));
  const all = standing({ unit, memory: after, work, contacts, now, deadlineAt });
  const rest = all.filter((notice) => !said.has(nameOf(notice)));
  return { memory: heardBy(after, rest), notices, standing: rest };
}

function nameOf({ kind, episode, action }: AddressedNotice): string {
  return `${kind} ${episode} ${action}`;
}

/** Whoever is told of the cold later than the others hears its all-clear, too. */
function heardBy(memory: Memory, notices: readonly AddressedNotice[]): Memory {
  const { episode } = memory;
  if (episode?.heard === undefined) return memory;
  const readers = notices.filter((n) => n.kind !== 'no-forecast').flatMap((n) => n.to);
  const heard = [...new Set([...episode.heard, ...readers])];
  return { ...memory, episode: { ...episode, heard } };
}
