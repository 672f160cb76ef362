/**
 * What sensors send. The shapes are those of common firmware as documented by its makers, from memory: Tasmota's
 * `{"Time":…,"DS18B20":{"Temperature":…}}`, zigbee2mqtt's `{"temperature":…}`, a bare number of ESPHome, and the
 * words `nan`, `unavailable` and `unknown` that some send where they know nothing.
 */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parsePayload, toCelsius, type PayloadRule } from '../../src/readings/parse.ts';
import { seconds } from '../support/instants.ts';

const BARE: PayloadRule = { path: '', timePath: null };
const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
const parse = (text: string, rule: Partial<PayloadRule> = {}) =>
  parsePayload(bytes(text), { ...BARE, ...rule });

describe('a payload', () => {
  it.each([
    ['21.5', {}, 21.5],
    [' -3 \n', {}, -3],
    ['+0.5', {}, 0.5],
    ['.5', {}, 0.5],
    ['0', {}, 0],
    ['"21.5"', {}, 21.5],
    ['{"temperature":-12.25,"humidity":81}', { path: 'temperature' }, -12.25],
    ['{"Time":"2026-11-25T08:30:00","DS18B20":{"Temperature":4.1}}', { path: 'DS18B20.Temperature' }, 4.1],
    ['{"sensors":[{"temp":-1},{"temp":"2.5"}]}', { path: 'sensors.1.temp' }, 2.5],
    ['[[7]]', { path: '0.0' }, 7],
  ])('that reads %s with %j is %d', (text, rule, temperature) => {
    expect(parse(text, rule)).toEqual({ ok: true, temperature, at: null });
  });

  it.each([
    ['', {}],
    ['nan', {}],
    ['NaN', {}],
    ['unavailable', {}],
    ['null', {}],
    ['true', {}],
    ['"unknown"', {}],
    ['""', {}],
    ['1e400', {}],
    ['Infinity', {}],
    ['21,5', {}],
    ['21.5 °C', {}],
    ['{"temperature":null}', { path: 'temperature' }],
    ['{"temperature":[]}', { path: 'temperature' }],
    ['{"temperature":{}}', { path: 'temperature' }],
    ['{"temperature":21.5}', {}],
    ['{"temperature":21.5}', { path: 'Temperature' }],
    ['{"temperature":21.5', { path: 'temperature' }],
    ['[1,2]', { path: '2' }],
    ['{}', { path: 'constructor.length' }],
    ['[1,2]', { path: 'length' }],
    ['"21.5"', { path: 'length' }],
    ['{"__proto__":{"temp":1}}', { path: 'temp' }],
  ])('that reads %s with %j is no number, never 0', (text, rule) => {
    expect(parse(text, rule)).toMatchObject({ ok: false, problem: expect.stringMatching(/\w/) as unknown });
  });

  it('that is no UTF-8, or far too long, is refused without being shown whole', () => {
    expect(parsePayload(Uint8Array.of(0xff, 0x31), BARE)).toEqual({
      ok: false,
      problem: 'it is not text in UTF-8',
    });
    expect(parse(`${' '.repeat(70_000)}1`)).toEqual({ ok: false, problem: 'it is longer than 65536 bytes' });
    const { problem } = parse('x'.repeat(60_000)) as { problem: string };
    expect(problem.length).toBeLessThan(150);
  });

  it('shows what was found on one line', () => {
    expect(parse('cold\r\nvery')).toEqual({
      ok: false,
      problem: 'it is neither a number nor JSON: "cold  very"',
    });
    expect(parse('{"a":1}', { path: 'b.c' })).toEqual({
      ok: false,
      problem: 'there is no number at "b.c": "{"a":1}"',
    });
  });

  it.each([
    ['"2026-11-25T08:30:00Z"', '2026-11-25T08:30:00Z'],
    ['"2026-11-25T01:30:00-07:00"', '2026-11-25T08:30:00Z'],
    ['1795595400', '2026-11-25T08:30:00Z'],
    ['"1795595400"', '2026-11-25T08:30:00Z'],
    ['1795595400000', '2026-11-25T08:30:00Z'],
  ])('has its own time where it says %s', (time, instant) => {
    const result = parse(`{"t":-1,"at":${time}}`, { path: 't', timePath: 'at' });
    expect(result).toEqual({ ok: true, temperature: -1, at: seconds(instant) });
  });

  it.each([
    'null',
    '""',
    '0',
    '-5',
    '"2026-11-25T08:30:00"',
    '"yesterday"',
    '1e300',
    '"1e400"',
    '{}',
    'true',
  ])('with the time %s has none, and is not taken as of now', (time) => {
    expect(parse(`{"t":-1,"at":${time}}`, { path: 't', timePath: 'at' })).toMatchObject({ ok: false });
    expect(parse('{"t":-1}', { path: 't', timePath: 'at' })).toMatchObject({ ok: false });
  });

  it('of any kind gives a number that stands in it, or a problem', () => {
    const json = fc.json({ maxDepth: 4 }).map((text) => bytes(text));
    const path = fc.array(fc.constantFrom('a', '0', 'length', '__proto__', 'toString', ''), { maxLength: 4 });
    fc.assert(
      fc.property(fc.oneof(fc.uint8Array({ maxLength: 60 }), json), path, (payload, keys) => {
        const result = parsePayload(payload, { path: keys.join('.'), timePath: null });
        if (result.ok) {
          expect(Number.isFinite(result.temperature)).toBe(true);
          expect(new TextDecoder().decode(payload)).toMatch(/\d/);
        } else expect(result.problem).not.toBe('');
      }),
      { numRuns: 2000 },
    );
  });
});

it('a Fahrenheit scale is turned into Celsius: −40, 32 and 212 °F are −40, 0 and 100 °C by definition', () => {
  expect([-40, 32, 212].map((temperature) => toCelsius(temperature, 'F'))).toEqual([-40, 0, 100]);
  expect(toCelsius(-3.5, 'C')).toBe(-3.5);
});
