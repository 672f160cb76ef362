/** Signals that come before there is a command to take them: the program takes half a second to load. */

export interface EarlySignals {
  /** Keeps them no longer, and gives those that came. Whoever asks has set up handlers of its own. */
  release(): readonly NodeJS.Signals[];
}

export const NO_EARLY_SIGNALS: EarlySignals = { release: () => [] };

const KEPT = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

/** Unhandled, each of them would end the process on the spot. */
export function keepSignals(): EarlySignals {
  const came: NodeJS.Signals[] = [];
  const keep = (signal: NodeJS.Signals): void => void came.push(signal);
  for (const signal of KEPT) process.on(signal, keep);
  return {
    release() {
      for (const signal of KEPT) process.off(signal, keep);
      return came.splice(0);
    },
  };
}
