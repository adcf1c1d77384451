// Moving and zooming a chart by wheel, mouse and fingers.

export interface Moved {
  /** Share of the chart's width at which something is. */
  share: (clientX: number) => number;
  pan: (share: number) => void;
  zoom: (factor: number, at: number) => void;
  isAll: () => boolean;
}

/** How much one notch of a wheel (100 px) zooms. */
const NOTCH = 1.25;
/** A line of a wheel that counts lines, px. */
const LINE_PX = 33;

/** Follows the pointers over `element` until what it gives is called. */
export function pannable(element: HTMLElement, moved: Moved): () => void {
  const at = new Map<number, number>();

  function wheel(event: WheelEvent): void {
    const unit = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? LINE_PX : 1;
    const [across, along] = event.shiftKey ? [event.deltaY || event.deltaX, 0] : [event.deltaX, event.deltaY];
    // The page scrolls on where there is nothing to zoom out of.
    if (Math.abs(across) <= Math.abs(along) && along > 0 && moved.isAll()) return;
    event.preventDefault();
    if (Math.abs(across) > Math.abs(along)) moved.pan((across * unit) / element.clientWidth);
    else moved.zoom(NOTCH ** ((along * unit) / 100), clamp(moved.share(event.clientX)));
  }

  function down(event: PointerEvent): void {
    if (event.pointerType === 'mouse' && event.button !== 0) return;
    at.set(event.pointerId, event.clientX);
    element.setPointerCapture(event.pointerId);
  }

  function move(event: PointerEvent): void {
    const before = at.get(event.pointerId);
    if (before === undefined) return;
    const other = [...at].find(([id]) => id !== event.pointerId)?.[1];
    at.set(event.pointerId, event.clientX);
    if (other === undefined) return moved.pan(moved.share(before) - moved.share(event.clientX));
    const [was, is] = [Math.abs(before - other), Math.abs(event.clientX - other)];
    const middle = (before + other) / 2;
    if (was > 8 && is > 8) moved.zoom(was / is, clamp(moved.share(middle)));
    moved.pan(moved.share(middle) - moved.share((event.clientX + other) / 2));
  }

  function up(event: PointerEvent): void {
    at.delete(event.pointerId);
  }

  element.addEventListener('wheel', wheel, { passive: false });
  element.addEventListener('pointerdown', down);
  element.addEventListener('pointermove', move);
  element.addEventListener('pointerup', up);
  element.addEventListener('pointercancel', up);
  return () => {
    element.removeEventListener('wheel', wheel);
    element.removeEventListener('pointerdown', down);
    element.removeEventListener('pointermove', move);
    element.removeEventListener('pointerup', up);
    element.removeEventListener('pointercancel', up);
  };
}

function clamp(share: number): number {
  return Math.min(Math.max(share, 0), 1);
}
