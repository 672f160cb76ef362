import type { Action, Method } from '../decision/advice.ts';

/** A piece of work that has its own steps and its own cautions. */
export type Job =
  'keep-warm' | 'drain-part' | 'drain' | 'antifreeze' | 'air' | 'late' | 'thaw' | 'refill' | 'fill' | 'dump';

/** How one job is done. Minutes and amounts are common practice, not measured; the unit's manual holds. */
export interface Procedure {
  readonly title: string;
  /** Usual time for one unit, as a sentence. */
  readonly time: string;
  /** What must be at hand before the work starts. */
  readonly needs: readonly string[];
  /** In order. */
  readonly steps: readonly string[];
}

/** The job that carries an action out; null when there is none. */
export function jobOf(action: Action, method: Method | null): Job | null {
  switch (action) {
    case 'nothing':
      return null;
    case 'winterize':
      return method === 'air' ? 'air' : 'antifreeze';
    case 'keep-warm':
    case 'drain-part':
    case 'drain':
      return action;
  }
}
