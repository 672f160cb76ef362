import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ConfigError } from '../../src/errors.ts';
import { readToken } from '../../src/web/token.ts';
import { temporaryDirectory } from '../support/temporary.ts';

const TOKEN = 'c0ffee00c0ffee00';

describe('the web token', () => {
  it('comes from the environment or from the first line of a file, without the blanks around it', () => {
    const file = join(temporaryDirectory(), 'token');
    writeFileSync(file, `${TOKEN}\r\nanything\n`);
    expect(readToken({ file }, {})).toBe(TOKEN);
    expect(readToken({ env: 'DRAINBY_TOKEN' }, { DRAINBY_TOKEN: ` ${TOKEN}\n` })).toBe(TOKEN);
  });

  it.each([
    ['', 'is empty or not there'],
    ['   ', 'is empty or not there'],
    ['short', 'is shorter than 16 characters'],
    ['with blanks in its middle', 'may hold letters, digits and -._~+/ only'],
    ['schlüssel-schlüssel', 'may hold letters, digits and -._~+/ only'],
  ])('that reads "%s" is refused without being shown', (token, why) => {
    const read = (): string => readToken({ env: 'DRAINBY_TOKEN' }, { DRAINBY_TOKEN: token });
    expect(read).toThrow(ConfigError);
    expect(read).toThrow(`The web token in the environment variable DRAINBY_TOKEN ${why}.`);
  });

  it('that is not there is refused', () => {
    expect(() => readToken({ env: 'DRAINBY_TOKEN' }, {})).toThrow('is empty or not there');
    const file = join(temporaryDirectory(), 'token');
    expect(() => readToken({ file }, {})).toThrow(/The web token's file .* cannot be read: .*ENOENT/);
  });
});
