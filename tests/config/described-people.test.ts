/** What a config means for people, places and the ways to them: whatever the file says of them is to be seen. */
import { expect, it } from 'vitest';
import { describeConfig } from '../../src/config/describe.ts';
import { formatDescription } from '../../src/config/description-text.ts';
import { parseConfig } from '../../src/config/parse.ts';

const ORIGIN = { file: 'drainby.yaml', resolvePath: (path: string) => path };

const FULL = {
  places: [
    {
      id: 'creek',
      latitude: 39.6,
      longitude: -106,
      timeZone: 'America/Denver',
      managers: ['sol'],
      water: { shutsOn: '2026-10-24', at: '08:00', dumpClosesBelow: '20 °F', opensOn: '2027-04-15' },
    },
  ],
  units: [
    {
      id: 'blue',
      place: 'creek',
      kind: 'travel-trailer',
      waterUse: { perDay: '12 gal', onBoard: '36 gal', tank: '40 gal' },
      contacts: ['ann'],
    },
  ],
  people: [
    {
      id: 'ann',
      name: 'Ann Example',
      email: 'ann@example.org',
      text: '15555550100@text.example.org',
      channels: ['email', 'file'],
      urgent: ['text'],
      free: ['Mo-Fr 17:00-21:00', 'Sa 08:00-18:00', 'Sa-Mo 06:00-07:00'],
      stillWatching: true,
    },
    { id: 'sol', name: 'Sol Example', email: 'sol@example.org' },
  ],
  delivery: {
    email: { host: 'smtp.example.org', from: 'me@example.org' },
    file: { directory: './sent' },
    webhook: { url: 'https://hook.example.org/SECRET', secretEnv: 'HOOK' },
    mqtt: { url: 'mqtts://broker.example.org', topic: 'lot' },
  },
  heartbeat: { url: 'https://beat.example.org/SECRET', every: '10 min' },
};

function described(config: object): string {
  const parsed = parseConfig(JSON.stringify(config), ORIGIN);
  return formatDescription(describeConfig(parsed), parsed.display);
}

it('names the managers, when the water is shut and the dump closed, and how much is used', () => {
  const text = described(FULL);
  expect(text).toContain('  managers      sol\n');
  expect(text).toContain('  water shut    on 2026-10-24, 08:00; open again on 2027-04-15\n');
  expect(text).toContain('  dump closed   at 20 °F or below; open again on 2027-04-15\n');
  expect(text).toContain('  water use     12 gal a day, 36 gal on board, a tank of 40 gal\n');
});

it('names the ways to a person, when they are free, and the weekly line', () => {
  const text = described(FULL);
  expect(text).toContain('  text          15555550100@text.example.org\n');
  expect(text).toContain('  channels      email, file; what cannot wait: text');
  expect(text).toContain('Mo-Fr 17:00-21:00, Sa 08:00-18:00, Sa-Mo');
  expect(text).toContain('  weekly        a line that it is still watching\n');
  expect(text).toContain('  free          at any hour\n');
});

it('names every way out, and no path that may hold a secret', () => {
  const text = described(FULL).replaceAll(/\s+/g, ' ');
  expect(text).toContain('e-mail by smtp.example.org');
  expect(text).toContain('a webhook at hook.example.org, signed');
  expect(text).toContain('states of units under lot at broker.example.org');
  expect(text).toContain('heartbeat every 10 min');
  expect(JSON.stringify(describeConfig(parseConfig(JSON.stringify(FULL), ORIGIN)))).not.toContain('SECRET');
  expect(text).not.toContain('SECRET');
});

it('says of an address for text messages that it is not used where there is no e-mail', () => {
  const { email: _email, ...delivery } = FULL.delivery;
  const people = FULL.people.map(
    ({ channels: _c, urgent: _u, ...person }: Record<string, unknown>) => person,
  );
  const text = described({ ...FULL, people, delivery }).replaceAll(/\s+/g, ' ');
  expect(text).toContain('(not used: there is no delivery.email)');
  expect(described(FULL)).not.toContain('not used');
});
