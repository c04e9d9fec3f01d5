/*
 * E-mail through the owner's own mail server (SMTP submission, RFC 6409). Called for channels of this kind, and when the settings are
 * saved, so that a wrong password is told at once. A password goes over an encrypted connection or not at all; it is never logged.
 */
import { createTransport } from 'nodemailer';
import type { CallPayload } from '@bathkeeper/shared-core/messages';
import type { PostOutcome } from './webhook-post.js';

export interface MailServer {
  readonly host: string;
  readonly port: number;
  /** TLS from the first byte (port 465); otherwise STARTTLS, which must be there when a password is set. */
  readonly isImplicitTls: boolean;
  readonly user: string;
  readonly password: string | undefined;
  readonly from: string;
}

export const MAIL_TIMEOUT_MS = 15_000;

function transportTo(server: MailServer, timeoutMs: number) {
  const isOnThisComputer = /^(localhost|127\.\d+\.\d+\.\d+|\[?::1\]?)$/i.test(server.host);
  return createTransport({
    host: server.host,
    port: server.port,
    secure: server.isImplicitTls,
    requireTLS: server.password !== undefined && !isOnThisComputer,
    ...(server.user === '' ? {} : { auth: { user: server.user, pass: server.password ?? '' } }),
    connectionTimeout: timeoutMs,
    greetingTimeout: timeoutMs,
    socketTimeout: timeoutMs,
    dnsTimeout: timeoutMs,
    disableFileAccess: true,
    disableUrlAccess: true,
  });
}

/** Logs in and sends nothing. */
export async function mailLogin(server: MailServer, timeoutMs = MAIL_TIMEOUT_MS): Promise<PostOutcome> {
  return outcomeOf(server, timeoutMs, (transport) =>
    transport.verify().then(() => `Logged in at ${server.host}. No mail was sent.`),
  );
}

/** The Message-ID is the call's id: a mail that comes twice can be folded. */
export async function sendMail(
  server: MailServer,
  to: string,
  payload: CallPayload,
  timeoutMs = MAIL_TIMEOUT_MS,
): Promise<PostOutcome> {
  const links = [
    ...(payload.acknowledgeUrl === undefined
      ? []
      : [`I have seen it (a page with one button, serves once): ${payload.acknowledgeUrl}`]),
    ...(payload.url === undefined ? [] : [`The bath: ${payload.url}`]),
  ];
  return outcomeOf(server, timeoutMs, (transport) =>
    transport
      .sendMail({
        from: server.from,
        to,
        subject: payload.title,
        text: [payload.message, ...links].join('\n\n'),
        messageId: `<${payload.id}@bathkeeper.invalid>`,
        priority: payload.priority === 'high' ? 'high' : payload.priority === 'low' ? 'low' : 'normal',
        // RFC 3834: nobody's holiday answer comes back.
        headers: { 'Auto-Submitted': 'auto-generated' },
      })
      .then((sent) =>
        sent.accepted.length > 0
          ? `The mail server took it: ${sent.response}.`
          : Promise.reject(new Error(`the mail server refused ${to}`)),
      ),
  );
}

async function outcomeOf(
  server: MailServer,
  timeoutMs: number,
  act: (transport: ReturnType<typeof transportTo>) => Promise<string>,
): Promise<PostOutcome> {
  const transport = transportTo(server, timeoutMs);
  let timer: NodeJS.Timeout | undefined;
  // A server that dribbles keeps every single time-out from running: this one is for the whole of it.
  const late = new Promise<never>((_resolve, reject) => {
    timer = setTimeout(() => {
      reject(Object.assign(new Error('late'), { code: 'ETIMEDOUT' }));
    }, 2 * timeoutMs);
  });
  try {
    return { delivered: true, words: await Promise.race([act(transport), late]) };
  } catch (fault) {
    return { delivered: false, words: mailFaultWords(server, fault as MailFault) };
  } finally {
    clearTimeout(timer);
    transport.close();
  }
}

interface MailFault extends Error {
  readonly code?: string;
  readonly responseCode?: number;
  readonly response?: string;
}

function mailFaultWords(server: MailServer, fault: MailFault): string {
  const at = `${server.host}:${String(server.port)}`;
  const said = withoutSecrets(server, fault.response ?? fault.message);
  switch (fault.code) {
    case 'EAUTH':
      return `The mail server refused user and password (${said}). Enter them again; many providers want a password made for one program.`;
    case 'ETLS':
      return `The mail server at ${at} offers no encryption, and a password is not sent without (${said}). Use its port with TLS, mostly 465, or 587 with STARTTLS.`;
    case 'EDNS':
      return `The name ${server.host} is not known. Check the name of the mail server and this computer's internet.`;
    case 'ETIMEDOUT':
    case 'ECONNECTION':
    case 'ESOCKET':
    case 'ECONNREFUSED':
      return `The mail server at ${at} cannot be reached (${said}). Check name, port and whether TLS is from the first byte (465) or not (587).`;
    case 'EENVELOPE':
      return `The mail server took neither sender nor recipient (${said}). Check both addresses.`;
    default:
      return `The mail server at ${at} did not take the mail (${said}).`;
  }
}

/** What a server answers may repeat what it was sent. */
function withoutSecrets(server: MailServer, words: string): string {
  const { password, user } = server;
  let clean = words.replace(/\s+/g, ' ').trim();
  if (password !== undefined && password !== '')
    for (const secret of [
      password,
      Buffer.from(password).toString('base64'),
      Buffer.from(`\0${user}\0${password}`).toString('base64'),
    ])
      clean = clean.replaceAll(secret, '…');
  return clean.slice(0, 300);
}
