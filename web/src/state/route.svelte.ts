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

export type AreaId = (typeof AREAS)[number]['id'];

class Route {
  /** Name of the plan that is open; null where the plans are listed. */
  plan = $state<string | null>(null);
  area = $state<AreaId>('situation');

  read(): void {
    const [plan, area] = location.hash.replace(/^#\/?/, '').split('/').map(decodeURIComponent);
    this.plan = plan || null;
    this.area = AREAS.find((a) => a.id === area)?.id ?? 'situation';
  }
}

export const route = new Route();

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
