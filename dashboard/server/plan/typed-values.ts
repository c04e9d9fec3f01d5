/*
 * Values as people type them for `npm run plan`: numbers in their units, words, shapes, tanks. Every fault says what, expected, got and how to write it, and is
 * kept, so that all of them can be told at once. Called by plan-options.ts.
 */
import type { RigLimits } from '@bathkeeper/shared-core/control';
import { shapeDimensions, type SimpleShape } from '@bathkeeper/shared-core/part';
import { fromUnits, type Unit, type UnitSystem, unitName } from '@bathkeeper/shared-core/trade';
import { shapeKinds } from './choices.js';

export class TypedValues {
  readonly faults: string[] = [];

  constructor(private readonly units: UnitSystem) {}

  /** In metric; NaN where it is none. */
  number(flag: string, text: string, unit: Unit): number {
    const typed = Number(text);
    if (text.trim() !== '' && Number.isFinite(typed)) return fromUnits(typed, unit, this.units);
    const name = unit === '1' || unit === 'money' ? '' : ` in ${unitName(unit, this.units)}`;
    this.faults.push(`${flag}: expected a number${name}, got "${text}". Write it as "${flag} 2.5", with a point.`);
    return NaN;
  }

  numbers(flag: string, text: string, unit: Unit): number[] {
    return text.split(',').map((each) => this.number(flag, each, unit));
  }

  choice<Of extends string>(flag: string, text: string, among: readonly Of[]): Of | undefined {
    const found = among.find((each) => each === text);
    if (found === undefined) {
      this.faults.push(`${flag}: expected one of ${among.join(', ')}, got "${text}". Choose one of them.`);
    }
    return found;
  }

  /** Example: "cylinder:50x120". */
  shape(text: string): SimpleShape | undefined {
    const [kindTyped = '', sizes = ''] = text.split(':', 2);
    const kind = shapeKinds.find((each) => each === kindTyped);
    if (kind === undefined) {
      this.faults.push(
        `--shape: expected one of ${shapeKinds.join(', ')} before the colon, got "${kindTyped}". Write it as "--shape cylinder:50x120".`,
      );
      return undefined;
    }
    const dimensions = shapeDimensions[kind];
    const typed = sizes.split('x');
    if (typed.length !== dimensions.length) {
      const words = dimensions.map((each) => each.words.toLowerCase()).join(' x ');
      this.faults.push(
        `--shape ${kind}: expected ${String(dimensions.length)} lengths in ${unitName('mm', this.units)} (${words}), got "${sizes}". Write it as "--shape cylinder:50x120".`,
      );
      return undefined;
    }
    const lengths = typed.map((each) => this.number(`--shape ${kind}`, each, 'mm'));
    return {
      kind,
      ...Object.fromEntries(dimensions.map((each, index) => [each.name, lengths[index]])),
    } as unknown as SimpleShape;
  }

  /** Example: "500x400x350,300". */
  tank(text: string): Record<'lengthMm' | 'widthMm' | 'heightMm' | 'fillMm', number> | undefined {
    const [sizes = '', fill, ...more] = text.split(',');
    const [length, width, height, ...others] = sizes.split('x');
    const isWhole = height !== undefined && fill !== undefined && more.length + others.length === 0;
    if (!isWhole || length === undefined || width === undefined) {
      this.faults.push(
        `--tank: expected length x width x height, then a comma and the level of the liquid, in ${unitName('mm', this.units)}, got "${text}". Write it as "--tank 500x400x350,300".`,
      );
      return undefined;
    }
    const inMm = (each: string): number => this.number('--tank', each, 'mm');
    return { lengthMm: inMm(length), widthMm: inMm(width), heightMm: inMm(height), fillMm: inMm(fill) };
  }

  /** Example: "50/75". */
  shunt(text: string): Record<'shuntRatedAmps' | 'shuntRatedMillivolts', number> | undefined {
    const [amps, millivolts, ...more] = text.split('/');
    if (amps === undefined || millivolts === undefined || more.length > 0) {
      this.faults.push(`--shunt: expected amperes and millivolts, got "${text}". Write it as "--shunt 50/75".`);
      return undefined;
    }
    return {
      shuntRatedAmps: this.number('--shunt', amps, 'A'),
      shuntRatedMillivolts: this.number('--shunt', millivolts, 'mV'),
    };
  }

  /** Example: "35,8,40,14". */
  rig(text: string): RigLimits | undefined {
    const [amps, volts, celsius, hours, ...more] = text.split(',');
    if (amps === undefined || volts === undefined || celsius === undefined || hours === undefined || more.length > 0) {
      this.faults.push(
        `--rig: expected amperes, volts, ${unitName('°C', this.units)} and hours of the rig’s limits, got "${text}". Write it as "--rig 35,8,40,14".`,
      );
      return undefined;
    }
    return {
      currentAmpsMax: this.number('--rig', amps, 'A'),
      terminalVoltsMax: this.number('--rig', volts, 'V'),
      bathCelsiusMax: this.number('--rig', celsius, '°C'),
      runSecondsMax: this.number('--rig', hours, 'h') * 3600,
    };
  }
}
