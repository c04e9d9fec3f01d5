/* What a plan refuses, what it warns of and in which words, and what it says that it does not know. */
import { type PlanRequest } from '@bathkeeper/shared-core/trade';
import { describe, expect, test } from 'vitest';
import { lampshade, planned, typedArea } from './requests.js';

const words = (request: PlanRequest): string[] => planned(request).warnings.map((each) => each.words);

describe('a claim above what Faraday allows', () => {
  const rule: PlanRequest = {
    parts: typedArea(1),
    bath: 'bright-copper',
    currentDensityAmpsPerDm2: 2,
    plateHours: 4,
  };

  test('is refused with the sum, with what it would take, and with what may have been measured', () => {
    const refusal = planned({ ...rule, claimedThicknessMicrometres: 150 }).claimRefusal!;
    expect(refusal).toContain('An average of 150 µm on one wall cannot be: 8 Ah × 1.185 g/Ah = 9.484 g at most');
    expect(refusal).toContain('9.484 g ÷ (8.96 g/cm³ × 1 dm²) = 105.8 µm');
    // common practice: 2.83 A/dm² or 5.67 h, callipers over two walls 0.212 mm, 50 µm of paint 0.156 mm
    expect(refusal).toContain('take 5.669 h at 2 A/dm², or 2.834 A/dm² for 4 h');
    expect(refusal).toContain('two walls between the callipers (211.7 µm)');
    expect(refusal).toContain('the paint as well (155.8 µm with 50 µm of it)');
    expect(refusal).toMatch(/an edge \(about .* µm\), or an area that is smaller than believed/);
  });

  test('is let be at what Faraday gives, and refused just above, tables of density apart (0.5 %)', () => {
    expect(planned({ ...rule, claimedThicknessMicrometres: 105.8 }).claimRefusal).toBeUndefined();
    expect(planned({ ...rule, claimedThicknessMicrometres: 106.3 }).claimRefusal).toBeUndefined();
    expect(planned({ ...rule, claimedThicknessMicrometres: 106.5 }).claimRefusal).toBeDefined();
    expect(planned(rule).claimRefusal).toBeUndefined();
  });

  test('of 0.5 to 0.6 mm from 31 A in 10 h on 15.5 dm² is refused, with 367.5 g as the most', () => {
    const request = { parts: typedArea(15.5), bath: 'bright-copper', currentAmps: 31, plateHours: 10 };
    for (const claimedThicknessMicrometres of [500, 600]) {
      const refusal = planned({ ...request, claimedThicknessMicrometres }).claimRefusal!;
      expect(refusal).toContain('= 264.6 µm');
      expect(refusal).toContain('more than 367.5 g is impossible');
    }
    // common practice: everywhere it needs 8.2 to 6.8 dm², or 18.9 to 22.7 h
    expect(planned({ ...request, claimedThicknessMicrometres: 500 }).claimRefusal).toMatch(
      /take 18\.9 h .* or plate 8\.203 dm²/,
    );
    expect(planned({ ...request, claimedThicknessMicrometres: 600 }).claimRefusal).toMatch(
      /take 22\.67 h .* or plate 6\.836 dm²/,
    );
  });
});

describe('a usual plan', () => {
  test('has nothing to warn of', () => {
    expect(words({ ...lampshade, weight: { massGramsEach: 250 } })).toEqual([]);
  });
});

