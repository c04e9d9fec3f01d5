/*
 * What to check first for each condition of the controller: one place for the page and for the call to the phone, written for three
 * in the morning. The controller knows only numbers and never sees this file. Where hands would go near current, mains or the tank,
 * the text says what must be off first; local codes and licensed practice come before it.
 */
import { Condition } from '../control/index.js';

/** Example: `conditionAdvice[Condition.leak]` begins with "Do not touch the liquid". */
export const conditionAdvice: Readonly<Record<Condition, string>> = {
  [Condition.currentHigh]:
    "Compare the supply's own ammeter. If it agrees, lower the supply by hand and look at its remote input; if not, the sense wires at the shunt.",
  [Condition.currentVeryHigh]:
    'With the supply off at its mains, look for a part or a clip that touches an anode. Then the set-point wires to the supply.',
  [Condition.alertLatch]:
    'With the supply off at its mains, look for a touching anode and tools across the bars. Then reset the latch with its own button.',
  [Condition.monitorSilent]:
    "Look at the lamp of the controller's supply, then the four wires between board and shunt monitor. Nothing starts before it answers.",
  [Condition.monitorChanged]:
    'The shunt monitor lost its settings: its supply dipped. Look at the 5 V supply and whether contactor and motor share it, then reset.',
  [Condition.monitorClipped]:
    'More current flows than the shunt can show. With the supply off at its mains, look for a short; then whether shunt and settings agree.',
  [Condition.bathWarm]:
    'Check with a second thermometer. Cool the room, ease the current from the page, and look for a heater that sticks.',
  [Condition.bathHot]:
    'Check with a second thermometer. Let the bath cool, then press start at the bath; a heater has to be switched off at its own plug.',
  [Condition.bathOverheated]:
    'Unplug every heater first. Then check with a second thermometer, and do not reach into a hot bath.',
  [Condition.probeFault]:
    "Look at the probe's plug and cable, then its sleeve for liquid. Ten minutes without a good reading hold the run.",
  [Condition.probeFaultLong]:
    'Exchange the probe or its cable. The run goes on only by a press of start at the bath, with a good reading.',
  [Condition.rotationStopped]:
    'Switch the motor off before hands go into the tank: it may start again by itself. Then look at coupling, motor supply, and whether the part touches an anode.',
  [Condition.rotationStoppedLong]:
    'Switch the motor off before hands go into the tank. Free the shaft; the current comes back by itself once pulses are seen.',
  [Condition.emergencyStop]:
    'Somebody pressed it, or its wire broke. Find out why before it is turned to release; then reset and start at the bath.',
  [Condition.contactorDropped]:
    'Something in its chain opened: thermal cut-out, one-shot, latch or a wire. Feel for a hot contactor only with the supply off at its mains.',
  [Condition.restartedInRun]:
    'The part stood without current. Look why the power failed; then dip the part in 5 to 10 % sulphuric acid, mark the piece, reset and start.',
  [Condition.chargeReached]: 'Nothing is wrong. Take the part out before the finish current ends, or soon after.',
  [Condition.longestRun]:
    'The run lasted longer than its recipe allows. Look at the thickness so far and why the current was low, before a new recipe.',
  [Condition.contactorContradicts]:
    'Switch the supply off at its mains and keep hands out of the tank until its ammeter shows nothing. Then look for a welded contact or a loose auxiliary contact.',
  [Condition.currentOutsideBand]:
    "Compare the supply's own ammeter. Too low: clips, cables, anodes, the voltage ceiling. Too high: the set-point and its wires.",
  [Condition.anodePassivating]:
    'The anodes film over: too little anode area, too cold, or too much chloride. Half the current lets the film dissolve; add anode area before the next run.',
  [Condition.contactLost]:
    'Stop, switch the supply off at its mains, then look at clip, slip ring and paint where they touch. Press start at the bath to go on.',
  [Condition.shortCircuit]:
    'With the supply off at its mains, look for a part that touches an anode or a lead, and for a fallen clip. Then reset and start.',
  [Condition.reverseCurrent]:
    'Switch the supply off at its mains. Look for exchanged leads or shunt wires; copper has been taken off the part meanwhile.',
  [Condition.senseImplausible]:
    "Voltage and current cannot both be right. With the supply off at its mains, tighten the sense wires at the shunt's own screws.",
  [Condition.bathWillOverheat]:
    'Act now, while there is an hour: ease the current from the page, cool the room, look for a heater that sticks.',
  [Condition.bathCold]:
    'Cold bright copper burns and turns dull. Warm the room or the bath slowly; the current comes back by itself.',
  [Condition.probeStuck]:
    'A reading that never moves is no reading. Put a second thermometer beside it, and look whether the probe hangs in the bath.',
  [Condition.probeStuckLong]:
    'Exchange the probe. The run goes on only by a press of start at the bath, with a reading that moves.',
  [Condition.clipHot]:
    'Ease the current from the page: a contact is losing its grip. Tighten and clean the joint only with the supply off at its mains.',
  [Condition.clipOverheated]:
    'Do not touch: it is hot. Switch the supply off at its mains, let it cool, then clean and tighten the joint, and look for scorched insulation.',
  [Condition.rotationGivenUp]:
    'Free the shaft, look at coupling and sensor, then reset at the bath: the motor is off and stays off until then.',
  [Condition.rotationSlow]:
    'Look for a slipping coupling, a tired motor supply, or a part that brushes against a lead. Hands stay out while the motor may turn.',
  [Condition.leak]:
    'Do not touch the liquid without gloves and goggles: it is acid. Switch the supply off at its mains if you stay dry doing so, then look at tank and tray.',
  [Condition.smoke]:
    'If there is fire or smoke, leave, close the door and call the fire service. Only without danger: cut the mains of the whole bench.',
  [Condition.agitationStopped]:
    'Look at the air pump or stirrer, its plug and its hose. Half the current flows until it runs again.',
  [Condition.filterStopped]:
    'Look at the filter pump, its plug, and whether the cartridge is full. Half the current flows until it runs again.',
  [Condition.liquidLow]:
    'Look for a leak first. Then top up with deionised water, and press start at the bath once the part is covered.',
  [Condition.currentDoesNotFall]:
    'Switch the supply off at its mains NOW: current flows though the contactor was told to open. Keep hands out of the tank and off the bars until its ammeter shows nothing.',
  [Condition.longestPhase]:
    'The first copper does not close the surface. Look at paint and contact through the liquid; ease the current, lengthen the ramp at the bath, or stop.',
  [Condition.longestDerate]:
    'What lowered the current an hour ago was not put right: see the other conditions. Then press start at the bath.',
  [Condition.longestHold]:
    'Go to the bath: start to go on, or stop and take the part out. Held copper does not grow and may laminate.',
  [Condition.notAcknowledged]:
    'Acknowledge at the bath or on the page, then see to what called: nobody has answered for ten minutes.',
  [Condition.dashboardUnseen]:
    'The controller protects the bath by itself, but nobody would be called. Look at Wi-Fi and at the computer of the dashboard.',
  [Condition.supplyFault]:
    "Look at the supply's front: is it on, in remote mode, at the asked current? Then the set-point wires or the serial cable.",
  [Condition.voltageHigh]:
    "The supply is above this rig's highest voltage. Switch it off at its mains and set its voltage ceiling by hand.",
  [Condition.memoryFault]:
    'The run goes on, and a power cut now would lose its account. Write the charge down; look at the memory chip and its four wires after the run.',
  [Condition.rampWaiting]:
    'Nothing to do yet: the ramp goes on when the resistance falls. If it waits for long, look at paint and contact.',
  [Condition.contactWeakInStart]:
    'Look at clip and paint through the liquid: the current was lowered so that the paint does not burn off. Pause the ramp at the bath if it climbs again.',
  [Condition.noCurrentAtStart]:
    'Is the supply on, and set by hand where it must be? Then fuse, cables, clip, and whether the paint conducts down to the clip.',
  [Condition.polarityReversed]:
    'Part and anodes are exchanged, or the wires at the shunt. Switch the supply off at its mains, exchange them, and measure before the next start.',
  [Condition.alertLatchNotOpening]:
    "The latch would not have opened in an emergency, so nothing starts. Look at the wire of the shunt monitor's alert output and at the latch, then reset.",
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
