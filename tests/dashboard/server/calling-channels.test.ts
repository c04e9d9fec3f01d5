/*
 * Each channel against a real receiver: Web Push decrypted by an independent library and its VAPID token checked by Node's own cryptography,
 * e-mail at an SMTP server, a webhook with the owner's own template.
 */
import { createServer } from 'node:net';
import type { AddressInfo } from 'node:net';
import type { CallPayload } from '@bathkeeper/shared-core/messages';
import { afterEach, describe, expect, it } from 'vitest';
import { mailLogin, sendMail, type MailServer } from '../../../dashboard/server/notify/mail.js';
import { drawnPushKeys, sendPush, subscriptionProblem } from '../../../dashboard/server/notify/web-push.js';
import { postToWebhook } from '../../../dashboard/server/notify/webhook-post.js';
import { MAIL_PASSWORD, MAIL_USER, mailReceiver, pushService, vapidClaims, webhookReceiver } from './calling-receivers.js'; // prettier-ignore

const payload: CallPayload = {
  id: 'a-1',
  call: 'a',
  kind: 'alarm',
  title: 'Copper 60 L: Rotation stopped',
  message: 'No pulse for 23 s. Switch the motor off before hands go into the tank.',
  priority: 'high',
  alarm: 'rotation-stalled',
  controller: 'north-bench',
  raisedAt: '2026-01-10T20:00:00.000Z',
  contact: 'Owner',
  url: 'https://bath.example.org/',
  acknowledgeUrl: 'https://bath.example.org/acknowledge/1-x',
};

const closings: (() => void)[] = [];
afterEach(() => {
  for (const close of closings.splice(0)) close();
});

describe('Web Push', () => {
  const keys = drawnPushKeys();
  const options = { keys, contactAddress: 'bath@example.org', allowPrivateAddress: true };

  it('arrives encrypted so that only this browser reads it, and says how urgent it is', async () => {
    const service = await pushService();
    expect(await sendPush(service.subscription, payload, options)).toMatchObject({ delivered: true, isGone: false });
    expect(service.payloads()).toEqual([payload]);
    const [asked] = service.asked;
    // RFC 8030 (TTL, Urgency), RFC 8188 (aes128gcm).
    expect(asked).toMatchObject({
      method: 'POST',
      path: '/push/of-one-browser',
      headers: { ttl: '3600', urgency: 'high', 'content-encoding': 'aes128gcm' },
    });
    expect(asked!.body.includes('Rotation')).toBe(false);
    await sendPush(service.subscription, { ...payload, priority: 'low' }, options);
    expect(service.asked[1]!.headers.urgency).toBe('normal');
  });

  it("is signed with this dashboard's own key, for this push service, for less than a day", async () => {
    const service = await pushService();
    await sendPush(service.subscription, payload, options);
    const { claims, publicKey } = vapidClaims(service.asked[0]!.headers.authorization!);
    expect(publicKey).toBe(keys.publicKey);
    // RFC 8292, 2: the audience is the origin of the push service, the token lasts at most 24 h.
    expect(claims).toMatchObject({ aud: service.origin, sub: 'mailto:bath@example.org' });
    const seconds = Number(claims.exp) - Date.now() / 1000;
    expect(seconds).toBeGreaterThan(0);
    expect(seconds).toBeLessThanOrEqual(86_400);
  });

  it('fits what a push service must take, however long the words are', async () => {
    const service = await pushService();
    const long = { ...payload, title: 'ü'.repeat(2000), message: '銅'.repeat(5000) };
    expect((await sendPush(service.subscription, long, options)).delivered).toBe(true);
    // RFC 8030, 7.2: at least 4096 bytes.
    expect(service.asked[0]!.body.length).toBeLessThanOrEqual(4096);
    expect(service.payloads()[0]!.message).toMatch(/^銅+…$/);
  });

  it.each([
    [404, true],
    [410, true],
    [500, false],
    [429, false],
    [401, false],
  ])('is refused with %i, which means gone for good: %s', async (status, isGone) => {
    const service = await pushService();
    service.status = status;
    const outcome = await sendPush(service.subscription, payload, options);
    expect(outcome).toMatchObject({ delivered: false, isGone, status });
    if (isGone) expect(outcome.words).toContain('subscribe again');
  });

  it('goes to no address of the local network, and gives up on a service that hangs', async () => {
    const service = await pushService();
    const refused = await sendPush(service.subscription, payload, { ...options, allowPrivateAddress: false });
    expect(refused.words).toContain('local network');
    expect(service.asked).toEqual([]);
    service.status = 0;
    expect(await sendPush(service.subscription, payload, { ...options, timeoutMs: 50 })).toMatchObject({
      delivered: false,
      isGone: false,
      words: 'No answer within 0.05 s.',
    });
  });

  it('says what is wrong with a subscription that no browser made', async () => {
    const { subscription } = await pushService();
    expect(subscriptionProblem(subscription)).toBeUndefined();
    expect(subscriptionProblem({ ...subscription, keys: { ...subscription.keys, p256dh: 'short' } })).toContain(
      'Subscribe again in the browser.',
    );
    expect(subscriptionProblem({ ...subscription, keys: { ...subscription.keys, auth: '' } })).toContain(
      'cannot be used',
    );
  });
});

