/*
 * One bath: its state in a sentence, what wants a person, the section through the tank, hold and stop, the night band,
 * the recipe. The order on a phone is the order of need at three in the morning.
 */
import { useEffect } from 'preact/hooks';
import type { ControllerView, Snapshot } from '@bathkeeper/shared-core/messages';
import { EarlierAlarms } from '../alarms/earlier.js';
import { AlarmList } from '../alarms/list.js';
import { Silences } from '../alarms/silences.js';
import { NightBand } from '../night/band.js';
import { RecipeRoom } from '../recipe/room.js';
import { WaitingRecipe } from '../recipe/waiting.js';
import { chartsAddress, leaveAloneAddress } from '../state/route.js';
import { ageOf, isConnected, serverNowMs } from '../state/state.js';
import { told, units } from '../state/units.js';
import { SectionKey } from '../tank/key.js';
import { TankSection } from '../tank/section.js';
import { marksOf } from '../tank/marks.js';
import { ageWords } from '../words/age.js';
import { stateSentence } from '../words/sentence.js';
import { SetByHand, WithoutCurrent } from './at-the-bath.js';
import { HoldAndStop } from './hold-and-stop.js';
import { LedgerReminders } from './ledger-reminders.js';
import { RunFacts } from './run-facts.js';
import { SimulatedPanel } from './simulated.js';

export function BathScreen(props: { controller: ControllerView; known: Snapshot }) {
  const { controller, known } = props;
  const age = ageOf(controller);
  const fresh = isConnected.value || age.fresh === 'never' ? age.fresh : 'lost';
  const nowMs = serverNowMs.value;
  const sentence = stateSentence(controller, {
    nowMs,
    fresh: age.fresh,
    isConnected: isConnected.value,
    units: units.value,
  });
  const ofThisBath = known.alarms.filter((alarm) => alarm.controllerId === controller.controllerId);
  // What is wrong with the house itself (no phone can be called, the disk is full) stands at every bath.
  const ofTheHouse = known.alarms.filter(
    (alarm) => !known.controllers.some((one) => one.controllerId === alarm.controllerId),
  );
  const alarms = [...ofThisBath, ...ofTheHouse];
  const isAtPresent = fresh === 'live' || fresh === 'stale';
  const marks = isAtPresent ? marksOf(controller, ofThisBath) : [];
  useEffect(() => {
    document.title = `${sentence.text.split(/[.:]\s/)[0] ?? ''} · ${controller.bathName}`;
  }, [sentence.text, controller.bathName]);
  return (
    <main class="bath">
      <div class="state" data-tone={sentence.tone} data-fresh={fresh}>
        <p class="bath-name">
          {controller.bathName} <span class="controller-name">{controller.controllerId}</span>
        </p>
        <h1 aria-live="polite">{sentence.text}</h1>
        <p class="age" data-fresh={fresh}>
          <span class="age-dot" aria-hidden="true" /> {ageWords(age.seconds, fresh)}
          {known.clockSpeed !== 1 && <span class="speed"> · time runs {known.clockSpeed} × faster here</span>}
        </p>
        {controller.recordsWaitingAtController > 30 && (
          <p class="catching-up">
            {controller.recordsWaitingAtController} records still wait at the controller: the band is being filled in.
          </p>
        )}
      </div>
      <div class="care">
        {isAtPresent && <SetByHand live={controller.live} />}
        {isAtPresent && <WithoutCurrent controller={controller} />}
        <AlarmList alarms={alarms} />
        <WaitingRecipe controller={controller} />
        <LedgerReminders controllerId={controller.controllerId} run={controller.run?.runNumber ?? null} />
        <p class="leave-it">
          <a class="target" href={leaveAloneAddress(controller.controllerId)}>
            Before you leave it alone
          </a>
        </p>
        {known.notices.length > 0 && (
          <ul class="notices" aria-label="Notices">
            {known.notices.map((notice) => (
              <li key={notice}>{told(notice)}</li>
            ))}
          </ul>
        )}
      </div>
      <div class="tank">
        <TankSection controller={controller} fresh={fresh} marks={marks} />
        <HoldAndStop controller={controller} />
        <SectionKey marks={marks} />
      </div>
      <NightBand controller={controller} />
      <p class="to-charts">
        <a class="target" href={chartsAddress(controller.controllerId, null)}>
          Charts of what was logged
        </a>
      </p>
      {controller.run && <RunFacts controller={controller} run={controller.run} nowMs={nowMs} />}
      <div class="below">
        {controller.isSimulated && <SimulatedPanel controllerId={controller.controllerId} />}
        <RecipeRoom controller={controller} />
        <Silences controller={controller} />
        <EarlierAlarms alarms={alarms} />
      </div>
    </main>
  );
}
