/*
 * The wiring around the controller: retriggerable one-shot, alert latch, press-to-close relay, emergency stop, contactor.
 * Coil current flows through all four in series; once dropped, only a press closes it again. The supply itself has mains only while the
 * second means is on. Pins as in hardware-notes/wiring.md.
 */
world.ROTATION = 27;
world.ONE_SHOT_SECONDS = 20;
world.oneShotFedAt = -1000;
world.oneShotTrigger = 0;
world.latchClosed = false;
world.emergencyReleased = true;
world.relayHolds = false;
world.contactorDrops = 0;
/** What a supply with its own mind adds to the set-point while the contactor is closed. */
world.extraAmps = 0;
world.openTerminalVolts = 0.02;
/** Of the cell; the supply's own ceiling is 8 V. */
world.ohms = 0.08;

/** Every part of the chain that must be good, the relay itself left out. */
world.chainIsGood = function () {
  return (
    world.latchClosed &&
    world.emergencyReleased &&
    !!world.levels[19] &&
    getTime() - world.oneShotFedAt < world.ONE_SHOT_SECONDS
  );
};

world.settle = function (written) {
  var here = world;
  var levels = here.levels;
  if (written === 18 && levels[18] !== here.oneShotTrigger) {
    here.oneShotTrigger = levels[18];
    if (levels[19]) here.oneShotFedAt = getTime();
  }
  if (here.relayHolds && !here.chainIsGood()) {
    here.relayHolds = false;
    here.contactorDrops++;
  }
  levels[23] = here.latchClosed;
  levels[32] = here.relayHolds;
  levels[33] = here.emergencyReleased;
};

/** 'start', 'stop' or 'reset': down and up again. Start also closes the relay, when the chain is good. */
world.press = function (button) {
  var number = button === 'start' ? 13 : button === 'stop' ? 16 : 17;
  if (button === 'start' && world.chainIsGood()) world.relayHolds = true;
  world.settle();
  world.setLevel(number, 0);
  world.setLevel(number, 1);
};

/** Down for so many seconds. */
world.hold = function (button, seconds) {
  var number = button === 'start' ? 13 : button === 'stop' ? 16 : 17;
  world.setLevel(number, 0);
  world.pass(seconds);
  world.setLevel(number, 1);
};

world.resetLatch = function () {
  world.latchClosed = true;
  world.settle();
};

world.amps = function () {
  world.settle();
  if (!world.relayHolds || !world.levels[2]) return 0;
  return Math.min(world.setPointAmps() + world.extraAmps, 7.4 / world.ohms);
};
world.volts = function () {
  return world.relayHolds && world.levels[2] ? 0.6 + world.ohms * world.amps() : world.openTerminalVolts;
};
