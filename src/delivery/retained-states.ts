/** What the broker keeps of our states, and when each is to be taken off it. */
import type { EpochSeconds } from '../quantity/instant.ts';
import { parseInstant } from '../quantity/instant.ts';

/** A unit whose state is told. */
export interface StateOf {
  readonly place: string;
  readonly unit: string;
}

export interface RetainedStates {
  /**
   * The broker has this under that topic; an empty payload: nothing any more. What it kept from before may be of a unit
   * that is gone; what is published while we listen is somebody's who knows the unit.
   */
  put(topic: string, payload: string, isKept: boolean): void;
  close(): void;
}

export interface RetainedOptions {
  readonly prefix: string;
  /** Those that there are. */
  readonly units: readonly StateOf[];
  /** What we call ourselves in them; null: not known yet, and nothing is ours. */
  readonly installation: () => string | null;
  readonly now: () => EpochSeconds;
  readonly clear: (topic: string) => void;
}

export function stateTopic(prefix: string, { place, unit }: StateOf): string {
  return [...prefix.split('/'), place, unit, 'state'].join('/');
}

/** A topic filter for all of them. */
export function stateTopics(prefix: string): string {
  return stateTopic(prefix, { place: '+', unit: '+' });
}

/** The runtime keeps no timer for longer than 24 days. */
const LONGEST_TIMER_MS = 86_400_000;

/**
 * Takes those off the broker that have run out, or whose unit is gone, as soon as that is so. What another drainby says
 * under the same topic is its own to take off.
 */
export function retainedStates({ prefix, units, installation, now, clear }: RetainedOptions): RetainedStates {
  const untils = new Map<string, EpochSeconds>();
  const ours = new Set(units.map((unit) => stateTopic(prefix, unit)));
  let timer: NodeJS.Timeout | undefined;
  const expire = (): void => {
    clearTimeout(timer);
    const at = now();
    for (const [topic, until] of untils) {
      if (until > at) continue;
      untils.delete(topic);
      clear(topic);
    }
    if (untils.size === 0) return;
    const waitMs = (Math.min(...untils.values()) - now()) * 1000;
    timer = setTimeout(expire, Math.min(Math.max(waitMs, 0) + 1, LONGEST_TIMER_MS));
    // Nothing waits for it: the message says itself until when it holds.
    timer.unref();
  };
  return {
    put(topic, payload, isKept) {
      const state = stateIn(payload);
      const until = state?.validUntil ?? null;
      // What was kept from before is older than what has been put in its place since.
      if (isKept && ours.has(topic) && (until ?? -Infinity) < (untils.get(topic) ?? -Infinity)) return;
      // Before there were installations, nothing but the topic said whose it is.
      const isOwn =
        state?.installation === undefined ? ours.has(topic) : state.installation === installation();
      if (until === null || !isOwn) untils.delete(topic);
      else untils.set(topic, isKept && !ours.has(topic) ? -Infinity : until);
      expire();
    },
    close() {
      clearTimeout(timer);
      untils.clear();
    },
  };
}

interface StateIn {
  /** One that does not say until when is over. */
  readonly validUntil: EpochSeconds;
  readonly installation: unknown;
}

/** Null: it is no state of a unit, and left alone. */
function stateIn(payload: string): StateIn | null {
  const state = parsed(payload);
  if (state?.['schema'] !== 'drainby.state/1') return null;
  const until = state['validUntil'];
  const validUntil = typeof until === 'string' ? (parseInstant(until) ?? -Infinity) : -Infinity;
  return { validUntil, installation: state['installation'] };
}

function parsed(payload: string): Readonly<Record<string, unknown>> | null {
  try {
    const value: unknown = JSON.parse(payload);
    return typeof value === 'object' && value !== null ? { ...value } : null;
  } catch {
    return null;
  }
}
