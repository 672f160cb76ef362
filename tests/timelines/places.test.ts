/** Stories of a place that shuts its water, and of units that are winterized or drained when cold comes or goes. */
import { expect, it } from 'vitest';
import { seconds } from '../support/instants.ts';
import { CREEK } from '../support/scenario.ts';
import { startBroker, type Broker } from '../readings/broker.ts';
import { checkNow, cold, edit, fittingOf, lastOf, textOf } from './people.ts';
import { fitting, HOUR, Story } from './story.ts';

const LONG = 120_000;
const at = (instant: string) => ({ from: instant, to: instant });

/** Somebody lives in it, warm; its only part stands inside. */
const LIVED_IN = fitting({
  attended: true,
  heat: { set: '64 °F', furnace: '6 kW' },
  waterUse: { perDay: '12 gal', onBoard: '36 gal', tank: '40 gal' },
  parts: { catalogue: false, own: [fittingOf('cold', { zone: 'inside' })] },
});

it('the park shuts water and dump on a date: dump, then fill, three days', { timeout: LONG }, async () => {
  const water = { shutsOn: '2026-11-15', dumpClosesOn: '2026-11-15', at: '08:00' };
  const story = await Story.begin({
    from: '2026-11-12T12:00:00Z',
    says: () => 8,
    places: [{ ...CREEK, water }],
    units: [LIVED_IN],
  });
  await story.until('2026-11-12T20:00:00Z');
  await story.until('2026-11-17T00:00:00Z', { everyHours: 4 });
  // It is shut at 15:00Z on the 15th, 72 h after 15:00Z on the 12th. Two hours of margin and a quarter of an hour for
  // filling before that it is dark; the last light is that of the 14th, sunset 16:47 MST (23:47Z; from memory). Filling
  // takes the last 15 min of it, dumping the 20 before.
  const dump = ['2026-11-14T23:00:00Z', '2026-11-14T23:20:00Z'] as const;
  const fill = ['2026-11-14T23:20:00Z', '2026-11-14T23:40:00Z'] as const;
  const told = at('2026-11-12T15:00:00Z');
  story.expectHeard([
    { kind: 'dump-by', ...told, startBy: dump },
    { kind: 'fill-by', ...told, startBy: fill },
  ]);
  const [dumping, filling] = [lastOf(story, 'dump-by'), lastOf(story, 'fill-by')];
  expect((filling.startBy ?? 0) - (dumping.startBy ?? 0)).toBeGreaterThanOrEqual(20 * 60 - 1);
  expect(textOf(filling)).toMatch(/36 gal .*on board at 12 gal .*a day last 3 days/);
  expect(textOf(filling).indexOf('Dump black first')).toBeLessThan(
    textOf(filling).indexOf('Fill the fresh tank with'),
  );
});

it('the park shuts its water below 25 °F: told once for each cold', { timeout: LONG }, async () => {
  const story = await Story.begin({
    from: '2026-11-11T00:00:00Z',
    says: cold(
      [
        { from: '2026-11-14T04:00:00Z', hours: 8, lowC: -7 },
        { from: '2026-11-21T10:00:00Z', hours: 8, lowC: -7 },
      ],
      8,
    ),
    places: [{ ...CREEK, water: { shutsBelow: '25 °F' } }],
    units: [LIVED_IN],
  });
  await story.until('2026-11-11T08:00:00Z');
  await story.until('2026-11-18T08:00:00Z', { everyHours: 4 });
  await story.until('2026-11-22T08:00:00Z', { everyHours: 2 });
  // 25 °F is −3.9 °C: the air passes it at 03:48Z on the way from 8 to −7, in the window 72 h before. Two and a quarter
  // hours before that it is dark; the last light for a quarter of an hour ends at sunset, 23:47Z (from memory).
  const first = ['2026-11-13T23:20:00Z', '2026-11-13T23:40:00Z'] as const;
  // On the 21st at 09:48Z, 02:48 MST: the light of the 20th; the sun sets some 5 min earlier than a week before.
  const second = ['2026-11-20T23:15:00Z', '2026-11-20T23:35:00Z'] as const;
  story.expectHeard([
    { kind: 'fill-by', from: '2026-11-11T03:00:00Z', to: '2026-11-11T04:00:00Z', startBy: first },
    { kind: 'fill-by', from: '2026-11-18T08:00:00Z', to: '2026-11-18T12:00:00Z', startBy: second },
  ]);
  expect(textOf(lastOf(story, 'fill-by'))).toMatch(/last 3 days/);
});

/** A night whose coldest hour is forecast with this; the wave of a day about a mean eight kelvin higher. */
function wave(lowC: number, halfRangeC: number) {
  // Coldest at 13:00Z, six in the morning in Denver.
  return (when: number): number => lowC + halfRangeC * (1 - Math.cos(((when / HOUR - 13) * Math.PI) / 12));
}

/** Share of the members that come down to this within 72 h of the last round. */
function shareDownTo(story: Story, lowC: number): number {
  const outlook = story.outcomes.at(-1)?.evaluation.units[0]?.place.outlook;
  if (outlook === null || outlook === undefined) throw new Error('no forecast');
  const from = Math.floor(((story.outcomes.at(-1)?.record.startedAt ?? 0) - outlook.firstHour) / HOUR);
  return outlook.members.reduce((sum, { weight, temperatureC }) => {
    const ahead = [...temperatureC].slice(from, from + 72);
    return Math.min(...ahead) <= lowC ? sum + weight : sum;
  }, 0);
}

