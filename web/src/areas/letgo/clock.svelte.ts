// One clock for all set-ups on the screen: the time of the recoil, run slowly. It never
// starts by itself.

export const SPEEDS = [
  { share: 1 / 100, name: '1/100' },
  { share: 1 / 50, name: '1/50' },
  { share: 1 / 20, name: '1/20' },
  { share: 1 / 10, name: '1/10' },
  { share: 1 / 5, name: '1/5' },
] as const;

export class Clock {
  /** Time after the link let go, s. */
  time = $state(0);
  playing = $state(false);
  /** Share of the true speed. */
  speed = $state<number>(1 / 50);
  /** Where it ends, s. */
  end = $state(0);
  private asked = 0;
  private last = 0;

  toggle(): void {
    if (this.playing) return this.pause();
    if (this.time >= this.end) this.time = 0;
    this.playing = true;
    this.last = performance.now();
    this.asked = requestAnimationFrame((now) => this.tick(now));
  }

  pause(): void {
    this.playing = false;
    cancelAnimationFrame(this.asked);
  }

  /** Stops there. */
  to(time: number): void {
    this.pause();
    this.time = Math.min(Math.max(time, 0), this.end);
  }

  private tick(now: number): void {
    const passed = Math.max(0, now - this.last) / 1000;
    this.last = now;
    this.time = Math.min(this.time + passed * this.speed, this.end);
    if (this.time >= this.end) this.playing = false;
    else this.asked = requestAnimationFrame((next) => this.tick(next));
  }
}
