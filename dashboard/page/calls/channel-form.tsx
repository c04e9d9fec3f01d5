/*
 * A new way to reach somebody: Web Push on this device, e-mail, or a webhook. What is secret in it (path, headers, keys) goes to the
 * dashboard once and never comes back; to change it, remove the way and add it anew.
 */
import { useState } from 'preact/hooks';
import type { ChannelKind, ChannelRequest, ContactView, Refusal } from '@bathkeeper/shared-core/messages';
import { AddressField, PrivateAddressTick } from '../forms/address-field.js';
import { LastRow } from '../forms/last-row.js';
import { RefusalWords } from '../screens/refusal.js';
import { addChannel } from '../state/api.js';
import { channelName, whyNoPush } from '../words/call-words.js';
import { channelHere, deviceForPush } from './push-here.js';
import { typedHeaders } from './typed-headers.js';

/** What was typed, where there is something to repeat. */
const gotWords = (typed: string): string => (typed === '' ? '' : `; got “${typed}”`);

export function ChannelForm(props: { contact: ContactView; onDone: () => void; onLeave: () => void }) {
  const { contact } = props;
  const noPush = whyNoPush(deviceForPush());
  const [kind, setKind] = useState<ChannelKind>(noPush === null ? 'web-push' : 'webhook');
  const [email, setEmail] = useState('');
  const [address, setAddress] = useState('');
  const [allowPrivateAddress, setAllow] = useState(false);
  const [template, setTemplate] = useState('');
  const [contentType, setContentType] = useState('application/json');
  const [headers, setHeaders] = useState('');
  const [problem, setProblem] = useState<string | undefined>();
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [isBusy, setBusy] = useState(false);

  /** What is to be sent, or why not. */
  const read = async (): Promise<{ request: ChannelRequest } | { problem: string } | { refusal: Refusal }> => {
    if (kind === 'web-push') return channelHere();
    if (kind === 'e-mail') {
      const typed = email.trim();
      if (!/^[^\s@]+@[^\s@]+$/.test(typed))
        return { problem: `Type an e‑mail address, such as me@example.org${gotWords(typed)}.` };
      return { request: { kind, address: typed } };
    }
    const typed = address.trim();
    if (!/^https?:\/\/\S+$/.test(typed))
      return { problem: `Type an address that begins with https:// or http://${gotWords(typed)}.` };
    const read = typedHeaders(headers);
    if ('problem' in read) return read;
    return {
      request: {
        kind,
        address: typed,
        allowPrivateAddress,
        template,
        contentType: contentType.trim(),
        headers: read.headers,
      },
    };
  };
  const add = async (event: Event): Promise<void> => {
    event.preventDefault();
    setBusy(true);
    setProblem(undefined);
    setRefusal(null);
    const reading = await read();
    if ('problem' in reading) setProblem(reading.problem);
    else if ('refusal' in reading) setRefusal(reading.refusal);
    else {
      const answer = await addChannel(contact.contactId, reading.request);
      setRefusal(answer.ok ? null : answer.refusal);
      if (answer.ok) props.onDone();
    }
    setBusy(false);
  };
  return (
    <form
      class="channel-form"
      noValidate
      aria-label={`A way to reach ${contact.name}`}
      onSubmit={(event) => void add(event)}
    >
      <fieldset>
        <legend>How</legend>
        {(['web-push', 'e-mail', 'webhook'] as const).map((choice) => (
          <label class="choice" key={choice}>
            <input type="radio" name="channel-kind" checked={kind === choice} onChange={() => setKind(choice)} />
            {choice === 'web-push' ? 'Web Push, on this device' : channelName[choice]}
          </label>
        ))}
      </fieldset>
      {kind === 'web-push' && (
        <p class={noPush === null ? 'hint' : 'caution'}>
          {noPush ??
            `This device rings for ${contact.name}, also when the page is closed, and can acknowledge from the notification.`}
        </p>
      )}
      {kind === 'e-mail' && (
        <label>
          E‑mail address
          <input
            type="email"
            inputMode="email"
            autocomplete="off"
            value={email}
            onInput={(event) => setEmail(event.currentTarget.value)}
          />
        </label>
      )}
      {kind === 'webhook' && (
        <>
          <AddressField
            words="Webhook address"
            hint="a push relay, a chat, a telephone gateway"
            typed={address}
            onTyped={setAddress}
          />
          <PrivateAddressTick isAllowed={allowPrivateAddress} onChange={setAllow} />
          <details class="fold more">
            <summary>Body and headers</summary>
            <label>
              Body <span class="unit">empty: everything, as JSON</span>
              <textarea
                rows={4}
                spellcheck={false}
                autocapitalize="none"
                value={template}
                placeholder={'{"text": "{{title}}: {{message}}"}'}
                onInput={(event) => setTemplate(event.currentTarget.value)}
              />
            </label>
            <p class="hint">
              Between double braces: title, message, priority, id, call, kind, alarm, controller, raisedAt, contact,
              url, acknowledgeUrl.
            </p>
            <label>
              Content type
              <input
                type="text"
                autocomplete="off"
                spellcheck={false}
                value={contentType}
                onInput={(event) => setContentType(event.currentTarget.value)}
              />
            </label>
            <label>
              Headers <span class="unit">one a line, name: value; never shown again</span>
              <textarea
                rows={2}
                spellcheck={false}
                autocomplete="off"
                autocapitalize="none"
                value={headers}
                onInput={(event) => setHeaders(event.currentTarget.value)}
              />
            </label>
          </details>
        </>
      )}
      <p role="alert" class="field-problem">
        {problem}
      </p>
      <LastRow
        send={kind === 'web-push' ? 'Call this device' : 'Add this way'}
        isDull={isBusy || (kind === 'web-push' && noPush !== null)}
        onLeave={props.onLeave}
      />
      <RefusalWords refusal={refusal} />
    </form>
  );
}
