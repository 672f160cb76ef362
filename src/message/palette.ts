/**
 * Ink on paper, one quiet accent: the same for every kind of message, so that it is not taken for an official
 * warning with its colours and levels. Every text colour has a contrast of at least 4.5 on its ground (WCAG 2).
 */
export interface Palette {
  readonly page: string;
  readonly paper: string;
  readonly panel: string;
  readonly line: string;
  readonly ink: string;
  readonly muted: string;
  readonly accent: string;
}

export const LIGHT: Palette = {
  page: '#eceae4',
  paper: '#fdfcf9',
  panel: '#f2efe8',
  line: '#d8d3c7',
  ink: '#22282b',
  muted: '#575f63',
  accent: '#2d5560',
};

export const DARK: Palette = {
  page: '#121517',
  paper: '#1b2023',
  panel: '#242a2e',
  line: '#3a4247',
  ink: '#e8e6e0',
  muted: '#abb3b6',
  accent: '#9cc6cf',
};

/** Of the picture, which brings its own ground along: the same on light and dark surroundings. */
export const DRAWING = {
  ...LIGHT,
  night: '#efece4',
  band: '#b9ced3',
  zone: '#7a4f7d',
  limit: '#6b5a33',
  loss: '#7d2f46',
} as const;
