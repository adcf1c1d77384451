// Names of plans: letters, digits and hyphens, that of the file without its ending.

/** A name made of what somebody typed or of a file's name; null where nothing is left of it. */
export function cleanName(text: string): string | null {
  const name = text
    .normalize('NFKD')
    .replaceAll(/\p{M}/gu, '')
    .replace(/\.(toml|html?|txt)$/i, '')
    .replaceAll(/[^A-Za-z0-9]+/g, '-')
    .toLowerCase()
    .slice(0, 60)
    .replaceAll(/^-+|-+$/g, '');
  return name === '' ? null : name;
}
