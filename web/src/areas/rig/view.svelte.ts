// What of the ground is in sight, and how large. Ground: metres, y to the left of x and up on
// the sheet. Screen: pixels of the drawing, y down.

export interface Pos {
  x: number;
  y: number;
}

export interface Bounds {
  left: number;
  right: number;
  bottom: number;
  top: number;
}

const LEAST = 0.4;
const MOST = 200;
const FAR = 5;
/** Room kept free round what is fitted, in pixels, for names and loads. */
const MARGIN = 56;

export class View {
  width = $state(0);
  height = $state(0);
  /** Pixels a metre. */
  scale = $state(20);
  centre = $state.raw<Pos>({ x: 0, y: 0 });
  /** Whether the user has moved it: then nothing is fitted unasked. */
  moved = $state(false);

  readonly transform = $derived(
    `matrix(${this.scale} 0 0 ${-this.scale} ${this.width / 2 - this.centre.x * this.scale} ${this.height / 2 + this.centre.y * this.scale})`,
  );

  onScreen(p: Pos): Pos {
    return {
      x: this.width / 2 + (p.x - this.centre.x) * this.scale,
      y: this.height / 2 - (p.y - this.centre.y) * this.scale,
    };
  }

  onGround(p: Pos): Pos {
    return {
      x: this.centre.x + (p.x - this.width / 2) / this.scale,
      y: this.centre.y - (p.y - this.height / 2) / this.scale,
    };
  }

  /** So far off that things lie on each other: only what matters from there is drawn. */
  get far(): boolean {
    return this.scale < FAR;
  }

  /** Whether a point of the screen is in sight. */
  shows(p: Pos): boolean {
    return p.x >= 0 && p.y >= 0 && p.x <= this.width && p.y <= this.height;
  }

  get bounds(): Bounds {
    const [half, tall] = [this.width / 2 / this.scale, this.height / 2 / this.scale];
    return { left: this.centre.x - half, right: this.centre.x + half, bottom: this.centre.y - tall, top: this.centre.y + tall };
  }

  pan(dx: number, dy: number): void {
    this.moved = true;
    this.centre = { x: this.centre.x - dx / this.scale, y: this.centre.y + dy / this.scale };
  }

  /** Zooms so that what lies at `at` on the screen stays there. */
  zoom(by: number, at: Pos = { x: this.width / 2, y: this.height / 2 }): void {
    this.moved = true;
    const held = this.onGround(at);
    this.scale = Math.min(Math.max(this.scale * by, LEAST), MOST);
    const now = this.onGround(at);
    this.centre = { x: this.centre.x + held.x - now.x, y: this.centre.y + held.y - now.y };
  }

  fit(box: Bounds | null): void {
    if (!box || this.width === 0 || this.height === 0) return;
    const across = Math.max(box.right - box.left, 2);
    const tall = Math.max(box.top - box.bottom, 2);
    const room = (size: number) => size - 2 * Math.min(MARGIN, size * 0.12);
    this.scale = Math.min(Math.max(Math.min(room(this.width) / across, room(this.height) / tall), LEAST), MOST);
    this.centre = { x: (box.left + box.right) / 2, y: (box.bottom + box.top) / 2 };
  }
}

export function around(points: Pos[]): Bounds | null {
  if (points.length === 0) return null;
  const xs = points.map((p) => p.x);
  const ys = points.map((p) => p.y);
  return { left: Math.min(...xs), right: Math.max(...xs), bottom: Math.min(...ys), top: Math.max(...ys) };
}
