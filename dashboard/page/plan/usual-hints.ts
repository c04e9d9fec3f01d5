/* What stands in a field that nobody has filled in: what is usual in the chosen bath, with its range, in the person's units. Read by the form; pure. */
import {
  type AskedPath,
  bathProfile,
  type BathProfile,
  inUnits,
  significant,
  type Unit,
  type UnitSystem,
  type UsualRange,
} from '@bathkeeper/shared-core/trade';

type Usual = readonly [UsualRange | undefined, Unit];

/** Of what a bath's profile speaks. A share is shown in per cent, as it is typed. */
function usualOf(profile: BathProfile): Readonly<Partial<Record<AskedPath, Usual>>> {
  const { min, usual, max, source } = profile.cathodeEfficiency;
  return {
    currentDensityAmpsPerDm2: [profile.cathodeDensityAmpsPerDm2, 'A/dm²'],
    bathCelsius: [profile.bathCelsius, '°C'],
    cathodeEfficiency: [{ min: 100 * min, usual: 100 * usual, max: 100 * max, source }, '%'],
    conductivitySiemensPerMetre: [profile.conductivitySiemensPerMetre, 'S/m'],
    strikeDensityAmpsPerDm2: [profile.strikeDensityAmpsPerDm2, 'A/dm²'],
    'anodes.areaRatio': [profile.anodeAreaRatio, '1'],
    brightenerLitresPerKiloampereHour: [profile.brightenerLitresPerKiloampereHour, 'L/kAh'],
  };
}

/** Example: of the current density in bright acid copper "4 as usual, 2 to 7.5"; where the profile is silent "as usual, or not known". */
export function usualHint(path: AskedPath, bath: string, units: UnitSystem): string {
  const profile = bathProfile(bath);
  const [range, unit] = (profile === undefined ? undefined : usualOf(profile)[path]) ?? [undefined, '1'];
  if (range === undefined) return 'as usual, or not known';
  const shown = (value: number): string => significant(inUnits(value, unit, units).value, 3);
  return `${shown(range.usual)} as usual, ${shown(range.min)} to ${shown(range.max)}`;
}
