/*
 * Nickel and silver. Copper is what this project is made for: these profiles let the same planner work out a second metal, as far as sources go.
 * Read through bath-list.ts. Where nothing was found nothing is given, and what was not seen says "from memory".
 */
import { nickel, silver } from '../metals.js';
import { type BathProfile, usual } from './bath-profile.js';

const memory = 'from memory';
const estimate = 'an estimate from memory: measure yours';

const nickelCommon = {
  metal: nickel,
  anodeAreaRatio: usual(1, 1.5, 2, memory),
  cathodeEfficiency: usual(
    0.93,
    0.95,
    0.97,
    'Rudy, finishingandcoating.com/779: worked at 95 %; the bounds from memory',
  ),
  conductivityPerKelvin: 0.015,
  electrodeVolts: usual(0.4, 0.7, 1.2, estimate),
  strikeDensityAmpsPerDm2: usual(0.2, 0.3, 0.5, 'as for acid copper; common practice, no source'),
  anodes: 'nickel that dissolves (sulphur-activated pellets in titanium baskets), bagged; from memory',
  troubles: {
    densityHigh:
      'expect burning, dark rough edges, and pits from hydrogen. Lower the current density or move the bath better',
    densityLow:
      'the deposit grows slowly, dark and uneven in recesses. Raise the current density if the part allows it',
    anodeDensityHigh: 'the anodes turn passive, voltage climbs and pH falls. Add anode area, and see to the chloride',
    anodeDensityLow: 'nickel builds up in the bath and pH rises. Take anode area out',
    warm: 'boric acid and additives suffer and a printed part softens. Cool the bath',
    cold: 'the deposit burns and is stressed, and boric acid crystallises. Warm the bath before the start',
    source: memory,
  },
  cautions: [
    'Nickel salts sensitise the skin and may cause cancer by inhalation (H317, H334, H350i): gloves, no mist, extraction. Read your own safety data sheet.',
    'The bath is warm: most printed parts (PLA) soften near 55 °C. Try one first.',
  ],
};

export const wattsNickel: BathProfile = {
  ...nickelCommon,
  key: 'watts-nickel',
  name: 'Watts nickel',
  purpose: 'the usual nickel: cheap, hard, with stress',
  composition: [
    { name: 'nickel sulphate NiSO4·6H2O', unit: 'g/L', ...usual(240, 270, 300, memory) },
    { name: 'nickel chloride NiCl2·6H2O', unit: 'g/L', ...usual(30, 45, 90, memory) },
    { name: 'boric acid', unit: 'g/L', ...usual(30, 38, 45, memory) },
  ],
  cathodeDensityAmpsPerDm2: usual(2, 4, 10, memory),
  anodeDensityAmpsPerDm2: { min: 0.5, max: 3, source: memory },
  bathCelsius: usual(40, 52, 60, memory),
  conductivitySiemensPerMetre: usual(4, 6, 8, estimate),
  densityKgPerM3: usual(1150, 1200, 1250, memory),
  startCelsiusMin: 40,
  warnCelsius: 60,
  holdCelsius: 65,
};

export const sulphamateNickel: BathProfile = {
  ...nickelCommon,
  key: 'sulphamate-nickel',
  name: 'Nickel sulphamate',
  purpose: 'nickel of low stress, for forming',
  composition: [
    { name: 'nickel metal', unit: 'g/L', ...usual(75, 75, 100, 'a bath supplier’s data sheet') },
    { name: 'nickel chloride NiCl2·6H2O', unit: 'g/L', ...usual(15, 15, 30, 'a bath supplier’s data sheet') },
    { name: 'boric acid', unit: 'g/L', ...usual(26, 30, 35, 'a bath supplier’s data sheet') },
  ],
  cathodeDensityAmpsPerDm2: usual(2, 4, 8, 'a bath supplier’s data sheet'),
  anodeDensityAmpsPerDm2: { min: 0.5, max: 3, source: memory },
  anodeAreaRatio: usual(1, 1, 2, 'a bath supplier’s data sheet: 1:1; the upper bound from memory'),
  bathCelsius: usual(40, 45, 50, 'a bath supplier’s data sheet'),
  conductivitySiemensPerMetre: usual(4, 6, 8, estimate),
  densityKgPerM3: usual(1250, 1260, 1272, 'a bath supplier’s data sheet: 29 to 31 °Bé, converted by 145 / (145 − °Bé)'),
  startCelsiusMin: 40,
  warnCelsius: 50,
  holdCelsius: 55,
};

const silverPage = 'Blair, Metal Finishing Guidebook 2011-12, p. 240';

export const silverCyanide: BathProfile = {
  key: 'silver-cyanide',
  name: 'Silver from cyanide',
  metal: silver,
  purpose: 'a thin silver layer over copper, after a silver strike',
  composition: [
    { name: 'silver as KAg(CN)2', unit: 'g/L', ...usual(15, 30, 40, silverPage) },
    { name: 'free potassium cyanide', unit: 'g/L', ...usual(12, 45, 120, silverPage) },
    { name: 'potassium carbonate', unit: 'g/L', ...usual(15, 30, 120, `${silverPage} and 241`) },
  ],
  cathodeDensityAmpsPerDm2: usual(0.5, 1, 4, silverPage),
  anodeDensityAmpsPerDm2: { min: 0.25, max: 2, source: 'common practice, no source' },
  anodeAreaRatio: usual(1, 1.5, 2, memory),
  bathCelsius: usual(20, 25, 30, silverPage),
  cathodeEfficiency: usual(0.98, 1, 1, memory),
  conductivitySiemensPerMetre: usual(8, 12, 18, estimate),
  conductivityPerKelvin: 0.015,
  densityKgPerM3: usual(1050, 1100, 1150, memory),
  electrodeVolts: usual(0.1, 0.3, 0.6, estimate),
  strikeDensityAmpsPerDm2: usual(0.2, 0.3, 0.5, 'as for acid copper; common practice, no source'),
  startCelsiusMin: 18,
  warnCelsius: 30,
  holdCelsius: 35,
  anodes: 'fine silver, rolled and annealed (the same, p. 241)',
  troubles: {
    densityHigh: 'expect a powdery, burnt deposit at edges. Lower the current density',
    densityLow: 'the deposit grows slowly and uneven. Raise the current density if the part allows it',
    anodeDensityHigh: 'the anodes film over and shed particles that make the deposit rough. Add anode area',
    anodeDensityLow: 'silver builds up in the bath. Take anode area out',
    warm: 'cyanide breaks down faster into carbonate. Cool the bath',
    cold: 'the usable range narrows and carbonate crystallises. Warm the bath before the start',
    source: `${silverPage} and 241; the rest from memory`,
  },
  cautions: [
    'Cyanide kills, and with acid it gives off a gas that kills at once: never in a room with an acid copper bath, never with rinse water that was acid, never alone or overnight. This profile is for arithmetic; the work is for licensed shops.',
  ],
};
