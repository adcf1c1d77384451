// Files on their way into the test day, one after the other.

import { told } from '../../../state/asked.svelte';
import { session } from '../../../state/session.svelte';
import type { OpenDay } from '../../../state/test_day.svelte';

export interface Upload {
  id: number;
  name: string;
  bytes: number;
  /** How much of it is there, 0 to 1. */
  share: number;
  state: 'waiting' | 'going' | 'there' | 'refused';
  /** Why it was refused. */
  why: string | null;
  stop: AbortController;
}

let last = 0;

export class Uploads {
  list = $state<Upload[]>([]);
  private readonly day: OpenDay;
  private queue: Promise<void> = Promise.resolve();

  constructor(day: OpenDay) {
    this.day = day;
  }

  /** Takes files in; gives the names of those that are there in the end. */
  async add(files: File[]): Promise<string[]> {
    const jobs = files.map((file) => {
      this.list.push({ id: (last += 1), name: fileName(file.name), bytes: file.size, share: 0, state: 'waiting', why: null, stop: new AbortController() });
      return { file, upload: this.list.at(-1)! };
    });
    const there: string[] = [];
    this.queue = this.queue.then(async () => {
      for (const { file, upload } of jobs) if (await this.send(file, upload)) there.push(upload.name);
      await this.day.refresh();
    });
    await this.queue;
    return there;
  }

  putAway(upload: Upload): void {
    this.list = this.list.filter((u) => u.id !== upload.id);
  }

  private async send(file: File, upload: Upload): Promise<boolean> {
    if (upload.stop.signal.aborted) return false;
    upload.state = 'going';
    const share = (part: number) => (upload.share = part);
    try {
      await session.asking(() => session.backend.tests.putFile(this.day.name, upload.name, file, share, upload.stop.signal));
      upload.state = 'there';
      return true;
    } catch (error) {
      if (upload.stop.signal.aborted) this.putAway(upload);
      upload.state = 'refused';
      upload.why = told(error).map((e) => [e.message, e.hint].filter(Boolean).join('; ')).join('. ');
      return false;
    }
  }
}

/** A file's name as a test day can keep it. */
export function fileName(name: string): string {
  const plain = name.normalize('NFKD').replaceAll(/\p{M}/gu, '').replaceAll(/[^A-Za-z0-9._ -]+/g, '-').replace(/^[.\s]+/, '').trim();
  return plain.slice(-100) || 'log';
}
