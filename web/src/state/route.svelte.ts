// Where the page stands, kept in the address behind `#`: `#/creek-track/rig`. A reload or a
// bookmark comes back to the same plan and area.

export const AREAS = [
  { id: 'situation', name: 'Situation' },
  { id: 'options', name: 'Options' },
  { id: 'rig', name: 'Rig' },
  { id: 'pull', name: 'Pull' },
  { id: 'let-go', name: 'Let-go' },
  { id: 'brief', name: 'Brief' },
] as const;

/** Beside the areas: the plan file as it is. */
const TEXT = { id: 'text', name: 'Plan as text' } as const;

export type AreaId = (typeof AREAS)[number]['id'] | typeof TEXT.id;

class Route {
  /** Name of the plan that is open; null where the plans are listed. */
  plan = $state<string | null>(null);
  area = $state<AreaId>('situation');
  /** A line of the text that is asked for. */
  line = $state<number | null>(null);

  read(): void {
    const [plan, area, line] = location.hash.replace(/^#\/?/, '').split('/').map(decoded);
    this.plan = plan || null;
    this.area = [...AREAS, TEXT].find((a) => a.id === area)?.id ?? 'situation';
    this.line = /^\d{1,7}$/.test(line ?? '') ? Number(line) : null;
  }
}

function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

export const route = new Route();

export function areaName(id: AreaId): string {
  return [...AREAS, TEXT].find((a) => a.id === id)?.name ?? '';
}

export function address(plan: string | null, area: AreaId = 'situation'): string {
  return plan === null ? '#/' : `#/${encodeURIComponent(plan)}/${area}`;
}

export function go(plan: string | null, area?: AreaId): void {
  location.hash = address(plan, area);
}

export function followAddress(): void {
  route.read();
  addEventListener('hashchange', () => route.read());
}
