import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ConfigError } from '../../src/errors.ts';
import { FULL, SMALL, mistakesOf, parse } from './sample.ts';

/** That the text is either accepted or refused in words; anything else is a bug. */
function expectHandled(text: string): void {
  try {
    expect(parse(text).units).not.toHaveLength(0);
  } catch (error) {
    if (!(error instanceof ConfigError)) throw error;
    expect(error.problems).not.toHaveLength(0);
    for (const line of error.problems) expect(line).toMatch(/^my\.yaml:\d+:\d+ \S.*: \S.*$/u);
  }
}

describe('the text of a config', () => {
  it.each([
    ['', '1:1 (file): must hold places, units, people and delivery, found an empty file'],
    ['# nothing\n', '1:1 (file): must hold places, units, people and delivery, found an empty file'],
    ['- a\n- b\n', '1:1 (file): expected a map of keys, found a list'],
    ['places\n', '1:1 (file): expected a map of keys, found "places"'],
  ])('%j holds nothing to watch', (text, found) => {
    expect(mistakesOf(text)).toEqual([`my.yaml:${found}`]);
  });

  it('holds each key once, and is told of what else is wrong too', () => {
    const text = SMALL.replace('    longitude: -106.05', '    latitude: 40\n    longitude: east');
    expect(mistakesOf(text)).toEqual([
      'my.yaml:4:5 (file): each key may stand once in its map, found it again here',
      'my.yaml:5:16 places[0].longitude: must be a number from -180 to 180, found "east"',
    ]);
  });

  it('is one document', () => {
    expect(mistakesOf(`${SMALL}---\n${SMALL}`)).toEqual([
      'my.yaml:18:1 (file): must be one YAML document, found a second one after "---"',
    ]);
  });

  it('is YAML', () => {
    expect(mistakesOf('places: [1\nunits: 2')).toContainEqual(
      expect.stringMatching(/^my\.yaml:2:\d+ \(file\): must be valid YAML, found: /),
    );
    expect(mistakesOf('places: !secret x\n')).toContainEqual(
      expect.stringMatching(/^my\.yaml:1:9 \(file\): must be valid YAML, found: Unresolved tag/),
    );
  });

  it('has aliases that lead somewhere, and not so many that they fill the memory', () => {
    expect(mistakesOf('places: *nowhere\n').join()).toMatch(/alias/i);
    const levels = Array.from({ length: 12 }, (_, level) => {
      const items = level === 0 ? 'x, x, x' : Array.from({ length: 9 }, () => `*a${level - 1}`).join(', ');
      return `a${level}: &a${level} [${items}]`;
    });
    expect(mistakesOf(levels.join('\n')).join()).toContain('aliases must lead to an anchor and stay few');
  });

  it('may share one anchor among the units of a whole lot', () => {
    const units = Array.from(
      { length: 300 },
      (_, index) => `  - { id: lot-${index}, place: creek, kind: van, contacts: [ann], heat: *warm }`,
    );
    const text = SMALL.replace(
      '    contacts: [ann]',
      `    contacts: [ann]\n    heat: &warm { set: 50 °F, furnace: 6 kW }\n${units.join('\n')}`,
    );
    expect(parse(text).units).toHaveLength(301);
    expect(parse(text).units.at(-1)?.spec.heat?.setC).toBeCloseTo(10, 12);
  });

  it('points to the anchor when what an alias stands for is wrong', () => {
    const text = SMALL.replace(
      '    contacts: [ann]',
      '    contacts: [ann]\n    heat: &warm { set: 50 K, furnace: 6 kW }\n  - { id: two, place: creek, kind: van, contacts: [ann], heat: *warm }',
    );
    expect(mistakesOf(text).map((line) => line.split(' ').slice(0, 2).join(' '))).toEqual([
      'my.yaml:10:24 units[0].heat.set:',
      'my.yaml:10:24 units[1].heat.set:',
    ]);
  });

  it('is refused in words when it is nested beyond reason', () => {
    expectHandled('['.repeat(50_000));
    expectHandled(`places: ${'['.repeat(2000)}${']'.repeat(2000)}`);
  });

  it('keeps a mistake on one line, however odd its key', () => {
    expect(mistakesOf(`${SMALL}"a\\nb c": 1\n`)).toEqual([
      expect.stringMatching(/^my\.yaml:18:1 \["a\\nb c"\]: unknown key; known here: [^\n]*$/u),
    ]);
  });

  it('is accepted or refused in words, whatever is in it', () => {
    fc.assert(fc.property(fc.string({ unit: 'binary', maxLength: 60 }), expectHandled), { numRuns: 200 });
  });

  it('is accepted or refused in words, whatever part of a good one is overwritten', () => {
    const scrap = fc.oneof(
      fc.string({ maxLength: 8 }),
      fc.constantFrom(
        '*a',
        '&a ',
        '<<: ',
        '? ',
        '- ',
        '{',
        '}',
        '[',
        ']',
        ': ',
        '\n',
        '__proto__: 1',
        '.inf',
        '~',
        '"',
      ),
    );
    const cut = fc.record({ at: fc.double({ min: 0, max: 1, noNaN: true }), length: fc.nat(12), by: scrap });
    fc.assert(
      fc.property(fc.constantFrom(SMALL, FULL), cut, (text, { at, length, by }) => {
        const start = Math.floor(at * text.length);
        expectHandled(text.slice(0, start) + by + text.slice(start + length));
      }),
      { numRuns: 300 },
    );
  });

  it('is accepted or refused in words, whatever values it has', () => {
    const keys = fc.constantFrom(
      'id',
      'kind',
      'places',
      'units',
      'people',
      'weather',
      'sources',
      'parts',
      'own',
      'water',
      'circuits',
      'contacts',
      'latitude',
      'longitude',
      'network',
      'toString',
      '__proto__',
    );
    const { tree } = fc.letrec((tie) => ({
      tree: fc.oneof(
        { maxDepth: 5 },
        fc.jsonValue({ maxDepth: 1 }),
        fc.array(tie('tree'), { maxLength: 3 }),
        fc.dictionary(keys, tie('tree'), { maxKeys: 5 }),
      ),
    }));
    const root = fc.dictionary(keys, tree, { minKeys: 1, maxKeys: 6 });
    fc.assert(
      fc.property(root, (value) => expectHandled(JSON.stringify(value))),
      { numRuns: 300 },
    );
  });
});
