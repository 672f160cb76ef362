/** What is said when there is a forecast again after its loss was told. */
import { expect, it } from 'vitest';
import type { Notice } from '../../src/decision/memory.ts';
import { renderMessage } from '../../src/message/render.ts';
import type { UnitFacts } from '../../src/message/message.ts';
import { facts, notice, reader } from './facts.ts';

const QUIET = { action: 'nothing', startBy: null, forecastBack: true } as const;

function render(kind: Notice['kind'], change: Partial<Notice>, more: Partial<UnitFacts> = {}) {
  const { subject, text } = renderMessage(notice(kind, change), facts(more), reader());
  return { subject, text: text.replaceAll(/\s+/g, ' ') };
}

it('where the unit would be safe full of water, it is no talk of a cold that is over', () => {
  const { subject, text } = render('all-clear', QUIET);
  expect(subject).toBe('The forecast for Blue trailer is back');
  expect(text).toMatch(/^The forecast for Blue trailer is back\. It stands as: in use\./);
  expect(text).not.toContain('this cold is over');
});

it('where it would not, nobody is told that damaging cold is likely or that all is clear', () => {
  const { subject, text } = render('heads-up', QUIET, { advice: null });
  expect(subject).toBe('The forecast for Blue trailer is back');
  expect(text).toContain('No work is asked for now; it is being watched again.');
  expect(text).not.toMatch(/cold is likely|all clear|heads-up|hose may go back/i);
});

it('where work is to come that is not called for yet, it is named', () => {
  const { subject, text } = render('heads-up', QUIET);
  expect(subject).toBe('The forecast for Blue trailer is back');
  expect(text).toContain('By it the work will be: drain Blue trailer, start by Thu 26 Nov, 15:10 (MST).');
  expect(text).not.toMatch(/calls for work on this unit as it stands|may go on as it is/);
});

it('where there is work to do, that comes first', () => {
  const { subject, text } = render('act', { forecastBack: true });
  expect(subject).toBe('Drain Blue trailer, start by Thu 26 Nov, 15:10 MST');
  expect(text).toMatch(/^Drain Blue trailer\. The forecast is back\. Start by/);
});
