/**
 * The order of the work where only some circuits are left, for every choice of circuits. The order is common practice,
 * no source: heater off and cool, pressure off, the tank emptied, everything shut, and only then fluid or air.
 */
import { describe, expect, it } from 'vitest';
import type { RouteFacts } from '../../src/message/message.ts';
import type { Job, Procedure } from '../../src/message/procedure.ts';
import { stepsFor } from '../../src/message/steps.ts';
import { WINTERIZE, DRAIN, facts } from './facts.ts';

const READER = { temperature: 'F', words: { faucet: 'faucet', trailer: 'trailer', gas: 'propane' } } as const;
const CIRCUITS = [
  'cold',
  'hot',
  'heater',
  'inlet',
  'flush',
  'outside-shower',
  'tank-grey',
  'trap-bath',
  'sauna',
];
const ROUTE: RouteFacts = {
  heater: 'bypass',
  pump: 'kit',
  heaterGallons: 6,
  antifreezeGallons: 2,
  airGallons: 1,
  compressor: null,
};
const HEATERS = ['bypass', 'jumper', 'fill', 'unknown'] as const;

function partial(job: Job, circuits: readonly string[], over: Partial<RouteFacts> = {}): Procedure {
  const advice =
    job === 'drain'
      ? { ...DRAIN, circuits }
      : { ...WINTERIZE, method: job === 'air' ? ('air' as const) : ('antifreeze' as const), circuits };
  return stepsFor(job, facts({ advice, route: { ...ROUTE, ...over } }), READER);
}

/** Every choice of circuits but none and all of them. */
const CHOICES = Array.from({ length: 2 ** CIRCUITS.length - 2 }, (_, i) =>
  CIRCUITS.filter((_circuit, bit) => ((i + 1) >> bit) % 2 === 1),
);
const THROUGH_LINES = CHOICES.filter((c) =>
  c.some((one) => ['cold', 'hot', 'heater', 'outside-shower', 'sauna'].includes(one)),
);

/** Where each comes first; Infinity: nowhere. */
function order(steps: readonly string[], ...patterns: readonly RegExp[]): readonly number[] {
  return patterns.map((pattern) => {
    const at = steps.findIndex((step) => pattern.test(step));
    return at < 0 ? Infinity : at;
  });
}

const OFF = /element off at its breaker, propane off/;
const NO_PRESSURE = /until no pressure is left/;
const EMPTY = /pull the heater’s plug/;
const SHUT = /^Shut the low points, every drain and every outlet/;
const BYPASS =
  /^Turn the heater bypass|jumper|^There is no heater bypass|Bypass the heater|Without a heater bypass|its bypass( is)? all the way over/;

describe.each(HEATERS)('with a heater that is left out by %s', (heater) => {
  it('no air goes in before the heater is off, without pressure, emptied and past', () => {
    for (const circuits of THROUGH_LINES) {
      const { steps } = partial('air', circuits, { heater });
      const connected = /connect the air at the city inlet/;
      const air = /connect the air|Then air|blow it out|Blow out/;
      const all = order(steps, OFF, NO_PRESSURE, SHUT, BYPASS, connected);
      expect(all, circuits.join()).toEqual(all.toSorted((x, y) => x - y));
      expect(new Set(all).size, circuits.join()).toBe(all.length);
      expect(order(steps, air)[0], circuits.join()).toBe(all.at(-1));
      if (!circuits.includes('heater')) continue;
      const [opened = Infinity, shut = -1] = order(steps, EMPTY, SHUT);
      expect(opened, circuits.join()).toBeLessThan(shut);
      expect(order(steps, NO_PRESSURE)[0], circuits.join()).toBeLessThan(opened);
    }
  });

  it('nothing is pumped before the heater is off, without pressure, emptied and led round', () => {
    for (const circuits of THROUGH_LINES) {
      const { steps } = partial('antifreeze', circuits, { heater });
      const [off, none, shut, led, pumped] = order(
        steps,
        OFF,
        NO_PRESSURE,
        SHUT,
        BYPASS,
        /switch the pump on/,
      );
      const all = [off, none, shut, led].map(Number);
      expect(all, circuits.join()).toEqual(all.toSorted((x, y) => x - y));
      expect(all.at(-1), circuits.join()).toBeLessThan(Infinity);
      expect(pumped, circuits.join()).toBeGreaterThan(all.at(-1) ?? 0);
      if (circuits.includes('cold') || circuits.includes('hot')) expect(pumped).toBeLessThan(Infinity);
      if (circuits.includes('heater'))
        expect(order(steps, EMPTY)[0], circuits.join()).toBeLessThan(Number(shut));
    }
  });
});

