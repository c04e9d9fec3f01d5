/*
 * The program that is flashed: opens the board, the memory and the settings, restores what a restart interrupted, and starts the two
 * intervals. Runs once at boot. Nothing is energised here; after any restart the contactor stays open until a press at the bath.
 * Where the starts before this one ended too soon, it starts nothing at all and leaves the console to a person.
 */
import { EventKind, restoreRun } from '@bathkeeper/shared-core/control';
import { CONSOLE, openBoard } from './boards/esp32.js';
import { BootEnd, lastBootEnd, noteBoot, standsBy } from './boot-guard.js';
import { openBringUpDoor } from './bring-up-door.js';
import { type WallClock, wallClock } from './clock.js';
import { consoleGuard } from './console.js';
import { type ControlLoop, controlLoop, STEP_MS } from './control-loop.js';
import { BEAT_MS, type Keeper, keeper } from './keeper.js';
import { type DashboardLink, dashboardLink } from './link/dashboard-link.js';
import { openOutbox, VOLATILE_BYTES } from './link/outbox.js';
import { openMemory } from './memories/fram.js';
import { type ChainRow, newestRow } from './memory/chain.js';
import { KeptColumn, openKeptRow } from './memory/kept-row.js';
import { keptJournal } from './memory/run-journal.js';
import { checkedSettings } from './settings.js';
import { SUPPLY_KIND, supplyOutput } from './supplies/analogue.js';

const board = openBoard();
const memory = openMemory(board.twoWire, VOLATILE_BYTES);
const kept = openKeptRow(memory, board.randomBits);

/** A person stops this boot on purpose. */
function noteNoFault(): void {
  noteBoot(kept, BootEnd.none);
}

/** Once it is called, the two intervals are all that goes on. */
function stepAndBeat(loop: ControlLoop, link: DashboardLink, keeping: Keeper): void {
  // Every callback's exceptions end here: intervals, watches, sockets, datagrams.
  process.on('uncaughtException', function (why: unknown): void {
    keeping.fail(BootEnd.callbackThrew, why);
  });
  setInterval(function (): void {
    loop.tick(link.commands);
    if (loop.steps > keeping.lostAtStep && loop.failure === undefined) keeping.fail(BootEnd.callbackThrew, 'no beat');
  }, STEP_MS);
  setInterval(keeping.beat, BEAT_MS);
}

/** Goes on with what a restart interrupted, and tells that and why it came. @onceAtBoot */
function resume(loop: ControlLoop, clock: WallClock, row: Float64Array, newest: ChainRow | undefined): void {
  const journal = keptJournal(row, newest);
  const nowSeconds = clock.seconds(0);
  const liveAtSeconds = row[KeptColumn.liveAtSeconds]!;
  const lastEnd = lastBootEnd(row);
  row[KeptColumn.lastEnd] = BootEnd.none;
  restoreRun(loop.state, journal);
  loop.tell(
    EventKind.booted,
    0,
    row[KeptColumn.boot]!,
    journal.runIsOpen && nowSeconds && liveAtSeconds ? Math.max(nowSeconds - liveAtSeconds, 0) : -1,
  );
  if (lastEnd) loop.tell(EventKind.restartedAfterFault, lastEnd, 0, 0);
}

/** All the rest, in a function of its own so that a boot that only stands by starts none of it. */
function start(): void {
  const settings = checkedSettings(board.settingsText(), SUPPLY_KIND, print);
  const outbox = openOutbox(memory, kept, settings.isSimulated);
  const loop = controlLoop(board, settings, supplyOutput(board, settings));
  const clock = wallClock(board, settings.hasClock);
  resume(loop, clock, kept.row, newestRow(outbox.records));
  openBringUpDoor(loop, noteNoFault);
  const link = dashboardLink(board, settings, outbox, kept, loop.tell);
  stepAndBeat(loop, link, keeper(board, loop, outbox, kept, link, clock, memory.wears, consoleGuard(CONSOLE)));
}

if (standsBy(board, kept)) openBringUpDoor(undefined, noteNoFault);
else start();