describe('a wish outside what is usual', () => {
  const sound: PlanRequest = { ...lampshade, weight: { massGramsEach: 250 }, supplyAmpsMax: undefined };

  test.each<[string, Partial<PlanRequest>, RegExp]>([
    [
      'burning above the bath’s density',
      { currentDensityAmpsPerDm2: 8, agitation: 'vigorous' },
      /8 A\/dm² is above the usual 2 to 7\.5 A\/dm²: expect burning.*edges and tips/,
    ],
    [
      'a dull deposit below it',
      { currentDensityAmpsPerDm2: 1.6 },
      /1\.6 A\/dm² is below the usual 2 to 7\.5 A\/dm²: the deposit stays dull/,
    ],
    [
      'roughness above half the limiting current',
      { currentDensityAmpsPerDm2: 5 },
      /more than half the limiting current of about 8\.5 A\/dm² for a bath that is moving: edges turn rough/,
    ],
    [
      'powder above the limiting current',
      { currentDensityAmpsPerDm2: 6, agitation: 'still' },
      /above the limiting current of about 5\.42 A\/dm².*powder/,
    ],
    [
      'polarised anodes',
      { anodes: { count: 2, faceDm2Each: 3 } },
      /4 A\/dm² at the anodes is above the usual 1 to 3 A\/dm²: the anodes lose their black film.*Add anode area/,
    ],
    [
      'copper that builds up',
      { anodes: { count: 20, faceDm2Each: 3 } },
      /0\.4 A\/dm² at the anodes is below the usual 1 to 3.*Take anode area out/,
    ],
    ['a warm bath', { bathCelsius: 31 }, /31 °C is above the usual 20 to 30 °C: the deposit turns dull/],
    ['a cold bath', { bathCelsius: 18 }, /18 °C is below the usual 20 to 30 °C: the deposit burns sooner/],
    [
      'a hot cable',
      { conductors: { cableMm2: 4 } },
      /4 mm² makes 2\.85 W a metre, more than 2: warm to the hand\. Take a thicker cable/,
    ],
    [
      'a very hot cable',
      { conductors: { cableMm2: 2.5 } },
      /2\.5 mm² makes 4\.6 W a metre.*hot under a cover.*loose joints start fires/,
    ],
    [
      'a shunt beyond the monitor’s 81.92 mV (INA226, TI SBOS547)',
      { conductors: { shuntRatedAmps: 40, shuntRatedMillivolts: 150 } },
      /shunt gives 90 mV at the set-point, and the controller’s monitor reads up to 81\.92 mV/,
    ],
    [
      'contacts that carry too much: 50 mV at 5 mΩ are 10 A',
      { paint: { contacts: 2 } },
      /Each contact carries 12 A, more than the 10 A .* Give each piece 3 contacts at least/,
    ],
    [
      'recesses that the current does not reach',
      { parts: [{ ...lampshade.parts[0]!, openShare: 0.05 }] },
      /Deep recesses get only about \d+ µm of the 300 µm: .*auxiliary anode/,
    ],
    [
      'a bath that cools below what a start needs',
      { bathCelsius: 22, roomCelsius: 2, tank: { litres: 20 } },
      /Without a heater the bath will cool to about 8\.83 °C by the end in a room of 2 °C, below the 18 °C/,
    ],
    [
      'nickel that cools',
      { bath: 'watts-nickel', averageThicknessMicrometres: 600, tank: { litres: 20 } },
      /Without a heater the bath will cool to about .* below the 40 °C that a start needs/,
    ],
    [
      'water that leaves',
      {
        bath: 'watts-nickel',
        averageThicknessMicrometres: 1000,
        tank: { lengthMm: 500, widthMm: 400, heightMm: 350, fillMm: 300 },
      },
      /Evaporation takes about .* mm of the level by the end.*come out of the liquid/,
    ],
    ['a long cable', { conductors: { cableMm2: 10, cableMetres: 8 } }, /cable loses 0\.37 V, more than 0\.2 V/],
    ['a small shunt', { conductors: { shuntRatedAmps: 25 } }, /shunt of 25 A is small for 24 A.*at least 33\.6 A/],
    [
      'a supply that is too small',
      { supplyAmpsMax: 10, bath: 'forming-copper', currentDensityAmpsPerDm2: 1 },
      /want 12 A and the supply gives at most 10 A: the same deposit takes .* h instead of/,
    ],
    [
      'a supply that leaves too little density',
      { supplyAmpsMax: 10 },
      /supply leaves only 0\.833 A\/dm² of the usual 2 to 7\.5/,
    ],
    ['a supply at its end', { supplyAmpsMax: 25 }, /supply runs at 96 % of what it can give/],
    ['too few volts', { supplyVoltsMax: 1 }, /will need about 1\.7 V and the supply ends at 1 V/],
    ['perhaps too few volts', { supplyVoltsMax: 2 }, /may need up to 2\.7 V and the supply ends at 2 V/],
    ['a conductivity that cannot be', { conductivitySiemensPerMetre: 90 }, /more than this bath’s acid alone has/],
    [
      'a strike that paint does not stand',
      { strikeDensityAmpsPerDm2: 0.8 },
      /strike of 0\.8 A\/dm².*grainy and brittle/,
    ],
    ['a short ramp', { rampMinutes: 5 }, /ramp of 5 min is shorter/],
    ['a part that does not turn', { rotationPulsesPerMinute: 0 }, /does not turn/],
    [
      'contacts too far apart',
      { paint: { sheetOhmsPerSquare: 55, contacts: 2 } },
      /ν is .*, above 1: farthest from a contact the paint gets .* Add contacts/,
    ],
    ['a single contact', { paint: { contacts: 1 } }, /One contact on a piece is one that works loose/],
    ['a part that floats', { weight: { massGramsEach: 50 } }, /A piece floats: .* Hang .* g of ballast/],
    [
      'a tank that spills',
      { tank: { lengthMm: 50, widthMm: 40, heightMm: 310, fillMm: 300 } },
      /stands 35 mm above the rim: it spills/,
    ],
    ['a tank that splashes', { tank: { lengthMm: 500, widthMm: 400, heightMm: 310, fillMm: 300 } }, /left to the rim/],
    [
      'rods that burn first',
      { parts: [{ ...lampshade.parts[0]!, thinnestRodMm: 1.2 }] },
      /has rods or tips of about 1\.2 mm: current crowds on them/,
    ],
    [
      'sanding through',
      { finishingMicrometres: 200 },
      /Finishing takes 200 µm and thin places have about .* sanded through/,
    ],
    ['a bath that gets too warm', { tank: { litres: 3 } }, /bath (will be|may reach) .* held at 32 °C/],
    ['nickel on the skin', { bath: 'watts-nickel' }, /sensitise the skin/],
    ['cyanide', { bath: 'silver-cyanide' }, /never in a room with an acid copper bath/],
  ])('is marked: %s', (_what, change, sentence) => {
    expect(words({ ...sound, ...change })).toContainEqual(expect.stringMatching(sentence));
    expect(words(sound)).not.toContainEqual(expect.stringMatching(sentence));
  });

  test('of a few milliamperes is told what it takes', () => {
    expect(words({ ...sound, parts: typedArea(0.0024) })).toContainEqual(
      expect.stringMatching(/0\.0048 A is less than most supplies hold steady/),
    );
  });

  test('says of which part’s model it speaks', () => {
    const parts = [{ ...lampshade.parts[0]!, warnings: ['There is no volume.'] }];
    expect(words({ ...sound, parts })).toEqual(['Fluted bell lampshade: There is no volume.']);
  });

  test('of a sparse filling that nobody weighed is told before it floats', () => {
    expect(words(lampshade)).toEqual([expect.stringMatching(/floats if its filling is sparse and sealed/)]);
  });
});

