import { DeliveryError } from '../errors.ts';
import { plainLine } from './plain-line.ts';

/** One mailbox, kept in two parts so that neither can pass for more than one. */
export interface Address {
  readonly name: string;
  readonly address: string;
}

/** One address and nothing else: no list, no group, no comment, no second line. */
const ADDRESS = /^[^\s<>()[\]\\,;:"@\p{Cc}]+@[^\s<>()\\,;"@\p{Cc}]+$/u;

/** @throws {DeliveryError} permanent, when it is not one plain address. */
export function toAddress(name: string, address: string): Address {
  if (!ADDRESS.test(address)) {
    throw new DeliveryError('delivery-config', `"${plainLine(address)}" is not one e-mail address.`, {
      hint: 'Write it as name@domain, without brackets, commas or spaces.',
    });
  }
  return { name: plainLine(name), address };
}
