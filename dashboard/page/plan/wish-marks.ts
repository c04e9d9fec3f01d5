/*
 * Which of a plan's warnings belong to what somebody typed, so that they stand at its field as well: a wish out of range is marked where it was made.
 * Read by the form; pure. A field that was left empty made no wish.
 */
import { type AskedPath, inWords, type Plan, type UnitSystem } from '@bathkeeper/shared-core/trade';
import { currents, type PlanForm } from './plan-form.js';

/** The figure that a warning is about, and the fields that it follows from. */
const fieldsOf: Readonly<Record<string, readonly AskedPath[]>> = {
  setPointDensityAmpsPerDm2: currents,
  limitingDensityAmpsPerDm2: currents,
  setPointAmps: currents,
  supplySharePercent: ['supplyAmpsMax'],
  hoursLostToSupply: ['supplyAmpsMax'],
  supplyVolts: ['supplyVoltsMax'],
  anodeDensityAmpsPerDm2: ['anodes.areaRatio', 'anodes.count'],
  bathCelsius: ['bathCelsius'],
  bathCelsiusAtEnd: ['bathCelsius', 'roomCelsius'],
  bathMilliohms: ['conductivitySiemensPerMetre'],
  cableDropVolts: ['conductors.cableMm2'],
  cableWattsPerMetre: ['conductors.cableMm2'],
  shuntRatedAmps: ['conductors.shuntRatedAmps'],
  shuntMillivolts: ['conductors.shuntRatedAmps', 'conductors.shuntRatedMillivolts'],
  contactsEach: ['paint.contacts'],
  plateAmpsPerContact: ['paint.contacts'],
  paintNumber: ['paint.sheetOhmsPerSquare'],
  freeboardMm: ['tank.fillMm'],
  submergedWeightNewtons: ['weight.massGramsEach', 'weight.printGramsPerCm3'],
  finishedThicknessMicrometres: ['finishingMicrometres'],
};

export type WishMarks = Readonly<Partial<Record<AskedPath, readonly string[]>>>;

/** Whole sentences in the person's units, by field. */
export function wishMarks(form: PlanForm, plan: Plan, units: UnitSystem): WishMarks {
  const marks: Partial<Record<AskedPath, string[]>> = {};
  for (const { about, words } of plan.warnings) {
    for (const path of fieldsOf[about] ?? []) {
      const isAside = (currents as readonly AskedPath[]).includes(path) && path !== form.current;
      if (!isAside && (form.typed[path]?.text ?? '').trim() !== '') (marks[path] ??= []).push(inWords(words, units));
    }
  }
  return marks;
}
