/** Whole stories through rounds, marks and the score: the advice is what the program itself said at the time. */
import { describe, expect, it } from 'vitest';
import type { ScoreAnswer } from '../../src/app/score-answer.ts';
import { seconds } from '../support/instants.ts';
import { DAY, HOUR, setYard, skyService, type Yard } from './score-setup.ts';

/** Noon in Denver. */
const START = seconds('2026-11-02T19:00:00Z');
const COLD_NIGHT = START + 4 * DAY;
const DAYS = 9;

/** Eight hours of −8 °C from ten in the evening of the fifth night on, 64 K·h; the unit can take 4.24. */
function truth(at: number): number {
  return at >= COLD_NIGHT + 10 * HOUR && at < COLD_NIGHT + 18 * HOUR ? -8 : 6;
}

interface Story {
  readonly truthC?: (at: number) => number;
  /** Forecast less truth [K]. */
  readonly errorK?: (at: number) => number;
  readonly afterRound?: (yard: Yard, now: number) => Promise<void>;
}

async function told({ truthC = truth, errorK = () => 0, afterRound }: Story) {
  let now = START;
  const yard = await setYard(skyService({ truth: truthC, errorK }, () => now));
  for (; now < START + DAYS * DAY; now += 6 * HOUR) {
    await yard.once(now);
    await afterRound?.(yard, now);
  }
  const answer = JSON.parse(await yard.score(now, '--json')) as ScoreAnswer;
  return { blue: answer.advice[0]! };
}

async function adviceNow(yard: Yard, now: number): Promise<string> {
  const { units } = JSON.parse(await yard.run(now, 'check', '--json')) as {
    readonly units: readonly { readonly advice: { readonly action: string } | null }[];
  };
  return units[0]?.advice?.action ?? 'unknown';
}

describe('a cold night that was forecast days ahead', () => {
  it('is one hit and no false alarm, though the warning came nights before', async () => {
    const { blue } = await told({});
    expect(blue).toMatchObject({ hits: 1, misses: 0, falseAlarms: 0 });
    expect(blue.leftOut.ahead).toBeGreaterThan(0);
  });

  it('is a hit for one who acted in time, too, whose unit was drained when it came', async () => {
    const marks: number[] = [];
    const { blue } = await told({
      afterRound: async (yard, now) => {
        if (marks.length > 0 || (await adviceNow(yard, now)) === 'nothing') return;
        const later = now + HOUR;
        await yard.run(
          later,
          'mark',
          'blue',
          'winterized',
          '--method',
          'antifreeze',
          '--concentration',
          '50',
        );
        marks.push(later);
      },
    });
    expect(marks).toHaveLength(1);
    expect(marks[0]).toBeLessThan(COLD_NIGHT);
    expect(blue).toMatchObject({ hits: 1, misses: 0, falseAlarms: 0 });
  });

  it('is a miss where the forecast was 14 K too warm', async () => {
    const { blue } = await told({ errorK: (at) => (truth(at) < 0 ? 14 : 0) });
    expect(blue).toMatchObject({ hits: 0, misses: 1 });
  });
});

describe('a mild night that was forecast cold', () => {
  it('is a false alarm', async () => {
    const { blue } = await told({ truthC: () => 6, errorK: (at) => truth(at) - 6 });
    expect(blue).toMatchObject({ hits: 0, misses: 0, leftOut: { ahead: 0, afterHarm: 0 } });
    expect(blue.falseAlarms).toBeGreaterThan(0);
  });
});
