import { BlockList, isIPv4, isIPv6 } from 'node:net';

/**
 * Addresses that do not lead to the public internet, or to where a sender should have no business.
 * Source: IANA IPv4 and IPv6 Special-Purpose Address Registries (RFC 6890 and those that it names).
 */
const V4: readonly (readonly [string, number])[] = [
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
const V6: readonly (readonly [string, number])[] = [
  ['::', 128],
  ['::1', 128],
  // IPv4 inside IPv6, as mapped, compatible, NAT64 or 6to4: whoever writes it so has a reason to hide it.
  ['::', 96],
  ['::ffff:0:0', 96],
  ['64:ff9b::', 96],
  ['64:ff9b:1::', 48],
  ['2002::', 16],
  ['100::', 64],
  ['2001::', 23],
  ['2001:db8::', 32],
  ['fc00::', 7],
  ['fe80::', 10],
  ['fec0::', 10],
  ['ff00::', 8],
];

// Two lists: one list would find every IPv4 address in the range of mapped ones.
const blocked4 = new BlockList();
const blocked6 = new BlockList();
for (const [net, prefix] of V4) blocked4.addSubnet(net, prefix, 'ipv4');
for (const [net, prefix] of V6) blocked6.addSubnet(net, prefix, 'ipv6');

/**
 * True for loopback, private, link-local and other addresses of special purpose, and for what is no address.
 *
 * @example
 * isPrivateAddress('169.254.169.254'); // true
 */
export function isPrivateAddress(address: string): boolean {
  // A zone ("fe80::1%eth0") is of this machine in any case.
  if (isIPv4(address)) return blocked4.check(address, 'ipv4');
  if (isIPv6(address)) return blocked6.check(address.split('%')[0] ?? '', 'ipv6');
  return true;
}
