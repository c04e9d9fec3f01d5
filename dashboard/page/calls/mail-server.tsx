/*
 * The server through which e-mail goes out. Saving logs in at once, so that a wrong password is told here and not at night.
 * The password is typed in and never comes back.
 */
import { useState } from 'preact/hooks';
import type { MailView, Refusal } from '@bathkeeper/shared-core/messages';
import { Tick } from '../forms/tick.js';
import { RefusalWords } from '../screens/refusal.js';
import { typedNumber } from '../forms/typed-number.js';
import { askMail, setMail } from '../state/api.js';
import { useAsked } from '../state/asked.js';

export function MailServer() {
  const { value, refusal, again } = useAsked(askMail, []);
  const [said, setSaid] = useState<{ words: string; isGood: boolean } | null>(null);
  return (
    <section aria-labelledby="mail-title">
      <h2 id="mail-title">Mail server</h2>
      <p>E‑mail goes out through a server of yours (SMTP). Only who is called by e‑mail needs it.</p>
      {value === null ? (
        refusal === null && <p class="hint">Fetching…</p>
      ) : (
        <MailForm
          now={value}
          onSaved={(words, isGood) => {
            setSaid({ words, isGood });
            again();
          }}
        />
      )}
      <p role="status" class="said" data-state={said && !said.isGood ? 'refused' : undefined}>
        {said?.words ?? ''}
      </p>
      <RefusalWords refusal={refusal} />
    </section>
  );
}

function MailForm(props: { now: MailView; onSaved: (words: string, isGood: boolean) => void }) {
  const { now } = props;
  const [host, setHost] = useState(now.host);
  const [port, setPort] = useState(String(now.port || 587));
  const [isImplicitTls, setImplicit] = useState(now.isImplicitTls);
  const [user, setUser] = useState(now.user);
  const [password, setPassword] = useState('');
  const [from, setFrom] = useState(now.from);
  const [problem, setProblem] = useState<string | undefined>();
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [isBusy, setBusy] = useState(false);
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    const portNumber = typedNumber(port);
    if (host.trim() === '' || from.trim() === '') {
      setProblem('Type the name of the server, and the address that mail comes from.');
      return;
    }
    if (portNumber === undefined || portNumber < 1 || portNumber > 65_535) {
      setProblem(`The port is a number from 1 to 65535, mostly 587 or 465; got “${port}”.`);
      return;
    }
    setProblem(undefined);
    setBusy(true);
    const answer = await setMail({
      host: host.trim(),
      port: portNumber,
      isImplicitTls,
      user: user.trim(),
      from: from.trim(),
      ...(password === '' ? {} : { password }),
    });
    setBusy(false);
    setRefusal(answer.ok ? null : answer.refusal);
    if (answer.ok) {
      setPassword('');
      props.onSaved(answer.value.words, answer.value.deliveredAtMs !== null);
    }
  };
  const field = (
    words: string,
    value: string,
    set: (text: string) => void,
    more: { hint?: string; mode?: 'numeric' } = {},
  ) => (
    <label>
      {words} {more.hint && <span class="unit">{more.hint}</span>}
      <input
        type="text"
        inputMode={more.mode}
        autocomplete="off"
        autocapitalize="none"
        spellcheck={false}
        value={value}
        onInput={(event) => set(event.currentTarget.value)}
      />
    </label>
  );
  return (
    <form noValidate aria-label="Mail server" onSubmit={(event) => void save(event)}>
      {field('Server', host, setHost, { hint: 'such as mail.example.org' })}
      {field('Port', port, setPort, { hint: 'mostly 587, or 465', mode: 'numeric' })}
      <Tick words="TLS from the first byte (port 465)" isTicked={isImplicitTls} onChange={setImplicit} />
      {field('User', user, setUser)}
      <label>
        Password <span class="unit">{now.hasPassword ? 'kept; empty leaves it as it is' : 'never shown again'}</span>
        <input
          type="password"
          autocomplete="new-password"
          value={password}
          onInput={(event) => setPassword(event.currentTarget.value)}
        />
      </label>
      {field('Mail comes from', from, setFrom, { hint: 'such as bath@example.org' })}
      <p role="alert" class="field-problem">
        {problem}
      </p>
      <button type="submit" class="plain" disabled={isBusy}>
        {isBusy ? 'Logging in…' : 'Save and log in'}
      </button>
      <RefusalWords refusal={refusal} />
    </form>
  );
}
