// Blocks and rings hang where balance puts them: what a hand can change is what they hang on.
// One is dragged to an anchor or a recovery point, the loads follow, and the end of the run
// that holds it is made fast there.

import type { Edit } from '../../contract/types.gen';
import type { OpenPlan } from '../../state/plan.svelte';
import { list, runs, shape, written, type Fields } from './kit';
import type { Node, Scene, Spot } from './scene';
import type { Pos } from './view.svelte';

/** A place is taken from this near, in pixels. */
const NEAR_PX = 30;

/** The run, or the list of a short form, that holds a block or ring. */
interface Hanger {
  key: string[];
  path: string[];
  /** Where in `path` stands what it is made fast to. */
  end: number;
}

function hangerOf(fields: Fields, node: Node): Hanger | null {
  if (node.kind !== 'block' && node.kind !== 'ring') return null;
  if (shape(fields) === 'short') return shortHanger(fields, node.name);
  const holding = runs(fields)
    .filter(({ path }) => path.length > 1 && [path[0], path.at(-1)].includes(node.name))
    .sort((a, b) => a.path.length - b.path.length)[0];
  if (!holding) return null;
  const { key, path } = holding;
  return { key, path, end: path[0] === node.name ? path.length - 1 : 0 };
}

function shortHanger(fields: Fields, name: string): Hanger | null {
  const blocks = list(written(fields, 'rig.blocks'));
  const key =
    written(fields, 'rig.redirect_block') === name ? 'redirect_at'
    : blocks[0] === name ? 'casualty_end'
    : blocks[1] === name ? 'fixed_at'
    : null;
  const path = key === null ? [] : list(written(fields, `rig.${key}`));
  return key === null || path.length === 0 ? null : { key: ['rig', key], path, end: path.length - 1 };
}

/** What a block or ring can hang on: anchors, and the recovery points of vehicles. */
function places(scene: Scene): Spot[] {
  const anchors = scene.bodies.filter((body) => body.facing === null).map((body) => ({ name: body.id, at: body.at }));
  return [...anchors, ...scene.spots.filter((spot) => !spot.name.endsWith('.winch'))];
}

export class Hanging {
  /** What is being hung, where the hand holds it, and over which place. */
  now = $state.raw<{ node: Node; at: Pos; over: string | null } | null>(null);
  /** Where it could hang. */
  places = $state.raw<Spot[]>([]);
  private hanger: Hanger | null = null;
  private plan: OpenPlan;

  constructor(plan: OpenPlan) {
    this.plan = plan;
  }

  get moving(): boolean {
    return this.now !== null;
  }

  /** What it hangs on in the plan; null for what hangs on nothing of its own. */
  on(node: Node): string | null {
    const hanger = hangerOf(this.plan.fields, node);
    return hanger?.path[hanger.end] ?? null;
  }

  /** Takes one in the hand; false where it hangs on nothing. */
  begin(node: Node, scene: Scene): boolean {
    this.hanger = hangerOf(this.plan.fields, node);
    if (!this.hanger) return false;
    this.places = places(scene);
    this.now = { node, at: node.at, over: null };
    return true;
  }

  moveTo(at: Pos, scale: number): void {
    const near = (spot: Spot) => Math.hypot(spot.at.x - at.x, spot.at.y - at.y) * scale;
    const best = [...this.places].sort((a, b) => near(a) - near(b))[0];
    this.over(best && near(best) <= NEAR_PX ? best : null, at);
  }

  /** By key: the next place round, or the one before. */
  step(way: 1 | -1): void {
    const on = this.now?.over ?? this.hanger?.path[this.hanger.end];
    const k = this.places.findIndex((spot) => spot.name === on);
    const next = this.places[(k + way + this.places.length) % this.places.length];
    if (next) this.over(next, next.at);
  }

  /** Lets go of it; the name of what it hangs on from now on, null where nothing changes. */
  end(): string | null {
    const edits = this.edits();
    const over = this.now?.over ?? null;
    this.now = null;
    this.plan.drop(edits);
    return edits.length > 0 ? over : null;
  }

  cancel(): void {
    this.now = null;
    this.plan.drop([]);
  }

  private over(place: Spot | null, at: Pos): void {
    if (!this.now) return;
    const before = this.now.over;
    this.now = { ...this.now, at: place?.at ?? at, over: place?.name ?? null };
    if (this.now.over !== before) this.plan.dragTo(this.edits());
  }

  private edits(): Edit[] {
    const [hanger, over] = [this.hanger, this.now?.over];
    if (!hanger || !over || hanger.path[hanger.end] === over) return [];
    return [{ path: hanger.key, value: hanger.path.map((step, i) => (i === hanger.end ? over : step)) }];
  }
}
