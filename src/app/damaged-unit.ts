import { StoreError } from '../errors.ts';

/** What is said of a unit whose row in the database cannot be read. The other units are served all the same. */
export function damagedUnit(unit: string): StoreError {
  return new StoreError(
    'store-damaged',
    `What the database holds of unit ${unit} is damaged: what was done to it and what was told of it is unknown.`,
    {
      hint: `Look at the unit and say what is in it, such as "drainby mark -c FILE ${unit} in-use", or put a backup in the database's place.`,
    },
  );
}
