/*
 * The memory of a program that is built for FRAM, the default: the chip, or RAM where none answers. Opened once by main.ts.
 */
import { ferroelectricMemory, volatileMemory } from '../drivers/mb85rc256v.js';
import type { BlockMemory, TwoWireBus } from '../ports.js';

/** FRAM, or RAM of so many bytes, which forgets with the power. */
export function openMemory(bus: TwoWireBus, volatileBytes: number): BlockMemory {
  return ferroelectricMemory(bus) || volatileMemory(volatileBytes);
}
