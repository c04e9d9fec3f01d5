/* Asks the dashboard for what it keeps, as api.ts does for everything else. Called by the room Keeping; keeps nothing. */
import type { KeepingView } from '@bathkeeper/shared-core/messages';
import { type Answer, ask } from './api.js';

export const askKeeping = (): Promise<Answer<KeepingView>> => ask('GET', '/api/keeping');
export const checkStore = (): Promise<Answer<KeepingView>> => ask('POST', '/api/keeping/check');
export const backUpStore = (): Promise<Answer<KeepingView>> => ask('POST', '/api/keeping/backups');
export const deleteBackup = (name: string): Promise<Answer<KeepingView>> => ask('DELETE', backupAddress(name));
/** What a browser downloads. */
export const backupAddress = (name: string): string => `/api/keeping/backups/${encodeURIComponent(name)}`;
