/** What was told before and is told otherwise now, and what a reader would take for a mistake. */
import { describe, expect, it } from 'vitest';
import type { UnitFacts } from '../../src/message/message.ts';
import type { Notice } from '../../src/decision/memory.ts';
import { renderMessage } from '../../src/message/render.ts';
import { at, CHANCES, facts, KEEP_WARM, notice, reader, WINTERIZE } from './facts.ts';

const flat = (text: string): string => text.replace(/\s+/g, ' ');

function act(previous: Notice['previous'], change: Partial<UnitFacts> = {}): string {
  return flat(renderMessage(notice('act', { previous }), facts(change), reader()).text);
}

/** It is Wed 25 Nov, 08:00 MST; the time to start by is Thu 26 Nov, 15:10. */
describe('asked for once more with more time', () => {
  it('says that the time before has passed, and that nothing has come to harm by the computation', () => {
    const text = act({ action: 'drain', startBy: at('2026-11-25T08:00:00Z') });
    expect(text).toContain(
      'The time to start by that was said before, Wed 25 Nov, 01:00 MST, has passed, and by the computation nothing has come to harm.',
    );
    expect(text).toContain('This is the time for the cold that may still come');
  });

  it('says nothing of no harm where it may have frozen', () => {
    const text = act({ action: 'drain', startBy: at('2026-11-25T08:00:00Z') }, { suspect: true });
    expect(text).toContain('has passed. This is the time');
    expect(text).not.toContain('come to harm');
  });

  it('says until when it was where that is yet to come', () => {
    expect(act({ action: 'drain', startBy: at('2026-11-26T10:00:00Z') })).toContain(
      'There is more time than was said before: that was until Thu 26 Nov, 03:00 MST.',
    );
  });

  it.each([
    null,
    { action: 'drain', startBy: null },
    { action: 'drain', startBy: at('2026-11-28T00:00:00Z') },
  ] as const)('says nothing of it otherwise (%#)', (previous) => {
    expect(act(previous)).not.toMatch(/said before/);
  });
});

describe('keeping warm that takes more than before', () => {
  const worse = (before: NonNullable<Notice['previous']>): string =>
    flat(
      renderMessage(
        notice('worse', { action: 'keep-warm', previous: before }),
        facts({ advice: KEEP_WARM, measures: ['hose-off', 'inlet-open', 'furnace-on'] }),
        reader(),
      ).text,
    );

  it('names what is new', () => {
    const text = worse({ action: 'keep-warm', startBy: null, measures: ['hose-off', 'furnace-on'] });
    expect(text).toContain('New is: city inlet emptied.');
  });

  it('names nothing where another action was asked, or all of it', () => {
    expect(worse({ action: 'drain', startBy: null, measures: ['hose-off'] })).not.toContain('New is');
    expect(
      worse({ action: 'keep-warm', startBy: null, measures: ['hose-off', 'inlet-open', 'furnace-on'] }),
    ).not.toContain('New is');
  });
});

describe('work that is asked for long before the hour of the first damage', () => {
  const said = (dueAt: string | null): string => act(null, { dueAt: dueAt === null ? null : at(dueAt) });

  it('says when the coldest courses come to it', () => {
    expect(said('2026-11-26T22:00:00Z')).toContain(
      'In the coldest courses that the forecast leaves open it comes to that already Thu 15:00; the time to start by is set for those.',
    );
  });

  it.each(['2026-11-27T09:20:00Z', '2026-11-27T07:00:00Z', '2026-11-25T10:00:00Z', null])(
    'and nothing where that is as near, past or not known (%s)',
    (dueAt) => {
      expect(said(dueAt)).not.toContain('coldest courses');
    },
  );
});

describe('a unit that may have frozen', () => {
  it.each(['late', 'act'] as const)('is asked (%s) to leave its pump off', (kind) => {
    const told = (change: Partial<UnitFacts>): string =>
      flat(renderMessage(notice(kind), facts(change), reader()).text);
    for (const change of [{ suspect: true }, { alreadyDamaged: true }]) {
      expect(told(change)).toContain('Leave the pump off: it may have frozen');
      expect(told(change)).not.toMatch(/Run the pump/);
    }
    expect(told({})).toMatch(/Run the pump/);
  });
});

