/*
 * What to check first for each condition of the controller: one place for the page and for the call to the phone, written for three
 * in the morning. The controller knows only numbers and never sees this file. Each begins with what the woken person does first; where that
 * can hurt (acid, heat, current, a shaft that turns) the caution stands in the same sentence, and reasons come last. Local codes and licensed
 * practice come before it.
 */
import { Condition } from '../control/index.js';

/** Example: `conditionAdvice[Condition.leak]` begins with "Put on gloves and goggles". */
export const conditionAdvice: Readonly<Record<Condition, string>> = {
  [Condition.currentHigh]:
    "Compare the supply's own ammeter with the page, and touch no bar meanwhile. If it agrees, lower the supply by hand and look at its remote input; if not, look at the sense wires at the shunt.",
  [Condition.currentVeryHigh]:
    'Switch the supply off at its mains before you reach for anything. Then look for a part or a clip that touches an anode, and at the set-point wires to the supply.',
  [Condition.alertLatch]:
    'Switch the supply off at its mains before you reach for anything. Then look for a touching anode and tools across the bars, and reset the latch with its own button.',
  [Condition.monitorSilent]:
    "Look at the lamp of the controller's supply, then the four wires between board and shunt monitor. Nothing starts before it answers.",
  [Condition.monitorChanged]:
    'Look at the 5 V supply, and whether contactor and motor share it; then reset. The shunt monitor lost its settings because its supply dipped.',
  [Condition.monitorClipped]:
    'Switch the supply off at its mains before you reach for anything. Then look for a short, and whether shunt and settings agree: more current flowed than the shunt can show.',
  [Condition.bathWarm]:
    "Open the room's window and ease the current from the page. Then check with a second thermometer, and look for a heater that sticks.",
  [Condition.bathHot]:
    "Unplug the heater, if there is one, and open the room's window. Check with a second thermometer, let the bath cool, then press start at the bath.",
  [Condition.bathOverheated]:
    'Unplug every heater, and do not reach into the hot acid. Then check with a second thermometer, and let the bath cool before the reset.',
  [Condition.probeFault]:
    "Look at the probe's plug and cable, then into its sleeve, gloves on: what leaked in is acid. Ten minutes without a good reading hold the run.",
  [Condition.probeFaultLong]:
    'Exchange the probe or its cable, gloves on: it hangs in acid. The run goes on only by a press of start at the bath, with a good reading.',
  [Condition.rotationStopped]:
    'Switch the motor off before hands go into the tank: it may start again by itself. Then look at coupling, motor supply, and whether the part touches an anode.',
  [Condition.rotationStoppedLong]:
    'Switch the motor off before hands go into the tank. Free the shaft; the current comes back by itself once pulses are seen.',
  [Condition.emergencyStop]:
    'Find out who pressed it and why, or where its wire broke, before it is turned to release. Then reset and start at the bath.',
  [Condition.contactorDropped]:
    'Look what opened in its chain, and touch nothing before the supply is off at its mains: thermal cut-out, one-shot, latch or a wire. The contactor itself may be hot.',
  [Condition.restartedInRun]:
    'Take the part out, gloves and goggles on: it drips acid. Dip it in 5 to 10 % sulphuric acid and mark the piece, for it stood without current; find why the power failed, then reset and start.',
  [Condition.chargeReached]:
    'Take the part out before the finish current ends, or soon after, gloves on: it drips acid. Nothing is wrong.',
  [Condition.longestRun]:
    'Look at the thickness so far, and why the current was low, before a new recipe. The run lasted longer than its recipe allows.',
  [Condition.contactorContradicts]:
    'Switch the supply off at its mains and keep hands out of the tank until its ammeter shows nothing. Then look for a welded contact or a loose auxiliary contact.',
  [Condition.currentOutsideBand]:
    "Compare the supply's own ammeter with the page, and touch no joint while current flows: a loose one is hot. Too low: clips, cables, anodes, the voltage ceiling. Too high: the set-point and its wires.",
  [Condition.anodePassivating]:
    "Check the bath's temperature: a cold bath films the anodes over. Half the current lets the film dissolve; before the next run add anode area, and look at the chloride.",
  [Condition.contactLost]:
    'Switch the supply off at its mains before you touch clip or bars: they may be hot. Look at clip, slip ring and paint where they touch; then switch it on, and press start at the bath to go on.',
  [Condition.shortCircuit]:
    'Switch the supply off at its mains before you reach for anything. Then look for a part that touches an anode or a lead, and for a fallen clip; reset and start.',
  [Condition.reverseCurrent]:
    'Switch the supply off at its mains before you touch a lead. Look for exchanged leads or shunt wires; copper has been taken off the part meanwhile.',
  [Condition.senseImplausible]:
    "Switch the supply off at its mains, then tighten the sense wires at the shunt's own screws. Voltage and current could not both be right.",
  [Condition.bathWillOverheat]:
    "Open the room's window and ease the current from the page: there is an hour. Then look for a heater that sticks, and unplug it with dry hands.",
  [Condition.bathCold]:
    'Warm the room, or the bath slowly and only with a heater made for acid. Cold bright copper burns and turns dull; the current comes back by itself.',
  [Condition.probeStuck]:
    'Put a second thermometer beside the probe, gloves on: the bath is acid. Then look whether the probe hangs in it; a reading that never moves is no reading.',
  [Condition.probeStuckLong]:
    'Exchange the probe, gloves on: it hangs in acid. The run goes on only by a press of start at the bath, with a reading that moves.',
  [Condition.clipHot]:
    'Ease the current from the page, and touch no joint: one is hot and loses its grip. Clean and tighten it only with the supply off at its mains.',
  [Condition.clipOverheated]:
    'Switch the supply off at its mains, and do not touch the joint: it is hot. Let it cool, clean and tighten it, and look for scorched insulation.',
  [Condition.rotationGivenUp]:
    'Switch the motor off at its own plug before hands go into the tank. Then free the shaft, look at coupling and sensor, plug it in, and reset at the bath: the motor stays off until then.',
  [Condition.rotationSlow]:
    'Look at the shaft, and keep hands out while the motor may turn. Often it is a slipping coupling, a tired motor supply, or a part that brushes against a lead.',
  [Condition.leak]:
    'Put on gloves and goggles before you go near: the liquid is acid. Switch the supply off at its mains if you stay dry doing so, then look at tank and tray.',
  [Condition.smoke]:
    'Leave, close the door and call the fire service if there is fire or smoke. Only without danger: cut the mains of the whole bench.',
  [Condition.agitationStopped]:
    'Look at the air pump or stirrer, its plug and its hose. Half the current flows until it runs again.',
  [Condition.filterStopped]:
    'Look at the filter pump, its plug, and whether the cartridge is full. Half the current flows until it runs again.',
  [Condition.liquidLow]:
    'Look for a leak before you step near: what leaks is acid. Then top up with deionised water, and press start at the bath once the part is covered.',
  [Condition.currentDoesNotFall]:
    'Switch the supply off at its mains NOW, and keep hands out of the tank and off the bars until its ammeter shows nothing. Current flows though the contactor was told to open.',
  [Condition.longestPhase]:
    'Look at paint and contact through the liquid, hands out of it. Ease the current, lengthen the ramp at the bath, or stop: the first copper does not close the surface.',
  [Condition.longestDerate]:
    'Look at the other conditions: what lowered the current an hour ago was not put right. Then press start at the bath.',
  [Condition.longestHold]:
    'Go to the bath: start to go on, or stop and take the part out, gloves on. Held copper does not grow and may laminate.',
  [Condition.notAcknowledged]:
    'Acknowledge at the bath or on the page, then see to what called: nobody has answered for ten minutes.',
  [Condition.dashboardUnseen]:
    'Look at Wi-Fi and at the computer of the dashboard. The controller protects the bath by itself, but nobody would be called.',
  [Condition.supplyFault]:
    "Look at the supply's front, and touch no bar: is it on, in remote mode, at the asked current? Then look at the set-point wires or the serial cable.",
  [Condition.voltageHigh]:
    "Switch the supply off at its mains before you touch its terminals. Then set its voltage ceiling by hand: it was above this rig's highest voltage.",
  [Condition.memoryFault]:
    'Write the charge down now: a power cut would lose its account. The run goes on; look at the memory chip and its four wires after it.',
  [Condition.rampWaiting]:
    'Wait: the ramp goes on by itself when the resistance falls. If it waits for long, look at paint and contact.',
  [Condition.contactWeakInStart]:
    'Look at clip and paint through the liquid, and touch nothing while current flows. It was lowered so that the paint does not burn off; pause the ramp at the bath if it climbs again.',
  [Condition.noCurrentAtStart]:
    'Look whether the supply is on, and set by hand where it must be. Then switch it off at its mains and look at fuse, cables, clip, and whether the paint conducts down to the clip.',
  [Condition.polarityReversed]:
    'Switch the supply off at its mains before you touch a lead. Part and anodes are exchanged, or the wires at the shunt: exchange them, and measure before the next start.',
  [Condition.alertLatchNotOpening]:
    "Look at the wire of the shunt monitor's alert output and at the latch, then reset. The latch would not have opened in an emergency, so nothing starts.",
};

/** The advice for a code, or what to do about a code that this dashboard is too old to know. */
export function adviceFor(code: number): string {
  return (
    (conditionAdvice as Record<number, string | undefined>)[code] ??
    'Look at the bath. This dashboard is older than the controller and has no words for it: update it.'
  );
}

/** Common practice, no source: copper that stood longer without current is taken out and dipped before it goes on. */
export const REACTIVATE_AFTER_SECONDS = 60;

/** What an interruption of the current means for the part. null: nobody can tell how long it was. Example: 20 s is "short enough to go on". */
export function interruptionAdvice(seconds: number | null): string {
  if (seconds !== null && seconds >= 0 && seconds <= REACTIVATE_AFTER_SECONDS) return 'Short enough to go on.';
  const risk = 'new copper may not adhere to what stood without current';
  const dip = 'take the part out, dip it in 5 to 10 % sulphuric acid, rinse, go on at low current, and mark the piece';
  return seconds === null || seconds < 0
    ? `Nobody can tell for how long, and ${risk}: ${dip}.`
    : `Long enough that ${risk}: ${dip}.`;
}
