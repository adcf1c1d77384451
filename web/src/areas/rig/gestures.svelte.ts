// Fingers, mouse, pen and keys on the drawing: one on a thing moves or taps it, one on the
// ground moves the view, two zoom it.

import type { Hanging } from './hanging.svelte';
import type { Mover, Guide } from './move.svelte';
import type { Item } from './say';
import type { Scene } from './scene';
import type { Pos, View } from './view.svelte';

/** A touch that stays within this many pixels is a tap. */
const TAP_PX = 5;
const STEP_M = 0.1;
const LONG_STEP_M = 1;
const TURN_DEG = 5;
const ARROWS: Record<string, [number, number]> = {
  ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1],
};

interface Acts {
  items: () => Item[];
  scene: () => Scene;
  guides: () => Guide[];
  choose: (item: Item | null, byKey: boolean) => void;
  /** A thing was put down, or turned back. */
  moved: (item: Item, changed: boolean) => void;
  /** A block or ring was let go over what it hangs on now; null where it stays. */
  hung: (item: Item, on: string | null) => void;
  fit: () => void;
}

export class Gestures {
  private pointers = new Map<number, Pos>();
  private pressed: { item: Item | null; turn: boolean; start: Pos; hold: Pos; dragging: boolean } | null = null;
  private byKey: Item | null = null;
  private view: View;
  private mover: Mover;
  private hanging: Hanging;
  private acts: Acts;

  constructor(view: View, mover: Mover, hanging: Hanging, acts: Acts) {
    this.view = view;
    this.mover = mover;
    this.hanging = hanging;
    this.acts = acts;
  }

  private place(event: PointerEvent | WheelEvent): Pos {
    const box = (event.currentTarget as Element).getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  }

  private item(target: EventTarget | null, data: string): Item | null {
    const id = target instanceof Element ? target.closest(`[data-${data}]`)?.getAttribute(`data-${data}`) : null;
    return this.acts.items().find((i) => i.id === id) ?? null;
  }

  /** The thing under the hand. A block is not hidden by the lines that meet in it. */
  private itemAt(event: PointerEvent): Item | null {
    const top = this.item(event.target, 'item');
    if (!top?.strand) return top;
    const under = document.elementsFromPoint(event.clientX, event.clientY).map((element) => this.item(element, 'item'));
    return under.find((item) => item?.node) ?? top;
  }

  down = (event: PointerEvent): void => {
    if (event.button !== 0) return;
    const at = this.place(event);
    this.pointers.set(event.pointerId, at);
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    if (this.pointers.size > 1) {
      if (this.pressed?.dragging) this.cancel();
      this.pressed = null;
      return;
    }
    const turned = this.item(event.target, 'turn');
    const item = turned ?? this.itemAt(event);
    const body = item?.body;
    const ground = this.view.onGround(at);
    const hold = body ? { x: body.at.x - ground.x, y: body.at.y - ground.y } : { x: 0, y: 0 };
    this.pressed = { item, turn: turned !== null, start: at, hold, dragging: false };
  };

  /** Takes a thing in the hand; false for what cannot be moved. */
  private begin({ body, node }: Item): boolean {
    if (body && body.stays === null) this.mover.begin(body);
    else if (!node || !this.hanging.begin(node, this.acts.scene())) return false;
    // From now on the view stays as it is: nothing jumps under the hand.
    this.view.moved = true;
    return true;
  }

  private get carries(): boolean {
    return this.mover.moving || this.hanging.moving;
  }

  /** What is in the hand goes back to where it was; false where the hand is empty. */
  private cancel(): boolean {
    if (!this.carries) return false;
    if (this.hanging.moving) this.hanging.cancel();
    else this.mover.cancel();
    return true;
  }

  /** Puts down what is in the hand. */
  private end(item: Item): void {
    if (this.hanging.moving) this.acts.hung(item, this.hanging.end());
    else this.acts.moved(item, this.mover.end());
  }