describe('heat that is off', () => {
  it('has no gas and no battery that run out, unless it is to be switched on', () => {
    const heatLasts = { gasUntil: null, gasShortFrom: null, batteryUntil: at('2026-11-27T04:00:00Z') };
    expect(act(null, { heatLasts, heatIsOn: false })).not.toContain('runs the furnace until');
    expect(act(null, { heatLasts })).toContain('runs the furnace until');
    const warm = renderMessage(
      notice('act', { action: 'keep-warm' }),
      facts({ advice: KEEP_WARM, heatLasts, heatIsOn: false }),
      reader(),
    );
    expect(flat(warm.text)).toContain('runs the furnace until');
  });
});

describe('a heads-up beside a post that trips', () => {
  it('does not say that there is nothing to do', () => {
    const tripped = { askedW: 3600, borneW: 2880 };
    const heads = (change: Partial<UnitFacts>): string =>
      flat(
        renderMessage(notice('heads-up', { action: 'nothing', startBy: null }), facts(change), reader()).text,
      );
    expect(heads({ tripped })).toContain('Nothing to do yet but to switch loads off.');
    expect(heads({})).toContain('Nothing to do yet.');
  });
});

describe('what keeping it warm leaves', () => {
  it('names the part that goes first all the same, which may be mended', () => {
    const chances = { ...CHANCES, perAction: { ...CHANCES.perAction, 'keep-warm': 0.55 } };
    expect(act(null, { chances, warmFirstPart: 'tank petcock' })).toContain(
      'Keeping it warm leaves 55 % (the tank petcock first), draining',
    );
    expect(act(null, { chances, warmFirstPart: null })).toContain('Keeping it warm leaves 55 %, draining');
  });
});

describe('heat that does not keep all of it from freezing', () => {
  it('is said in place of hours that it would hold out', () => {
    const text = act(null, { heatFails: true, holdOutHours: 28, holdOutPart: 'water-heater tank' });
    expect(text).toContain('Heat: does not keep all of it from freezing in this cold');
    expect(text).not.toContain('holds out');
    expect(act(null, { holdOutHours: 28, holdOutPart: 'water-heater tank' })).toContain(
      'holds out about 28 h',
    );
  });
});

it('keeping warm where heat fails leaves no hours to rely on', () => {
  const warm = renderMessage(
    notice('act', { action: 'keep-warm' }),
    facts({ advice: KEEP_WARM, heatFails: true, holdOutHours: 28, holdOutPart: 'water-heater tank' }),
    reader(),
  );
  expect(flat(warm.text)).toContain('If the heat stops and stays off, drain at once.');
  expect(flat(warm.text)).not.toMatch(/holds out/);
});

describe('a last call after one that has passed', () => {
  it('says that the earlier one has', () => {
    const last = (startBy: string | null): string => {
      const previous = { action: 'drain', startBy: startBy === null ? null : at(startBy) } as const;
      return flat(renderMessage(notice('last-call', { previous }), facts(), reader()).text);
    };
    expect(last('2026-11-25T08:00:00Z')).toMatch(/has passed, and .* The time to start by is nearly up\./);
    expect(last(null)).not.toContain('said before');
  });
});

describe('work in hard cold', () => {
  it.each(['drain', 'winterize'] as const)('to %s warns of sewage and of wet hands', (action) => {
    const told = (temperatureC: number): string =>
      flat(
        renderMessage(
          notice('act', { action }),
          facts({ lowestOutside: { temperatureC, at: at('2026-11-28T13:00:00Z') } }),
          reader(),
        ).text,
      );
    expect(told(-15)).toMatch(/Sewage: gloves.*Cold: wet hands freeze/);
    expect(told(-4)).toContain('Sewage: gloves');
    expect(told(-4)).not.toContain('wet hands');
  });
});

describe('the steps', () => {
  const steps = (kind: 'act' | 'late', method: 'air' | 'antifreeze'): string =>
    flat(
      renderMessage(
        notice(kind, { action: 'winterize' }),
        facts({ advice: { ...WINTERIZE, method } }),
        reader(),
      ).text,
    );

  it('of winterizing with air let the air off before the flush line is blown out and the pump is run', () => {
    const text = steps('act', 'air');
    const order = [
      'connect the air at the city inlet',
      'Shut the air off',
      'Blow out the black-tank flush',
      'Run the pump dry',
    ];
    const places = order.map((words) => text.indexOf(words));
    expect(places.every((place, i) => place > (places[i - 1] ?? 0))).toBe(true);
  });

  it('of what is late know that no hot water comes any more', () => {
    expect(steps('late', 'antifreeze')).toContain('the water heater has no water left to cool it');
    expect(steps('late', 'antifreeze')).toContain('Where no hot water comes it cools by itself');
  });
});
