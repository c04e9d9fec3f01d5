/*
 * The alarm list, whoever calls people for it, and the bath's buzzer: three that need each other, put together. Opened by the composition root.
 * Which alarm calls whom and when is decided in watch and notify.
 */
import type { BathBook } from './baths/bath-book.js';
import type { DashboardClock } from './clock.js';
import { type BuzzerDesk, openBuzzerDesk } from './commands/buzzer.js';
import type { CommandDesk } from './commands/command-desk.js';
import type { Failures } from './failures.js';
import { type CallsWithoutStore, openCallsWithoutStore } from './house/calls-without-store.js';
import { calledWithoutStore } from './house/house.js';
import { type Calling, openCalling } from './notify/calling.js';
import type { Store } from './store/store.js';
import { openAlarmJournal } from './watch/alarm-journal.js';
import { type AlarmList, type AlarmListener, openAlarmList } from './watch/alarm-list.js';

export interface AlarmsAndCalls {
  readonly alarms: AlarmList;
  readonly calling: Calling;
  readonly callsWithoutStore: CallsWithoutStore;
  readonly buzzer: BuzzerDesk;
}

export function openAlarmsAndCalls(options: {
  clock: DashboardClock;
  store: Store;
  dataFolder: string;
  book: BathBook;
  pageAddress: () => string | undefined;
  /** Asked at the first acknowledgement: it sends over a link that is opened later. */
  desk: () => CommandDesk;
  changed: () => void;
  failed: Failures['failed'];
  isPushToPrivateAddressAllowed: boolean;
}): AlarmsAndCalls {
  const { clock, store, book, changed, failed } = options;
  const bathName = (controllerId: string): string => {
    const bath = book.bath(controllerId)?.paired;
    return `${bath?.isSimulated === true ? 'SIMULATED ' : ''}${bath?.bathName ?? 'Bathkeeper'}`;
  };
  const callsWithoutStore = openCallsWithoutStore({
    clock,
    ring: (title, message) => calling.callWithoutStore(title, message),
    bathName,
    failed,
  });
  const alarms = calledWithoutStore(
    openAlarmList(
      store,
      toldLater(() => calling.listener),
      (id, nowMs) => book.phaseHeard(id, nowMs),
    ),
    callsWithoutStore,
    store,
  );
  const calling: Calling = openCalling({
    store,
    clock,
    dataFolder: options.dataFolder,
    pageAddress: options.pageAddress,
    bathName,
    view: (controllerId) => (book.has(controllerId) ? book.view(controllerId, clock.nowMs()) : undefined),
    controllers: () => book.all().map((bath) => book.view(bath.paired.controllerId, clock.nowMs())),
    figures: openAlarmJournal(store).figures,
    acknowledgeAlarm: alarms.acknowledge,
    acknowledged: (views) => {
      buzzer.acknowledged(views, clock.nowMs());
      changed();
    },
    failing: (words, isNews) => {
      // Somebody may have seen to the channel that failed before: this one is news, and called anew.
      if (isNews) alarms.returnToNormal('', 'notification-failed', clock.nowMs());
      alarms.raise(
        { controllerId: '', name: 'notification-failed', causeAtMs: clock.nowMs(), detail: words },
        clock.nowMs(),
      );
    },
    delivering: () => {
      alarms.returnToNormal('', 'notification-failed', clock.nowMs());
    },
    changed,
    failed,
    isPushToPrivateAddressAllowed: options.isPushToPrivateAddressAllowed,
  });
  const buzzer = openBuzzerDesk({ book, alarms, desk: options.desk });
  return { alarms, calling, callsWithoutStore, buzzer };
}

/** A listener that is there before the one it tells. */
function toldLater(listener: () => AlarmListener): AlarmListener {
  return {
    onRaised: (alarm, nowMs) => {
      listener().onRaised(alarm, nowMs);
    },
    onRaisedAgain: (alarm, nowMs) => {
      listener().onRaisedAgain(alarm, nowMs);
    },
    onUnsilenced: (alarm, nowMs) => {
      listener().onUnsilenced(alarm, nowMs);
    },
    onSilenced: (alarm, nowMs) => {
      listener().onSilenced(alarm, nowMs);
    },
    onReturned: (alarm, nowMs) => {
      listener().onReturned(alarm, nowMs);
    },
    onAcknowledged: (alarm, nowMs) => {
      listener().onAcknowledged(alarm, nowMs);
    },
  };
}
