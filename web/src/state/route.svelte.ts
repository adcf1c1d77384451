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

/** What a test day shows: `#/tests/creek-yard/pulls/dry-1`. */
export const TEST_PARTS = [
  { id: 'order', name: 'Order' },
  { id: 'logs', name: 'Logs' },
  { id: 'pulls', name: 'Pulls' },
  { id: 'line', name: 'Line' },
  { id: 'compare', name: 'Compare' },
  { id: 'text', name: 'Test file' },
] as const;

export type TestPart = (typeof TEST_PARTS)[number]['id'];

/** Where the page stands among the test days. */
export interface TestsPlace {
  /** The test day that is open; null where they are listed. */
  day: string | null;
  part: TestPart;
  /** The pull that is asked for, or the log. */
  which: string | null;
}

/** What the addresses of test days begin with. A plan of that name is `#/%74ests`. */
const TESTS = 'tests';

class Route {
  /** Name of the plan that is open; null where the plans are listed. */
  plan = $state<string | null>(null);
  area = $state<AreaId>('situation');
  /** A line of the text that is asked for. */
  line = $state<number | null>(null);

  /** Null where plans are shown. */
  tests = $state.raw<TestsPlace | null>(null);

  read(): void {
    const parts = location.hash.replace(/^#\/?/, '').split('/');
    const [plan, area, line] = parts.map(decoded);
    this.tests = parts[0] === TESTS ? placeOf(parts.slice(1).map(decoded)) : null;
    if (this.tests) {
      this.plan = null;
      this.line = this.tests.part === 'text' && /^\d{1,7}$/.test(this.tests.which ?? '') ? Number(this.tests.which) : null;
      return;
    }
    this.plan = plan || null;
    this.area = [...AREAS, TEXT].find((a) => a.id === area)?.id ?? 'situation';
    this.line = /^\d{1,7}$/.test(line ?? '') ? Number(line) : null;
  }
}

function placeOf([day, part, which]: string[]): TestsPlace {
  return { day: day || null, part: TEST_PARTS.find((p) => p.id === part)?.id ?? 'logs', which: which || null };
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
  return plan === null ? '#/' : `#/${plan === TESTS ? '%74ests' : encodeURIComponent(plan)}/${area}`;
}

export function testsAddress(day: string | null = null, part: TestPart = 'logs', which: string | null = null): string {
  if (day === null) return `#/${TESTS}`;
  return `#/${TESTS}/${encodeURIComponent(day)}/${part}${which === null ? '' : `/${encodeURIComponent(which)}`}`;
}

export function goTests(day: string | null = null, part?: TestPart, which?: string): void {
  location.hash = testsAddress(day, part, which);
}

export function go(plan: string | null, area?: AreaId): void {
  location.hash = address(plan, area);
}

export function followAddress(): void {
  route.read();
  addEventListener('hashchange', () => route.read());
}
