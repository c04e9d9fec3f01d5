/*
 * Tells the bath that somebody has seen, so that its buzzer falls silent and it does not say ten minutes later that nobody has acknowledged.
 * Told of every acknowledgement by whoever took it; what could not be sent is owed until the bath is heard. It acknowledges no alarm itself.
 */
import type { AlarmView } from '@bathkeeper/shared-core/messages';
import type { BathBook } from '../baths/bath-book.js';
import type { AlarmList } from '../watch/alarm-list.js';
import type { CommandDesk } from './command-desk.js';

export interface BuzzerDesk {
  acknowledged(alarms: readonly AlarmView[], nowMs: number): void;
  /** A live message came. */
  heard(controllerId: string, nowMs: number): void;
}

export function openBuzzerDesk(options: {
  book: Pick<BathBook, 'has'>;
  alarms: Pick<AlarmList, 'callingPriority'>;
  desk: () => CommandDesk;
}): BuzzerDesk {
  const { book, alarms } = options;
  /** In memory only: after a restart the bath is silenced with the next acknowledgement. */
  const owed = new Set<string>();

  const send = (controllerId: string): void => {
    if (typeof options.desk().send(controllerId, { kind: 'acknowledge' }) === 'string') owed.add(controllerId);
    else owed.delete(controllerId);
  };
  /** Something else that nobody has seen must go on sounding. */
  const isAnythingUnseen = (controllerId: string, nowMs: number): boolean => {
    const priority = alarms.callingPriority(controllerId, nowMs);
    return priority === 'high' || priority === 'medium';
  };
  return {
    acknowledged: (views, nowMs) => {
      for (const controllerId of new Set(views.map((view) => view.controllerId))) {
        if (!book.has(controllerId)) continue;
        const isAllOver = views.every((view) => view.controllerId !== controllerId || view.returnedAtMs !== null);
        if (!isAllOver || !isAnythingUnseen(controllerId, nowMs)) send(controllerId);
      }
    },
    heard: (controllerId, nowMs) => {
      if (!owed.has(controllerId)) return;
      if (isAnythingUnseen(controllerId, nowMs)) owed.delete(controllerId);
      else send(controllerId);
    },
  };
}
