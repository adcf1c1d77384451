// What the device remembers. Where storage is full or forbidden the page still works, and
// the server's copy of a plan is the one that counts.

const PREFIX = 'steadypull.';

export function remembered(key: string): string | null {
  try {
    return localStorage.getItem(PREFIX + key);
  } catch {
    return null;
  }
}

/** False where it could not be remembered. */
export function remember(key: string, value: string | null): boolean {
  try {
    if (value === null) localStorage.removeItem(PREFIX + key);
    else localStorage.setItem(PREFIX + key, value);
    return true;
  } catch {
    return false;
  }
}

/** Every key that begins so, without what it begins with. */
export function rememberedUnder(begin: string): string[] {
  try {
    return Object.keys(localStorage)
      .filter((key) => key.startsWith(PREFIX + begin))
      .map((key) => key.slice((PREFIX + begin).length));
  } catch {
    return [];
  }
}
