/*
 * The memory of a program that is built for FRAM, the default: the chip, or RAM where none answers. Opened once by main.ts.
 */
import { ferroelectricMemory, volatileMemory } from '../drivers/mb85rc256v.js';
import type { BlockMemory, TwoWireBus } from '../ports.js';

/** @onceAtBoot */
function tellOfNone(): void {
  print('No FRAM answers: the run is kept in RAM, and lost with the power');
}

/** FRAM, or RAM of so many bytes, which forgets with the power. */
export function openMemory(bus: TwoWireBus, volatileBytes: number): BlockMemory {
  const memory = ferroelectricMemory(bus);
  if (!memory) tellOfNone();
  return memory || volatileMemory(volatileBytes);
}
