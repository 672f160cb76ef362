/** Which addresses are of the public internet, and a look-up of names that gives no other. */
import { lookup as systemLookup } from 'node:dns';
import type { LookupAddress } from 'node:dns';
import { BlockList, isIP, type LookupFunction } from 'node:net';

/**
 * IPv4 that is not of the public internet: IANA's special-purpose registry (RFC 6890 and its updates), multicast
 * (RFC 5771). 169.254.0.0/16 holds what clouds tell their own machines, keys among it.
 */
const SPECIAL_V4: readonly (readonly [network: string, prefix: number])[] = [
  ['0.0.0.0', 8],
  ['10.0.0.0', 8],
  ['100.64.0.0', 10],
  ['127.0.0.0', 8],
  ['169.254.0.0', 16],
  ['172.16.0.0', 12],
  ['192.0.0.0', 24],
  ['192.0.2.0', 24],
  ['192.88.99.0', 24],
  ['192.168.0.0', 16],
  ['198.18.0.0', 15],
  ['198.51.100.0', 24],
  ['203.0.113.0', 24],
  ['224.0.0.0', 4],
  ['240.0.0.0', 4],
];

/**
 * Of IPv6 only 2000::/3 is handed out to the public internet (RFC 4291, 2.4); in it, protocol assignments with
 * Teredo, documentation and 6to4, which wraps any IPv4 address, are not reached either.
 */
const GLOBAL_V6: readonly [string, number] = ['2000::', 3];
const SPECIAL_V6: readonly (readonly [network: string, prefix: number])[] = [
  ['2001::', 23],
  ['2001:db8::', 32],
  ['2002::', 16],
  ['3fff::', 20],
];

/** IPv4 inside IPv6: mapped (RFC 4291, 2.5.5.2), and as a network without IPv4 translates it (RFC 6052, 2.1). */
const WRAPPED: readonly (readonly [network: string, prefix: number])[] = [
  ['::ffff:0:0', 96],
  ['64:ff9b::', 96],
];

/** False for what is no address at all. */
export function isPublicAddress(address: string): boolean {
  const version = isIP(address);
  if (version === 4) return !listOf(SPECIAL_V4, 'ipv4').check(address, 'ipv4');
  if (version !== 6 || address.includes('%')) return false;
  if (listOf(WRAPPED, 'ipv6').check(address, 'ipv6')) return isPublicAddress(lastFourBytes(address));
  return (
    listOf([GLOBAL_V6], 'ipv6').check(address, 'ipv6') && !listOf(SPECIAL_V6, 'ipv6').check(address, 'ipv6')
  );
}

function listOf(networks: readonly (readonly [string, number])[], family: 'ipv4' | 'ipv6'): BlockList {
  const list = new BlockList();
  for (const [network, prefix] of networks) list.addSubnet(network, prefix, family);
  return list;
}

/** Of an IPv6 address, as IPv4. */
function lastFourBytes(address: string): string {
  const dotted = /(\d+\.\d+\.\d+\.\d+)$/.exec(address)?.[1];
  if (dotted !== undefined) return dotted;
  const [head = '', tail] = address.split('::');
  const groups = (text: string): number[] =>
    text
      .split(':')
      .filter(Boolean)
      .map((g) => Number.parseInt(g, 16));
  const after = groups(tail ?? head);
  const [high = 0, low = 0] = [...Array.from({ length: 2 }, () => 0), ...after].slice(-2);
  return [high >> 8, high & 255, low >> 8, low & 255].join('.');
}

/** The name leads to an address that is not of the public internet. */
export class PrivateAddressError extends Error {
  override readonly name = 'PrivateAddressError';
  readonly code = 'EPRIVATE';
}

/**
 * Looks a name up for the connection that is being made, so that no later answer of the name service can lead
 * elsewhere. One address that is not public refuses them all.
 */
export const publicLookup: LookupFunction = (hostname, options, callback) => {
  systemLookup(hostname, { ...options, all: true }, (error, addresses) => {
    // Where there is an error there are no addresses, whatever the types say.
    if (error !== null) callback(error, '');
    else if (!addresses.every(({ address }) => isPublicAddress(address))) {
      callback(new PrivateAddressError(`${hostname} leads into a private network`), '');
    } else answer(addresses, options.all === true, callback);
  });
};

function answer(
  addresses: readonly LookupAddress[],
  all: boolean,
  callback: Parameters<LookupFunction>[2],
): void {
  const [first] = addresses;
  if (all) callback(null, [...addresses]);
  else callback(null, first?.address ?? '', first?.family);
}
