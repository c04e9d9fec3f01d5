/*
 * Who is told of what a controller said: the book first, then watch, buzzer, house and good news. Opened by the composition root as the listener
 * of the ingest. The order matters: the watch judges what the book already knows.
 */
import { EventKind } from '@bathkeeper/shared-core/control';
import { EventColumn } from '@bathkeeper/shared-core/messages';
import type { BathBook } from './baths/bath-book.js';
import type { DashboardClock } from './clock.js';
import type { BuzzerDesk } from './commands/buzzer.js';
import type { House } from './house/house.js';
import type { IngestListener } from './ingest/ingest.js';
import type { Calling } from './notify/calling.js';
import type { Watchman } from './watch/watchman.js';

export function whatIsHeard(options: {
  clock: DashboardClock;
  book: BathBook;
  watchman: Watchman;
  buzzer: BuzzerDesk;
  /** Asked at the first message: the house knows of the link that carries it. */
  house: () => House;
  calling: Pick<Calling, 'goodNews'>;
  changed: () => void;
}): Pick<IngestListener, 'live' | 'online' | 'events' | 'records'> {
  const { clock, book, watchman, buzzer, house, calling, changed } = options;
  return {
    live: (controllerId, message) => {
      const live = book.heardLive(controllerId, message, clock.nowMs());
      watchman.live(controllerId, live, clock.nowMs());
      buzzer.heard(controllerId, clock.nowMs());
      house().watch.live(controllerId, message.i, message.b, message.u * 100, clock.nowMs());
    },
    online: (controllerId, isOnline) => {
      const bath = book.bath(controllerId);
      if (bath) bath.isOnline = isOnline;
      if (bath && isOnline) house().connected(controllerId, clock.nowMs());
      watchman.tick(clock.nowMs());
      changed();
    },
    events: (controllerId, events) => {
      const rows = events.map((event) => event.row);
      for (const [index, { row, takenAtMs, incarnation }] of events.entries()) {
        book.takeEvent(controllerId, row, takenAtMs, incarnation);
        watchman.event(controllerId, row, takenAtMs, clock.nowMs(), rows.slice(index + 1));
        if (row[EventColumn.kind] === EventKind.runEnded)
          calling.goodNews.runEnded(controllerId, row[EventColumn.code]!, clock.nowMs());
      }
      changed();
    },
    records: (controllerId) => {
      book.heard(controllerId, clock.nowMs());
    },
  };
}
