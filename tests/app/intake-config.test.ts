/** What stands where the config says that a secret is, on its way to the doors for readings and the heartbeat. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { heartbeatUrl, intakeOf } from '../../src/app/intake-config.ts';
import type { Config } from '../../src/config/config.ts';
import { ConfigError } from '../../src/errors.ts';
import { configOf, probeUnit, scenario } from '../support/scenario.ts';
import { temporaryDirectory } from '../support/temporary.ts';

const TOKEN = 'c0ffee00c0ffee00';

function load(readings: object): Config {
  const web = { listen: '127.0.0.1:8787' };
  return scenario({ ...configOf({ units: [probeUnit()] }), web, readings }, { 'series.csv': 'time\n' });
}

function tokenOf(readings: object, env: Readonly<Record<string, string>> = {}): string | null | undefined {
  return intakeOf(load(readings), env).web?.token;
}

describe('the token for readings', () => {
  it('comes from the environment or from a file, without the blanks around it', () => {
    const file = join(temporaryDirectory(), 'token');
    writeFileSync(file, `${TOKEN}\r\n`);
    expect(tokenOf({ tokenFile: file })).toBe(TOKEN);
    expect(tokenOf({ tokenEnv: 'DRAINBY_TOKEN' }, { DRAINBY_TOKEN: ` ${TOKEN}\n` })).toBe(TOKEN);
    expect(tokenOf({})).toBeNull();
  });

  it.each([
    ['', 'The environment variable DRAINBY_TOKEN holds no token for POST /readings.'],
    ['   ', 'The token for POST /readings is nothing but blanks.'],
    ['abc', 'The token for POST /readings is shorter than 16 characters.'],
    ['c0ffee00c0ffee0', 'The token for POST /readings is shorter than 16 characters.'],
    ['with blanks in its middle', 'The token for POST /readings may hold letters, digits and -._~+/ only.'],
    ['schlüssel-schlüssel', 'The token for POST /readings may hold letters, digits and -._~+/ only.'],
  ])('that reads "%s" is refused without being shown', (token, why) => {
    const read = (): unknown => tokenOf({ tokenEnv: 'DRAINBY_TOKEN' }, { DRAINBY_TOKEN: token });
    expect(read).toThrow(ConfigError);
    expect(read).toThrow(why);
    if (token.trim() !== '') expect(read).not.toThrow(token);
  });

  it('that is not there is refused', () => {
    expect(() => tokenOf({ tokenEnv: 'DRAINBY_TOKEN' })).toThrow(
      'The environment variable DRAINBY_TOKEN holds no',
    );
    const file = join(temporaryDirectory(), 'token');
    expect(() => tokenOf({ tokenFile: file })).toThrow(/The file .* with the token .* cannot be read\./);
  });
});

it('an address for the heartbeat is read from where it is, and must be one', () => {
  const heartbeat = { url: { env: 'BEAT' }, everySeconds: 600 };
  expect(heartbeatUrl({ heartbeat }, { BEAT: 'https://beat.example.org/x\n' })).toBe(
    'https://beat.example.org/x',
  );
  expect(() => heartbeatUrl({ heartbeat }, {})).toThrow('BEAT holds no address for the heartbeat.');
  expect(() => heartbeatUrl({ heartbeat }, { BEAT: 'beat' })).toThrow('is no http:// or https:// address');
});
