/*
 * Which names and addresses an authority may vouch for: pure questions about names, networks and a certificate's name constraints.
 * Called by home-authority.ts; it decides nothing about trust, which is the phone's to decide.
 */
import type { X509Certificate } from 'node:crypto';
import { BlockList, isIP } from 'node:net';
import { AsnConvert } from '@peculiar/asn1-schema';
import * as asn1 from '@peculiar/asn1-x509';

/** Is it the name, or a name below it? Example: `isBelow('bench.local', 'local')` is true, `isBelow('notlocal', 'local')` false. */
export function isBelow(name: string, above: string): boolean {
  return name.toLowerCase() === above.toLowerCase() || name.toLowerCase().endsWith(`.${above.toLowerCase()}`);
}

/** Example: `addressIn('192.168.1.20', '192.168.0.0/16')` is true. */
export function addressIn(address: string, network: string): boolean {
  const [net = '', bits = ''] = network.split('/');
  const family = isIP(net) === 6 ? 'ipv6' : 'ipv4';
  if (isIP(address) !== (family === 'ipv6' ? 6 : 4)) return false;
  const list = new BlockList();
  list.addSubnet(net, Number(bits), family);
  return list.check(address, family);
}

/** The names that its name constraints permit (RFC 5280 4.2.1.10). Without such constraints: none, the careful answer. */
export function vouchedNames(authority: X509Certificate): string[] {
  const { extensions } = AsnConvert.parse(authority.raw, asn1.Certificate).tbsCertificate;
  const constraints = extensions?.find((one) => one.extnID === asn1.id_ce_nameConstraints);
  if (constraints === undefined) return [];
  const { permittedSubtrees } = AsnConvert.parse(constraints.extnValue.buffer, asn1.NameConstraints);
  return (permittedSubtrees ?? []).flatMap(({ base }) => base.dNSName ?? []);
}
