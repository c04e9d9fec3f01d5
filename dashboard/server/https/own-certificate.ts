/*
 * The owner's own certificate: two files that another program renews. Read at the start, where everything that is wrong is told at once,
 * and again from time to time. Never written, never logged.
 */
import { createPrivateKey, X509Certificate } from 'node:crypto';
import { readFileSync } from 'node:fs';
import type { KeyedCertificate } from './certificate.js';

/** The pair, or everything that is wrong with it, each a whole sentence. */
export function ownCertificate(certificateFile: string, keyFile: string, nowMs: number): KeyedCertificate | string[] {
  const problems: string[] = [];
  const read = <T>(
    option: string,
    file: string,
    expected: string,
    parse: (text: string) => T,
  ): [string, T] | undefined => {
    try {
      const text = readFileSync(file, 'utf8');
      return [text, parse(text)];
    } catch (fault) {
      const code = (fault as NodeJS.ErrnoException).code ?? '';
      const why = /^E[A-Z]+$/.test(code) ? `it cannot be read (${code})` : `it is not ${expected}`;
      problems.push(`${option}: ${file} is of no use: ${why}. Expected ${expected}.`);
      return undefined;
    }
  };
  const certificate = read('--certificate (BATHKEEPER_CERTIFICATE)', certificateFile, 'a certificate as PEM, followed by those that vouch for it',
    (text) => new X509Certificate(text)); // prettier-ignore
  const key = read('--certificate-key (BATHKEEPER_CERTIFICATE_KEY)', keyFile, 'its private key as PEM, without a passphrase', createPrivateKey); // prettier-ignore
  if (certificate === undefined || key === undefined) return problems;
  if (!certificate[1].checkPrivateKey(key[1]))
    problems.push(
      `The key in ${keyFile} does not belong to the certificate in ${certificateFile}. Give the two of one pair.`,
    );
  if (Date.parse(certificate[1].validTo) <= nowMs)
    problems.push(
      `The certificate in ${certificateFile} ended at ${certificate[1].validTo}. Renew it, or set this computer's clock.`,
    );
  return problems.length > 0 ? problems : { certificate: certificate[0], key: key[0] };
}