describe('air in some circuits', () => {
  it('is let in by a receiver, one outlet at a time, and off before it is disconnected', () => {
    const { needs, steps } = partial('air', ['cold', 'hot', 'heater', 'trap-bath']);
    expect(needs.join('\n')).toMatch(/receiver of 3 gal .* plug for the city inlet/);
    expect(needs.join('\n')).toContain('eye protection');
    const text = steps.join('\n');
    expect(text).toContain('One outlet at a time, 15 to 30 s each');
    expect(text).toContain('40 psi (2.8 bar) is never exceeded');
    expect(text).toContain('Shut the air off and open a faucet before you disconnect.');
    expect(text).toContain('Traps (bath');
  });

  it('does not go into a tank that holds water, where the heater is done already or frozen', () => {
    const { steps } = partial('air', ['cold', 'hot'], { heater: 'jumper' });
    expect(steps.join('\n')).toContain('no air goes in unless its tank is known to be empty');
    expect(steps.join('\n')).not.toMatch(/pull the heater|plug or anode/);
  });

  it('goes no farther than the inlet where that is all there is to do', () => {
    const { steps } = partial('air', ['inlet', 'tank-grey']);
    expect(steps.join('\n')).not.toMatch(/connect/);
    expect(steps.join('\n')).toContain('press the pin');
  });
});

describe('antifreeze in some circuits', () => {
  it('without a bypass asks for the jumper that its minutes are counted for, and for all its fluid', () => {
    const { needs, steps } = partial('antifreeze', ['cold', 'hot', 'heater', 'inlet'], { heater: 'jumper' });
    expect(needs.join('\n')).toContain(
      'about 2 gal (7.5 L) for this unit, with the heater left out by a jumper',
    );
    expect(needs.join('\n')).toContain('a jumper: a short hose');
    expect(steps.join('\n')).toContain('join the two with the jumper');
    expect(steps.join('\n')).not.toContain('stays bypassed and empty');
  });

  it('takes a quart for what is done beside the lines', () => {
    expect(partial('antifreeze', ['flush', 'outside-shower']).needs.join('\n')).toContain(
      'a quart (1 L) for each',
    );
  });
});

describe('a drain of some circuits', () => {
  it('has the heater off and without pressure before anything of its lines is opened', () => {
    for (const circuits of CHOICES.filter((c) => c.some((one) => ['cold', 'hot', 'heater'].includes(one)))) {
      const { steps } = partial('drain', circuits);
      const [off, none, open = Infinity] = order(steps, OFF, NO_PRESSURE, /pull the heater|low-point drain/);
      expect([Number(off) < Number(none), Number(none) < open, open < Infinity], circuits.join()).toEqual([
        true,
        true,
        true,
      ]);
      expect(
        steps.some((step) => /plug/.test(step)),
        circuits.join(),
      ).toBe(circuits.includes('heater'));
    }
  });

  it('names every one of its circuits', () => {
    const words: Readonly<Record<string, RegExp>> = {
      cold: /every cold|every hot and every cold/,
      hot: /every hot/,
      heater: /pull the heater/,
      inlet: /city inlet \(press|press the pin/,
      flush: /lack-tank flush line: take/,
      'outside-shower': /outside shower/,
      'tank-grey': /ump the grey|grey tank: dump/,
      sauna: /[Ss]auna: open its drain/,
    };
    for (const circuits of CHOICES) {
      const text = partial('drain', circuits).steps.join('\n');
      for (const circuit of circuits) expect(text, circuits.join()).toMatch(words[circuit] ?? /./s);
    }
  });
});
