/*
 * Makes X.509 certificates (RFC 5280) of the home authority: the authority's own, and the one that the dashboard shows to browsers.
 * Called by home-authority.ts. It draws keys and signs with Node's own cryptography (ECDSA on P-256 with SHA-256); it reads and
 * writes no file, and knows no clock.
 */
import { createHash, generateKeyPairSync, type KeyObject, randomBytes, sign, X509Certificate } from 'node:crypto';
import { isIP } from 'node:net';
import { AsnConvert, OctetString } from '@peculiar/asn1-schema';
import * as asn1 from '@peculiar/asn1-x509';

const DAY_MS = 86_400_000;
/** ecdsa-with-SHA256, RFC 5758 3.2: without parameters. */
const ECDSA_WITH_SHA256 = '1.2.840.10045.4.3.2';
const COMMON_NAME = '2.5.4.3';
/** A phone whose clock is a little behind must not refuse what was made a minute ago. */
const BACKDATED_MS = DAY_MS;
export const AUTHORITY_DAYS = 3653;
/** Apple takes at most 825 days from an authority that a person added ("Requirements for trusted certificates in iOS 13", from memory). */
export const SERVER_DAYS = 365;

/** Both PEM. */
export interface KeyedCertificate {
  readonly certificate: string;
  readonly key: string;
}

/**
 * An authority that may vouch for these names (each with all names below it) and networks, and for nothing else, so that a stolen key
 * forges no bank. A verifier that ignores name constraints is not held by them.
 *
 * Example: `authorityCertificate('Home authority', ['local'], ['10.0.0.0/8'], nowMs)`
 */
export function authorityCertificate(
  commonName: string,
  names: readonly string[],
  networks: readonly string[],
  nowMs: number,
): KeyedCertificate {
  const own = generateKeyPairSync('ec', { namedCurve: 'P-256' });
  const permitted = [
    ...names.map((dNSName) => new asn1.GeneralName({ dNSName })),
    ...networks.map((iPAddress) => new asn1.GeneralName({ iPAddress })),
  ].map((base) => new asn1.GeneralSubtree({ base }));
  const { keyCertSign, cRLSign } = asn1.KeyUsageFlags;
  const certificate = signedCertificate({
    subject: named(commonName),
    issuer: named(commonName),
    publicKey: own.publicKey,
    issuerPublicKey: own.publicKey,
    issuerKey: own.privateKey,
    notBeforeMs: nowMs - BACKDATED_MS,
    notAfterMs: nowMs + AUTHORITY_DAYS * DAY_MS,
    extensions: [
      extension(asn1.id_ce_basicConstraints, new asn1.BasicConstraints({ cA: true, pathLenConstraint: 0 }), true),
      extension(asn1.id_ce_keyUsage, new asn1.KeyUsage(keyCertSign | cRLSign), true),
      extension(
        asn1.id_ce_nameConstraints,
        new asn1.NameConstraints({ permittedSubtrees: new asn1.GeneralSubtrees(permitted) }),
        true,
      ),
    ],
  });
  return { certificate, key: pemOf(own.privateKey) };
}

/**
 * A server's certificate for these names and addresses, signed by the authority, with a key of its own. Never valid longer than the authority.
 *
 * Example: `serverCertificate(authority, authorityKey, ['bench.local', '192.168.1.20'], nowMs)`
 */
export function serverCertificate(
  authority: X509Certificate,
  authorityKey: KeyObject,
  hosts: readonly string[],
  nowMs: number,
): KeyedCertificate {
  const own = generateKeyPairSync('ec', { namedCurve: 'P-256' });
  const issuer = AsnConvert.parse(authority.raw, asn1.Certificate).tbsCertificate.subject;
  const hostNames = hosts.map(
    (host) => new asn1.GeneralName(isIP(host) === 0 ? { dNSName: host } : { iPAddress: host }),
  );
  const certificate = signedCertificate({
    subject: named('Bathkeeper'),
    issuer,
    publicKey: own.publicKey,
    issuerPublicKey: authority.publicKey,
    issuerKey: authorityKey,
    notBeforeMs: nowMs - BACKDATED_MS,
    notAfterMs: Math.min(nowMs + SERVER_DAYS * DAY_MS, Date.parse(authority.validTo)),
    extensions: [
      extension(asn1.id_ce_basicConstraints, new asn1.BasicConstraints({ cA: false }), true),
      extension(asn1.id_ce_keyUsage, new asn1.KeyUsage(asn1.KeyUsageFlags.digitalSignature), true),
      extension(asn1.id_ce_extKeyUsage, new asn1.ExtendedKeyUsage([asn1.id_kp_serverAuth])),
      extension(asn1.id_ce_subjectAltName, new asn1.SubjectAlternativeName(hostNames)),
    ],
  });
  return { certificate, key: pemOf(own.privateKey) };
}

