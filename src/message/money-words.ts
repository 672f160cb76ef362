/** Prices and losses in people's words: never more exact than they are. */
import type { MoneyFacts } from './message.ts';

/** `about 870 USD`, to two digits. */
export function priceText(amount: number, currency: string): string {
  if (amount < 1) return `under 1 ${currency}`;
  const digits = 10 ** Math.max(0, Math.floor(Math.log10(amount)) - 1);
  const whole = String(Math.round(amount / digits) * digits);
  return `about ${whole.replace(/(?<=\d)(?=(?:\d{3})+$)/gu, ',')} ${currency}`;
}

/** What the work costs, and what leaving it would on average. Empty: there is neither. */
export function moneyWords({ doing, leaving, flood, parts, currency }: MoneyFacts): string {
  if (doing === null && leaving < 1) return '';
  const work = doing === null ? '' : `The work costs ${priceText(doing, currency)} in time and material; `;
  const left = leaving < 1 ? 'there is hardly anything to lose by leaving it' : '';
  const repairs = `left as it is, expect ${priceText(leaving, currency)} of damage on average`;
  return `${capitalAfter(work, `${left || repairs}${left === '' ? mostly(parts, leaving, flood) : ''}`)}.`;
}

function capitalAfter(before: string, text: string): string {
  return before === '' ? text.charAt(0).toUpperCase() + text.slice(1) : `${before}${text}`;
}

/** What it goes into: the two repairs that come to most, or the floor where it comes to more. */
function mostly(parts: MoneyFacts['parts'], leaving: number, flood: number): string {
  if (flood > leaving / 2) return ', most of it a flooded floor, since the supply is on at the thaw';
  const named = parts.slice(0, 2).map(({ label }) => label);
  return named.length === 0 ? '' : `, first of all ${named.join(' and ')}`;
}
