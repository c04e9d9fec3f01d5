/*
 * A new board brought up from nothing, on the virtual clock: every command once as it should be, and once as it should not. Written in
 * the interpreter's dialect; the program is behind `boot()`, its commands are globals.
 */
/** Seconds with the shaft turning while its motor is on. */
world.turn = function (seconds) {
  for (var i = 0; i < seconds; i++) {
    if (world.levelOf(25) && i % 10 === 5) world.pulse(27);
    world.advance(1);
  }
};
/** Start held down with the relay pulled in, a current that the hand at the supply sets, and let go. */
world.holdStart = function (amps, seconds) {
  world.setLevel(13, 0);
  world.advance(0.5);
  if (world.chainIsGood()) world.relayHolds = true;
  world.settle();
  world.advance(1);
  world.extraAmps = amps;
  world.advance(seconds);
  var closed = world.relayHolds;
  world.extraAmps = 0;
  world.setLevel(13, 1);
  world.advance(2);
  print('while held', closed, 'after', world.relayHolds, 'console', world.consoleDevice);
};
world.loads = 0;
load = function () {
  world.loads++;
};

boot();
world.advance(3);
global.help();
global.show();
global.sensors();
global.probes();
world.advance(2);
global.probe('28');
global.probe('28ff641e8316034d');
global.clips('none');
global.clips(['28ff641e8316034e']);
global.clips([]);
global.limits({ amps: 35 });
global.limits({ amps: 35, volts: 8, celsius: 40, hours: 14 });
global.shunt(75, 'mV');
global.shunt(50, 75);
global.fitted({ leak: 1, smoke: 1, agitation: 1, filter: 1, level: 1 });
global.sensors();
global.fitted({ leak: 0, smoke: 0, agitation: 0, filter: 0, level: 0 });
global.controller('North Bench');
global.controller('north-bench');
global.network('workshop', 'not a real one', 'dashboard.local');
global.network('workshop', 'not a real one', '192.168.1.20');
global.motor('long');
global.motor(20);
global.motor(20);
world.turn(30);
global.motor(5);
world.turn(2);
world.press('stop');
world.turn(2);
global.contactor();
global.latch();
world.resetLatch();
world.advance(1);
global.latch();
world.advance(2);
print('latch closed', world.latchClosed);
world.resetLatch();
world.advance(1);
global.contactor();
world.holdStart(0, 2);
global.secondMeans();
world.advance(5);
global.current(3);
global.current();
world.holdStart(2.1, 8);
global.current(2);
global.current();
world.holdStart(10.5, 8);
global.current(10);
global.supply(0.5);
global.supply(200);
world.holdStart(0, 9);
global.supply(1000);
world.holdStart(0, 9);
print('code', world.setPoint.code, 'enabled', world.levelOf(19), 'supply', world.levelOf(2));
world.advance(2);
global.temperature(60);
global.temperature(24.5);
global.serial(9600);
global.leave();
global.pair();
global.show();
global.keep();
global.leave();
print('loads', world.loads);
print('done', world.files['bring-up.done']);
print('settings', world.files['bathkeeper.json'].length > 400);

// Stop at the bath ends each of them.
world.stopAtOnce = function () {
  world.press('stop');
  world.advance(2);
};
global.probes();
world.stopAtOnce();
world.advance(2);
global.secondMeans();
world.stopAtOnce();
global.latch();
world.stopAtOnce();
world.resetLatch();
world.advance(1);
global.latch();
world.advance(2);
world.resetLatch();
world.advance(1);
global.current();
world.advance(1);
world.stopAtOnce();
print('after stop', world.levelOf(19), world.levelOf(2), world.levelOf(25));

// What the hold refuses, and what ends it.
world.openTerminalVolts = 5;
world.advance(1);
global.contactor();
global.current();
world.setLevel(13, 0);
world.advance(1);
world.setLevel(13, 1);
world.advance(1);
world.openTerminalVolts = 0.02;
global.current();
world.holdStart(40, 3);
world.resetLatch();
world.advance(2);
world.monitor.isSilent = true;
world.advance(2);
global.sensors();
global.latch();
global.contactor();
world.monitor.isSilent = false;
world.probe.isAbsent = true;
world.setPoint.isSilent = true;
world.advance(4);
global.probes();
global.sensors();
global.temperature(20);
world.advance(2);
// A fault in the program itself: off, told, back to the controller.
world.uncaught('a fault on purpose');
print('at the end, loads', world.loads, 'enabled', world.levelOf(19), 'faults', world.faults.length);