interface ToSign {
  readonly subject: asn1.Name;
  readonly issuer: asn1.Name;
  readonly publicKey: KeyObject;
  readonly issuerPublicKey: KeyObject;
  readonly issuerKey: KeyObject;
  readonly notBeforeMs: number;
  readonly notAfterMs: number;
  readonly extensions: readonly asn1.Extension[];
}

/** The certificate as PEM. */
function signedCertificate(asked: ToSign): string {
  const algorithm = new asn1.AlgorithmIdentifier({ algorithm: ECDSA_WITH_SHA256 });
  const tbsCertificate = new asn1.TBSCertificate({
    version: asn1.Version.v3,
    serialNumber: serialNumber(),
    signature: algorithm,
    issuer: asked.issuer,
    subject: asked.subject,
    validity: new asn1.Validity({ notBefore: new Date(asked.notBeforeMs), notAfter: new Date(asked.notAfterMs) }),
    subjectPublicKeyInfo: AsnConvert.parse(derOf(asked.publicKey), asn1.SubjectPublicKeyInfo),
    extensions: new asn1.Extensions([
      ...asked.extensions,
      extension(asn1.id_ce_subjectKeyIdentifier, new asn1.SubjectKeyIdentifier(keyIdentifier(asked.publicKey))),
      extension(
        asn1.id_ce_authorityKeyIdentifier,
        new asn1.AuthorityKeyIdentifier({
          keyIdentifier: new asn1.KeyIdentifier(keyIdentifier(asked.issuerPublicKey)),
        }),
      ),
    ]),
  });
  const signature = sign('sha256', Buffer.from(AsnConvert.serialize(tbsCertificate)), asked.issuerKey);
  const certificate = new asn1.Certificate({
    tbsCertificate,
    signatureAlgorithm: algorithm,
    signatureValue: new Uint8Array(signature).buffer,
  });
  return new X509Certificate(Buffer.from(AsnConvert.serialize(certificate))).toString();
}

function named(commonName: string): asn1.Name {
  const value = new asn1.AttributeValue({ utf8String: commonName });
  return new asn1.Name([
    new asn1.RelativeDistinguishedName([new asn1.AttributeTypeAndValue({ type: COMMON_NAME, value })]),
  ]);
}

function extension(extnID: string, value: unknown, critical = false): asn1.Extension {
  return new asn1.Extension({ extnID, critical, extnValue: new OctetString(AsnConvert.serialize(value)) });
}

/** RFC 5280 4.1.2.2: positive, at most 20 bytes, drawn at random. */
function serialNumber(): ArrayBuffer {
  const bytes = new Uint8Array(randomBytes(16));
  bytes[0] = (bytes[0]! & 0x7f) | 0x40;
  return bytes.buffer;
}

/** RFC 5280 4.2.1.2, method 1: SHA-1 of the key's bits. It names a key and protects nothing. */
function keyIdentifier(publicKey: KeyObject): ArrayBuffer {
  const { subjectPublicKey } = AsnConvert.parse(derOf(publicKey), asn1.SubjectPublicKeyInfo);
  return new Uint8Array(createHash('sha1').update(Buffer.from(subjectPublicKey)).digest()).buffer;
}

function derOf(publicKey: KeyObject): Buffer {
  return publicKey.export({ type: 'spki', format: 'der' });
}

function pemOf(privateKey: KeyObject): string {
  return privateKey.export({ type: 'pkcs8', format: 'pem' }).toString();
}
