/*
 * What every scenario with the whole bundle needs: settings and recipe of the demo rig, time that passes with the part turning and
 * the dashboard giving signs of life, commands, restarts and power cuts. Virtual clock and sockets in memory only.
 */
world.settings = {
  v: 1,
  controllerId: 'north-bench',
  simulated: 1,
  wifi: { ssid: 'workshop', password: 'not a real one' },
  link: { address: '127.0.0.1', port: 1883, signOfLifePort: 41883 },
  secret: world.secret,
  rig: { currentAmpsMax: 35, terminalVoltsMax: 8, bathCelsiusMax: 40, runSecondsMax: 50400 },
  shunt: { microOhms: 1500, currentGain: 1, currentOffsetAmps: 0, measured: 1 },
  supply: { codeAtZero: 0, codesPerAmp: 100, measured: 1, baud: 9600 },
  probe: { offsetCelsius: 0, measured: 1, rom: '' },
  fitted: { leak: 0, smoke: 0, agitation: 0, filter: 0, level: 0, clock: 0, clips: [] },
};
/** The text of a settings file: its check sum in eight digits, and the JSON. */
world.sealed = function (json) {
  var digits = (E.CRC32(json) >>> 0).toString(16);
  while (digits.length < 8) digits = '0' + digits;
  return digits + json;
};
world.saveSettings = function () {
  world.files['bathkeeper.json'] = world.sealed(JSON.stringify(world.settings));
};

/** Columns as in the wire's recipe row; short stretches, so that a whole run takes minutes. */
world.recipe = [7, 15.5, 4, 30, 60, 20, 2400000, 2, 60, 5, 3600, 6, 18, 28, 32];

world.isTurning = true;
world.dashboardIsAlive = true;
world.secondsPassed = 0;

/** Seconds pass: the part turns while its motor is on, and the dashboard gives a sign of life every 5 s. */
world.pass = function (seconds) {
  for (var i = 0; i < seconds; i++) {
    world.secondsPassed++;
    if (world.isTurning && world.levelOf(25) && world.secondsPassed % 10 === 0) world.pulse(world.ROTATION);
    if (world.dashboardIsAlive && world.secondsPassed % 5 === 0) {
      world.deliverDatagram(world.signText(1750000000 + world.secondsPassed));
    }
    world.advance(1);
  }
};

/** Time passes until a live message says this phase, at most so many seconds. */
world.passUntil = function (phase, secondsMax) {
  for (var i = 0; i < secondsMax; i++) {
    var live = world.peer.last('live');
    if (live && live.p === phase) return;
    world.pass(1);
  }
  print('phase ' + phase + ' not reached within ' + secondsMax + ' s');
};

world.nextCommandId = 1;
/** A command that expires in so many seconds; `row` is a recipe's, `centiamperes` those of lower. */
world.command = function (kind, seconds, row, centiamperes) {
  var live = world.peer.last('live');
  var message = { d: world.nextCommandId++, k: kind, b: live.b, x: live.u + seconds * 10 };
  if (row) message.g = row;
  if (centiamperes) message.c = centiamperes;
  world.peer.publish(world.COMMAND_TOPIC, world.commandText(message), 1);
  return message;
};

/** The state in one line: what the dashboard would know, and what is true at the bath. */
world.say = function (title) {
  var live = world.peer.last('live') || {};
  print(
    title + ':',
    'phase',
    live.p,
    'conditions',
    live.m,
    'missing',
    live.w,
    'permitted',
    live.n,
    'contactor',
    world.relayHolds ? 'closed' : 'open',
    'code',
    world.setPoint.code,
    'waiting',
    live.k
  );
};

/** The program starts again, as after a watchdog; chips and relay chain stay under power. */
world.restartBoard = function () {
  world.timers = [];
  world.watches = [];
  world.levels = [];
  world.datagramListener = undefined;
  world.uncaught = undefined;
  world.errorFlags = [];
  world.hangUp(world.socket);
  world.timers = [];
  world.settle();
};

/** All power goes: what the FRAM and the files hold stays. */
world.powerCut = function () {
  world.restartBoard();
  world.latchClosed = false;
  world.oneShotFedAt = -1000;
  world.monitor.powerUp();
  world.setPoint.code = 0;
  world.probe.raw = 0x0550;
  world.probe.convertedAt = -1;
  world.settle();
};

/** The latch is closed by hand and proves itself by opening; the person closes it once more. */
world.proveLatch = function () {
  world.resetLatch();
  world.pass(8);
  world.resetLatch();
  world.pass(3);
};

/** The bath made ready: recipe sent and taken, everything that a start needs seen. */
world.makeReady = function () {
  world.resetLatch();
  world.pass(12);
  world.command(4, 60, world.recipe);
  world.pass(25);
  world.proveLatch();
};
