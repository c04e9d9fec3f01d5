/*
 * Pairs a controller with this dashboard and forgets it again: its secret, its log-in and its place in the book go together. Opened by the
 * composition root, called by the routes and by whoever starts a virtual bath.
 */
import type { RigLimits } from '@bathkeeper/shared-core/control';
import type { Broker } from '../broker/broker.js';
import type { DashboardClock } from '../clock.js';
import { mqttPassword } from '../commands/proof.js';
import { drawnPasswordHash, drawnSecret } from '../passwords.js';
import type { ControllerSecrets } from '../settings/controller-secrets.js';
import type { AlarmList } from '../watch/alarm-list.js';
import type { BathBook } from './bath-book.js';

export interface Pairing {
  /**
   * Pairs a controller under its secret (64 hexadecimal digits; without one it is drawn, for a virtual bath) and answers that secret. One
   * that was paired before keeps its rig's limits, and is disconnected: it logs in with the new secret's password.
   */
  pair(controllerId: string, bathName: string, isSimulated: boolean, rig: RigLimits, secret?: string): Promise<string>;
  /** Forgets a controller and its secret; its nights stay. */
  unpair(controllerId: string): void;
}

export function openPairing(options: {
  clock: DashboardClock;
  book: BathBook;
  alarms: Pick<AlarmList, 'bathTakenAway'>;
  secrets: ControllerSecrets;
  broker: () => Pick<Broker, 'disconnect'>;
  changed: () => void;
}): Pairing {
  const { clock, book, alarms, secrets } = options;
  return {
    pair: async (controllerId, bathName, isSimulated, rig, secret = drawnSecret()) => {
      const passwordHash = await drawnPasswordHash(mqttPassword(secret));
      const known = book.bath(controllerId)?.paired;
      const limits = known?.isSimulated === isSimulated ? book.rigLimits(controllerId) : rig;
      secrets.keep(controllerId, secret);
      book.pair({ controllerId, bathName, isSimulated, passwordHash }, limits, clock.nowMs());
      options.broker().disconnect(controllerId);
      options.changed();
      return secret;
    },
    unpair: (controllerId) => {
      alarms.bathTakenAway(controllerId, clock.nowMs());
      book.unpair(controllerId);
      secrets.forget(controllerId);
    },
  };
}
