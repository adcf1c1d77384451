// Steps that can be taken back and taken again.

import type { Content } from './draft';

/** Most steps that can be taken back. */
const MOST_STEPS = 200;

interface Step extends Content {
  /** Changes of one group one after the other are one step, such as typing in the text. */
  group: string | null;
}

export class History {
  private undoable = $state.raw<Step[]>([]);
  private redoable = $state.raw<Content[]>([]);
  readonly canUndo = $derived(this.undoable.length > 0);
  readonly canRedo = $derived(this.redoable.length > 0);

  /** To be called with what stands, before it is changed. */
  step(now: Content, group: string | null): void {
    this.redoable = [];
    if (group !== null && this.undoable.at(-1)?.group === group) return;
    this.undoable = [...this.undoable.slice(1 - MOST_STEPS), { ...copy(now), group }];
  }

  /** What stood before the last step. */
  undo(now: Content): Content | null {
    const step = this.undoable.at(-1);
    if (!step) return null;
    this.redoable = [...this.redoable, copy(now)];
    this.undoable = this.undoable.slice(0, -1);
    return copy(step);
  }

  /** What stood before the last step back. */
  redo(now: Content): Content | null {
    const content = this.redoable.at(-1);
    if (!content) return null;
    this.undoable = [...this.undoable, { ...copy(now), group: null }];
    this.redoable = this.redoable.slice(0, -1);
    return copy(content);
  }
}

function copy(content: Content): Content {
  return { text: content.text, pending: [...content.pending] };
}
