// A plan as one file: the plan file itself, or its brief as a page that stands alone and has
// the plan in it, to the letter, to be had back by import.

export interface Download {
  name: string;
  type: string;
  text: string;
}

const OPENS = '<script type="application/json" id="steadypull-plan">';
const CLOSES = '</script>';

export function planFile(name: string, plan: string): Download {
  return { name: `${name}.toml`, type: 'application/toml', text: plan };
}

/** `page` is a whole HTML page; the plan stands at its end as data that nothing runs. */
export function sharedPage(name: string, plan: string, page: string): Download {
  const held = JSON.stringify({ name, plan }).replaceAll('<', '\\u003c');
  const end = page.lastIndexOf('</body>');
  const at = end < 0 ? page.length : end;
  return { name: `${name}.html`, type: 'text/html', text: `${page.slice(0, at)}${OPENS}${held}${CLOSES}${page.slice(at)}` };
}

/** The plan in a shared page; null where the text is none. */
export function fromSharedPage(text: string): { name: string; plan: string } | null {
  const begin = text.lastIndexOf(OPENS);
  if (begin < 0) return null;
  const end = text.indexOf(CLOSES, begin);
  try {
    const held = JSON.parse(text.slice(begin + OPENS.length, end)) as { name?: unknown; plan?: unknown };
    return typeof held.plan === 'string' ? { name: String(held.name ?? ''), plan: held.plan } : null;
  } catch {
    return null;
  }
}

/** The text of a file, to the letter: a mark of the byte order stays. */
export async function textOf(file: File): Promise<string> {
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(await file.arrayBuffer());
  } catch {
    throw new Error(`"${file.name}" is no text in UTF-8: save it as UTF-8 and open it again`);
  }
}

export function download({ name, type, text }: Download): void {
  downloadBlob(name, new Blob([text], { type: `${type};charset=utf-8` }));
}

export function downloadBlob(name: string, blob: Blob): void {
  const url = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
