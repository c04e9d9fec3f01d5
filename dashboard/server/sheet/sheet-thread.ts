/* The thread in which one sheet is made: fonts and layout take half a second of the processor, in which a sample must not wait. Started by sheet-desk.ts with what it makes; ends by itself. */
import { parentPort, workerData } from 'node:worker_threads';
import { madeSheet, type SheetAsked } from './made-sheet.js';

const bytes = await madeSheet(workerData as SheetAsked);
parentPort?.postMessage(bytes);
