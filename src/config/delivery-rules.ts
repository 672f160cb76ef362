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
  if (!has(root, 'delivery') || configuredChannels(root).length > 0) return [];
  return [
    problemAt(root, 'delivery', 'must hold email, file or console, or nothing could be sent, found none'),
  ];
}

function passwordRules(root: Draft): readonly Problem[] {
  const email = mapAt(mapAt(root, 'delivery'), 'email');
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
    textsAt(person, 'channels').flatMap(({ path, text }) => {
      if (!CHANNEL_IDS.some((channel) => channel === text)) return [];
      if (!configured.includes(text)) {
        return [{ path, at: 'value', text: `must be a channel set up in delivery, found ${shown(text)}` }];
      }
      if (text !== 'email' || has(person, 'email')) return [];
      return [{ path, at: 'value', text: 'needs an email address for this person, found none' }];
    });
}
