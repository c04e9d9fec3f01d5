/*
 * What the page may send about calling, checked with zod at the edge of /api. Answers to what does not fit name the field and never
 * repeat a value, since some of them are secret.
 */
import { z } from 'zod';
import { isTimeZone, MINUTES_OF_DAY } from '../notify/house-time.js';
import { contactName } from './by-whom.js';

const minute = z
  .number()
  .int()
  .min(0)
  .max(MINUTES_OF_DAY - 1)
  .nullable();

export const contactRequest = z
  .object({
    name: contactName,
    place: z.number().int().min(1).max(1000),
    fromMinute: minute,
    toMinute: minute,
    wantsGoodNews: z.boolean(),
    wantsMorningSummary: z.boolean(),
    wantsLowPriority: z.boolean().optional(),
  })
  .strict()
  .refine((contact) => (contact.fromMinute === null) === (contact.toMinute === null), {
    message: 'expected both fromMinute and toMinute, or null for both (at any hour)',
    path: ['fromMinute'],
  })
  .refine((contact) => contact.fromMinute === null || contact.fromMinute !== contact.toMinute, {
    message: 'is the same minute as toMinute, which leaves no time; null for both means at any hour',
    path: ['fromMinute'],
  });

const pushSubscription = z.object({
  endpoint: z.string().max(2000),
  // What the browser adds (expirationTime) is not needed.
  keys: z.object({ p256dh: z.string().max(200), auth: z.string().max(100) }),
});

/** A device by its name: 32 bytes in base64url. */
export const deviceQuestion = z.object({
  device: z.string().regex(/^[A-Za-z0-9_-]{43}$/, 'expected the SHA-256 of a push endpoint in base64url'),
});

/** A browser's push service has given it another address. */
export const renewedSubscriptionRequest = z
  .object({ oldEndpoint: z.string().min(1).max(2000), subscription: pushSubscription })
  .strict();

export const channelRequest = z.discriminatedUnion('kind', [
  z
    .object({
      kind: z.literal('web-push'),
      subscription: pushSubscription,
    })
    .strict(),
  z.object({ kind: z.literal('e-mail'), address: z.email('expected an e‑mail address').max(254) }).strict(),
  z
    .object({
      kind: z.literal('webhook'),
      address: z.string().trim().max(2000),
      allowPrivateAddress: z.boolean(),
      template: z.string().max(10_000),
      contentType: z.string().trim().max(100),
      headers: z.array(z.object({ name: z.string().trim().max(100), value: z.string().max(4000) }).strict()).max(20),
    })
    .strict(),
]);

/** One line, and nothing that could begin another header. */
const line = (most: number) =>
  z
    .string()
    .trim()
    .max(most)
    .regex(/^[^\r\n\0]*$/, 'expected one line');

export const mailRequest = z
  .object({
    host: line(253).regex(/^(|[A-Za-z0-9._-]+|\[?[0-9A-Fa-f:]+\]?)$/, 'expected the name of a mail server'),
    port: z.number().int().min(1).max(65_535),
    isImplicitTls: z.boolean(),
    user: line(254),
    password: z.string().max(1000).optional(),
    from: line(320),
  })
  .strict()
  .refine((mail) => mail.host === '' || /^([^<>@\s]+@[^<>@\s]+|[^<>]*<[^<>@\s]+@[^<>@\s]+>)$/.test(mail.from), {
    message: 'expected an address such as bath@example.org, or a name with the address in angle brackets',
    path: ['from'],
  });

export const escalationRequest = z
  .object({
    againAfterMinutes: z.number().int().min(1).max(240),
    nextPersonAfterMinutes: z.number().int().min(1).max(240),
    timeZone: z.string().refine(isTimeZone, 'expected a time zone such as Europe/Berlin').optional(),
    morningSummaryAtMinute: minute.optional(),
  })
  .strict();

export const testCallRequest = z.object({ repeatsUntilConfirmed: z.boolean() }).strict();