describe('e-mail', () => {
  const serverAt = (receiver: { host: string; port: number }, fields: Partial<MailServer> = {}): MailServer => ({
    host: receiver.host,
    port: receiver.port,
    isImplicitTls: false,
    user: MAIL_USER,
    password: MAIL_PASSWORD,
    from: 'Bath <bath@example.org>',
    ...fields,
  });

  it('arrives with the words, both links, and an id by which a repeat is known', async () => {
    const receiver = await mailReceiver();
    const outcome = await sendMail(serverAt(receiver), 'owner@example.org', payload);
    expect(outcome.delivered).toBe(true);
    expect(receiver.recipients).toEqual(['owner@example.org']);
    const [mail] = receiver.mails;
    expect(mail).toContain('Subject: Copper 60 L: Rotation stopped');
    expect(mail).toContain('From: Bath <bath@example.org>');
    expect(mail).toContain('Message-ID: <a-1@bathkeeper.invalid>');
    expect(mail).toContain('Auto-Submitted: auto-generated');
    expect(mail).toContain('Importance: High');
    const text = mail!.replaceAll('=\r\n', '').replaceAll('=3D', '=');
    expect(text).toContain('No pulse for 23 s.');
    expect(text).toContain('https://bath.example.org/acknowledge/1-x');
  });

  it('takes no header out of the words of an alarm', async () => {
    const receiver = await mailReceiver();
    await sendMail(serverAt(receiver), 'owner@example.org', { ...payload, title: 'a\r\nBcc: other@example.org' });
    expect(receiver.recipients).toEqual(['owner@example.org']);
    expect(receiver.mails[0]).not.toMatch(/^Bcc:/m);
  });

  it('says at once that the password is wrong, and repeats it nowhere though the server did', async () => {
    const receiver = await mailReceiver();
    expect((await mailLogin(serverAt(receiver))).words).toContain('Logged in');
    const wrong = await mailLogin(serverAt(receiver, { password: 'not-this-one' }));
    expect(wrong.delivered).toBe(false);
    expect(wrong.words).toContain('refused user and password');
    expect(wrong.words).toContain('Enter them again');
    expect(wrong.words).not.toContain('not-this-one');
    expect(receiver.mails).toEqual([]);
  });

  it('goes over TLS where the server offers it, and says when its certificate is not trusted', async () => {
    // The server's own certificate is made for nobody: what is not proven is not trusted with a password.
    const receiver = await mailReceiver({ disabledCommands: [], allowInsecureAuth: false });
    const outcome = await mailLogin(serverAt(receiver));
    expect(outcome.delivered).toBe(false);
    expect(outcome.words).toMatch(/certificate/i);
  });

  it('works without user and password where the server asks for none', async () => {
    const receiver = await mailReceiver({ authOptional: true });
    expect((await sendMail(serverAt(receiver, { user: '', password: undefined }), 'owner@example.org', payload)).delivered).toBe(true); // prettier-ignore
  });

  it('says what to check when nothing answers there, or nothing but silence', async () => {
    const nobody = await mailLogin(serverAt({ host: '127.0.0.1', port: 1 }));
    expect(nobody.words).toContain('cannot be reached');
    expect(nobody.words).toContain('Check name, port');
    const silent = createServer();
    closings.push(() => silent.close());
    await new Promise<void>((done) => void silent.listen(0, '127.0.0.1', done));
    const late = await mailLogin(serverAt({ host: '127.0.0.1', port: (silent.address() as AddressInfo).port }), 50);
    expect(late.delivered).toBe(false);
    expect(late.words).toContain('cannot be reached');
  });

  it('of a recipient that the server does not know is not delivered', async () => {
    const receiver = await mailReceiver({
      onRcptTo: (_address, _session, done) => {
        done(new Error('no such mailbox'));
      },
    });
    const outcome = await sendMail(serverAt(receiver), 'nobody@example.org', payload);
    expect(outcome.delivered).toBe(false);
    expect(outcome.words).toContain('no such mailbox');
  });
});

describe('a webhook', () => {
  it("carries the owner's headers and content type", async () => {
    const receiver = await webhookReceiver();
    await postToWebhook(
      {
        address: receiver.address,
        allowPrivateAddress: true,
        contentType: 'text/plain',
        headers: [{ name: 'Authorization', value: 'Bearer of-the-relay' }],
      },
      'Rotation stopped',
    );
    expect(receiver.asked[0]).toMatchObject({
      path: '/hook?token=of-the-webhook',
      headers: { authorization: 'Bearer of-the-relay', 'content-type': 'text/plain', 'content-length': '16' },
    });
    expect(receiver.asked[0]!.body.toString()).toBe('Rotation stopped');
  });

  it('takes an answer whose body never ends for what its status says', async () => {
    const endless = createServer((socket) => {
      socket.on('error', () => undefined);
      socket.once('data', () => {
        socket.write('HTTP/1.1 200 OK\r\ncontent-length: 1000000\r\n\r\nx');
      });
    });
    closings.push(() => endless.close());
    await new Promise<void>((done) => void endless.listen(0, '127.0.0.1', done));
    const address = `http://127.0.0.1:${String((endless.address() as AddressInfo).port)}/`;
    expect((await postToWebhook({ address, allowPrivateAddress: true }, '{}')).delivered).toBe(true);
  });

  it('gives up on a receiver that answers a byte at a time', async () => {
    const slow = createServer((socket) => {
      socket.on('error', () => undefined);
      const timer = setInterval(() => socket.write('H'), 10);
      socket.on('close', () => {
        clearInterval(timer);
      });
    });
    closings.push(() => slow.close());
    await new Promise<void>((done) => void slow.listen(0, '127.0.0.1', done));
    const address = `http://127.0.0.1:${String((slow.address() as AddressInfo).port)}/`;
    expect((await postToWebhook({ address, allowPrivateAddress: true }, '{}', 80)).delivered).toBe(false);
  });
});
