import type { Draft } from './draft.ts';
import { has, mapAt, mapsAt, problemAt, textsAt } from './draft.ts';
import { shown } from './found.ts';
import { CHANNEL_IDS } from './people.ts';
import type { Problem } from './problem.ts';
import { configuredChannels } from './reference-rules.ts';

export function deliveryRules(root: Draft): readonly Problem[] {
  return [
    ...channelRules(root),
    ...passwordRules(root),
    ...mapsAt(root, 'people').flatMap(personRules(root)),
  ];
}

function channelRules(root: Draft): readonly Problem[] {
  if (!has(root, 'delivery') || configuredChannels(root).some((channel) => channel !== 'mqtt')) return [];
  return [
    problemAt(
      root,
      'delivery',
      'must hold email, webhook, file or console, or nobody could be told, found none',
    ),
  ];
}

function passwordRules(root: Draft): readonly Problem[] {
  const delivery = mapAt(root, 'delivery');
  const webhook = mapAt(delivery, 'webhook');
  const twice = has(webhook, 'secretEnv') && has(webhook, 'secretFile');
  return [
    ...loginRules(mapAt(delivery, 'email')),
    ...loginRules(mapAt(delivery, 'mqtt')),
    ...(twice
      ? [problemAt(webhook, 'secretFile', 'must not stand beside secretEnv: give one, found both')]
      : []),
  ];
}

/** A password is in one place, and belongs to a user. */
function loginRules(email: Draft): readonly Problem[] {
  const given = ['passwordEnv', 'passwordFile'].filter((key) => has(email, key));
  if (given.length === 2) {
    return [problemAt(email, 'passwordFile', 'must not stand beside passwordEnv: give one, found both')];
  }
  if (given.length === 1 && !has(email, 'user')) {
    return [problemAt(email, given[0] ?? '', 'needs the user that the password belongs to, found no user')];
  }
  if (given.length === 0 && has(email, 'user')) {
    return [problemAt(email, 'user', 'needs passwordEnv or passwordFile beside it, found neither')];
  }
  return [];
}

function personRules(root: Draft) {
  const configured = configuredChannels(root);
  return (person: Draft): readonly Problem[] =>
    [...textsAt(person, 'channels'), ...textsAt(person, 'urgent')].flatMap(({ path, text }) => {
      if (!CHANNEL_IDS.some((channel) => channel === text)) return [];
      if (!configured.includes(text)) {
        return [{ path, at: 'value', text: `must be a channel set up in delivery, found ${shown(text)}` }];
      }
      if ((text !== 'email' && text !== 'text') || has(person, text)) return [];
      const what = text === 'email' ? 'an email address' : 'the address of a text-message gateway';
      return [{ path, at: 'value', text: `needs ${what} for this person, found none` }];
    });
}
