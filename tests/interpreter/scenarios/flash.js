/*
 * A board without FRAM: the run is kept in its own flash. A run with a power cut in the middle loses less than a minute of its charge, what
 * waits is sent afterwards, and the identity stays. Then flash that does not keep, and a board without any.
 */
world.fram.isAbsent = true;
world.useFlash();
world.saveSettings();
world.recipe[3] = 5;
world.recipe[4] = 10;
world.recipe[6] = 100000000;
boot();
world.makeReady();
world.press('start');
world.passUntil(4, 60);
world.pass(300);
world.say('plating');
var before = world.peer.last('live');
print('missing', world.peer.missing, 'doubled', world.peer.doubled, 'through', world.peer.recordsThrough > 300);

world.powerCut();
boot();
world.pass(60);
world.say('after the power cut');
var after = world.peer.last('live');
print('same identity', after.i === before.i, 'next boot', after.b - before.b);
// 20 A for a minute at most.
print('charge lost', before.q - after.q >= 0 && before.q - after.q <= 1200000);
print('missing', world.peer.missing, 'doubled', world.peer.doubled);

// Nobody takes the records for ten minutes, and the power goes again.
world.resetLatch();
world.pass(3);
world.press('reset');
world.pass(25);
world.proveLatch();
world.press('start');
world.pass(20);
world.dashboardIsAlive = false;
world.hangUp(world.socket);
world.pass(600);
world.powerCut();
world.dashboardIsAlive = true;
boot();
world.pass(120);
world.say('after the silence');
print('missing', world.peer.missing, 'doubled', world.peer.doubled, 'erases', world.flashErases > 2);

// Flash that is worn out: RAM takes its place, and this life begins anew.
world.powerCut();
world.useFlash();
var write = world.modules.Flash.write;
world.modules.Flash.write = function () {};
boot();
world.pass(30);
print('worn', world.peer.last('live').b);
world.modules.Flash.write = write;

// No flash at all.
world.powerCut();
world.flash = undefined;
boot();
world.pass(30);
print('none', world.peer.last('live').b, 'faults', world.faults.length);
