/* A thin second layer by brush or pen, after the bath: charge, time and passes. Called by plan.ts where one is wished. Uses the pen's factor, never the tank's efficiency. */
import { penAmpereHours, penFactors, penPasses } from '../brush.js';
import { type Figure, given, input, inputOf } from '../figure.js';
import type { SecondLayerAsked } from './plan-request.js';

export interface SecondLayerFigures {
  readonly penAmpereHours: Figure;
  readonly penMinutes: Figure;
  readonly penPasses: Figure;
}

/** A face of a centimetre at a hand's pace. Common practice, no source. */
const usualPen = { widthMm: 10, millimetresPerSecond: 150 } as const;

export function secondLayerFigures(asked: SecondLayerAsked): SecondLayerFigures {
  const factor = given(asked.ampereHoursPerIn2TenThousandth, penFactors[asked.pen]);
  const area = input('Area of the layer', asked.areaDm2, 'dm²');
  const charge: Figure = {
    label: `${asked.pen} by pen`,
    value: penAmpereHours(factor.value, asked.areaDm2, asked.micrometres),
    unit: 'Ah',
    formula: 'the pen’s factor × area × thickness',
    inputs: [
      input('The pen’s factor, Ah for a square inch and 0.0001 in', factor, '1'),
      area,
      input('Thickness of the layer', asked.micrometres, 'µm'),
    ],
    source: 'factor: ASM Handbook vol. 5, selective plating, table 1 (a re-hosted copy); its maker’s own comes first',
  };
  const hours = charge.value / asked.amps;
  const width = given(asked.penWidthMm, usualPen.widthMm);
  const speed = given(asked.penMillimetresPerSecond, usualPen.millimetresPerSecond);
  const penMinutes: Figure = {
    label: 'Pen on the part',
    value: hours * 60,
    unit: 'min',
    formula: 'charge ÷ current of the pen',
    inputs: [inputOf(charge), input('Current of the pen', asked.amps, 'A')],
    source: 'arithmetic',
  };
  return {
    penAmpereHours: charge,
    penMinutes,
    penPasses: {
      label: 'Passes over every spot',
      value: penPasses(hours, speed.value, width.value, asked.areaDm2),
      unit: '1',
      formula: 'time × speed × width of the pen’s face ÷ area',
      inputs: [
        inputOf(penMinutes),
        input('Speed of the pen', speed, 'mm/s'),
        input('Face of the pen', width, 'mm'),
        area,
      ],
      source: 'arithmetic',
    },
  };
}
