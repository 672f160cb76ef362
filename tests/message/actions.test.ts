/** What is said of a partial drain, of each measure of keeping warm, and of what a drain leaves full. */
import { describe, expect, it } from 'vitest';
import type { Advice } from '../../src/decision/advice.ts';
import { renderMessage } from '../../src/message/render.ts';
import { stepsFor } from '../../src/message/steps.ts';
import { MEASURES, type Measure } from '../../src/model/measure.ts';
import { DRAIN, KEEP_WARM, MEASURES_OF_ALL, facts, notice, reader } from './facts.ts';

const PART: Advice = {
  ...DRAIN,
  action: 'drain-part',
  circuits: ['outside-shower', 'flush'],
  workMinutes: 15,
};

function flat(text: string): string {
  return text.replaceAll(/\s+/g, ' ');
}

describe('a partial drain', () => {
  const { subject, text } = renderMessage(
    notice('act', { action: 'drain-part' }),
    facts({ advice: PART }),
    reader(),
  );
  const told = flat(text);

  it('is an order about those circuits, and says that the inside stays in use', () => {
    expect(subject).toBe(
      'Drain only the outside shower and the black-tank flush line of Blue trailer, start by Thu 26 Nov, 15:10 MST',
    );
    expect(told).toContain('Drain the outside shower and the black-tank flush line; the inside stays in use');
    expect(told).toContain('About 15 min.');
  });

  it('has its own steps, with pressure inside, and asks to open nothing of the inside', () => {
    expect(told).toContain('Outside shower: shut its own valves, if it has any');
    expect(told).toContain('The black-tank flush line: take the hose off its inlet');
    expect(told).not.toMatch(/low-point|plug or anode|Hot water scalds|Dump/);
  });

  it('is marked circuit by circuit', () => {
    expect(told.replaceAll(' \\ ', ' ')).toContain(
      'blue drained --quality well --circuit outside-shower --circuit flush',
    );
  });

  it('of which too much is to be said in a line is what lies outside', () => {
    const circuits = ['outside-shower', 'flush', 'inlet', 'post'];
    const many = renderMessage(
      notice('act', { action: 'drain-part' }),
      facts({ advice: { ...PART, circuits } }),
      reader(),
    );
    expect(many.subject).toMatch(/^Drain what lies outside of Blue trailer, /);
    expect(flat(many.text)).toContain('The hose: shut the faucet at the post');
  });

  it('without a forecast still names the unit’s own circuits, and never the whole unit', () => {
    const blind = renderMessage(
      notice('no-forecast', { action: 'drain-part' }),
      facts({ advice: null, outsideCircuits: ['inlet'] }),
      reader(),
    );
    expect(flat(blind.text)).toContain('The advice in force stays: drain what lies outside.');
    expect(flat(blind.text)).toContain('blue drained --quality well --circuit inlet');
    expect(blind.text).not.toContain('low-point');
  });
});

describe('keeping warm', () => {
  const listed = (measures: readonly Measure[]): readonly string[] =>
    stepsFor('keep-warm', facts({ advice: KEEP_WARM, measures }), reader()).steps;
  const always = listed([]).length;

  it.each(MEASURES)('has words for %s', (measure) => {
    expect(listed([measure])).toHaveLength(always + 1);
  });

  it('tells of heaters down with the furnace that they keep from running', () => {
    const steps = listed(['furnace-on', 'heaters-down']);
    expect(steps).toHaveLength(always + 1);
    expect(steps.join(' ')).toContain('Set the furnace on its thermostat and turn electric heaters down');
  });

  it('names what helps, and nothing else', () => {
    const steps = listed(['furnace-on', 'taps-known']).join(' ');
    expect(steps).toContain('Set the furnace on its thermostat.');
    expect(steps).not.toMatch(/hose off|cupboard|flush|heaters|Outside shower/);
  });

  it('from a heated hose takes no hose off', () => {
    const measures = MEASURES_OF_ALL.filter((m) => !['hose-off', 'hydrant-free', 'supply-off'].includes(m));
    const { subject } = renderMessage(
      notice('act', { action: 'keep-warm' }),
      facts({ advice: KEEP_WARM, measures: [...measures, 'run-from-heated-hose'] }),
      reader(),
    );
    expect(subject).toMatch(/^Heat on for Blue trailer, /);
  });

  it('with electric heaters asks for somebody with them, and for no gas', () => {
    const procedure = stepsFor('keep-warm', facts({ measures: ['electric-heat-on'] }), reader());
    expect(procedure.needs.join(' ')).not.toContain('propane');
    expect(procedure.steps.join(' ')).toContain('somebody there with them');
  });
});

describe('a drain', () => {
  const drained = (...ids: readonly string[]): string => {
    const pockets = ids.map((id) => ({ id, label: `the ${id}`, circuit: 'cold' }));
    return stepsFor('drain', facts({ pockets }), reader()).steps.join('\n');
  };

  it('looks at what this unit has that stays full, and at the city inlet', () => {
    expect(drained('canister-filter', 'strainer')).toContain(
      'Look at what gravity leaves full, and empty it: canister filter (its bowl off, the cartridge out); pump strainer (its bowl off); city inlet (press the pin of its check valve).',
    );
    expect(drained()).toContain('empty it: city inlet (press');
    expect(drained('sauna-valve')).toContain('empty it: the sauna-valve; city inlet');
  });

  it('has each appliance by its own manual', () => {
    expect(drained('washing-machine', 'tankless-heater')).toContain(
      'Each by its own manual: washing machine (drain and spin, and its drain pump); tankless heater (drain plugs and inlet screen).',
    );
    expect(drained('strainer')).not.toContain('by its own manual');
  });
});
