/*
 * The memory of a program that is built for an ESP32 without FRAM: its own flash. FRAM that answers is taken all the same, since it does not
 * wear. Opened once by main.ts.
 */
import { ferroelectricMemory } from '../drivers/mb85rc256v.js';
import { memoryInPlaceOfFram } from '../memory/flash-memory.js';
import type { BlockMemory, TwoWireBus } from '../ports.js';

/** FRAM, flash, or RAM of so many bytes, which forgets with the power. */
export function openMemory(bus: TwoWireBus, volatileBytes: number): BlockMemory {
  return ferroelectricMemory(bus) || memoryInPlaceOfFram(volatileBytes);
}
