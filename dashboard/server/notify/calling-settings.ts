/*
 * The owner's settings of calling: pace, the zone of the house, the hour of the morning summary, the mail server. Read at each use, so that
 * a change counts at once. The mail password is kept with the secrets and never shown.
 */
import type { EscalationView, MailRequest, MailView } from '@bathkeeper/shared-core/messages';
import type { Store } from '../store/store.js';
import type { CallingSecrets } from './calling-secrets.js';
import { USUAL_PACE } from './escalation.js';
import { computerTimeZone, isTimeZone } from './house-time.js';
import type { MailServer } from './mail.js';

const ESCALATION = 'escalation';
const MAIL = 'mail';
const USUAL_MORNING_MINUTE = 7 * 60;

export interface CallingSettings {
  escalation(): Required<EscalationView>;
  setEscalation(request: EscalationView): void;
  mailServer(): MailServer | undefined;
  mailView(): MailView;
  /** The server as it would be with the request. */
  mailServerWith(request: MailRequest): MailServer;
  setMail(server: MailServer | undefined): void;
}

/** `paceChanged`: calls that ring or wait go on by the new one. */
export function openCallingSettings(store: Store, secrets: CallingSecrets, paceChanged: () => void): CallingSettings {
  const kept = <T>(name: string): Partial<T> => JSON.parse(store.setting(name) ?? '{}') as Partial<T>;
  const escalation = (): Required<EscalationView> => {
    const { timeZone, ...rest } = kept<EscalationView>(ESCALATION);
    return {
      ...USUAL_PACE,
      morningSummaryAtMinute: USUAL_MORNING_MINUTE,
      ...rest,
      // A zone that this computer does not know any more must not keep anybody from being called.
      timeZone: timeZone !== undefined && isTimeZone(timeZone) ? timeZone : computerTimeZone(),
    };
  };
  const mail = (): Partial<Omit<MailServer, 'password'>> => kept<Omit<MailServer, 'password'>>(MAIL);
  return {
    escalation,
    setEscalation: (request) => {
      store.setSetting(ESCALATION, JSON.stringify({ ...kept<EscalationView>(ESCALATION), ...request }));
      paceChanged();
    },
    mailServer: () => {
      const { host, port, isImplicitTls, user, from } = mail();
      return host === undefined || host === ''
        ? undefined
        : {
            host,
            port: port ?? 465,
            isImplicitTls: isImplicitTls ?? true,
            user: user ?? '',
            from: from ?? '',
            password: secrets.mailPassword(),
          };
    },
    mailView: () => {
      const { host = '', port = 465, isImplicitTls = true, user = '', from = '' } = mail();
      const hasPassword = secrets.mailPassword() !== undefined;
      return { isSet: host !== '', host, port, isImplicitTls, user, from, hasPassword };
    },
    mailServerWith: ({ host, port, isImplicitTls, user, password, from }) => {
      const before = mail();
      // A password that was entered for one server and user is never handed to another.
      const isSameAccount = before.host === host && before.port === port && before.user === user;
      return { host, port, isImplicitTls, user, from, password: password ?? (isSameAccount ? secrets.mailPassword() : undefined) }; // prettier-ignore
    },
    setMail: (server) => {
      const { password, ...rest } = server ?? { password: undefined };
      store.setSetting(MAIL, JSON.stringify(rest));
      secrets.setMailPassword(password === '' ? undefined : password);
    },
  };
}
