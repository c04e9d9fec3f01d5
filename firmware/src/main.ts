/*
 * The program that is flashed: opens the board, the settings and the memory, restores what a restart interrupted, and starts the two
 * intervals. Runs once at boot. Nothing is energised here; after any restart the contactor stays open until a press at the bath.
 */
import { EventKind, restoreRun } from '@bathkeeper/shared-core/control';
import { openBoard } from './boards/esp32.js';
import { controlLoop, STEP_MS } from './control-loop.js';
import { ferroelectricMemory, volatileMemory } from './drivers/mb85rc256v.js';
import { BEAT_MS, keeper } from './keeper.js';
import { dashboardLink } from './link/dashboard-link.js';
import { openOutbox, VOLATILE_BYTES } from './link/outbox.js';
import { KeptColumn, openKeptRow } from './memory/kept-row.js';
import { keptJournal } from './memory/run-journal.js';
import { checkedSettings } from './settings.js';
import { SUPPLY_KIND, supplyOutput } from './supplies/analogue.js';

const board = openBoard();
const settings = checkedSettings(board.settingsText(), SUPPLY_KIND, print);
const fram = ferroelectricMemory(board.twoWire);
if (!fram) print('No FRAM: records wait in RAM');
const memory = fram || volatileMemory(VOLATILE_BYTES);
const kept = openKeptRow(memory, board.randomBits);
const outbox = openOutbox(memory, kept, settings.isSimulated);
const loop = controlLoop(board, settings, supplyOutput(board, settings));
restoreRun(loop.state, keptJournal(kept.row));
loop.tell(EventKind.booted, 0, kept.row[KeptColumn.boot]!, -1);
const link = dashboardLink(board, settings, outbox, kept, loop.tell);

setInterval(function (): void {
  loop.tick(link.commands);
}, STEP_MS);
setInterval(keeper(board, loop, outbox, kept, link), BEAT_MS);
