/*
 * What this computer may do in the night by itself: sleep, update, stay off after a power cut. Asked by the leave-alone check; answers are kept
 * for some minutes, since they cost a few small programs each.
 */
import { type ComputerEvidence, type ComputerQuestions, unknown } from './computer-questions.js';
import { linuxEvidence } from './linux-evidence.js';
import { macEvidence, windowsEvidence } from './other-evidence.js';

const KEPT_MS = 5 * 60_000;

/** Answers the evidence, asked anew after five minutes. Never fails: what cannot be asked is unknown. */
export function computerEvidence(ask: ComputerQuestions): (nowMs: number) => Promise<ComputerEvidence> {
  let kept: { atMs: number; evidence: Promise<ComputerEvidence> } | undefined;
  return (nowMs) => {
    if (kept === undefined || Math.abs(nowMs - kept.atMs) > KEPT_MS)
      kept = { atMs: nowMs, evidence: gathered(ask, nowMs).catch(() => nothingKnown(ask.platform)) };
    return kept.evidence;
  };
}

function gathered(ask: ComputerQuestions, nowMs: number): Promise<ComputerEvidence> {
  switch (ask.platform) {
    case 'linux':
      return linuxEvidence(ask);
    case 'win32':
      return windowsEvidence(ask, nowMs);
    case 'darwin':
      return macEvidence(ask);
    default:
      return Promise.resolve(nothingKnown(ask.platform));
  }
}

function nothingKnown(platform: string): ComputerEvidence {
  const words = `cannot be seen on this system (${platform}). Look in its settings`;
  return {
    sleep: unknown(`Whether this computer sleeps ${words}: it must stay awake all night.`),
    automaticUpdate: unknown(`Whether updates restart this computer ${words}: none may in the night.`),
    startsAfterPowerCut: unknown(
      `Whether it starts again after a power cut ${words}, and try it once: pull the plug, put it back.`,
    ),
    clock: unknown(`Whether the clock is set by the network ${words}.`),
  };
}
