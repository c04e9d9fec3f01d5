/*
 * A whole short run: boot, recipe, press at the bath, strike, ramp, plate, finish, done. Two commands on the way, a restart
 * in mid-run, and the run taken up again by a press. `boot()` starts the bundle; the rest is prelude.
 */
world.saveSettings();
// 4 A for 10 s, 30 s up to 20 A, and 1200 As in all.
world.recipe[3] = 10;
world.recipe[4] = 30;
world.recipe[6] = 1200000;
world.recipe[8] = 15;
boot();
world.say('booted');
world.makeReady();
world.say('ready');
world.press('start');
world.pass(1);
world.say('polarity');
world.passUntil(2, 10);
world.say('strike');
world.passUntil(3, 60);
world.say('ramp');
world.passUntil(4, 120);
world.say('plate');
world.pass(10);
world.command(2, 60);
world.pass(3);
world.say('hold');
world.press('start');
world.pass(5);
world.say('on again');
world.command(3, 60);
world.pass(20);

// The program restarts in mid-run: the contactor opens, the run is remembered and tripped, a press takes it up again.
world.restartBoard();
boot();
world.pass(20);
world.say('restarted');
world.press('reset');
world.pass(20);
world.proveLatch();
world.say('reset');
world.press('start');
world.pass(5);
world.say('continued');
world.passUntil(5, 400);
world.say('finish');
world.passUntil(6, 200);
world.say('done');
world.pass(10);

// Power goes: what the FRAM holds is there again.
world.powerCut();
boot();
world.makeReady();
world.say('after the power cut');
print('connects', world.peer.connects.length, 'drops', world.contactorDrops, 'faults', world.faults.length);
print('records', world.peer.recordsThrough > 100, 'events', world.peer.eventsThrough > 10, 'restarts', world.restarts);
