/**
 * Networks from IANA's special-purpose registries for IPv4 and IPv6 (RFC 6890 and its updates), multicast from RFC
 * 5771 and RFC 4291; public ones are those of well-known name servers, from memory.
 */
import { describe, expect, it } from 'vitest';
import { isPublicAddress, PrivateAddressError, publicLookup } from '../../src/delivery/public-address.ts';

describe('an address', () => {
  it.each([
    '1.1.1.1',
    '8.8.8.8',
    '9.9.9.9',
    '100.63.255.255',
    '100.128.0.0',
    '172.15.255.255',
    '172.32.0.0',
    '169.253.255.255',
    '192.167.255.255',
    '198.17.255.255',
    '198.20.0.0',
    '223.255.255.255',
    '2606:4700:4700::1111',
    '2001:4860:4860::8888',
    '2a00::1',
    '::ffff:8.8.8.8',
    '64:ff9b::808:808',
  ])('of the public internet is one: %s', (address) => {
    expect(isPublicAddress(address)).toBe(true);
  });

  it.each([
    '0.0.0.0',
    '10.0.0.1',
    '100.64.0.1',
    '100.127.255.255',
    '127.0.0.1',
    '127.255.255.254',
    '169.254.169.254',
    '172.16.0.1',
    '172.31.255.255',
    '192.0.0.8',
    '192.0.2.1',
    '192.168.1.1',
    '198.18.0.1',
    '198.19.255.255',
    '198.51.100.1',
    '203.0.113.1',
    '224.0.0.1',
    '239.255.255.255',
    '240.0.0.1',
    '255.255.255.255',
    '::',
    '::1',
    'fe80::1',
    'fe80::1%eth0',
    'fc00::1',
    'fd00:ec2::254',
    'ff02::1',
    '100::1',
    '2001:db8::1',
    '2001::1',
    '2002:7f00:1::',
    '3fff::1',
    '::127.0.0.1',
    '::ffff:127.0.0.1',
    '::ffff:7f00:1',
    '0:0:0:0:0:ffff:a00:1',
    '::ffff:169.254.169.254',
    '64:ff9b::7f00:1',
    '64:ff9b::10.0.0.1',
    '64:ff9b::',
    '64:ff9b:1::1',
    '',
    'localhost',
    '1.2.3',
    '0x7f000001',
    '1.1.1.1.',
    '2130706433',
  ])('that is none, or no address at all, is not: %j', (address) => {
    expect(isPublicAddress(address)).toBe(false);
  });
});

describe('the look-up of a name', () => {
  it('refuses one that leads into this machine', async () => {
    const error = await new Promise((resolve) => {
      publicLookup('localhost', { all: true }, resolve);
    });
    expect(error).toBeInstanceOf(PrivateAddressError);
  });

  it('passes on that there is none', async () => {
    const error = await new Promise((resolve) => {
      publicLookup('nothing.invalid', {}, resolve);
    });
    expect(error).toBeInstanceOf(Error);
    expect(error).not.toBeInstanceOf(PrivateAddressError);
  });
});
