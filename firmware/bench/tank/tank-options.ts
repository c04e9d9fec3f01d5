/*
 * What stands in the room: the bath, the part, the supply, the motor, the heat around them. Every number has a
 * default that suits the demo (60 L of bright acid copper, a fluted bell lampshade of 12 dm2). The tests and the
 * rehearsal change single ones. Nothing here is ever read by the program on the board.
 */

export interface TankOptions {
  /** Surface of the part. */
  areaDm2: number;
  /** Anode surface over cathode surface; 1:1 to 2:1 is usual (from memory: Metal Finishing Guidebook). */
  anodeAreaRatio: number;
  anodeCathodeGapMetres: number;
  /** Of the bath at 25 Celsius. 200 g/L copper sulphate with 60 g/L acid: 15 to 25 S/m (an estimate, from memory). */
  conductivitySiemensPerMetre: number;
  /** Rise of the conductivity per kelvin. Its sign is published (Hotlos and Jaskula 1988); the size is common practice, no source. */
  conductivityFractionPerKelvin: number;
  /** Exchange current density of copper in the bath with brightener, A/dm2. Common practice, no source. */
  exchangeCurrentAmpsPerDm2: number;
  /** Copper paint 0.1 to 1, graphite 20 to 1000 ohm a square (from memory). */
  paintOhmsPerSquare: number;
  /** Longest way over the paint from a contact clip. */
  paintWayMetres: number;
  /** First copper grows in islands that do not touch: below about this thickness it adds little. Common practice, no source. */
  islandMicrometres: number;
  /** Acid copper: about 1 at both electrodes (Metal Finishing Guidebook 2011-12, p. 206, table VIII). */
  cathodeEfficiency: number;
  /** Cables, clips, bars and contactor in all. */
  leadOhms: number;
  /** What is wrong with the shunt after it was calibrated, as a fraction. */
  shuntErrorFraction: number;

  volumeLitres: number;
  /** 200 g/L copper sulphate, 60 g/L acid at 20 Celsius: 1159.8 (Laliberté 2009). */
  densityKgPerM3: number;
  /** From memory. */
  heatCapacityJoulesPerKgKelvin: number;
  /** Walls and surface, evaporation included. Common practice, no source. */
  lossWattsPerKelvin: number;
  startCelsius: number;
  roomCelsius: number;
  /** The room is this much warmer at 15 h and this much colder at 3 h. */
  roomSwingCelsius: number;
  /** Time of day when the bath is switched on, hours. */
  startHour: number;
  /** Power of a heater that sticks on in the fault `bath-heating`. */
  stuckHeaterWatts: number;

  /** The supply leaves constant current for constant voltage here. */
  supplyCeilingVolts: number;
  /** How far the supply is from what the analogue input asks. */
  supplyGainErrorFraction: number;
  /** Standard deviation of its slow wandering, as a fraction of the current. */
  supplyWanderFraction: number;
  /** Ripple as one conversion without averaging sees it. Under 10 % is asked (Metal Finishing Guidebook 2013, p. 279). */
  supplyRippleFraction: number;
  /** Time constant of the supply's regulation. */
  supplyResponseSeconds: number;
  /** DAC code at which the supply starts to deliver, and codes for each ampere. */
  supplyCodeAtZero: number;
  supplyCodesPerAmp: number;

  /** Pulses a minute with the motor on: one magnet, 6 turns a minute. */
  pulsesPerMinute: number;
  /** Standard deviation of one turn's time, as a fraction. */
  turnJitterFraction: number;
  /** Standard deviation of one temperature conversion. */
  probeNoiseCelsius: number;
}

/** Amperes of a full night on this part: 12 dm2 at 1.6 A/dm2 is 19.2 A. */
export const defaultTankOptions: TankOptions = {
  areaDm2: 12,
  anodeAreaRatio: 1.5,
  anodeCathodeGapMetres: 0.15,
  conductivitySiemensPerMetre: 20,
  conductivityFractionPerKelvin: 0.015,
  exchangeCurrentAmpsPerDm2: 0.3,
  paintOhmsPerSquare: 5,
  paintWayMetres: 0.1,
  islandMicrometres: 1,
  cathodeEfficiency: 1,
  leadOhms: 0.006,
  shuntErrorFraction: 0.001,
  volumeLitres: 60,
  densityKgPerM3: 1160,
  heatCapacityJoulesPerKgKelvin: 3450,
  lossWattsPerKelvin: 12,
  startCelsius: 22.5,
  roomCelsius: 20.5,
  roomSwingCelsius: 1.5,
  startHour: 21,
  stuckHeaterWatts: 2000,
  supplyCeilingVolts: 5,
  supplyGainErrorFraction: 0.01,
  supplyWanderFraction: 0.001,
  supplyRippleFraction: 0.02,
  supplyResponseSeconds: 0.05,
  supplyCodeAtZero: 0,
  supplyCodesPerAmp: 100,
  pulsesPerMinute: 6,
  turnJitterFraction: 0.01,
  probeNoiseCelsius: 0.05,
};
