import { it } from 'vitest';
import { checkAt, configOf, csvOf, scenario, CREEK } from '../support/scenario.ts';

const START = '2026-11-21T00:00:00Z';
const NOW = '2026-11-24T00:00:00Z';
/** sinusoid local min at 13Z (~6 local MST), max at 01Z*/
function nights(spec: (day: number) => [number, number]) {
  return Array.from({ length: 9 * 24 }, (_, i) => {
    // phase: minimum at hour 13Z, maximum at 01Z
    const x = Math.cos((2 * Math.PI * (i - 1)) / 24);
    const day = Math.floor((i - 1) / 24) - 3; // 0 = from now's max
    const [lo, hi] = spec(day);
    return (lo + hi) / 2 + ((hi - lo) / 2) * x;
  });
}
const spells: Record<string, (d: number) => [number, number]> = {
  
  '-6/+2 x3': (d) => (d >= 0 && d < 3 ? [-6, 2] : d < 0 ? [4, 12] : [2, 12]),
  '-10.5 x1': (d) => (d === 1 ? [-10.5, 4] : d < 0 ? [4, 12] : [2, 12]),
  '+2/+12': (d) => (d < 0 ? [4, 12] : [2, 12]),
};
it('x', async () => {
  const winds: [string, number[] | undefined][] = [['none', undefined], ['0', Array(216).fill(0)], ['2', Array(216).fill(2)]];
  const kinds = ['travel-trailer', 'fifth-wheel', 'motorhome', 'truck-camper', 'van', 'pop-up'];
  const units = kinds.flatMap((kind) => ['open', 'enclosed'].map((belly) => ({ id: `${kind}-${belly}`, place: 'creek', kind, belly, heat: 'none', water: { state: 'in-use' }, contacts: ['ann'] })));
  for (const [name, f] of Object.entries(spells)) for (const [wn, w] of winds) {
    const t0 = performance.now();
    const config = scenario(configOf({ units, places: [CREEK], errorModel: { kind: 'growing' } }), { 'series.csv': csvOf({ start: START, temperatureC: nights(f), ...(w ? { windSpeedMps: w } : {}) }) });
    const a = await checkAt(config, NOW);
    console.log(name, 'wind', wn, (performance.now() - t0).toFixed(0), 'ms');
    for (const u of a.units) console.log('  ', u.id.padEnd(24), (u.advice?.action + ' ' + (u.advice?.method ?? '')).padEnd(22), u.advice?.reasonCode, JSON.stringify(u.chanceOfDamage), u.firstPart);
  }
}, 120000);
