/*
 * The program that is flashed: opens the board, the settings and the memory, restores what a restart interrupted, and starts the two
 * intervals. Runs once at boot. Nothing is energised here; after any restart the contactor stays open until a press at the bath.
 */
import { EventKind, restoreRun } from '@bathkeeper/shared-core/control';
import { esp32Board } from './boards/esp32.js';
import { controlLoop, STEP_MS } from './control-loop.js';
import { ferroelectricMemory, volatileMemory } from './drivers/mb85rc256v.js';
import { BEAT_MS, keeper } from './keeper.js';
import { dashboardLink } from './link/dashboard-link.js';
import { openOutbox } from './link/outbox.js';
import { openJournal } from './memory/journal.js';
import { VOLATILE_BYTES } from './memory/memory-map.js';
import { checkedSettings } from './settings.js';

const board = esp32Board();
const settings = checkedSettings(board.settingsFile(), print);
const memory = ferroelectricMemory(board.twoWire) || volatileMemory(VOLATILE_BYTES);
if (memory.bytes === VOLATILE_BYTES) print('No FRAM answers at 0x50: records wait in RAM and are lost with the power.');
const outbox = openOutbox(memory, board.randomBits);
const journal = openJournal(memory);
const loop = controlLoop(board, settings);
if (journal.kept) restoreRun(loop.state, journal.kept);
loop.tell(EventKind.booted, 0, outbox.boot, -1);
const link = dashboardLink(board, settings, outbox);
const keep = keeper(board, loop, outbox, journal, link, settings.isSimulated);

setInterval(function (): void {
  loop.tick(link.takeCommand);
}, STEP_MS);
setInterval(keep.beat, BEAT_MS);
