/* Titrations against factors that others published. Each row names its source. */
import {
  copperOfSulphate,
  sulphateOfCopper,
  titratedAcidGramsPerLitre,
  titratedChlorideMilligramsPerLitre,
  titratedCopperGramsPerLitre,
} from '@bathkeeper/shared-core/trade';
import { describe, expect, test } from 'vitest';
import { expectWithin } from '../within.js';

const oneMillilitre = { sampleMillilitres: 1, titrantMillilitres: 1 };

describe('copper', () => {
  test('by thiosulphate: 1 mL of 0.03 mol/L is 1.906 mg (AOAC Official Method 942.01)', () => {
    expectWithin(titratedCopperGramsPerLitre({ ...oneMillilitre, titrantMolesPerLitre: 0.03 }), 1.906, 5e-4);
  });

  test('by thiosulphate: each mL of 0.1 N is 24.968 mg of CuSO4·5H2O (a pharmacy course’s assay of copper sulphate by iodometry)', () => {
    const grams = titratedCopperGramsPerLitre({ ...oneMillilitre, titrantMolesPerLitre: 0.1 });
    expectWithin(sulphateOfCopper(grams), 24.968, 5e-4);
  });

  test('by EDTA: one to one (a college’s laboratory sheet), so 16.02 mL of 0.1 mol/L for 2 mL are 200 g/L of pentahydrate (computed)', () => {
    const grams = titratedCopperGramsPerLitre({
      sampleMillilitres: 2,
      titrantMillilitres: 16.02,
      titrantMolesPerLitre: 0.1,
    });
    expectWithin(sulphateOfCopper(grams), 200, 1e-3);
  });

  test('of the pentahydrate is 0.2545 of its weight: 200 g/L hold 50.90 g/L (computed from the atomic weights)', () => {
    expectWithin(copperOfSulphate(200), 50.9, 2e-4);
    expect(sulphateOfCopper(copperOfSulphate(187))).toBeCloseTo(187, 9);
  });
});

describe('sulphuric acid', () => {
  test('each mL of 1 N sodium hydroxide is 49.04 mg (USP 28, Sulfuric Acid, assay)', () => {
    expectWithin(titratedAcidGramsPerLitre({ ...oneMillilitre, titrantMolesPerLitre: 1 }), 49.04, 1e-4);
  });

  test('25.00 mL that take 22.65 mL of 0.5510 mol/L are 0.2496 mol/L (a published exercise)', () => {
    const grams = titratedAcidGramsPerLitre({
      sampleMillilitres: 25,
      titrantMillilitres: 22.65,
      titrantMolesPerLitre: 0.551,
    });
    expectWithin(grams / 98.08, 0.2496, 1e-3);
  });
});

test('chloride in 50 mL is mL × 709.1 × N (Products Finishing, Chloride Concentrations)', () => {
  const milligrams = titratedChlorideMilligramsPerLitre({
    sampleMillilitres: 50,
    titrantMillilitres: 8,
    titrantMolesPerLitre: 0.01,
  });
  expectWithin(milligrams, 8 * 709.1 * 0.01, 5e-4);
});

describe('of any titration', () => {
  const copper = { sampleMillilitres: 2, titrantMillilitres: 16.5, titrantMolesPerLitre: 0.1 };

  test('what the flask takes without bath is left out', () => {
    expect(titratedCopperGramsPerLitre({ ...copper, blankMillilitres: 0.5 })).toBeCloseTo(
      titratedCopperGramsPerLitre({ ...copper, titrantMillilitres: 16 }),
      9,
    );
  });

  test('a sample of nothing, or a blank above the titrant, is refused in words', () => {
    expect(() => titratedCopperGramsPerLitre({ ...copper, sampleMillilitres: 0 })).toThrow(/expected a sample above 0/);
    expect(() => titratedCopperGramsPerLitre({ ...copper, blankMillilitres: 17 })).toThrow(/Read the burette again/);
  });
});
