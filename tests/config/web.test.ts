import { describe, expect, it } from 'vitest';
import { describeConfig } from '../../src/config/describe.ts';
import { formatDescription } from '../../src/config/description-text.ts';
import { SMALL, parse } from './sample.ts';

function withWeb(listen: string, publicUrl?: string) {
  const web = publicUrl === undefined ? { listen } : { listen, publicUrl };
  return parse(`${SMALL}web: ${JSON.stringify(web)}\n`);
}

function described(listen: string, publicUrl?: string): string {
  const config = withWeb(listen, publicUrl);
  return formatDescription(describeConfig(config), config.display).replaceAll(/\n +/gu, ' ');
}

describe('where links in messages lead', () => {
  it.each([
    '127.0.0.1:8787',
    '127.8.9.1:8787',
    '127.1:8787',
    'localhost:8787',
    'LocalHost:8787',
    'drainby.localhost:8787',
    'localhost.localdomain:8787',
    '[::1]:8787',
    '[::ffff:7f00:1]:8787',
    '0.0.0.0:8787',
    '0:8787',
    '[::]:8787',
    '[::ffff:0:0]:8787',
    '999.1.1.1:8787',
  ])('is nowhere where the config only says that %s is listened on: readers are elsewhere', (listen) => {
    expect(withWeb(listen).web).toEqual({ listen, publicUrl: null });
    expect(described(listen)).toContain(`at ${listen}; messages offer no links:`);
  });

  it.each(['192.168.0.10:8787', 'otter.example.org:8787', '[fd00::1]:8787', 'my-localhost:8787'])(
    'is %s where that is listened on and no other address is given',
    (listen) => {
      expect(withWeb(listen).web?.publicUrl).toBe(`http://${listen}`);
      expect(described(listen)).toContain(`links in messages begin with http://${listen}`);
    },
  );

  it.each([
    ['https://d.example.org', 'https://d.example.org'],
    ['https://d.example.org/', 'https://d.example.org'],
    [' https://D.example.org:8443/lot//', 'https://d.example.org:8443/lot'],
    ['http:d.example.org', 'http://d.example.org'],
  ])('is %j where the config says so, wherever it listens', (given, taken) => {
    expect(withWeb('127.0.0.1:8787', given).web?.publicUrl).toBe(taken);
    expect(described('127.0.0.1:8787', given)).toContain(`links in messages begin with ${taken}`);
  });

  it('may be this machine, for whoever says so, and `drainby config` says what that means', () => {
    expect(described('127.0.0.1:8787', 'http://127.0.0.1:8787')).toContain('work on this machine only');
  });

  it('is not spoken of where nothing is served', () => {
    const config = parse(SMALL);
    expect(describeConfig(config).web).toBeNull();
    expect(formatDescription(describeConfig(config), config.display)).not.toContain('pages');
  });
});