  move = (event: PointerEvent): void => {
    const before = this.pointers.get(event.pointerId);
    if (!before) return;
    const at = this.place(event);
    this.pointers.set(event.pointerId, at);
    if (this.pointers.size === 2) return this.pinch(event.pointerId, before, at);
    const pressed = this.pressed;
    if (!pressed) return;
    if (!pressed.dragging) {
      if (Math.hypot(at.x - pressed.start.x, at.y - pressed.start.y) < TAP_PX) return;
      pressed.dragging = true;
      if (pressed.item) this.begin(pressed.item);
    }
    if (this.hanging.moving) this.hanging.moveTo(this.view.onGround(at), this.view.scale);
    else if (this.mover.moving) {
      const ground = this.view.onGround(at);
      if (pressed.turn) this.mover.turnTo(ground, event.altKey);
      else this.mover.moveTo({ x: ground.x + pressed.hold.x, y: ground.y + pressed.hold.y }, this.view.scale, this.acts.guides(), event.altKey);
    } else {
      this.view.pan(at.x - before.x, at.y - before.y);
    }
  };

  up = (event: PointerEvent): void => {
    if (!this.pointers.delete(event.pointerId)) return;
    const pressed = this.pressed;
    this.pressed = null;
    if (!pressed) return;
    if (!pressed.dragging) this.acts.choose(pressed.item, false);
    else if (this.carries && pressed.item) this.end(pressed.item);
  };

  /** The touch was taken away by the system: nothing is changed. */
  lost = (event: PointerEvent): void => {
    this.pointers.delete(event.pointerId);
    if (this.pressed?.dragging) this.cancel();
    this.pressed = null;
  };

  /** A press that came from no pointer: a screen reader's. */
  click = (event: MouseEvent): void => {
    const item = this.item(event.target, 'item');
    if (event.detail === 0 && item) this.acts.choose(item, true);
  };

  wheel = (event: WheelEvent): void => {
    event.preventDefault();
    this.view.zoom(Math.exp(-event.deltaY * (event.deltaMode === 1 ? 0.05 : 0.0016)), this.place(event));
  };

  private pinch(id: number, before: Pos, at: Pos): void {
    const other = [...this.pointers].find(([key]) => key !== id)?.[1];
    if (!other) return;
    const apart = (p: Pos) => Math.max(Math.hypot(p.x - other.x, p.y - other.y), 1);
    const middle = (p: Pos) => ({ x: (p.x + other.x) / 2, y: (p.y + other.y) / 2 });
    this.view.pan(middle(at).x - middle(before).x, middle(at).y - middle(before).y);
    this.view.zoom(apart(at) / apart(before), middle(at));
  }

  keyDown = (event: KeyboardEvent): void => {
    if (event.ctrlKey || event.metaKey) return;
    const item = this.item(event.target, 'item');
    if (event.key === 'Escape') {
      const hangs = this.hanging.moving;
      if (this.cancel()) {
        this.pressed = null;
        if (item && hangs) this.acts.hung(item, null);
        else if (item) this.acts.moved(item, false);
      } else this.acts.choose(null, true);
    } else if (item && (event.key === 'Enter' || event.key === ' ')) this.acts.choose(item, true);
    else if (!this.stepped(event, item) && !this.looked(event)) return;
    event.preventDefault();
  };

  /** Moves or turns the thing in focus, or hangs it elsewhere. */
  private stepped(event: KeyboardEvent, item: Item | null): boolean {
    if (!item || this.pressed) return false;
    const arrow = ARROWS[event.key];
    const turn = event.key === '[' ? TURN_DEG : event.key === ']' ? -TURN_DEG : 0;
    if (!arrow && (turn === 0 || (item.body?.facing ?? null) === null)) return false;
    if (!this.carries) {
      if (!this.begin(item)) return false;
      this.byKey = item;
    }
    if (this.hanging.moving) {
      this.hanging.step(arrow && arrow[0] - arrow[1] < 0 ? -1 : 1);
      return true;
    }
    const far = event.shiftKey ? LONG_STEP_M : STEP_M;
    this.mover.step((arrow?.[0] ?? 0) * far, (arrow?.[1] ?? 0) * far, turn);
    return true;
  }

  /** Moves the view: arrows where nothing that moves is in focus, + - 0. */
  private looked(event: KeyboardEvent): boolean {
    const arrow = ARROWS[event.key];
    if (arrow) this.view.pan(-arrow[0] * 48, arrow[1] * 48);
    else if (event.key === '+' || event.key === '=') this.view.zoom(1.25);
    else if (event.key === '-') this.view.zoom(0.8);
    else if (event.key === '0') this.acts.fit();
    else return false;
    return true;
  }

  /** The key is let go, or the focus: what was moved by key is put down. */
  keyUp = (): void => {
    if (!this.byKey || !this.carries) return;
    const item = this.byKey;
    this.byKey = null;
    this.end(item);
  };
}
