/** What a reader would not see, and what nobody is to see. */
import { describe, expect, it } from 'vitest';
import { describeConfig } from '../../src/config/describe.ts';
import { formatDescription } from '../../src/config/description-text.ts';
import { parseConfig } from '../../src/config/parse.ts';
import { ConfigError } from '../../src/errors.ts';
import { SMALL } from './sample.ts';

const ORIGIN = { file: 'drainby.yaml', resolvePath: (path: string) => path };

function withLabel(label: string): () => unknown {
  const text = SMALL.replace('    kind: travel-trailer', `    kind: travel-trailer\n    label: ${label}`);
  return () => parseConfig(text, ORIGIN);
}

describe('a label', () => {
  it.each([
    ['a mark that writes from right to left', '200f'],
    ['an Arabic letter mark', '061c'],
    ['a space without width', '200b'],
    ['a byte order mark', 'feff'],
    ['a turn of direction', '202e'],
  ])('may not hold %s, and the message shows it as its number', (_what, code) => {
    const broken = withLabel(`"Blue\\u${code} trailer"`);
    expect(broken).toThrow(ConfigError);
    expect(broken).toThrow(`found "Blue\\u{${code.replace(/^0/, '')}} trailer"`);
  });

  it('may not hold half of a character, nor letters that only machines see', () => {
    expect(withLabel('"Blue\\ud800"')).toThrow(ConfigError);
    expect(withLabel('"Blue\\U000E0041"')).toThrow(ConfigError);
  });

  it('may hold joined pictures and letters of any writing', () => {
    for (const label of ['👩‍🔧 trailer', 'می‌خواهم', 'Žofie', '青い']) expect(withLabel(label)).not.toThrow();
  });
});

it('a key in the address of a source is not repeated', () => {
  const source = '{ id: a, kind: open-meteo, baseUrl: "https://weather.example.org?apikey=SECRET#SECRET" }';
  const config = parseConfig(`${SMALL}weather:\n  sources:\n    - ${source}\n`, ORIGIN);
  const description = describeConfig(config);
  expect(description.sources).toMatchObject([{ baseUrl: 'https://weather.example.org?[hidden]' }]);
  expect(JSON.stringify(description)).not.toContain('SECRET');
  expect(formatDescription(description, config.display)).not.toContain('SECRET');
});
