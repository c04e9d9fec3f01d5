/*
 * Acid copper sulphate, three ways: bright for looks, high-throw for recesses, with few additives for forming. Read by the planner through
 * bath-list.ts. Where a supplier's sheet is the source, it is named as such; a person's own sheet comes first.
 */
import { copper } from '../metals.js';
import { type BathProfile, type Constituent, type MetalIon, type Troubles, usual } from './bath-profile.js';

const guidebook = 'Metal Finishing Guidebook 2011-12, p. 206';
const brightSheet = 'a bath supplier’s data sheet';
const memory = 'from memory';
const estimate = 'an estimate from memory: measure yours';

/** The pentahydrate holds 0.2545 of its weight as copper, so 200 g/L are 50.9 g/L, 0.801 mol/L (computed from the atomic weights). */
const moleOfSaltGrams = 249.685;

/** Diffusion of Cu2+. */
function cupricIon(sulphateGramsPerLitre: number): MetalIon {
  return {
    molesPerCubicMetre: (sulphateGramsPerLitre / moleOfSaltGrams) * 1000,
    diffusivityM2PerSecondAt25: 5.5e-10,
    activationKilojoulesPerMole: 19.2,
    source:
      'diffusivity 5 to 6 × 10⁻¹⁰ m²/s at 25 °C from memory; 19.2 kJ/mol: Moats 2000 (measured at 40 to 65 °C, 35 to 70 g/L copper, 160 to 250 g/L acid)',
  };
}

/** Metal Finishing Guidebook 2013, p. 279, table X; the pairing of its columns is partly inferred. Brittleness: from memory. */
const troubles: Troubles = {
  densityHigh:
    'expect burning, a dark powdery deposit that begins at edges and tips, and a brittle one before that. Lower the current density, or move the bath better',
  densityLow:
    'the deposit stays dull, the brightener does not level, and particles have long to settle and make it rough. Raise the current density if the part allows it',
  anodeDensityHigh:
    'the anodes lose their black film, the deposit turns rough, then the anodes polarise and copper falls while acid rises. Add anode area',
  anodeDensityLow: 'copper builds up in the bath and the film on the anodes grows thick. Take anode area out',
  warm: 'the deposit turns dull, brightener is used up fast, and printed parts may soften. Cool the bath',
  cold: 'the deposit burns sooner and the anodes may polarise, and crystals of copper sulphate may form. Warm the bath before the start',
  source:
    'Metal Finishing Guidebook 2011-12, p. 206, and 2013, p. 279, table X; brittleness and softening prints from memory',
};

function salts(sulphate: [number, number, number], acid: [number, number, number], source: string): Constituent[] {
  return [
    { name: 'copper sulphate CuSO4·5H2O', unit: 'g/L', ...usual(...sulphate, source) },
    { name: 'sulphuric acid H2SO4', unit: 'g/L', ...usual(...acid, source) },
  ];
}

const common = {
  metal: copper,
  anodeDensityAmpsPerDm2: { min: 1, max: 3, source: 'two bath suppliers’ data sheets' },
  anodeAreaRatio: usual(1, 1.5, 2, 'Metal Finishing Guidebook, from memory'),
  cathodeEfficiency: usual(
    0.97,
    1,
    1,
    `${guidebook}, table VIII: about 100 %; the lower bound is common practice, no source`,
  ),
  conductivityPerKelvin: 0.015,
  electrodeVolts: usual(0.1, 0.2, 0.4, estimate),
  strikeDensityAmpsPerDm2: usual(0.2, 0.3, 0.5, 'common practice, from memory; practice disagrees, so set your own'),
  startCelsiusMin: 18,
  warnCelsius: 28,
  holdCelsius: 32,
  anodes:
    'phosphorised copper, 0.040 to 0.065 % P (best 0.051 to 0.059 %), bagged (Depew, pfonline); the black film needs phosphorus, chloride and current',
  troubles,
  cautions: [],
};

export const brightCopper: BathProfile = {
  ...common,
  key: 'bright-copper',
  name: 'Bright acid copper',
  purpose: 'level and bright, for parts that are looked at; additives by ampere-hours',
  composition: [
    ...salts([190, 200, 210], [60, 70, 80], brightSheet),
    { name: 'chloride', unit: 'mg/L', ...usual(50, 75, 100, brightSheet) },
  ],
  cathodeDensityAmpsPerDm2: usual(2, 4, 7.5, `${brightSheet}; vigorous air`),
  bathCelsius: usual(20, 25, 30, brightSheet),
  conductivitySiemensPerMetre: usual(15, 20, 25, `for 200 g/L and 60 g/L acid, ${estimate}`),
  densityKgPerM3: usual(1140, 1160, 1175, 'Laliberté 2009, computed for 200 g/L and 60 g/L at 20 °C'),
  ion: cupricIon(200),
  brightenerLitresPerKiloampereHour: usual(
    0.1,
    0.3,
    0.6,
    'from memory: no published figure was found, your supplier’s sheet says it',
  ),
};

export const highThrowCopper: BathProfile = {
  ...common,
  key: 'high-throw-copper',
  name: 'High-throw acid copper',
  purpose: 'much acid and little copper: reaches into recesses, and burns sooner',
  composition: [
    ...salts([60, 70, 75], [187, 200, 225], `${guidebook}, table IX`),
    { name: 'chloride', unit: 'mg/L', ...usual(50, 75, 100, `${guidebook}, table IX`) },
  ],
  // The table's own densities were not recovered. What copper the bath holds bounds it: the limiting current falls with the metal.
  cathodeDensityAmpsPerDm2: usual(1, 2, 4, 'common practice, no source; see the limiting current'),
  bathCelsius: usual(20, 25, 30, 'common practice, no source'),
  conductivitySiemensPerMetre: usual(45, 55, 65, `for 75 g/L and 200 g/L acid, ${estimate}`),
  densityKgPerM3: usual(1150, 1168, 1185, 'Laliberté 2009, computed for 75 g/L and 200 g/L at 20 °C'),
  ion: cupricIon(70),
};

export const formingCopper: BathProfile = {
  ...common,
  key: 'forming-copper',
  name: 'Acid copper for forming',
  purpose: 'little or no brightener: ductile, low stress, for thick walls and long runs; tight filtration',
  composition: [
    ...salts([210, 225, 240], [52, 60, 75], 'ASTM B832, from memory'),
    { name: 'chloride', unit: 'mg/L', ...usual(0, 50, 75, memory) },
  ],
  cathodeDensityAmpsPerDm2: usual(1, 2, 10, 'ASTM B832, from memory'),
  bathCelsius: usual(21, 25, 32, 'ASTM B832, from memory'),
  conductivitySiemensPerMetre: usual(14, 19, 25, `for 225 g/L and 60 g/L acid, ${estimate}`),
  densityKgPerM3: usual(1150, 1174, 1190, 'Laliberté 2009, computed for 225 g/L and 60 g/L at 20 °C'),
  ion: cupricIon(225),
};
