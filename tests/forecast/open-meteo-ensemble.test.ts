import { describe, expect, it } from 'vitest';
import { HOUR_S } from '../../src/quantity/instant.ts';
import type { SourceAnswer } from '../../src/forecast/source.ts';
import { BERLIN, bridged, fetchOne, forecastOf, healthy, jsonText } from './open-meteo-setup.ts';
import { manyPoints, NOW, NOW_INDEX, OSLO, START, type Options } from './open-meteo-setup.ts';
import { withModels, type World } from './open-meteo-ensemble-setup.ts';

const GEFS = 'ncep_gefs025';
const IFS = 'ecmwf_ifs025_ensemble';

/** `NOW` is half past, so the present hour is the one before the first that is not before it. */
const PRESENT = NOW_INDEX - 1;

function remarksOf(answer: SourceAnswer): readonly string[] {
  if (!answer.ok) throw answer.error;
  return answer.remarks ?? [];
}

async function fetched(world: World, options: Options = {}): Promise<SourceAnswer> {
  return fetchOne(withModels({ [GEFS]: world }, options).source);
}

/** Members beside the single forecast. */
function membersOf(answer: SourceAnswer): ReturnType<typeof forecastOf>['members'] {
  return forecastOf(answer).members.slice(1);
}

describe('ensembles', () => {
  it('are asked for one model at a time, temperature only, from today on', async () => {
    const setup = withModels({ [IFS]: {}, [GEFS]: {} });
    await fetchOne(setup.source);
    expect(setup.ensembleRequests().map(({ searchParams }) => Object.fromEntries(searchParams))).toEqual(
      [IFS, GEFS].map((models) => ({
        latitude: '52.5200',
        longitude: '13.4050',
        elevation: 'nan',
        hourly: 'temperature_2m',
        timezone: 'GMT',
        timeformat: 'unixtime',
        models,
        forecast_days: '11',
      })),
    );
    expect(setup.metaRequests().map(({ pathname }) => pathname)).toEqual([
      `/members/data/${IFS}/static/meta.json`,
      `/members/data/${GEFS}/static/meta.json`,
    ]);
  });

  it('come after the single forecast, with its past, wind, cloud and soil, and their own temperature from this hour on', async () => {
    const setup = withModels({ [IFS]: {}, [GEFS]: { stepHours: 6, body: { members: 2 } } });
    const forecast = forecastOf(await fetchOne(setup.source));
    const [single, ...members] = forecast.members;
    expect(single).not.toHaveProperty('model');
    expect(members.map(({ model }) => model)).toEqual([IFS, IFS, IFS, GEFS, GEFS]);
    expect(members.map(({ weight }) => weight)).toEqual([1, 1, 1, 1, 1]);
    const second = members[1]!;
    // The single forecast is −(hour % 7) from three days ago, 72 hours before today; members −(hour % 7) − member from today.
    expect(second.temperatureC.slice(PRESENT - 2, PRESENT + 2)).toEqual([
      -((PRESENT - 2) % 7),
      -((PRESENT - 1) % 7),
      -((PRESENT - 72) % 7) - 1,
      -((PRESENT - 71) % 7) - 1,
    ]);
    expect(second.windSpeedMps).toBe(single!.windSpeedMps);
    expect(second.cloudPercent).toBe(single!.cloudPercent);
    expect(second.soilTemperatureC).toBe(single!.soilTemperatureC);
    expect(second.stepHours!.slice(PRESENT - 1, PRESENT + 1)).toEqual([1, 3]);
    expect(members[3]!.stepHours![PRESENT]).toBe(6);
    // The single forecast of 19 days goes on where the ensemble has ended.
    expect(second.temperatureC).toHaveLength(19 * 24);
    expect(second.temperatureC.slice(72 + 11 * 24 - 1, 72 + 11 * 24 + 1)).toEqual([-(263 % 7) - 1, NaN]);
  });

  it('give the time of issue of the oldest run, which a single forecast does not have', async () => {
    const setup = withModels({ [IFS]: { availableAt: NOW - 7200 }, [GEFS]: { availableAt: NOW - 3600 } });
    expect(forecastOf(await fetchOne(setup.source)).issuedAt).toBe(NOW - 7200);
    expect(forecastOf(await fetchOne(bridged((request) => healthy(request)).source)).issuedAt).toBeNull();
  });

  it('of none leave everything as it is, and nothing is asked for', async () => {
    const setup = withModels({}, { ensembles: [] });
    expect(forecastOf(await fetchOne(setup.source)).members).toHaveLength(1);
    expect(setup.requests).toHaveLength(1);
  });

  it('stay at the height of their own cell, which is told: what to do about it hangs on the lie of the land', async () => {
    const [member] = membersOf(await fetched({ body: { elevation: 238, temperatureC: () => -5 } }));
    expect(member).toMatchObject({ gridElevationM: 238 });
    expect(member!.temperatureC[PRESENT]).toBe(-5);
    const unknown = { body: { elevation: Number.NaN, temperatureC: (): number => -5 } };
    expect(membersOf(await fetched(unknown))[0]).not.toHaveProperty('gridElevationM');
  });

  it('OM-4: are found whatever stands behind the names of their members', async () => {
    const answer = await fetched({ body: { suffix: '_icon_seamless_eps', members: 12 } });
    expect(membersOf(answer)).toHaveLength(12);
    expect(membersOf(answer)[11]!.temperatureC[PRESENT]).toBe(-((PRESENT - 72) % 7) - 11);
  });

  it('travel a hundred places to a request, and fewer where a hundred are too much for one minute', async () => {
    const points = manyPoints(150);
    const setup = withModels({ [IFS]: { body: { hours: 100, members: 2 } } }, { allowance: null });
    await setup.source.fetch(points, NOW, new AbortController().signal);
    const counts = (urls: readonly URL[]): number[] =>
      urls.map(({ searchParams }) => searchParams.get('latitude')!.split(',').length);
    expect(counts(setup.ensembleRequests())).toEqual([100, 50]);
    const slow = withModels({ [IFS]: { body: { hours: 100, members: 2 } } }, { allowance: { minute: 200 } });
    await slow.source.fetch(points, NOW, new AbortController().signal);
    // 51 members, 11 days: 5.1 calls a place, 39 places in 200.
    expect(counts(slow.ensembleRequests())).toEqual([39, 39, 39, 33]);
    expect(slow.waits.every((ms) => ms === 60_000)).toBe(true);
  });
});

