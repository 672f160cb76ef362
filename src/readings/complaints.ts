/** What is said of sensors whose messages are left out: once for each kind of trouble, not at every message. */
import { DAY_S, HOUR_S, type EpochSeconds } from '../quantity/instant.ts';

/** The message cannot be read; the broker had kept it; its value cannot be; there are too many. */
export type Trouble = 'unreadable' | 'kept' | 'refused' | 'many';

const TROUBLES: readonly Trouble[] = ['unreadable', 'kept', 'refused', 'many'];

/** A sensor that has sent good readings for so long has been mended, and may be complained of anew. */
const MENDED_AFTER_S = HOUR_S;
const SAID_AGAIN_AFTER_S = DAY_S;

/** A garden that invents new topics without end must not fill the memory. */
const MOST_COMPLAINTS = 1000;

interface Complaint {
  saidAt: EpochSeconds;
  /** Since when nothing but good readings came; null: the last message was bad. */
  goodSince: EpochSeconds | null;
  isMended: boolean;
}

export interface Complaints {
  bad(sensor: string, trouble: Trouble, text: string): void;
  /** A reading of the sensor was taken. */
  good(sensor: string): void;
}

export function complaints(say: (sensor: string, text: string) => void, now: () => EpochSeconds): Complaints {
  const known = new Map<string, Complaint>();
  const keyOf = (sensor: string, trouble: Trouble): string => `${trouble} ${sensor}`;
  return {
    bad(sensor, trouble, text) {
      const at = now();
      const before = known.get(keyOf(sensor, trouble));
      if (before === undefined) {
        if (known.size >= MOST_COMPLAINTS) return;
        known.set(keyOf(sensor, trouble), { saidAt: at, goodSince: null, isMended: false });
        say(sensor, text);
        return;
      }
      before.isMended ||= isMended(before, at);
      before.goodSince = null;
      if (!before.isMended || at - before.saidAt < SAID_AGAIN_AFTER_S) return;
      before.isMended = false;
      before.saidAt = at;
      say(sensor, text);
    },
    good(sensor) {
      for (const trouble of TROUBLES) {
        const complaint = known.get(keyOf(sensor, trouble));
        if (complaint !== undefined) complaint.goodSince ??= now();
      }
    },
  };
}

function isMended({ goodSince }: Complaint, now: EpochSeconds): boolean {
  return goodSince !== null && now - goodSince >= MENDED_AFTER_S;
}
