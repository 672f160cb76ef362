/** Stories of the trade that the program must tell right. Common practice, no source. */
import { describe, expect, it } from 'vitest';
import type { Config } from '../../src/config/config.ts';
import { seconds } from '../support/instants.ts';
import { checkAt, configOf, csvOf, roundAt, scenario } from '../support/scenario.ts';

const NOW = '2026-12-10T19:00:00Z';
const PAST_HOURS = 72;

/** A wet, unheated travel trailer under hourly air, the 73rd value being now: noon in Denver. */
function trailer(
  air: (hour: number) => number | null,
  hours = 170,
  water: object = { state: 'in-use' },
): Config {
  const start = new Date((seconds(NOW) - PAST_HOURS * 3600) * 1000).toISOString();
  const temperatureC = Array.from({ length: hours }, (_, i) => air(i - PAST_HOURS));
  const still = temperatureC.map(() => 0);
  const overcast = temperatureC.map(() => 100);
  const unit = { id: 'blue', place: 'creek', kind: 'travel-trailer', water, contacts: ['ann'] };
  const csv = csvOf({ start, temperatureC, windSpeedMps: still, cloudPercent: overcast });
  return scenario(configOf({ units: [unit] }), { 'series.csv': csv });
}

function cycle(nightC: number, dayC: number): (hour: number) => number {
  // Coldest six hours before noon, warmest three hours after it.
  return (hour) => (nightC + dayC) / 2 + ((dayC - nightC) / 2) * Math.cos((2 * Math.PI * (hour - 3)) / 24);
}

describe('a unit that is frozen', () => {
  it('in a steady cold is never told that it is over, and the answer is no calm', async () => {
    const config = trailer(() => -12);
    const { messages } = await roundAt(config, NOW);
    expect(messages.map((m) => m.kind)).toContain('frozen');
    expect(messages.map((m) => m.kind)).not.toContain('all-clear');
    const [unit] = (await checkAt(config, NOW)).units;
    expect(unit).toMatchObject({ suspect: true, alreadyDamaged: true });
    expect(unit?.advice?.reasonCode).toBe('frozen-path');
  });

  it('at −3 by night and +8 by day is worked on once its way has thawed, after noon', async () => {
    const config = trailer(cycle(-3, 8));
    const [unit] = (await checkAt(config, NOW)).units;
    expect(unit?.alreadyDamaged).toBe(true);
    expect(['drain', 'winterize']).toContain(unit?.advice?.action);
  });
});

describe('a unit that was winterized', () => {
  it('13. with air, traps and pump done: nothing, and not over while the cold would hurt it wet', async () => {
    const config = trailer((h) => (h < 0 ? 5 : -25), 170, { state: 'winterized', method: 'air' });
    const [unit] = (await checkAt(config, NOW)).units;
    expect(unit?.advice).toMatchObject({ action: 'nothing', reasonCode: 'within-tolerance' });
    expect(unit?.chanceOfDamage?.nothing).toBe(0.03);
  });

  it('still counts its workmanship’s risk days into the cold', async () => {
    const config = trailer(() => -12, 170, {
      state: 'winterized',
      method: 'air',
      since: '2026-10-01T00:00:00Z',
    });
    expect((await checkAt(config, NOW)).units[0]?.chanceOfDamage?.nothing).toBe(0.03);
  });
});

describe('a forecast with a hole before the end of the window', () => {
  it('does not say nothing, since the cold may lie behind it', async () => {
    const config = trailer((h) => (h >= 26 && h <= 28 ? null : h > 38 ? -15 : 5));
    const answer = await checkAt(config, NOW);
    expect(answer.places[0]?.problem?.code).toBe('forecast-short');
    expect(answer.units[0]?.advice).toBeNull();
  });
});