it(
  'a trip in November with one chance in ten of −6 °C, winterized: it stays dry',
  { timeout: LONG },
  async () => {
    // A lead of one to two days: a deviation of 1.4 K (1.0 and 0.3 a day), t with five degrees of freedom, whose tenth
    // lies 1.48 of its own scale below the middle, and that scale is 0.77 of the deviation: 1.6 K. Of two nights the colder.
    const says = wave(-4.2, 4);
    const plot = { from: '2026-11-09T00:00:00Z', says };
    const water = { state: 'winterized', method: 'antifreeze', concentration: 28 };
    const dry = await Story.begin({ ...plot, units: [fitting({ water })] });
    await dry.until('2026-11-12T00:00:00Z', { everyHours: 4 });
    expect(shareDownTo(dry, -6)).toBeGreaterThan(0.05);
    expect(shareDownTo(dry, -6)).toBeLessThan(0.3);
    dry.expectHeard([]);
    expect((await checkNow(dry)).answer.units[0]?.advice).toMatchObject({ action: 'nothing' });
    // Filled for the trip it would have to be drained the same evening.
    const filled = await Story.begin(plot);
    await filled.until('2026-11-09T00:00:00Z');
    expect(filled.heard.map(({ kind }) => kind)).toContain('act');
  },
);

it(
  'spring: drained for a frost, with one chance in twenty of −3 °C behind it: fill again, with a plan to drain',
  { timeout: LONG },
  async () => {
    const frost = cold([{ from: '2026-04-04T00:00:00Z', hours: 16, lowC: -2.5 }], 9);
    const mild = wave(1.2, 7);
    const story = await Story.begin({
      from: '2026-04-03T06:00:00Z',
      says: (when) => (when < Date.UTC(2026, 3, 4, 20) / 1000 ? frost(when, when) : mild(when)),
      units: [
        fitting({
          parts: {
            catalogue: false,
            own: [fittingOf('cold', { zone: 'inside', water: '0.6 kg', pocket: false })],
          },
        }),
      ],
    });
    await story.until('2026-04-03T18:00:00Z', { everyHours: 2 });
    await story.mark('drained', { quality: 'well' });
    await story.until('2026-04-07T00:00:00Z', { everyHours: 2 });
    expect(shareDownTo(story, -3)).toBeGreaterThan(0.02);
    expect(shareDownTo(story, -3)).toBeLessThan(0.12);
    story.expectHeard([
      { kind: 'act', from: '2026-04-03T06:00:00Z', to: '2026-04-03T06:00:00Z', action: 'drain' },
      // The last hour of the frost is 15:00Z; the night after it is mild.
      { kind: 'fill-again', from: '2026-04-04T16:00:00Z', to: '2026-04-05T16:00:00Z' },
    ]);
    const text = textOf(lastOf(story, 'fill-again'));
    expect(text).toMatch(/Heater on only after water runs steadily at the hot faucet/);
    expect(text).toMatch(/keep the wrench and a plan to drain at hand/);
  },
);

it(
  'a state that a broker has kept for two days has run out, and nothing of it is left when its unit is gone',
  { timeout: LONG },
  async () => {
    const broker = await startBroker();
    const story = await Story.begin({
      from: '2026-11-12T12:00:00Z',
      says: cold([{ from: '2026-11-14T02:00:00Z', hours: 12, lowC: -8 }]),
      isOut: (now) => now > seconds('2026-11-13T00:00:00Z'),
      config: (port) => ({
        delivery: {
          email: { host: '127.0.0.1', port, security: 'none', from: 'drainby@example.org' },
          mqtt: { url: broker.url },
        },
      }),
    });
    await story.until('2026-11-12T12:00:00Z');
    const first = await stateFrom(broker, ({ asOf }) => asOf === '2026-11-12T12:00:00Z');
    expect(first).toMatchObject({ advice: { action: 'winterize' }, chanceOfDamage: { nothing: 1 } });
    // For two days the program is off; a broker of version 3.1.1 keeps the state, which says itself that it is over.
    story.now = seconds('2026-11-14T12:00:00Z');
    expect(Date.parse(first.validUntil)).toBeLessThan(story.now * 1000);
    expect(await stateFrom(broker, () => true)).toEqual(first);
    // Back, and without a forecast: nothing is known, and nothing asked for.
    await story.until('2026-11-14T12:00:00Z');
    const back = await stateFrom(broker, ({ asOf }) => asOf === '2026-11-14T12:00:00Z');
    expect(back).toMatchObject({ advice: null, chanceOfDamage: null, heat: 'unchanged' });
    edit<{ units: object[] }>(story, (written) => ({ ...written, units: [fitting({ id: 'red' })] }));
    await story.until('2026-11-14T13:00:00Z');
    await broker.kept((all) => !all.has(TOPIC) && all.has('drainby/creek/red/state'));
    // What was asked for and not done is late; that nothing is known is told of each unit.
    const back14 = at('2026-11-14T12:00:00Z');
    story.expectHeard([
      { kind: 'act', ...at('2026-11-12T12:00:00Z'), unit: 'blue' },
      { kind: 'late', ...back14, unit: 'blue' },
      { kind: 'no-forecast', ...back14, unit: 'blue', says: /18 °F/ },
      { kind: 'no-forecast', ...at('2026-11-14T13:00:00Z'), unit: 'red' },
    ]);
  },
);

const TOPIC = 'drainby/creek/blue/state';

interface KeptState {
  readonly asOf: string;
  readonly validUntil: string;
}

async function stateFrom(broker: Broker, fits: (state: KeptState) => boolean): Promise<KeptState> {
  const read = (all: ReadonlyMap<string, string>) => JSON.parse(all.get(TOPIC) ?? '{}') as KeptState;
  return read(await broker.kept((all) => all.has(TOPIC) && fits(read(all))));
}
