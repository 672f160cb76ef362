import { z } from 'zod';

export const DisplaySchema = z
  .strictObject({
    temperature: z
      .enum(['F', 'C'])
      .default('F')
      .describe('Unit of temperature for readers who did not choose one.'),
    length: z.enum(['ft', 'm']).default('ft').describe('Unit of length in what drainby prints.'),
    words: z
      .strictObject({
        faucet: z.enum(['faucet', 'tap']).default('faucet').describe('Your word for where water comes out.'),
        trailer: z.enum(['trailer', 'caravan']).default('trailer').describe('Your word for what is towed.'),
        gas: z.enum(['propane', 'gas']).default('propane').describe('Your word for what the furnace burns.'),
      })
      .prefault({})
      .describe('The words readers are used to.'),
  })
  .prefault({})
  .describe('How numbers and words are shown to people.');
