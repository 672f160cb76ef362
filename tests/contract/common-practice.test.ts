/**
 * What the trade does, told of a parked, unheated, wet unit of the catalogue on a bench, with the default policy
 * and the default error law.
 *
 * Mark: common practice, no source. Nights between about −4 and −1 °C, even for longer spells: draining is enough.
 * Longer spells below about −6.5 to −4 °C: an unprotected unit left wet freezes up. A night at −10.5 °C:
 * winterize before it.
 */
import { describe, expect, it } from 'vitest';
import { KINDS } from '../../src/model/unit.ts';
import { CREEK, checkAt, configOf, csvOf, scenario } from '../support/scenario.ts';

const START = '2026-11-20T23:00:00Z';
const NOW = '2026-11-24T00:00:00Z';
const DAYS = 7;

type Night = readonly [lowC: number, highC: number];

const MILD: Night = [4, 12];
const AFTER: Night = [3, 12];

/** A sine a day, warmest at 00Z, coldest at 12Z (5 in the morning there); three days before now are mild. */
function air(nights: readonly Night[], after: Night): number[] {
  return Array.from({ length: DAYS * 24 }, (_, i) => {
    const day = Math.floor((i - 1) / 24) - 3;
    const [low, high] = day < 0 ? MILD : (nights[day] ?? after);
    return (low + high) / 2 + ((high - low) / 2) * Math.cos((2 * Math.PI * (i - 1)) / 24);
  });
}

interface Asked {
  readonly temperatureC: readonly number[];
  readonly windMps: number | null;
  readonly units: readonly (readonly [kind: string, belly: string])[];
}

/** Advice by unit, with the chances beside it so that a failure says why. */
async function advised({ temperatureC, windMps, units }: Asked): Promise<Record<string, string>> {
  const config = configOf({
    places: [CREEK],
    errorModel: { kind: 'growing' },
    units: units.map(([kind, belly]) => ({
      id: `${kind}-${belly}`,
      place: 'creek',
      kind,
      belly,
      heat: 'none',
      water: { state: 'in-use' },
      contacts: ['ann'],
    })),
  });
  const wind = windMps === null ? {} : { windSpeedMps: temperatureC.map(() => windMps) };
  const loaded = scenario(config, { 'series.csv': csvOf({ start: START, temperatureC, ...wind }) });
  const { units: answers } = await checkAt(loaded, NOW);
  return Object.fromEntries(
    answers.map((u) => [u.id, `${u.advice?.action} ${JSON.stringify(u.chanceOfDamage)} ${u.firstPart}`]),
  );
}

const SPELLS: readonly (readonly [name: string, temperatureC: readonly number[], action: string])[] = [
  [
    'three days of −3 at night and +6 by day: drain',
    air(
      [
        [-3, 6],
        [-3, 6],
        [-3, 6],
      ],
      AFTER,
    ),
    'drain',
  ],
  [
    'three days of −6 at night and +2 by day: winterize',
    air(
      [
        [-6, 2],
        [-6, 2],
        [-6, 2],
      ],
      AFTER,
    ),
    'winterize',
  ],
  ['one night at −10.5: winterize', air([MILD, [-10.5, 4]], AFTER), 'winterize'],
  ['+2 at night and +12 by day: nothing', air([], [2, 12]), 'nothing'],
];

function expectAll(answers: Record<string, string>, action: string): void {
  const other = Object.entries(answers).filter(([, said]) => !said.startsWith(`${action} `));
  expect(Object.fromEntries(other)).toEqual({});
}

describe('common practice', () => {
  for (const [name, temperatureC, action] of SPELLS) {
    describe(name, () => {
      it('every kind of unit, open and enclosed, in calm air', async () => {
        const units = KINDS.flatMap((kind) => ['open', 'enclosed'].map((belly) => [kind, belly] as const));
        expectAll(await advised({ temperatureC, windMps: 0, units }), action);
      });

      for (const [air_, windMps] of [
        ['a wind of 2 m/s', 2],
        ['a wind that nobody gives', null],
      ] as const) {
        for (const belly of ['open', 'enclosed']) {
          it(`a travel trailer, ${belly} below, in ${air_}`, async () => {
            expectAll(await advised({ temperatureC, windMps, units: [['travel-trailer', belly]] }), action);
          });
        }
      }
    });
  }
});
