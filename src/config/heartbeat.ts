import { z } from 'zod';
import { environmentName, httpUrl, path, quantity } from './field.ts';

export const HeartbeatSchema = z
  .strictObject({
    url: httpUrl()
      .optional()
      .describe(
        'Address that is asked for as long as everything is fresh; one with a secret in it belongs elsewhere.',
      ),
    urlEnv: environmentName().optional().describe('Environment variable that holds that address.'),
    urlFile: path().optional().describe('File that holds that address, relative to this file.'),
    every: quantity('duration', { from: '1 min', to: '1 d' }).prefault('1 h').describe('How often.'),
  })
  .describe('A sign of life for a watcher elsewhere: silence means that something is wrong.');
