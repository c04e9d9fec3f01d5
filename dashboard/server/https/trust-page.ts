/*
 * /trust: how a phone comes to trust the home authority, in words, with the certificate to take along. Served over plain http as well, to
 * whoever is in the network: a certificate is public, and a phone needs it before it can trust anything. It never touches a key or the bath.
 */
import { createHash, X509Certificate } from 'node:crypto';
import { type Response, Router } from 'express';
import { TRUST_LOOK } from './trust-look.js';

export interface TrustPageOptions {
  /** `off`: plain http; `own`: a certificate that phones trust already; `home`: the home authority, its certificate as PEM. */
  readonly way:
    { readonly kind: 'off' } | { readonly kind: 'own' } | { readonly kind: 'home'; readonly authority: string };
  /** Where the page is over https; undefined: nowhere. */
  readonly address: () => string | undefined;
}

export function trustPage(options: TrustPageOptions): Router {
  const { way } = options;
  const router = Router();
  router.get('/trust', (_request, response) => {
    response.setHeader('Cache-Control', 'no-cache');
    response.type('html').send(html(options));
  });
  router.get('/trust/look.css', (_request, response) => {
    response.type('css').send(TRUST_LOOK);
  });
  if (way.kind === 'home') {
    const authority = new X509Certificate(way.authority);
    const send = (response: Response, type: string, name: string, content: Buffer | string): void => {
      response.setHeader('Content-Disposition', `attachment; filename="${name}"`);
      // No charset is added to bytes.
      response.setHeader('Content-Type', type);
      response.end(content);
    };
    router.get('/trust/authority.crt', (_request, response) => {
      send(response, 'application/x-x509-ca-cert', 'bathkeeper-authority.crt', authority.raw);
    });
    router.get('/trust/authority.mobileconfig', (_request, response) => {
      send(response, 'application/x-apple-aspen-config', 'bathkeeper-authority.mobileconfig', profile(authority));
    });
  }
  return router;
}

/** An Apple configuration profile with one root certificate (Apple, "Configuration Profile Reference", payload com.apple.security.root; from memory). */
function profile(authority: X509Certificate): string {
  // The same certificate is the same profile: installing it twice leaves one.
  const identity = (of: string): string => {
    const digits = createHash('sha256').update(authority.raw).update(of).digest('hex');
    return [8, 4, 4, 4, 12].map((length, place) => digits.slice([0, 8, 12, 16, 20][place], [0, 8, 12, 16, 20][place]! + length)).join('-').toUpperCase(); // prettier-ignore
  };
  const name = commonName(authority);
  return `<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE plist PUBLIC "-//Apple//DTD PLIST 1.0//EN" "http://www.apple.com/DTDs/PropertyList-1.0.dtd">
<plist version="1.0"><dict>
<key>PayloadType</key><string>Configuration</string>
<key>PayloadVersion</key><integer>1</integer>
<key>PayloadIdentifier</key><string>bathkeeper.home-authority</string>
<key>PayloadUUID</key><string>${identity('profile')}</string>
<key>PayloadDisplayName</key><string>${name}</string>
<key>PayloadDescription</key><string>Lets this phone trust the Bathkeeper page in your own network.</string>
<key>PayloadContent</key><array><dict>
<key>PayloadType</key><string>com.apple.security.root</string>
<key>PayloadVersion</key><integer>1</integer>
<key>PayloadIdentifier</key><string>bathkeeper.home-authority.root</string>
<key>PayloadUUID</key><string>${identity('root')}</string>
<key>PayloadDisplayName</key><string>${name}</string>
<key>PayloadContent</key><data>${authority.raw.toString('base64')}</data>
</dict></array>
</dict></plist>
`;
}

/** It was made here, of letters, digits and spaces; whatever else stands in it is left out. */
function commonName(authority: X509Certificate): string {
  return (/CN=([^\n]*)/.exec(authority.subject)?.[1] ?? '').replace(/[^\w .-]/g, '');
}

