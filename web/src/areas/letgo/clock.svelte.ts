// One clock for all set-ups on the screen: the time of the recoil, run slowly. It never
// starts by itself.

export const SPEEDS = [
  { share: 1 / 100, name: '1/100' },
  { share: 1 / 50, name: '1/50' },
  { share: 1 / 20, name: '1/20' },
  { share: 1 / 10, name: '1/10' },
  { share: 1 / 5, name: '1/5' },
] as const;

/** How often the figures follow while it plays, ms: the pictures follow every frame. */
const TELL_MS = 60;

export class Clock {
  /** Time after the link let go, s, as it is told. */
  time = $state(0);
  playing = $state(false);
  /** Share of the true speed. */
  speed = $state<number>(1 / 50);
  /** Where it ends, s. */
  end = $state(0);
  /** The same time, of this very frame. */
  now = 0;
  private readonly watchers = new Set<() => void>();
  private asked = 0;
  private last = 0;
  private toldAt = 0;

  /** Calls `watcher` whenever the time has changed, until what it gives is called. */
  watch(watcher: () => void): () => void {
    this.watchers.add(watcher);
    return () => this.watchers.delete(watcher);
  }

  toggle(): void {
    if (this.playing) return this.pause();
    if (this.now >= this.end) this.put(0);
    this.playing = true;
    this.last = performance.now();
    this.asked = requestAnimationFrame((now) => this.tick(now));
  }

  pause(): void {
    this.playing = false;
    cancelAnimationFrame(this.asked);
    this.time = this.now;
  }

  /** Stops there. */
  to(time: number): void {
    this.put(Math.min(Math.max(time, 0), this.end));
    this.pause();
  }

  private put(time: number): void {
    this.now = time;
    for (const watcher of this.watchers) watcher();
  }

  private tick(now: number): void {
    const passed = Math.max(0, now - this.last) / 1000;
    this.last = now;
    this.put(Math.min(this.now + passed * this.speed, this.end));
    if (this.now >= this.end) return this.pause();
    if (now - this.toldAt >= TELL_MS) {
      this.time = this.now;
      this.toldAt = now;
    }
    this.asked = requestAnimationFrame((next) => this.tick(next));
  }
}
