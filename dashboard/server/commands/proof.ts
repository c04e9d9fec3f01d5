/*
 * HMAC-SHA-256 (RFC 2104) under a controller's secret: what proves a command and a sign of life, and a controller's MQTT password.
 * Called by the command desk, the sign of life and pairing. It keeps no secret.
 */
import { createHmac } from 'node:crypto';
import { LINK_VERSION, PASSWORD_PROVED, SIGN_OF_LIFE_PROVED } from '@bathkeeper/shared-core/messages';

/** 64 lower-case hexadecimal digits. `secret`: 64 hexadecimal digits. */
export function proof(secret: string, text: string): string {
  return createHmac('sha256', Buffer.from(secret, 'hex')).update(text).digest('hex');
}

/** A command with its proof, which holds for this topic only. */
export function provedCommand(secret: string, topic: string, command: object): string {
  const text = JSON.stringify(command);
  return proof(secret, `${topic}\n${text}`) + text;
}

/** A sign of life for one controller; `seconds`: the dashboard's time, whole, since 1970. */
export function provedSignOfLife(secret: string, controllerId: string, seconds: number): string {
  const text = JSON.stringify({ v: LINK_VERSION, d: controllerId, t: seconds });
  return proof(secret, SIGN_OF_LIFE_PROVED + text) + text;
}

/** What a controller with this secret logs in with. */
export function mqttPassword(secret: string): string {
  return proof(secret, PASSWORD_PROVED);
}
