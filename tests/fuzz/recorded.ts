import { readFileSync } from 'node:fs';
import { sharedPath } from '../shared-data.ts';
import type { Json } from './mutate.ts';

/** A recorded answer, below recordings/. */
export function recorded(name: string): { [key: string]: Json } {
  return JSON.parse(readFileSync(sharedPath(`recordings/${name}`), 'utf8')) as { [key: string]: Json };
}
