/*
 * Everything that belongs to a simulated bath only: the word on every screen, and the bath's own buttons.
 * A real bath shows neither; its buttons hang beside the tank.
 */
import { useState } from 'preact/hooks';
import type { Refusal, SimulatedButton } from '@bathkeeper/shared-core/messages';
import { pressSimulated } from '../state/api.js';
import { RefusalWords } from './refusal.js';

export function SimulatedStrip() {
  return (
    <div class="simulated-strip" role="note">
      <strong>SIMULATED</strong> <span>no acid, no current: a virtual bath</span>
    </div>
  );
}

const buttons: readonly { readonly button: SimulatedButton; readonly words: string }[] = [
  { button: 'start', words: 'Press start' },
  { button: 'stop', words: 'Press stop' },
  { button: 'reset', words: 'Press reset' },
  { button: 'latch-reset', words: 'Reset the alert latch' },
  { button: 'emergency-stop', words: 'Press the emergency stop' },
  { button: 'emergency-release', words: 'Release the emergency stop' },
];

export function SimulatedPanel(props: { controllerId: string }) {
  const [pressed, setPressed] = useState('');
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const press = async (button: SimulatedButton, words: string): Promise<void> => {
    const answer = await pressSimulated(props.controllerId, button);
    setRefusal(answer.ok ? null : answer.refusal);
    setPressed(answer.ok ? `${words}: pressed.` : '');
  };
  return (
    <section class="simulated-panel" aria-labelledby="simulated-title">
      <h2 id="simulated-title">SIMULATED: the buttons at the bath</h2>
      <p>On a real bath these hang beside the tank, and nothing on this page can press them.</p>
      <div class="simulated-buttons">
        {buttons.map(({ button, words }) => (
          <button key={button} type="button" onClick={() => void press(button, words)}>
            {words}
          </button>
        ))}
      </div>
      <p role="status" class="said">
        {pressed}
      </p>
      <RefusalWords refusal={refusal} />
    </section>
  );
}
