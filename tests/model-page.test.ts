import { it } from 'vitest';
import { lineOf } from '../src/model/tube.ts';
import { windFactor } from '../src/model/film.ts';
import { LOWS_C, lossesOf } from './support/protection-table.ts';
it('x', () => {
const l = lineOf({tube:'pex-1/2', lengthM: 1});
console.log(l, windFactor(.6), windFactor(.6, l));
for (const mode of ['head','flex','line'] as const) for (const heat of ['off','on, after dusk'] as const) for (const p of [0,3]) for (const l of LOWS_C) console.log(mode, heat,p,l,lossesOf(heat,p,l, (q: any) => {
  if (['petcock','low-points'].includes(q.id)) q = {...q, headroom: true};
  if (mode !== 'head' && q.id.startsWith('dump')) q = {...q, body:'flexible', blocked: .9};
  return q; })); });
