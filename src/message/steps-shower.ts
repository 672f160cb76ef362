import type { UnitFacts } from './message.ts';

/** It hangs on the lines: with pressure in them it can be emptied only behind valves of its own. */
export function showerSteps({ dusk: { showerValves } }: UnitFacts): readonly string[] {
  switch (showerValves) {
    case null:
      return [];
    case true:
      return ['Outside shower: shut its own valves, then open it, let it run out and leave it open.'];
    case false:
      return [
        'The outside shower has no valves of its own: as long as the lines are in use it stays full, and it is counted so. Opened it would run.',
      ];
    case 'unknown':
      return [
        'Outside shower: shut its own valves, if it has any, then open it, let it run out and leave it open. Without valves of its own it stays full as long as there is pressure: pump off before you open it, and off for as long as it is cold. Shut it before the pump goes on, which fills it again.',
      ];
  }
}
