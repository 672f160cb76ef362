/**
 * Stories of somebody who lives in it, and of the road. Thirty feet long, ducts in the belly, two 30-lb cylinders, shore
 * power, a hose at the post, 18 °C inside. The sun sets at about 23:40Z (16:40 in Denver) on 10 December there. Numbers of the
 * stories are common practice, no source.
 */
import { describe, it } from 'vitest';
import { nightsAndDays, steady, turning, type Air } from './air.ts';
import { edit } from './people.ts';
import { fitting, Story, type Plot } from './story.ts';

const LONG = 300_000;

const HEAT = { set: '18 °C', furnace: '30000 BTU/h', ductedShare: 0.12, propane: '60 lb', cylinder: '30 lb' };

function home(over: object = {}): object {
  return fitting({
    attended: true,
    length: '30 ft',
    belly: 'heated',
    hose: 'connected',
    tanks: { fresh: 0.5, grey: 0.3, black: 0.3 },
    heat: HEAT,
    work: { keepWarm: '20 min', drain: '45 min', winterize: '90 min' },
    parts: { catalogue: true },
    ...over,
  });
}

/** From six in the morning UTC, 23:00 in Denver the evening before. */
const FROM = '2026-12-10T06:00:00Z';

function plot(says: Air, over: object = {}): Plot {
  return {
    from: FROM,
    says,
    units: [home(over)],
    errorModel: { kind: 'none' },
    windMps: 0,
    cloudPercent: 100,
  };
}

/** Three nights this cold, from 14:00 on the tenth to the same on the thirteenth; mild before and after. */
function threeNights(nightC: number, dayC: number): Air {
  const cold = turning(nightsAndDays(nightC, dayC), '2026-12-13T21:00:00Z', () => 10);
  return turning(() => 10, '2026-12-10T21:00:00Z', cold);
}

/** Two days and a half of it, from 20:00 on the tenth. */
function siege(celsius: number): Air {
  return steady(10, [
    { from: '2026-12-11T02:00:00Z', hours: 62, celsius: -1 },
    { from: '2026-12-11T03:00:00Z', hours: 60, celsius },
  ]);
}

describe('a full-timer', () => {
  it(
    '5. at −6, with shore power and gas: keep warm and hose off, once for three nights',
    { timeout: LONG },
    async () => {
      const story = await Story.begin(plot(threeNights(-6, 2)));
      await story.until('2026-12-10T18:00:00Z', { everyHours: 3 });
      await story.mark('kept-warm');
      await story.until('2026-12-14T21:00:00Z', { everyHours: 3 });
      story.expectHeard([
        {
          kind: 'act',
          action: 'keep-warm',
          from: FROM,
          to: FROM,
          // By daylight, 20 min before the sun sets, or as much earlier as the freezing of the hose asks.
          startBy: ['2026-12-10T21:00:00Z', '2026-12-10T23:25:00Z'],
          says: [/hose off/i, /furnace/i],
        },
        { kind: 'all-clear', from: '2026-12-13T17:00:00Z', to: '2026-12-14T12:00:00Z' },
      ]);
    },
  );

  it('6. at −10 with two electric heaters on: heaters down', { timeout: LONG }, async () => {
    const story = await Story.begin(plot(siege(-10), { heat: { ...HEAT, electric: '3 kW' } }));
    await story.until('2026-12-10T18:00:00Z', { everyHours: 3 });
    await story.mark('kept-warm');
    await story.until('2026-12-14T12:00:00Z', { everyHours: 3 });
    story.expectHeard([
      {
        kind: 'act',
        action: 'keep-warm',
        from: FROM,
        to: FROM,
        startBy: ['2026-12-10T21:00:00Z', '2026-12-10T23:25:00Z'],
        says: [/hose off/i, /heaters down/i],
      },
      { kind: 'all-clear', from: '2026-12-13T12:00:00Z', to: '2026-12-14T12:00:00Z' },
    ]);
  });

  it(
    '7. at −18 with no hook-up and one battery: drained or gone by three in the afternoon',
    { timeout: LONG },
    async () => {
      const power = { supply: 'battery', battery: { capacity: '85 Ah' } };
      const story = await Story.begin(plot(siege(-18), { power, length: '24 ft', hose: 'none' }));
      await story.until('2026-12-10T18:00:00Z', { everyHours: 3 });
      await story.mark('winterized', { method: 'antifreeze', concentrationPercent: 50 });
      await story.until('2026-12-14T12:00:00Z', { everyHours: 3 });
      story.expectHeard([
        {
          kind: 'act',
          action: 'winterize',
          from: FROM,
          to: FROM,
          // Ninety minutes of work before the sun sets: 15:07 there.
          startBy: ['2026-12-10T18:00:00Z', '2026-12-10T22:15:00Z'],
          says: /battery/i,
        },
        { kind: 'all-clear', from: '2026-12-13T12:00:00Z', to: '2026-12-14T12:00:00Z' },
      ]);
    },
  );

  it(
    '8. power cut at 21:00 at −15: told within the hour to shut off, open up and empty it',
    { timeout: LONG },
    async () => {
      const heat = { ...HEAT, furnace: '40000 BTU/h', ductedShare: 0.25 };
      const battery = { capacity: '85 Ah' };
      const night = steady(10, [
        { from: '2026-12-11T02:00:00Z', hours: 14, celsius: -3 },
        { from: '2026-12-11T03:00:00Z', hours: 7, celsius: -15 },
      ]);
      const story = await Story.begin(plot(night, { heat, power: { supply: 'shore', battery } }));
      await story.until('2026-12-10T18:00:00Z', { everyHours: 3 });
      await story.mark('kept-warm');
      await story.until('2026-12-11T00:00:00Z', { everyHours: 3 });
      await story.until('2026-12-11T03:00:00Z');
      edit<{ units: readonly object[] }>(story, (written) => ({
        ...written,
        units: written.units.map((unit) => ({ ...unit, power: { supply: 'battery', battery } })),
      }));
      await story.until('2026-12-11T04:00:00Z');
      await story.mark('winterized', { method: 'antifreeze', concentrationPercent: 50 });
      await story.until('2026-12-12T12:00:00Z', { everyHours: 3 });
      story.expectHeard([
        {
          kind: 'act',
          action: 'keep-warm',
          from: FROM,
          to: FROM,
          // What a cut would do is said before it comes.
          says: [/If the power fails: holds out about \d+ h/, /hose off/i, /Supply off for the night/],
        },
        {
          kind: 'worse',
          action: 'winterize',
          from: '2026-12-11T04:00:00Z',
          to: '2026-12-11T04:00:00Z',
          startBy: ['2026-12-11T04:00:00Z', '2026-12-11T05:00:00Z'],
          // Half of 85 Ah, in the cold, at full blower: it ends in the night.
          says: [
            /Battery: runs the furnace until (Thu 2[1-3]|Fri 0[0-3]):\d\d/,
            /Pump off, and nothing connected to the city inlet/,
            /every faucet/,
          ],
        },
        { kind: 'all-clear', from: '2026-12-11T17:00:00Z', to: '2026-12-12T12:00:00Z' },
      ]);
    },
  );

  it('11. with 4.4 kW planned on a 30-A post: that plan is refused', { timeout: LONG }, async () => {
    const power = { supply: 'shore', breaker: '30 A', other: '3 kW' };
    const story = await Story.begin(plot(threeNights(-6, 2), { power, waterHeater: 'shore' }));
    await story.until('2026-12-10T18:00:00Z', { everyHours: 3 });
    await story.mark('winterized', { method: 'antifreeze', concentrationPercent: 50 });
    await story.until('2026-12-14T21:00:00Z', { everyHours: 3 });
    story.expectHeard([
      {
        kind: 'act',
        // Tripped, it has no heat, and drained it would stand below −4 °C for eight hours of each night: −2 − 4·cos.
        action: 'winterize',
        from: FROM,
        to: FROM,
        // 0.8 × 30 A × 120 V is 2.9 kW.
        says: /1\.5 kW more than the post bears/,
      },
      { kind: 'all-clear', from: '2026-12-13T17:00:00Z', to: '2026-12-14T21:00:00Z' },
    ]);
  });
});