describe('an ensemble on the shelf', () => {
  it('is asked for anew when its metadata name a new run, ten minutes after, and not before', async () => {
    const world: World = { availableAt: NOW - 3600 };
    const setup = withModels({ [GEFS]: world });
    const at = async (now: number): Promise<number> => {
      forecastOf(await fetchOne(setup.source, BERLIN, now));
      return setup.ensembleRequests().length;
    };
    expect(await at(NOW)).toBe(1);
    expect(await at(NOW + 4 * HOUR_S)).toBe(1);
    world.availableAt = NOW + 5 * HOUR_S;
    world.body = { temperatureC: (hour, member) => -(hour % 5) - member };
    expect(await at(NOW + 5 * HOUR_S + 300)).toBe(1);
    expect(await at(NOW + 5 * HOUR_S + 1300)).toBe(2);
    expect(await at(NOW + 8 * HOUR_S)).toBe(2);
  });

  it('is asked for anew after six hours where there are no metadata, and that is said', async () => {
    const setup = withModels({ [GEFS]: { availableAt: null } });
    const first = await fetchOne(setup.source);
    expect(forecastOf(first)).toMatchObject({ issuedAt: null });
    expect(remarksOf(first)).toEqual([
      `The ensemble "${GEFS}" is the one answered at 2026-01-10T08:30:00Z; how new its run is, the service does not say.`,
    ]);
    expect(membersOf(first)[0]!.stepHours![PRESENT]).toBe(3);
    await fetchOne(setup.source, BERLIN, NOW + 6 * HOUR_S - 1);
    expect(setup.ensembleRequests()).toHaveLength(1);
    await fetchOne(setup.source, BERLIN, NOW + 6 * HOUR_S);
    expect(setup.ensembleRequests()).toHaveLength(2);
  });

  it('stands in for one that cannot be had, as old as it is, until it is stale', async () => {
    const world: World = { availableAt: NOW - 3600 };
    const setup = withModels({ [GEFS]: world });
    await fetchOne(setup.source);
    world.availableAt = NOW + 5 * HOUR_S;
    world.reply = () => jsonText('', 503);
    const kept = await fetchOne(setup.source, BERLIN, NOW + 6 * HOUR_S);
    expect(membersOf(kept)).toHaveLength(3);
    expect(forecastOf(kept).issuedAt).toBe(NOW);
    expect(remarksOf(kept)[0]).toMatch(/is the one answered at 2026-01-10T08:30:00Z\. .*status 503/);
    world.availableAt = NOW + 11 * HOUR_S;
    const late = await fetchOne(setup.source, BERLIN, NOW + 13 * HOUR_S);
    expect(membersOf(late)).toHaveLength(0);
    expect(remarksOf(late)[0]).toContain('more than 12 hours ago');
  });

  it('OM-9: is not taken for new when a new run says the same to the last digit', async () => {
    const world: World = { availableAt: NOW - 3600 };
    const setup = withModels({ [GEFS]: world });
    await fetchOne(setup.source);
    world.availableAt = NOW + 5 * HOUR_S;
    const stuck = await fetchOne(setup.source, BERLIN, NOW + 6 * HOUR_S);
    expect(forecastOf(stuck).issuedAt).toBe(NOW);
    expect(remarksOf(stuck)[0]).toContain('answers the same as at 2026-01-10T08:30:00Z');
  });
});