describe('what a plan does not know', () => {
  test('is said with what to give, and no more once it is given', () => {
    const { gaps } = planned({ parts: typedArea(1), bath: 'bright-copper', plateHours: 4 });
    expect(gaps).toHaveLength(7);
    for (const gap of gaps) expect(gap).toMatch(/: .*(give|measure|Give)/);
    const all = planned({
      ...lampshade,
      tank: { lengthMm: 500, widthMm: 400, heightMm: 350, fillMm: 300 },
      paint: { sheetOhmsPerSquare: 0.5 },
      conductivitySiemensPerMetre: 20,
      brightenerLitresPerKiloampereHour: 0.3,
    });
    expect(all.gaps).toEqual([]);
  });

  test('of a part that is metal already is its weight and its contacts: a print’s density is not taken for it', () => {
    const metal = planned({ ...lampshade, paint: { dryMicrometres: 0 } });
    expect(metal.figures.tank.submergedWeightNewtons).toBeUndefined();
    expect(metal.warnings).toEqual([]);
    expect(metal.gaps.join(' ')).toMatch(/What each contact carries.*Whether the part floats: it is metal already/);
    const weighed = planned({
      ...lampshade,
      paint: { dryMicrometres: 0, contacts: 3 },
      weight: { massGramsEach: 250 },
    });
    expect(weighed.figures.tank.submergedWeightNewtons!.value).toBeGreaterThan(0);
    expect(weighed.gaps.join(' ')).not.toMatch(/contact|floats/);
    expect(weighed.figures.deposit.strikeAmps.label).toBe('Strike, the first current on the metal');
    expect(planned(lampshade).figures.deposit.strikeAmps.label).toBe('Strike, the first current on the paint');
  });

  test('of a metal other than copper is not told with copper’s sources and resistivity', () => {
    const nickel = planned({ ...lampshade, bath: 'watts-nickel', paint: { sheetOhmsPerSquare: 0.5 } });
    expect(nickel.figures.paintedStart!.paintNumber).toBeDefined();
    expect(nickel.figures.paintedStart!.coveringMicrometres).toBeUndefined();
    expect(nickel.figures.anodes.anodeDissolvedGrams.source).not.toMatch(/copper/);
    expect(nickel.gaps.join(' ')).toContain('How readily nickel deposits (its exchange current): copper’s was taken');
    expect(planned(lampshade).gaps.join(' ')).not.toMatch(/exchange current/);
    expect(planned(lampshade).figures.anodes.anodeDissolvedGrams.source).toMatch(/Guidebook 2011-12, p\. 206/);
  });
});