describe('gas that runs out', () => {
  const gas = { ...HEAT, propane: '30 lb', gauged: FROM };
  const long = steady(10, [{ from: '2026-12-11T03:00:00Z', hours: 96, celsius: -6 }]);

  it('is refilled in time: kept warm, and told how long the gas lasts', { timeout: LONG }, async () => {
    const story = await Story.begin(plot(long, { heat: { ...gas, refilled: true } }));
    await story.until('2026-12-10T18:00:00Z', { everyHours: 3 });
    await story.mark('kept-warm');
    await story.until('2026-12-16T00:00:00Z', { everyHours: 6 });
    story.expectHeard([
      {
        kind: 'act',
        action: 'keep-warm',
        from: FROM,
        to: FROM,
        // 7.1 gallons: at 40 °F 1.5 a day, at 21 °F about 4. That ends on Saturday morning, give or take a day.
        says: /refilled before (Fri|Sat|Sun)( \d+ Dec,)? \d\d:\d\d/,
      },
      { kind: 'all-clear', from: '2026-12-15T00:00:00Z', to: '2026-12-16T00:00:00Z' },
    ]);
  });

  it('is not refilled: drained before it ends', { timeout: LONG }, async () => {
    const story = await Story.begin(plot(long, { heat: { ...gas, refilled: false } }));
    await story.until('2026-12-10T18:00:00Z', { everyHours: 3 });
    await story.mark('winterized', { method: 'antifreeze', concentrationPercent: 50 });
    await story.until('2026-12-16T00:00:00Z', { everyHours: 6 });
    story.expectHeard([
      { kind: 'act', action: 'winterize', from: FROM, to: FROM, says: /propane/i },
      { kind: 'all-clear', from: '2026-12-15T00:00:00Z', to: '2026-12-16T00:00:00Z' },
    ]);
  });
});

describe('a unit on the road', () => {
  it(
    '10. at −12 for six hours with the furnace off: emptied before departure',
    { timeout: LONG },
    async () => {
      const leaves = '2026-12-11T10:00:00Z';
      const towing = [{ from: leaves, until: '2026-12-11T16:00:00Z', speed: '55 mph' }];
      const story = await Story.begin(plot(threeNights(-12, 2), { hose: 'none', towing }));
      await story.until('2026-12-10T18:00:00Z', { everyHours: 3 });
      await story.mark('winterized', { method: 'antifreeze', concentrationPercent: 50 });
      await story.until('2026-12-14T21:00:00Z', { everyHours: 3 });
      story.expectHeard([
        {
          kind: 'act',
          from: FROM,
          to: FROM,
          startBy: ['2026-12-10T18:00:00Z', leaves],
        },
        { kind: 'all-clear', from: '2026-12-13T17:00:00Z', to: '2026-12-14T21:00:00Z' },
      ]);
    },
  );
});
