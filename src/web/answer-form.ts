/** What a reader filled in before they pressed the button. */

export interface FilledIn {
  /** The unit's last answer when the page was shown, 0: there was none; null: no page was shown. */
  readonly shown: number | null;
  /** Circuits at whose taps no colour showed. */
  readonly withoutColour: readonly string[];
  readonly quality: 'well' | 'quick' | null;
  /** As it was written; null: nothing was. */
  readonly percent: string | null;
  readonly used: string | null;
  readonly until: string | null;
}

/** Nobody has more circuits, and no number or date is longer. */
const MOST_CHOICES = 100;
const LONGEST = 40;

/** Fields that are not known are left alone, as are values that nobody can have filled in. */
export function readForm(body: string): FilledIn {
  const fields = new URLSearchParams(body);
  const text = (name: string): string | null => {
    const value = fields.get(name)?.trim().slice(0, LONGEST) ?? '';
    return value === '' ? null : value;
  };
  const shown = text('shown');
  const quality = text('quality');
  const circuits = fields.getAll('without-colour').map((circuit) => circuit.slice(0, LONGEST));
  return {
    shown: shown !== null && /^\d{1,15}$/.test(shown) ? Number(shown) : null,
    withoutColour: [...new Set(circuits)].slice(0, MOST_CHOICES),
    quality: quality === 'well' || quality === 'quick' ? quality : null,
    percent: text('percent'),
    used: text('used'),
    until: text('until'),
  };
}

/** `15`, `15 %`, `1,5`, `2 gal`; null: that is no number. */
export function readNumber(text: string): number | null {
  const [, number = ''] = /^(\d{1,4}(?:[.,]\d{1,3})?)\s*(?:%|[a-z]*)$/i.exec(text) ?? [];
  return number === '' ? null : Number(number.replace(',', '.'));
}
