import { fileIdentity } from '../store/identity.ts';

/** Soon enough for a mark that somebody makes in the new file, and nothing to the machine. */
const LOOK_MS = 5000;

/** Calls back each time the database file turns out to be gone or another one. Returns how to stop. */
export function watchStore(path: string, onLost: () => void): () => void {
  let seen = identityOf(path);
  const timer = setInterval(() => {
    const found = identityOf(path);
    if (found === seen) return;
    seen = found;
    onLost();
  }, LOOK_MS);
  return () => clearInterval(timer);
}

/** A directory that cannot be looked into holds no database for us. */
function identityOf(path: string): string | null {
  try {
    return fileIdentity(path);
  } catch {
    return null;
  }
}