describe('an ensemble is left out, and the forecast stands, when it', () => {
  const NO_MEMBER: readonly (readonly [what: string, world: World, words: string])[] = [
    ['OM-8: is out of order', { reply: () => jsonText('<html>502</html>', 502) }, 'web page'],
    [
      'OM-15: has another name now',
      { reply: () => jsonText('{"error":true,"reason":"Invalid model"}', 400) },
      'Invalid model',
    ],
    ['OM-3: knows nothing', { body: { temperatureC: () => null } }, 'knows no temperature'],
    [
      'OM-9: has had no run for more than the limit',
      { availableAt: NOW - 12 * HOUR_S - 1 },
      'Its last run is of 2026-01-09T20:29:59Z, more than 12 hours ago.',
    ],
    [
      'OM-1: ends within three days',
      { body: { temperatureC: (hour) => (hour < 80 ? -3 : null) } },
      'beyond the next 72 hours',
    ],
    ['X-3: is short', { body: { hours: 48 } }, 'beyond the next 72 hours'],
    ['OM-4: has lost its members', { body: { members: 1 } }, 'one member only'],
    ['OM-5: is no JSON', { reply: () => jsonText('{"latitude":nan}') }, 'not JSON'],
    ['X-2: begins another day', { body: { startEpochS: NOW + 40 * 86_400 - 1800 } }, 'within 2 hours of now'],
    ['X-1: has half hours', { body: { startEpochS: START + 1800 } }, 'whole hours'],
  ];
  it.each(NO_MEMBER)('%s', async (_, world, words) => {
    const answer = await fetched(world);
    expect(forecastOf(answer).members).toHaveLength(1);
    expect(forecastOf(answer).issuedAt).toBeNull();
    expect(remarksOf(answer)).toHaveLength(1);
    expect(remarksOf(answer)[0]).toMatch(/^The ensemble "ncep_gefs025" is left out\. .*\.$/);
    expect(remarksOf(answer)[0]).toContain(words);
  });

  it('X-4: comes in °F', async () => {
    const answer = await fetched({
      reply: () =>
        jsonText(
          '{"latitude":52.5,"longitude":13.4,"hourly_units":{"time":"unixtime","temperature_2m":"°F"},"hourly":{"time":[1768003200],"temperature_2m":[20]}}',
        ),
    });
    expect(remarksOf(answer)[0]).toContain('temperature_2m in "°F" instead of "°C"');
  });

  it('is broken for one place, which keeps it for the other', async () => {
    const setup = withModels({
      [GEFS]: {
        body: { temperatureC: (hour, member, point) => (point === 0 ? null : -(hour % 7) - member) },
      },
    });
    const answers = await setup.source.fetch([BERLIN, OSLO], NOW, new AbortController().signal);
    expect(membersOf(answers.get('berlin')!)).toHaveLength(0);
    expect(membersOf(answers.get('oslo')!)).toHaveLength(3);
  });
});

describe('one member is left out, and said, when it', () => {
  const course = (hour: number, member: number): number => -(hour % 24) / 3 - member / 10;

  it('OM-3: knows nothing', async () => {
    const answer = await fetched({
      body: { members: 5, temperatureC: (hour, member) => (member === 2 ? null : course(hour, member)) },
    });
    expect(membersOf(answer)).toHaveLength(4);
    expect(remarksOf(answer)).toEqual([
      `Member 2 of the ensemble "${GEFS}" is left out: it knows no temperature.`,
    ]);
  });

  it('OM-9: stands still for two days while the others move', async () => {
    const still = (from: number) => (hour: number, member: number) =>
      member === 0 && hour >= from ? 4 : course(hour, member);
    const answer = await fetched({ body: { members: 5, temperatureC: still(8) } });
    expect(membersOf(answer)).toHaveLength(4);
    expect(remarksOf(answer)[0]).toContain('Member 0');
    expect(remarksOf(answer)[0]).toContain('stands still for two days');
    const moving = await fetched({ body: { members: 5, temperatureC: still(57) } });
    expect(membersOf(moving)).toHaveLength(5);
    const calm = await fetched({ body: { members: 5, temperatureC: (_, member) => member } });
    expect(membersOf(calm)).toHaveLength(5);
  });

  it('OM-9: ends two days before the others, as the control did that was not renewed (issue 1844)', async () => {
    const answer = await fetched({
      body: {
        members: 5,
        temperatureC: (hour, member) => (member === 0 && hour >= 216 ? null : course(hour, member)),
      },
    });
    expect(membersOf(answer)).toHaveLength(4);
    expect(remarksOf(answer)[0]).toContain('Member 0');
    expect(remarksOf(answer)[0]).toContain('before the others');
  });
});
