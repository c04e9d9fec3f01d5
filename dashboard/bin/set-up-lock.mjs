/*
 * Keeps two set-ups of one working copy from installing or building at the same time (two commands started at once).
 * Called by set-up.mjs. The lock is a file that names its owner's process; one whose owner is gone is put aside.
 */
import { linkSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { uptime } from 'node:os';

/**
 * Waits until the lock is ours, at most `patienceSeconds`. Returns `release`, or a `refusal` in words.
 * An owner that ends in whatever way gives the lock up: at its exit, or when the next one finds its process gone.
 */
export function takeSetUpLock(path, patienceSeconds = 600, announce = (words) => process.stderr.write(words)) {
  // Written whole beside the lock and then linked to it, so that nobody ever reads half a process number.
  const ours = `${path}.${process.pid}`;
  try {
    writeFileSync(ours, String(process.pid));
  } catch (error) {
    return {
      refusal: `${ours} cannot be written (${error.message}). Check who owns the folder, and that it is not read-only.`,
    };
  }
  const release = () => {
    if (ownerOf(path) === process.pid) rmSync(path, { force: true });
  };
  try {
    let waitedSeconds = 0;
    // Looks are bounded too: a lock that can be neither taken nor put aside must not spin for ever.
    for (let looks = 0; waitedSeconds <= patienceSeconds && looks < patienceSeconds * 4 + 100; looks += 1) {
      try {
        linkSync(ours, path);
        process.once('exit', release);
        return { release };
      } catch (error) {
        if (error.code !== 'EEXIST') {
          return { refusal: `the lock ${path} cannot be made (${error.message}). Check who owns the folder.` };
        }
      }
      const owner = ownerOf(path);
      if (owner === undefined) continue; // given up between the two looks
      if (!isAtWork(owner, path)) {
        putAside(path, owner);
        continue;
      }
      if (waitedSeconds === 0) announce(`set-up: waiting for another one that is at work (process ${owner})\n`);
      waitedSeconds += 0.25;
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 250);
    }
    return {
      refusal: `process ${ownerOf(path)} has held ${path} for ${patienceSeconds} s. If that is no set-up, delete the file and try again.`,
    };
  } finally {
    rmSync(ours, { force: true });
  }
}

function ownerOf(path) {
  try {
    return Number(readFileSync(path, 'utf8'));
  } catch {
    return undefined; // no lock at this moment
  }
}

function isAtWork(owner, path) {
  const lockedAtMs = statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? 0;
  const machineStartedAtMs = Date.now() - uptime() * 1000;
  if (!(owner > 0) || lockedAtMs < machineStartedAtMs) return false;
  try {
    process.kill(owner, 0);
    return true;
  } catch (error) {
    return error.code === 'EPERM'; // somebody else's process is a living one
  }
}

/** Moves a dead owner's lock away. Where a living one has taken its place in the meantime, that one gets it back. */
function putAside(path, deadOwner) {
  const aside = `${path}.aside.${process.pid}`;
  try {
    renameSync(path, aside);
  } catch {
    return; // another one was quicker
  }
  if (ownerOf(aside) !== deadOwner) {
    try {
      linkSync(aside, path);
    } catch {
      // taken again already: nothing to give back
    }
  }
  rmSync(aside, { force: true });
}
