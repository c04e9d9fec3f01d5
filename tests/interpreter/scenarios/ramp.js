/*
 * What a person at the bath may do with a painted part's start, and what the ramp does by itself: pause, go on, lengthen, skip; lowered from
 * afar and lifted at the bath; voltage at its ceiling, and contact that is being lost. One of the watchers is fitted.
 */
world.settings.fitted.agitation = 1;
world.levels[36] = 1;
world.saveSettings();
world.peer.events = [];
world.recipe[3] = 5;
world.recipe[4] = 120;
world.recipe[6] = 100000000;
boot();
world.makeReady();
world.press('start');
world.passUntil(3, 30);
world.pass(10);
world.press('start');
world.pass(20);
world.say('paused');
world.press('start');
world.pass(5);
world.hold('reset', 3);
world.pass(5);
world.say('lengthened');
world.hold('start', 3);
world.pass(3);
world.say('skipped');
world.pass(5);
world.command(5, 60, undefined, 1200);
world.pass(5);
world.say('lowered');
world.press('start');
world.pass(5);
world.say('lifted');
world.peer.sayEvents('told', 14);
world.press('stop');
world.pass(3);
world.press('reset');
world.pass(3);

// A cell that takes hardly any current: the ramp waits at the ceiling, and backs off when its resistance climbs.
world.makeReady();
world.press('start');
world.passUntil(3, 30);
world.pass(10);
world.ohms = 1;
world.pass(30);
world.say('ramp waits');
world.ohms = 4;
world.pass(20);
world.say('contact weak');
world.ohms = 0.08;
world.pass(60);
world.say('contact good');
world.levels[36] = 0;
world.pass(6);
print('agitation stopped', (world.peer.last('live').h >>> 3) & 1);
world.levels[36] = 1;
world.pass(10);
print('faults ' + world.faults.length);