function html({ way, address }: TrustPageOptions): string {
  const page = address();
  const body =
    way.kind === 'home'
      ? homeWords(new X509Certificate(way.authority), page)
      : way.kind === 'own'
        ? `<p>This page has a certificate of its own. Nothing has to be trusted by hand.</p>${open(page)}`
        : offWords;
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1, viewport-fit=cover">
<meta name="color-scheme" content="light dark">
<title>Bathkeeper: let this phone trust the page</title>
<link rel="stylesheet" href="/trust/look.css">
</head>
<body><main>
<h1>Let this phone trust the page</h1>
${body}
</main></body>
</html>
`;
}

const open = (page: string | undefined): string =>
  page === undefined ? '' : `<p><a class="go" href="${page}">Open the page: ${page}</a></p>`;

/** For a person to compare, the same on paper, screen and phone. Example: 32 pairs `AB:CD:…` are four lines of eight, `AB CD …`. */
export function fingerprintLines(fingerprint: string): string[] {
  const pairs = fingerprint.split(':');
  return [0, 8, 16, 24].map((from) => pairs.slice(from, from + 8).join(' '));
}

function homeWords(authority: X509Certificate, page: string | undefined): string {
  return `<p>This dashboard has a small certificate authority of its own. Once a phone trusts it, the page opens without a warning and
can send notifications to the locked phone. Do this once for each phone, in your own network.</p>
<h2>First: is it the right one?</h2>
<p>Compare these digits with those that the program printed when it started. If they differ, stop here: somebody in the network pretends to be this computer.</p>
<p class="digits" aria-label="SHA-256 of the certificate">${fingerprintLines(authority.fingerprint256).join('<br>')}</p>
<p>Its name is <strong>${commonName(authority)}</strong>. It may vouch for private names and addresses only, and lasts until ${new Date(authority.validTo).toISOString().slice(0, 10)}.</p>
<h2>iPhone, iPad</h2>
<ol>
<li>In Safari: <a class="go" href="/trust/authority.mobileconfig">take the profile</a>, and allow its download.</li>
<li>Settings, General, VPN &amp; Device Management: choose the profile, Install.</li>
<li>Settings, General, About, Certificate Trust Settings: switch it on. Without this step it is installed and not trusted.</li>
<li>Open the page in Safari, Share, Add to Home Screen; open it from there and allow notifications (iOS 16.4 or later).</li>
</ol>
<h2>Android</h2>
<ol>
<li><a class="go" href="/trust/authority.crt">Take the certificate</a></li>
<li>Settings, Security (or: Security and privacy, More), Encryption and credentials, Install a certificate, CA certificate, Install anyway: choose the file. The phone needs a screen lock.</li>
<li>Open the page in Chrome, menu, Add to Home screen; allow notifications. Other browsers may keep a list of their own.</li>
</ol>
<p>Android says from then on that the network may be monitored: that is its sentence for every authority that a person added.</p>
<h2>A computer</h2>
<p><a class="go" href="/trust/authority.crt">Take the certificate</a> and add it to the trusted root authorities of the system (Windows: current user; macOS: Keychain Access, Always Trust) or of the browser (Firefox: Settings, Certificates, Authorities).</p>
<h2>To undo it</h2>
<p>Remove the profile or the certificate in the same place.</p>
${open(page)}`;
}

const offWords = `<p>This dashboard speaks plain http. It works as it is, and calls reach a phone by webhook and e‑mail. Notifications
from the page itself (Web Push) need HTTPS. There are three ways, each an option of the program; <code>npm start -- --help</code> lists them:</p>
<ul>
<li><strong>A home authority</strong>, made by the program: <code>--https home</code>. Each phone must then be told once to trust it; this page says how.</li>
<li><strong>A reverse proxy</strong> with a name of your own and its certificate: <code>--trusted-proxy</code> with the proxy's address.</li>
<li><strong>Your own certificate</strong> in two files: <code>--certificate</code> and <code>--certificate-key</code>.</li>
</ul>`;
