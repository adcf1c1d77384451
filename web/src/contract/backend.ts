// The one seam between the page and the engine. Whoever answers (the local server now, the
// engine in the page later) implements this and nothing else in the page knows which.

import type {
  Answer, BriefRequest, CompareRequest, EditRequest, EditTestDay, Edited, Errors, ExampleList, FitRequest, Health, KeptLineFile, KeptTestFile, LevelsRequest, Live,
  LiveRequest, LookRequest, MethodName, NewLineFile, NewPlan, NewTestDay, OrderRequest, PlanList, PlanRequest, ReadRequest, RenameTestDay, Replay, ReplayRequest, ReportRequest, SavePlan,
  SaveTestDay, StoredPlan, StoredTestDay, TakeUpRequest, TestDayList, TestsCompareAnswer, TestsFitAnswer, TestsLevels,
  TestsLookAnswer, TestsPlanAnswer, TestsReadAnswer,
} from './types.gen';

export interface Backend {
  health(): Promise<Health>;
  examples(): Promise<ExampleList>;
  /** The text of a demo plan. */
  example(name: string): Promise<string>;
  plans(): Promise<PlanList>;
  open(name: string): Promise<StoredPlan>;
  create(plan: NewPlan): Promise<StoredPlan>;
  /** Throws `Conflict` when another text stands there by now. */
  save(name: string, plan: SavePlan): Promise<StoredPlan>;
  remove(name: string): Promise<void>;
  /** Keeps a line file that plans can name from then on; says by which name. */
  keepLine(line: NewLineFile): Promise<KeptLineFile>;
  edit(request: EditRequest): Promise<Edited>;
  /** The plan with the rig that a method of its ladder was judged with; throws `Refused` where there is none. */
  openAsRig(request: { plan: string; method: MethodName }): Promise<Edited>;
  /** The plan with its straight path laid out on the ground; throws `Refused` where that cannot be done. */
  layOut(request: { plan: string }): Promise<Edited>;
  live(request: LiveRequest): Promise<Live>;
  answer(request: PlanRequest, signal?: AbortSignal): Promise<Answer>;
  replay(request: ReplayRequest, signal?: AbortSignal): Promise<Replay>;
  brief(request: BriefRequest, signal?: AbortSignal): Promise<Blob>;
  tests: TestsBackend;
}

/** Test days: each a test file with the logs and recipes that it names. */
export interface TestsBackend {
  days(): Promise<TestDayList>;
  create(day: NewTestDay): Promise<StoredTestDay>;
  open(name: string): Promise<StoredTestDay>;
  /** Throws `DayConflict` when another text stands there by now; so do `edit` and `takeUp`. */
  save(name: string, day: SaveTestDay): Promise<StoredTestDay>;
  remove(name: string): Promise<void>;
  /** Refused where another day has that name. */
  rename(name: string, request: RenameTestDay): Promise<StoredTestDay>;
  /** Puts a file beside the test file; tells how much of it is there, 0 to 1. Refused where other bytes stand under that name. */
  putFile(name: string, file: string, bytes: Blob, told: (share: number) => void, signal: AbortSignal): Promise<KeptTestFile>;
  /** Where the bytes of a file are had. */
  fileAddress(name: string, file: string): string;
  removeFile(name: string, file: string): Promise<void>;
  look(name: string, request: LookRequest, signal?: AbortSignal): Promise<TestsLookAnswer>;
  takeUp(name: string, request: TakeUpRequest): Promise<StoredTestDay>;
  edit(name: string, request: EditTestDay): Promise<StoredTestDay>;
  read(name: string, request: ReadRequest, signal?: AbortSignal): Promise<TestsReadAnswer>;
  levels(name: string, request: LevelsRequest, signal?: AbortSignal): Promise<TestsLevels>;
  fit(name: string, request: FitRequest, signal?: AbortSignal): Promise<TestsFitAnswer>;
  compare(name: string, request: CompareRequest, signal?: AbortSignal): Promise<TestsCompareAnswer>;
  /** The running order that the test file asks for; throws `Refused` where it asks for none. */
  order(name: string, request: OrderRequest, signal?: AbortSignal): Promise<TestsPlanAnswer>;
  report(name: string, request: ReportRequest): Promise<Blob>;
}

/** The question was understood and refused; `errors` says what is wrong and what to do. */
export class Refused extends Error {
  readonly errors: Errors;

  constructor(errors: Errors) {
    super(errors.errors.map((e) => [e.message, e.hint].filter(Boolean).join(' (') + (e.hint ? ')' : '')).join('; '));
    this.errors = errors;
  }
}

/** What was asked for is not there. */
export class Missing extends Refused {}

/** Somebody else changed the plan since it was read. */
export class Conflict extends Error {
  readonly standing: StoredPlan;

  constructor(standing: StoredPlan) {
    super('the plan was changed elsewhere');
    this.standing = standing;
  }
}

/** Somebody else changed the test file since it was read. */
export class DayConflict extends Error {
  readonly standing: StoredTestDay;

  constructor(standing: StoredTestDay) {
    super('the test file was changed elsewhere');
    this.standing = standing;
  }
}

/** Nobody answers: the server is gone, or the way to it. */
export class Lost extends Error {}
