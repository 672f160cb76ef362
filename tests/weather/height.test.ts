/** From cell to place: T_place = T_grid + 0.0065·(z_grid − z_place) K (ICAO standard atmosphere, check-values.md, found). */
import { describe, expect, it } from 'vitest';
import { SourceError } from '../../src/errors.ts';
import { HOUR_S } from '../../src/quantity/instant.ts';
import type { Forecast } from '../../src/weather/forecast.ts';
import type { Spot } from '../../src/weather/local-correction.ts';
import { outlookOf } from '../../src/weather/outlook.ts';
import { BENCH, MIDNIGHT, madeForecast, requestFor } from '../support/made-forecast.ts';

const FLAT = Array.from({ length: 145 }, () => 3);

function outlook(over: Partial<Forecast>, spot: Partial<Spot>) {
  const cloudPercent = FLAT.map(() => 100);
  const forecast = madeForecast([{ temperatureC: FLAT, cloudPercent }], over);
  return outlookOf(requestFor(forecast, { spot: { ...BENCH, ...spot }, errorLaw: null }));
}

const first = (of: ReturnType<typeof outlook>): number => of.members[0]?.temperatureC[0] ?? Number.NaN;

describe('the height of the place', () => {
  it('above the cell is colder by 6.5 K a kilometre, wherever it lies', () => {
    for (const lie of ['bench', 'ridge', 'town', 'hollow', 'valley', 'unknown'] as const) {
      const found = outlook({ gridElevationM: 1600 }, { elevationM: 2600, lie });
      expect(first(found)).toBeCloseTo(3 - 6.5, 12);
      expect(found.assumptions.join()).toContain('2600 m: 6.5 K (11.7 °F) are taken off.');
    }
  });

  it('below the cell is warmer, but not where cold air gathers, or may', () => {
    for (const lie of ['bench', 'ridge', 'town'] as const) {
      const found = outlook({ gridElevationM: 2000 }, { elevationM: 1600, lie });
      expect(first(found)).toBeCloseTo(3 + 2.6, 12);
      expect(found.assumptions.join()).toContain('2.6 K (4.7 °F) are added');
    }
    for (const lie of ['hollow', 'valley', 'unknown'] as const) {
      const found = outlook({ gridElevationM: 2000 }, { elevationM: 1600, lie });
      expect(first(found)).toBe(3);
      expect(found.assumptions.join()).toContain('are not added');
    }
  });

  it('is the service’s where the user gives none, and the user’s where both are known', () => {
    const known = { gridElevationM: 1000, groundElevationM: 1200 };
    expect(first(outlook(known, {}))).toBeCloseTo(3 - 1.3, 12);
    expect(first(outlook(known, { elevationM: 1100 }))).toBeCloseTo(3 - 0.65, 12);
  });

  it('that is not known corrects nothing, and that is said', () => {
    const noPlace = outlook({ gridElevationM: 1000 }, {});
    expect(first(noPlace)).toBe(3);
    expect(noPlace.assumptions.join()).toContain('Give the place its elevation.');
    const noGrid = outlook({}, { elevationM: 1000 });
    expect(first(noGrid)).toBe(3);
    expect(noGrid.assumptions.join()).toContain('does not tell the height');
  });

  it('far off the cell, or given in feet as metres, is refused', () => {
    const refused = (): unknown => outlook({ gridElevationM: 2760 }, { elevationM: 9055 });
    expect(refused).toThrow(SourceError);
    expect(refused).toThrow('ground at 2760 m, the place lies at 9055 m');
    expect(first(outlook({ gridElevationM: 2760 }, { elevationM: 1270 }))).toBeCloseTo(3 + 0.0065 * 1490, 12);
  });
});

describe('an ensemble with a cell of its own', () => {
  const cloudPercent = FLAT.map(() => 100);
  const single = { temperatureC: FLAT, cloudPercent };
  const of = (gridElevationM: number) => [
    { ...single, model: 'a', gridElevationM },
    { ...single, model: 'a', gridElevationM },
  ];

  function pooled(gridElevationM: number, spot: Partial<Spot>) {
    const forecast = madeForecast([single, ...of(gridElevationM)], { gridElevationM: 2000 });
    const now = MIDNIGHT + 10 * HOUR_S;
    return outlookOf(requestFor(forecast, { now, spot: { ...BENCH, ...spot }, errorLaw: null }));
  }
  const temperatures = (found: ReturnType<typeof pooled>, hour: number): number[] =>
    found.members.map((m) => Math.round(1e9 * (m.temperatureC[hour] ?? Number.NaN)) / 1e9);

  it('is brought from there to the place, its past with that of the single forecast', () => {
    const found = pooled(2600, { elevationM: 1600 });
    expect(temperatures(found, 9)).toEqual([5.6, 5.6, 5.6]);
    expect(temperatures(found, 10)).toEqual([5.6, 9.5, 9.5]);
    const said = found.assumptions.filter((s) => s.includes('ground at'));
    expect(said).toEqual([
      'The forecast is for ground at 2000 m, the place lies at 1600 m: 2.6 K (4.7 °F) are added.',
      'The ensemble a is for ground at 2600 m, the place lies at 1600 m: 6.5 K (11.7 °F) are added.',
    ]);
  });

  it('never warms a hollow, and cools it where its cell lies lower', () => {
    for (const lie of ['hollow', 'valley', 'unknown'] as const) {
      expect(temperatures(pooled(2600, { elevationM: 2000, lie }), 20)).toEqual([3, 3, 3]);
      const low = temperatures(pooled(1000, { elevationM: 2000, lie }), 20);
      expect(low).toEqual([3, -3.5, -3.5]);
      expect(pooled(2600, { elevationM: 2000, lie }).assumptions.join()).toContain(
        'The ensemble a is for ground at 2600 m, the place lies at 2000 m: the 3.9 K (7 °F) by which it would be warmer are not added',
      );
    }
  });

  it('is brought to the single forecast’s cell where the place’s height is not known', () => {
    expect(temperatures(pooled(2600, {}), 20)).toEqual([3, 6.9, 6.9]);
  });

  it('too far off the place is left out, and the forecast stands', () => {
    const found = pooled(3200, { elevationM: 1600 });
    expect(found.members).toHaveLength(1);
    expect(found.assumptions).toContain(
      'The ensemble a is for ground at 3200 m, more than 1500 m off the place, and is left out.',
    );
  });
});
