/** Who is told of a unit: its own contacts, and those who look after its place. */
import type { Config, UnitConfig } from '../config/config.ts';
import type { Contact } from '../decision/finding.ts';

/** In the order of the config; whoever is both is told as an owner, once. */
export function contactsOf({ people, places }: Config, unit: UnitConfig): readonly Contact[] {
  const managers = places.find(({ id }) => id === unit.place)?.managers ?? [];
  return people.flatMap(({ id, headsUpHours }): Contact[] => {
    if (unit.contacts.includes(id)) return [{ person: id, headsUpHours, role: 'owner' }];
    return managers.includes(id) ? [{ person: id, headsUpHours, role: 'manager' }] : [];
  });
}
