/** A heartbeat has one address. */
import type { Draft } from './draft.ts';
import { has, mapAt, problemAt } from './draft.ts';
import type { Problem } from './problem.ts';

const ADDRESSES = ['url', 'urlEnv', 'urlFile'] as const;

export function heartbeatRules(root: Draft): readonly Problem[] {
  if (!has(root, 'heartbeat')) return [];
  const heartbeat = mapAt(root, 'heartbeat');
  const [first, ...more] = ADDRESSES.filter((key) => has(heartbeat, key));
  if (first === undefined)
    return [problemAt(root, 'heartbeat', `must have an address (${ADDRESSES.join(', ')}), found none`)];
  return more.map((key) => problemAt(heartbeat, key, `has no effect beside ${first}, found both`));
}
