/** What docs/weather-sources.md says of cost, from the weights that the client itself counts. */
import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { forecastDays, PAST_DAYS, VARIABLES } from '../../src/forecast/open-meteo/request.ts';
import { callWeight, ensembleWeight } from '../../src/forecast/open-meteo/weight.ts';

const page = readFileSync(new URL('../../docs/weather-sources.md', import.meta.url), 'utf8');
/** The free service's terms of 2026. */
const FREE_A_DAY = 10_000;
const FREE_AN_HOUR = 5000;
const MODELS = ['ecmwf_ifs025_ensemble', 'ncep_gefs_seamless'];

it('the page says how many places fit a free allowance', () => {
  const days = forecastDays(384);
  const forecast = callWeight(VARIABLES.length, PAST_DAYS + days);
  const ensembles = MODELS.map((model) => ensembleWeight(model, days));
  const archive = callWeight(1, 8);
  const runs = 4 * ensembles.reduce((sum, weight) => sum + weight, 0);
  const aDay = (rounds: number, pooled: number): number => rounds * forecast + pooled + archive;
  const fit = (rounds: number, pooled: number): number =>
    Math.floor((FREE_A_DAY - (pooled > 0 ? 2 * rounds : 0)) / aDay(rounds, pooled));
  const cells = [forecast, ...ensembles, archive].map((weight) => weight.toFixed(2));
  for (const cell of cells) expect(page).toMatch(new RegExp(`\\| +${cell} +\\|`));
  const perDay = [24 * forecast, ...ensembles.map((w) => 4 * w), archive, aDay(24, runs)].map((w) =>
    w.toFixed(1),
  );
  for (const cell of perDay) expect(page).toMatch(new RegExp(`\\| +${cell} +\\|`));
  expect(page.replaceAll(/\s+/g, ' ')).toContain(
    `**${fit(24, runs)} places** fit into the free 10,000 calls a day with both ensembles and a round every hour, ${fit(8, runs)} with a round every three hours, and ${fit(24, 0)} with`,
  );
  const atOnce = forecast + ensembles.reduce((sum, weight) => sum + weight, 0);
  expect(page.replaceAll(/\s+/g, ' ')).toContain(
    `${atOnce.toFixed(1)} a place, ${Math.floor(FREE_AN_HOUR / atOnce)} places`,
  );
});
