// A field that is left by a press elsewhere changes the page only when the press is over:
// otherwise what was pressed would move away under the finger, and nothing would happen.

let down = false;

addEventListener('pointerdown', () => (down = true), true);
for (const over of ['pointerup', 'pointercancel']) addEventListener(over, () => (down = false), true);

/** Runs `work` now, or right after the press that is going on. */
export function afterPress(work: () => void): void {
  if (!down) return work();
  const then = () => setTimeout(() => {
    removeEventListener('pointerup', then, true);
    removeEventListener('pointercancel', then, true);
    work();
  });
  addEventListener('pointerup', then, true);
  addEventListener('pointercancel', then, true);
}
