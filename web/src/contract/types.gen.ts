// Made by `npm run types` from ../schemas; never edited by hand.

/**
 * Whether the pulls can tell the parameters apart.
 */
export type FitVerdict = 'apart' | 'leaning' | 'open';
/**
 * A method of recovery, least hazardous first.
 */
export type MethodName =
  | 'clear-and-dig'
  | 'air-down-and-boards'
  | 'steady-tow'
  | 'winch-single'
  | 'winch-multi'
  | 'kinetic'
  | 'lower';
/**
 * Whether a method is in or out.
 */
export type RungVerdict = 'first' | 'step' | 'reserve' | 'too-weak' | 'not-on-hand' | 'ruled-out';
/**
 * What a link is.
 */
export type LinkKind =
  'recovery-point' | 'shackle' | 'kinetic-line' | 'line' | 'bridle' | 'block' | 'winch' | 'ring' | 'anchor';
/**
 * Which vehicle a link is at.
 */
export type Side = 'casualty' | 'between' | 'tug';
/**
 * How a link stands.
 */
export type LinkState = 'within' | 'over-wll' | 'over-policy' | 'over-mbs' | 'unrated' | 'refused';
/**
 * Which way hauled lines move over what they go round.
 */
export type RigMotion = 'hauling-in' | 'paying-out' | 'frictionless';
/**
 * What an anchor is.
 */
export type AnchorKind = 'tree' | 'pickets' | 'deadman' | 'plate' | 'vehicle' | 'stated' | 'tug';
/**
 * What a place of the rig is.
 */
export type RigNodeKind = 'casualty' | 'tug' | 'winch' | 'anchor' | 'block' | 'ring' | 'apex';
/**
 * Where a run-up speed stands.
 */
export type SpeedStands = 'too-slow' | 'inside' | 'close' | 'too-fast' | 'too-slow-and-too-fast';
/**
 * How a haul ended.
 */
export type HaulEnd =
  'arrived' | 'overload' | 'stall' | 'walks' | 'line-all-in' | 'battery-flat' | 'too-long';
/**
 * What sort of thing flies.
 */
export type FlyingSort = 'hardware' | 'line-end' | 'tail' | 'damper' | 'off-the-line';
/**
 * What a flying thing meets at the vehicle.
 */
export type Meeting = 'strikes' | 'passes-over' | 'passes-under' | 'passes-beside' | 'stops-short';
/**
 * A face of a vehicle.
 */
export type BodyFace =
  'grille' | 'bonnet' | 'raised-bonnet' | 'windscreen' | 'tailgate' | 'rear-screen' | 'roof' | 'side';
/**
 * How bad a finding is.
 */
export type Severity = 'note' | 'warning' | 'critical';
/**
 * The form of a brief.
 */
export type BriefFormat = 'html' | 'pdf';
/**
 * Units that people read.
 */
export type ReadUnits = 'metric' | 'imperial';
/**
 * What a study is of.
 */
export type ChanceStudied = 'pull' | 'lowering' | 'no-rig';
/**
 * Why a study stopped.
 */
export type StoppedBy = 'count' | 'error' | 'most-draws' | 'interrupt';
/**
 * One change to a plan file; comments and the order of the file stay.
 */
export type Edit = SetValue | Rename;
/**
 * What can stand at a key.
 */
export type FieldKind =
  'quantity' | 'number' | 'count' | 'word' | 'text' | 'part' | 'parts' | 'flag' | 'other';
/**
 * What a track is of.
 */
export type TrackKind = 'line' | 'hardware' | 'damper' | 'tether';
/**
 * What a file of a test day is.
 */
export type TestDayFileKind = 'log' | 'recipe' | 'line' | 'plan' | 'certificate' | 'other';
/**
 * A reading of a pull by which set-ups can be compared.
 */
export type TestReading =
  | 'peak'
  | 'impulse'
  | 'duration'
  | 'rise'
  | 'stretch'
  | 'energy-in'
  | 'energy-back'
  | 'hysteresis'
  | 'stiffness';
/**
 * What may be said of a difference.
 */
export type CompareVerdict = 'shown' | 'not-shown' | 'too-few';
/**
 * How sure a choice is.
 */
export type LookSure = 'certain' | 'likely' | 'unsure';
/**
 * What happened.
 */
export type TestEventKind = 'taut' | 'peak' | 'break-out' | 'parting' | 'end';
/**
 * Who set an event.
 */
export type SetBy = 'log' | 'hand';
/**
 * The form of a file.
 */
export type FileKind = 'pdf' | 'html' | 'svg' | 'png' | 'toml' | 'csv';

export interface Contract {
  Answer: Answer;
  BriefRequest: BriefRequest;
  Chance: Chance;
  CompareRequest: CompareRequest;
  DampersAnswer: DampersAnswer;
  EditRequest: EditRequest;
  EditTestDay: EditTestDay;
  Edited: Edited;
  Errors: Errors;
  ExampleList: ExampleList;
  ExampleText: ExampleText;
  FitRequest: FitRequest;
  Health: Health;
  KeptLineFile: KeptLineFile;
  LayOut: LayOut;
  ConvergenceAnswer: ConvergenceAnswer;
  LetGoAnswer: LetGoAnswer;
  LevelsRequest: LevelsRequest;
  LiveRequest: LiveRequest;
  Live: Live;
  LoadPathAnswer: LoadPathAnswer;
  LookRequest: LookRequest;
  LoweringAnswer: LoweringAnswer;
  NewLineFile: NewLineFile;
  NewPlan: NewPlan;
  NewTestDay: NewTestDay;
  OpenAsRig: OpenAsRig;
  OptionsAnswer: OptionsAnswer;
  OrderRequest: OrderRequest;
  PlanList: PlanList;
  PlanRequest: PlanRequest;
  PullAnswer: PullAnswer;
  ReadRequest: ReadRequest;
  RenameTestDay: RenameTestDay;
  ReplayRequest: ReplayRequest;
  Replay: Replay;
  ReportRequest: ReportRequest;
  RigAnswer: RigAnswer;
  SavePlan: SavePlan;
  SaveTestDay: SaveTestDay;
  Serving: Serving;
  SituationAnswer: SituationAnswer;
  StandoffAnswer: StandoffAnswer;
  StoredPlan: StoredPlan;
  StoredTestDay: StoredTestDay;
  SweepList: SweepList;
  SweepSummary: SweepSummary;
  TakeUpRequest: TakeUpRequest;
  KeptTestFile: KeptTestFile;
  TestDayList: TestDayList;
  TestsCompareAnswer: TestsCompareAnswer;
  TestsFitAnswer: TestsFitAnswer;
  TestsLevels: TestsLevels;
  TestsLookAnswer: TestsLookAnswer;
  TestsPlanAnswer: TestsPlanAnswer;
  TestsReadAnswer: TestsReadAnswer;
  TestsReport: TestsReport;
  TetherAnswer: TetherAnswer;
  Written: Written;
}
/**
 * Everything the tool says about one plan.
 */
export interface Answer {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * The plan in short, and every default that was filled in.
   */
  plan: PlanSummary;
  /**
   * The answer in a few sentences.
   */
  verdict: Verdict;
  /**
   * How hard the casualty is stuck.
   */
  situation: Situation;
  /**
   * Every method, least hazardous first.
   */
  options: Options;
  /**
   * The load in every link from casualty to tug.
   */
  load_path: LoadPath;
  /**
   * A rig laid out on the ground under the same load; null for a straight rig.
   */
  rig: RigState | null;
  /**
   * What a kinetic pull would do.
   */
  pull: Pull;
  /**
   * What comes back if a part lets go.
   */
  let_go: LetGo;
  /**
   * How far back people stand.
   */
  standoff: Standoff;
  /**
   * Lowering the casualty down a slope; null if the plan has none.
   */
  lowering: Lowering | null;
  /**
   * What was noticed, worst first.
   */
  findings: Finding[];
  /**
   * What holds for every answer.
   */
  cautions: string[];
}
/**
 * The plan in short.
 */
export interface PlanSummary {
  /**
   * Title of the plan.
   */
  title: string;
  /**
   * Where it happens.
   */
  place: string | null;
  /**
   * Name of the casualty.
   */
  casualty: string;
  /**
   * Name of the tug.
   */
  tug: string;
  /**
   * Mass of the casualty as it stands.
   */
  casualty_mass_kg: number;
  /**
   * Mass of the tug as it stands.
   */
  tug_mass_kg: number;
  /**
   * People with a task.
   */
  crew: number;
  /**
   * People without a task.
   */
  bystanders: number;
  /**
   * Seed of every random draw.
   */
  seed: number;
  /**
   * What the plan says, as read, one line each (`casualty mass 2600 kg`).
   */
  inputs: string[];
  /**
   * Defaults that were filled in.
   */
  assumed: AssumedDefault[];
  /**
   * Inputs given as a range or a distribution; this answer uses their middle.
   */
  spreads: SpreadInput[];
  /**
   * Lines that were measured in tests, from the line files that the plan names.
   */
  tested: LineFromTests[];
}
/**
 * A default that was filled in.
 */
export interface AssumedDefault {
  /**
   * Key in the plan file.
   */
  key: string;
  /**
   * Value taken, with its unit.
   */
  value: string;
  /**
   * Why this value.
   */
  reason: string;
}
/**
 * An input given as a range or a distribution.
 */
export interface SpreadInput {
  /**
   * Key in the plan file.
   */
  key: string;
  /**
   * As the plan file writes it.
   */
  text: string;
  /**
   * What this answer uses instead, in SI with its unit.
   */
  middle: string;
}
/**
 * A line that was measured in tests.
 */
export interface LineFromTests {
  /**
   * Its name in the plan.
   */
  line: string;
  /**
   * The line file that the plan names.
   */
  file: string;
  /**
   * SHA-256 of the line file.
   */
  sha256: string;
  /**
   * Title of the tests.
   */
  title: string;
  /**
   * Day of the tests.
   */
  date: string;
  /**
   * Where they were made.
   */
  place: string | null;
  /**
   * Whether it was tested wet: what water takes off is in its curve.
   */
  wet: boolean;
  /**
   * Its condition as tested (`new`, `used`, `worn`), null if not said; what that takes off
   * is in its curve, and not in its strength.
   */
  condition: string | null;
  /**
   * Pulls that it rests on.
   */
  pulls: number;
  /**
   * Share of its breaking strength up to which there is data; above, its curve goes
   * straight on.
   */
  data_to_share: number;
  /**
   * Whether the pulls can tell its parameters apart.
   */
  verdict: FitVerdict;
  /**
   * The same in a sentence, with what to do.
   */
  says: string;
  /**
   * Keys that were held in the fit, and so not measured.
   */
  held: string[];
  /**
   * Load cells whose certificate had run out on the day of the tests.
   */
  overdue: string[];
  /**
   * Pulls whose loads no certificate vouches for.
   */
  pulls_without_cell: number;
  /**
   * Whether its numbers are drawn together, as they lean on one another in the tests;
   * false where the line file does not say how, and each is drawn by itself.
   */
  drawn_together: boolean;
  /**
   * How the intervals were made, in words.
   */
  method: string;
  /**
   * Program and version that made the fit.
   */
  program: string;
}
/**
 * The answer in a few sentences.
 */
export interface Verdict {
  /**
   * One line, such as `Do not pull with this rig`.
   */
  headline: string;
  /**
   * Whether the rig as planned (or proposed) is within policy.
   */
  within_policy: boolean;
  /**
   * The method to use first; null when none works.
   */
  first_method: MethodName | null;
  /**
   * The methods in the order to try them.
   */
  sequence: MethodName[];
  /**
   * Reasons, most important first.
   */
  reasons: string[];
}
/**
 * How hard the casualty is stuck.
 */
export interface Situation {
  /**
   * Weight of the casualty.
   */
  weight_n: number;
  /**
   * Resistance by term; negative terms help.
   */
  terms: Term[];
  /**
   * The sum once the casualty is moving.
   */
  sliding: ForceRange;
  /**
   * The sum that starts it, suction included, pulled slowly (about a minute).
   */
  break_out: ForceRange;
  /**
   * The sum that starts it, pulled fast (a kinetic pull).
   */
  break_out_fast: ForceRange;
  /**
   * Resistance a rig is designed for: the break-out sum at `design_quantile`.
   */
  design_n: number;
  /**
   * Quantile of the design value.
   */
  design_quantile: number;
  /**
   * The design value over the casualty's weight.
   */
  design_over_weight: number;
  /**
   * Whether the casualty is a fixed end until something is cleared.
   */
  fixed_end: boolean;
  /**
   * What holds it, if anything.
   */
  held_by: string | null;
  /**
   * What the tug can do on its own ground.
   */
  tug: TugAbility;
}
/**
 * One term of the resistance.
 */
export interface Term {
  /**
   * Its name: rolling, grade, mire, suction, obstacle, locked wheels, own drive.
   */
  name: string;
  /**
   * Its range.
   */
  range: ForceRange;
  /**
   * The model in a few words with its numbers.
   */
  method: string;
  /**
   * Where the model comes from.
   */
  source: string;
  /**
   * How far that source was seen: read, computed, from memory, common practice, assumed.
   */
  source_status: string;
}
/**
 * A force with its spread.
 */
export interface ForceRange {
  /**
   * 5 % quantile.
   */
  low_n: number;
  /**
   * Median.
   */
  median_n: number;
  /**
   * 95 % quantile.
   */
  high_n: number;
}
/**
 * What the tug can do on its own ground.
 */
export interface TugAbility {
  /**
   * Steady pull left after its own grade and rolling.
   */
  steady_pull: ForceRange;
  /**
   * What limits it: `grip` or `drive`.
   */
  limited_by: string;
  /**
   * Winch pull on the layer in use; null without a winch.
   */
  winch_pull_n: number | null;
  /**
   * Force at which the tug itself starts to slide when braked.
   */
  anchor_hold: ForceRange;
}
/**
 * Every method, least hazardous first.
 */
export interface Options {
  /**
   * One rung a method.
   */
  ladder: Rung[];
}
/**
 * One method.
 */
export interface Rung {
  /**
   * The method.
   */
  method: MethodName;
  /**
   * Whether it is in or out.
   */
  verdict: RungVerdict;
  /**
   * Why, in plain words.
   */
  reason: string;
  /**
   * Probability that it shifts the casualty, as found.
   */
  shift_probability: number | null;
  /**
   * Sampling error of that probability, one standard error.
   */
  shift_probability_error: number | null;
  /**
   * The same after clearing and digging first.
   */
  shift_probability_after_digging: number | null;
  /**
   * What it risks with its rig; null where there is none.
   */
  risks: RungRisks | null;
  /**
   * Load it needs at the casualty for the design case.
   */
  needed_n: number | null;
  /**
   * What it can bring to bear, median.
   */
  available_n: number | null;
  /**
   * Greatest load it puts in the line.
   */
  peak_load_n: number | null;
  /**
   * Energy stored in the line at that load.
   */
  stored_energy_j: number | null;
  /**
   * Whether it can be stopped once under way.
   */
  stoppable: boolean;
  /**
   * Who can stop it and how.
   */
  how_to_stop: string;
  /**
   * Peak load in each link.
   */
  links: LinkLoad[];
  /**
   * The model behind the numbers.
   */
  model: string;
}
/**
 * What a method risks with its rig, over all that may vary.
 */
export interface RungRisks {
  /**
   * That a part passes its working load limit.
   */
  passes_wll: Probability;
  /**
   * The part likeliest to; null where none can.
   */
  likeliest_past_wll: string | null;
  /**
   * That a part lets go.
   */
  lets_go: Probability;
  /**
   * The part likeliest to; null where no strength is known.
   */
  likeliest_to_go: string | null;
  /**
   * That an anchor yields; null without anchors.
   */
  anchor_yields: Probability | null;
  /**
   * That the braked tug slides before the casualty moves; null unless a winch pulls.
   */
  tug_slides: Probability | null;
}
/**
 * A probability and its 90 % sampling interval: of the number of runs alone, not of
 * what the model leaves out.
 */
export interface Probability {
  /**
   * As found.
   */
  value: number;
  /**
   * Lower end of the interval.
   */
  low: number;
  /**
   * Upper end of the interval.
   */
  high: number;
}
/**
 * Load of one link under a method.
 */
export interface LinkLoad {
  /**
   * Name of the part.
   */
  name: string;
  /**
   * Its peak load.
   */
  peak_load_n: number;
  /**
   * Share of its working load limit after derating.
   */
  share_of_wll: number | null;
  /**
   * Share of its breaking strength after derating.
   */
  share_of_mbs: number | null;
}
/**
 * The load in every link from casualty to tug.
 */
export interface LoadPath {
  /**
   * The method the rig is for; null when no rig could be put together.
   */
  method: MethodName | null;
  /**
   * Whether the tool proposed the rig (else the plan gave it).
   */
  proposed: boolean;
  /**
   * The load case in words.
   */
  load_case: string;
  /**
   * Load in the line; in a rig laid out on the ground the pull at the casualty.
   */
  tension_n: number;
  /**
   * Links in order from casualty to tug; in a rig laid out on the ground the
   * haul from casualty to winch, then each branch.
   */
  links: Link[];
  /**
   * Name of the weakest link: the likeliest to let go first.
   */
  weakest: string | null;
  /**
   * Rest length of the lines in the path.
   */
  line_length_m: number;
  /**
   * Why there is no rig, if there is none.
   */
  missing: string | null;
}
/**
 * One link.
 */
export interface Link {
  /**
   * Its name in the plan.
   */
  name: string;
  /**
   * What it is.
   */
  kind: LinkKind;
  /**
   * What it is, in words (`forged bow shackle`).
   */
  words: string;
  /**
   * Which vehicle it is at.
   */
  side: Side;
  /**
   * Load on it.
   */
  load_n: number;
  /**
   * Working load limit as marked.
   */
  wll_n: number | null;
  /**
   * Breaking strength as stated.
   */
  mbs_n: number | null;
  /**
   * Working load limit after derating.
   */
  derated_wll_n: number | null;
  /**
   * Breaking strength after derating.
   */
  derated_mbs_n: number | null;
  /**
   * Each derating.
   */
  deratings: Derating[];
  /**
   * Load over derated working load limit.
   */
  share_of_wll: number | null;
  /**
   * Load over derated breaking strength.
   */
  share_of_mbs: number | null;
  /**
   * Probability that it lets go at this load.
   */
  parting_probability: number | null;
  /**
   * Whether it is the weakest link.
   */
  weakest: boolean;
  /**
   * How it stands.
   */
  state: LinkState;
  /**
   * Why it stands so, in words.
   */
  because: string;
  /**
   * Included angle between a bridle's legs, or the two lines of a block or ring.
   */
  included_angle_deg: number | null;
  /**
   * Its mass.
   */
  mass_kg: number;
  /**
   * The run of line it belongs to, in a rig laid out on the ground.
   */
  run: string | null;
  /**
   * Where its branch joins the haul; null on the haul itself and in a
   * straight rig.
   */
  joins: string | null;
}
/**
 * A reduction of strength.
 */
export interface Derating {
  /**
   * What reduces it.
   */
  what: string;
  /**
   * What is left, 0 to 1.
   */
  factor: number;
  /**
   * Where the figure comes from.
   */
  source: string;
}
/**
 * A rig laid out on the ground, under the design load.
 *
 * Places are those at which everything comes to rest, in the frame of the plan
 * file: x and y level, z up. Directions in plan are anticlockwise from +x,
 * -180 to 180 deg; rises are above level, -90 to 90 deg.
 */
export interface RigState {
  /**
   * Which way the hauled lines move, and so on which side friction counts.
   */
  motion: RigMotion;
  /**
   * Tension at the haul (at the winch, or the vehicle that tows).
   */
  haul_n: number;
  /**
   * Pull on the casualty along the way it moves.
   */
  pull_n: number;
  /**
   * Direction in plan of the pull on the casualty.
   */
  pull_direction_deg: number;
  /**
   * Rise of the pull on the casualty.
   */
  pull_rise_deg: number;
  /**
   * Pull on the casualty over the haul, without friction.
   */
  ideal_advantage: number;
  /**
   * The same with friction.
   */
  real_advantage: number;
  /**
   * Real over ideal: what friction leaves; null where the rig has no advantage.
   */
  efficiency: number | null;
  /**
   * Line hauled in (or paid out) for a metre of casualty movement.
   */
  haul_per_metre: number;
  /**
   * How far the casualty is to move.
   */
  movement_m: number;
  /**
   * Line hauled in for that, the rig drawn as it stands at the start.
   */
  hauled_in_m: number;
  /**
   * Line out of all hauled runs, at the start.
   */
  paid_out_m: number;
  /**
   * Greatest haul that keeps every link within its working load limit after
   * derating, or within the policy's factor to its breaking strength where it
   * has none; null where there is no link to say so.
   */
  greatest_haul_n: number | null;
  /**
   * The link that sets it.
   */
  greatest_haul_set_by: string | null;
  /**
   * Largest force left unbalanced at a node that moves, over the haul: how
   * well the rig was solved.
   */
  residual: number;
  /**
   * What each anchor holds, the tug that winches among them.
   */
  anchors: AnchorHold[];
  /**
   * Every place where lines meet or turn.
   */
  nodes: RigNode[];
  /**
   * Every run of line.
   */
  runs: RigRun[];
}
/**
 * What an anchor holds, its load, and what happens when it yields.
 */
export interface AnchorHold {
  /**
   * Its name in the plan; `tug` for the tug that winches.
   */
  name: string;
  /**
   * What it is.
   */
  kind: AnchorKind;
  /**
   * What it is, in words.
   */
  words: string;
  /**
   * Load that all but 5 % of such anchors hold.
   */
  low_hold_n: number;
  /**
   * Load that half of such anchors hold.
   */
  median_hold_n: number;
  /**
   * Load that only 5 % of such anchors hold.
   */
  high_hold_n: number;
  /**
   * Load on it.
   */
  load_n: number;
  /**
   * Load on it over the pull at the casualty.
   */
  share: number;
  /**
   * Probability that it yields at this load.
   */
  yield_probability: number;
  /**
   * Pull at the casualty at which 5 % of such anchors have yielded; null for one
   * that carries nothing.
   */
  yields_at_low_n: number | null;
  /**
   * Pull at which half have.
   */
  yields_at_median_n: number | null;
  /**
   * Pull at which 95 % have.
   */
  yields_at_high_n: number | null;
  /**
   * Whether it is the first to yield, by the median.
   */
  yields_first: boolean;
  /**
   * What happens when it yields.
   */
  when_it_yields: string;
  /**
   * How far from it it falls along the pull, for a tree.
   */
  falls_within_m: number | null;
  /**
   * Why it may never be used, if so.
   */
  refused: string | null;
  /**
   * How its hold was found.
   */
  method: string;
  /**
   * Where the figure comes from, and how far that was seen.
   */
  source: string;
}
/**
 * A place where lines meet or turn.
 */
export interface RigNode {
  /**
   * Its name in the plan.
   */
  name: string;
  /**
   * What it is.
   */
  kind: RigNodeKind;
  /**
   * Along x.
   */
  x_m: number;
  /**
   * Along y.
   */
  y_m: number;
  /**
   * Height.
   */
  z_m: number;
  /**
   * Whether it stays where it is (else it moves to where forces balance).
   */
  fixed: boolean;
  /**
   * Load on it: the sum of the pulls on a point, anchor, block or ring; on the
   * apex of a bridle the greatest pull of one line.
   */
  load_n: number;
  /**
   * Direction in plan of that load; null where it has none.
   */
  load_direction_deg: number | null;
  /**
   * Rise of that load.
   */
  load_rise_deg: number | null;
  /**
   * Angle between the two parts of the line that goes round it.
   */
  included_angle_deg: number | null;
  /**
   * Angle between the load and the direction in which the point is strong.
   */
  side_angle_deg: number | null;
  /**
   * How far it moves for a metre of casualty movement.
   */
  travel_per_metre: number;
  /**
   * Direction in plan of that movement; null where it does not move.
   */
  travel_direction_deg: number | null;
}
/**
 * A line with the straps and shackles in series with it, from one made fast end
 * to the other.
 */
export interface RigRun {
  /**
   * Its name in the plan.
   */
  name: string;
  /**
   * What it does, in words.
   */
  words: string;
  /**
   * Whether it is hauled in or paid out (else it keeps its length).
   */
  hauled: boolean;
  /**
   * Whether it hangs slack.
   */
  slack: boolean;
  /**
   * Rest length of all its parts.
   */
  rest_m: number;
  /**
   * Its length as it lies.
   */
  length_m: number;
  /**
   * Its parts of line, in order.
   */
  parts: RigPart[];
}
/**
 * One part of line: what lies between one node and the next.
 */
export interface RigPart {
  /**
   * Name of the node it comes from.
   */
  from: string;
  /**
   * Name of the node it goes to.
   */
  to: string;
  /**
   * Tension in it.
   */
  tension_n: number;
  /**
   * Its length as it lies.
   */
  length_m: number;
  /**
   * Names of the parts of the kit in it.
   */
  holds: string[];
}
/**
 * What a kinetic pull would do, and a haul by winch.
 */
export interface Pull {
  /**
   * The kinetic pull; null when no kinetic rig can be put together.
   */
  kinetic: KineticPull | null;
  /**
   * Why there is none, if there is none.
   */
  missing: string | null;
  /**
   * The winch haul; null unless the rig shown is hauled by a winch.
   */
  winch: WinchHaul | null;
}
/**
 * A kinetic pull in time, at the design resistance.
 */
export interface KineticPull {
  /**
   * Name of the kinetic line.
   */
  line: string;
  /**
   * Rest length of the whole path of line.
   */
  rest_length_m: number;
  /**
   * Speed of the tug when the line comes taut.
   */
  run_up_speed_m_s: number;
  /**
   * Whether the plan gave that speed (else the window's middle or its limit).
   */
  run_up_planned: boolean;
  /**
   * Slack laid out.
   */
  slack_m: number;
  /**
   * Peak tension.
   */
  peak_force_n: number;
  /**
   * Peak tension if the casualty does not move at all.
   */
  peak_force_fixed_n: number;
  /**
   * Greatest stretch.
   */
  stretch_m: number;
  /**
   * Greatest stretch over rest length.
   */
  stretch_share: number;
  /**
   * Energy stored in the line at the peak.
   */
  stored_energy_j: number;
  /**
   * How far the casualty moved.
   */
  movement_m: number;
  /**
   * Whether it moved 1 m, or as far as frees it if that is less: a kinetic pull
   * works in a row of gentle pulls.
   */
  shifted: boolean;
  /**
   * Greatest acceleration of the casualty and the people in it.
   */
  casualty_peak_acceleration_m_s2: number;
  /**
   * Greatest deceleration of the tug and the people in it.
   */
  tug_peak_deceleration_m_s2: number;
  /**
   * What happened when.
   */
  events: PullEvent[];
  /**
   * Where the energy went.
   */
  audit: EnergyAudit;
  /**
   * The pull in time.
   */
  series: PullSeries;
  /**
   * Run-up speeds between shifting it and overloading something.
   */
  window: RunUpWindow;
  /**
   * The same pull again and again, the line keeping its set.
   */
  repeats: RepeatPull[];
  /**
   * Chances at this run-up speed.
   */
  chances: PullChances;
  /**
   * The same with their sampling intervals, and where the speed stands.
   */
  at_run_up: SpeedChances;
  /**
   * What the answer takes for the line, with its source.
   */
  line_model: string;
}
/**
 * Something that happened.
 */
export interface PullEvent {
  /**
   * When, from the start of the run.
   */
  time_s: number;
  /**
   * What: taut, break-out, peak, slack, casualty stops, tug stops, parts.
   */
  what: string;
}
/**
 * Where the energy went.
 */
export interface EnergyAudit {
  /**
   * Run-up energy, work of the drive and of gravity.
   */
  put_in_j: number;
  /**
   * Kinetic energy at the end.
   */
  kinetic_j: number;
  /**
   * Energy still in the line at the end.
   */
  stored_j: number;
  /**
   * Energy turned to heat in ground, line and tyres.
   */
  dissipated_j: number;
  /**
   * What is left over as a share of what was put in (ideally 0).
   */
  error_share: number;
}
/**
 * The pull in time; all lists have the same length.
 */
export interface PullSeries {
  /**
   * Time from the start of the run.
   */
  time_s: number[];
  /**
   * Tension.
   */
  force_n: number[];
  /**
   * Stretch beyond rest length (0 while slack).
   */
  stretch_m: number[];
  /**
   * Speed of the tug.
   */
  tug_speed_m_s: number[];
  /**
   * Speed of the casualty.
   */
  casualty_speed_m_s: number[];
  /**
   * Movement of the casualty.
   */
  casualty_movement_m: number[];
}
/**
 * Run-up speeds between shifting it and overloading something.
 */
export interface RunUpWindow {
  /**
   * Least speed that shifts the casualty with the wanted probability; null when none does.
   */
  least_m_s: number | null;
  /**
   * Greatest speed that keeps every link and person inside policy; null when none does.
   */
  greatest_m_s: number | null;
  /**
   * Whether nothing is left between them.
   */
  empty: boolean;
  /**
   * Which link, person or rule sets the greatest speed.
   */
  limited_by: string;
  /**
   * In words: the window, or what closes it.
   */
  words: string;
  /**
   * How the greatest speed is set, in words.
   */
  limited_how: string;
  /**
   * Slowest speed that is in the window whatever the sampling error; null when none is.
   */
  sure_least_m_s: number | null;
  /**
   * Fastest such speed; null when none is.
   */
  sure_greatest_m_s: number | null;
  /**
   * Slowest speed that the sampling error does not rule out; null when it rules out all.
   */
  possible_least_m_s: number | null;
  /**
   * Fastest such speed; null when it rules out all.
   */
  possible_greatest_m_s: number | null;
  /**
   * What would open an empty window; null when it is open.
   */
  opened_by: string | null;
  /**
   * What policy asks of the chances.
   */
  asked: AskedChances;
  /**
   * Peak tension and movement against speed, at the design resistance.
   */
  curve: WindowPoint[];
  /**
   * Chances against speed, from standstill to past the rule and the plan.
   */
  chances: SpeedChances[];
}
/**
 * What policy asks of the chances of a pull.
 */
export interface AskedChances {
  /**
   * Least probability that it shifts.
   */
  shifts: number;
  /**
   * Greatest probability that a part passes its working load limit.
   */
  passes_wll: number;
  /**
   * Greatest probability that a part lets go.
   */
  lets_go: number;
  /**
   * Greatest probability that any one other limit of policy is passed: what a link
   * may carry, how hard the people in the tug are braked.
   */
  past_limit: number;
}
/**
 * One speed of the window's curve.
 */
export interface WindowPoint {
  /**
   * Run-up speed.
   */
  speed_m_s: number;
  /**
   * Peak tension.
   */
  peak_force_n: number;
  /**
   * Movement of the casualty at the resistance met with the wanted probability.
   */
  movement_m: number;
}
/**
 * Chances at one run-up speed.
 */
export interface SpeedChances {
  /**
   * Run-up speed planned; the speed as driven varies about it.
   */
  speed_m_s: number;
  /**
   * That the casualty moves as far as asked.
   */
  shifts: Probability;
  /**
   * That a part passes its working load limit.
   */
  passes_wll: Probability;
  /**
   * That a part lets go.
   */
  lets_go: Probability;
  /**
   * That any other limit of policy is passed, for each by name.
   */
  past_limits: LimitChance[];
  /**
   * Where the speed stands.
   */
  stands: SpeedStands;
}
/**
 * Chance that a limit of policy is passed.
 */
export interface LimitChance {
  /**
   * Name of the link, or `people in the tug`.
   */
  name: string;
  /**
   * That its limit is passed.
   */
  passes: Probability;
}
/**
 * One of a row of pulls.
 */
export interface RepeatPull {
  /**
   * Number of the pull, from 1.
   */
  number: number;
  /**
   * Peak tension.
   */
  peak_force_n: number;
  /**
   * Movement of the casualty in this pull.
   */
  movement_m: number;
  /**
   * Length the line has not taken back before this pull.
   */
  set_m: number;
}
/**
 * Chances at the run-up speed.
 */
export interface PullChances {
  /**
   * That the casualty moves as far as asked.
   */
  shifts: number;
  /**
   * That some link passes its working load limit.
   */
  passes_wll: number;
  /**
   * That some link lets go.
   */
  parts: number;
  /**
   * Number of samples behind these.
   */
  samples: number;
}
/**
 * A winch haul in time with the rig shown.
 */
export interface WinchHaul {
  /**
   * What drives it: electric, hydraulic, hand.
   */
  drive: string;
  /**
   * Its rated pull on the first layer.
   */
  rated_pull_n: number;
  /**
   * What its figures were filled in from; null if the plan gives them all.
   */
  preset: string | null;
  /**
   * Its data-plate in words, one line each.
   */
  plate: string[];
  /**
   * The line and the drum it is on.
   */
  drum: WinchDrum;
  /**
   * Pull at the casualty over line pull at the winch, friction in.
   */
  advantage: number;
  /**
   * Line hauled in for a metre of casualty movement.
   */
  haul_per_metre: number;
  /**
   * How far the casualty is wanted to move.
   */
  distance_m: number;
  /**
   * The haul against the resistance that a rig is designed for.
   */
  design: HaulCourse;
  /**
   * The haul against the median resistance.
   */
  median: HaulCourse;
  /**
   * What the answer takes for the winch, with its sources.
   */
  model: string;
}
/**
 * The drum with its line.
 */
export interface WinchDrum {
  /**
   * Name of the line.
   */
  line: string;
  /**
   * Its length.
   */
  line_length_m: number;
  /**
   * Its diameter.
   */
  line_diameter_m: number;
  /**
   * The layer that the plan says is in use; the load path is worked out on it.
   */
  layer_planned: number;
  /**
   * Line paid out when the haul begins.
   */
  paid_out_m: number;
  /**
   * Wraps on the drum then.
   */
  wraps_left: number;
  /**
   * Wraps that stay on the drum whatever happens.
   */
  least_wraps: number;
  /**
   * Most line that can be paid out with those wraps left.
   */
  most_paid_out_m: number;
  /**
   * Line that the drum holds; null where its flanges are not known.
   */
  holds_m: number | null;
  /**
   * The layers of the whole line, from the bare drum up.
   */
  layers: WinchLayer[];
}
/**
 * One layer of the drum.
 */
export interface WinchLayer {
  /**
   * Number of the layer, from 1.
   */
  layer: number;
  /**
   * Rated line pull on it.
   */
  rated_pull_n: number;
  /**
   * Line pull at which the winch stalls on it, at the start of the haul.
   */
  stall_pull_n: number;
  /**
   * Line paid out when it is full.
   */
  paid_out_when_full_m: number;
}
/**
 * One haul from its start to its end.
 */
export interface HaulCourse {
  /**
   * Resistance to be overcome, suction with it.
   */
  break_out_n: number;
  /**
   * Resistance once moving.
   */
  sliding_n: number;
  /**
   * Pull at the casualty at which the anchoring vehicle moves instead. Against
   * the design resistance its hold is taken as low as that is high.
   */
  walks_at_n: number;
  /**
   * How it ended.
   */
  end: HaulEnd;
  /**
   * The same in words.
   */
  end_words: string;
  /**
   * Movement of the casualty.
   */
  movement_m: number;
  /**
   * Line hauled in.
   */
  line_in_m: number;
  /**
   * Time, rests included.
   */
  time_s: number;
  /**
   * Time spent resting.
   */
  resting_s: number;
  /**
   * Number of rests.
   */
  rests: number;
  /**
   * Time of hauling before the first rest; null if there is none.
   */
  first_rest_after_s: number | null;
  /**
   * First layer that winds.
   */
  first_layer: number;
  /**
   * Last layer that winds.
   */
  last_layer: number;
  /**
   * Greatest line pull.
   */
  greatest_line_pull_n: number;
  /**
   * Greatest share used of what the winch may pull on the layer; 1 where it
   * stops there.
   */
  share_of_pull: number;
  /**
   * Greatest share of the pull at which it would stall.
   */
  share_of_stall: number;
  /**
   * What sets the pull of the layer where most of it was used.
   */
  limited_by: string;
  /**
   * Electric winches: current, voltage, heat, battery; null for others.
   */
  electric: HaulElectric | null;
  /**
   * Greatest pressure of a hydraulic winch; null for others.
   */
  greatest_pressure_pa: number | null;
  /**
   * Greatest force on the handle of a hand winch; null for others.
   */
  greatest_handle_n: number | null;
  /**
   * What happened when.
   */
  events: PullEvent[];
  /**
   * Where the energy went.
   */
  energy: HaulEnergy;
  /**
   * The haul in time.
   */
  series: HaulSeries;
}
/**
 * What a haul asks of motor and battery.
 */
export interface HaulElectric {
  /**
   * Greatest current.
   */
  greatest_current_a: number;
  /**
   * Least voltage at the winch while it turns; null if it never does.
   */
  least_volts_v: number | null;
  /**
   * Hottest winding.
   */
  hottest_winding_c: number;
  /**
   * Temperature at which it rests.
   */
  winding_limit_c: number;
  /**
   * State of charge at the end.
   */
  charge_left_share: number;
  /**
   * State of charge at which a haul is given up.
   */
  charge_least_share: number;
}
/**
 * Where the energy of a haul came from and where it went.
 */
export interface HaulEnergy {
  /**
   * Out of the battery; below 0 if it ends fuller.
   */
  battery_j: number;
  /**
   * Out of the alternator.
   */
  alternator_j: number;
  /**
   * Out of the engine through the pump.
   */
  engine_j: number;
  /**
   * Out of a person.
   */
  person_j: number;
  /**
   * Heat in the battery.
   */
  battery_heat_j: number;
  /**
   * Heat in the cable.
   */
  cable_heat_j: number;
  /**
   * Heat in the winding.
   */
  winding_heat_j: number;
  /**
   * Heat in gear, brake and oil.
   */
  gear_heat_j: number;
  /**
   * Work on the line.
   */
  line_j: number;
  /**
   * Heat in the blocks of the rig.
   */
  rig_heat_j: number;
  /**
   * Work on the casualty.
   */
  casualty_j: number;
  /**
   * What is left over as a share of what passed (ideally 0).
   */
  error_share: number;
}
/**
 * The haul in time; all lists have the same length.
 */
export interface HaulSeries {
  /**
   * Time from the start of the haul, rests included.
   */
  time_s: number[];
  /**
   * Line hauled in.
   */
  line_in_m: number[];
  /**
   * Movement of the casualty.
   */
  movement_m: number[];
  /**
   * Layer that winds.
   */
  layer: number[];
  /**
   * Line pull at the winch; while it rests its brake holds the line loaded.
   */
  line_pull_n: number[];
  /**
   * Line speed.
   */
  line_speed_m_s: number[];
  /**
   * Power taken in.
   */
  power_in_w: number[];
  /**
   * Power on the line.
   */
  power_out_w: number[];
  /**
   * Current; null unless electric, as are the next three.
   */
  current_a: number[] | null;
  /**
   * Voltage at the winch.
   */
  volts_v: number[] | null;
  /**
   * Temperature of the winding.
   */
  winding_c: number[] | null;
  /**
   * State of charge of the battery.
   */
  charge_share: number[] | null;
  /**
   * Pressure; null unless hydraulic.
   */
  pressure_pa: number[] | null;
  /**
   * Force on the handle; null unless by hand.
   */
  handle_n: number[] | null;
}
/**
 * What comes back if a part lets go.
 */
export interface LetGo {
  /**
   * Tension at which each link is taken to let go, in words.
   */
  load_case: string;
  /**
   * One case a side of each link that could part; empty for a rig laid out on the ground.
   */
  cases: LetGoCase[];
  /**
   * One a part of a rig laid out on the ground; empty for a straight rig.
   */
  partings: Parting[];
  /**
   * Faces of the vehicles that what flies strikes in the scattered runs behind the
   * zone, hardest first; empty for a rig laid out on the ground.
   */
  faces: FaceStruck[];
  /**
   * Name of the link whose failure arrives with the most energy.
   */
  worst: string | null;
  /**
   * Energy at which a fragment counts as hazardous.
   */
  injury_energy_j: number;
  /**
   * Where that figure comes from.
   */
  injury_source: string;
  /**
   * What stands in the way of what flies: no vehicle is taken to shelter anybody.
   */
  shelter: string;
  /**
   * Why there are no cases, if there are none.
   */
  missing: string | null;
}
/**
 * One link lets go.
 */
export interface LetGoCase {
  /**
   * The link that lets go.
   */
  link: string;
  /**
   * The vehicle that this side of it parted from; what is left flies to the other.
   */
  parts_at: Side;
  /**
   * What flies, in words.
   */
  flies: string;
  /**
   * Tension when it lets go.
   */
  tension_n: number;
  /**
   * Energy stored in the line then.
   */
  stored_energy_j: number;
  /**
   * Mass of the hardware at the free end.
   */
  hardware_mass_kg: number;
  /**
   * Greatest speed of the free end.
   */
  launch_speed_m_s: number;
  /**
   * Greatest energy of the hardware (or of the line's last half metre where there is none).
   */
  launch_energy_j: number;
  /**
   * At the far vehicle, with the dampers and tethers planned; null when it does not get there.
   */
  arrival: Arrival | null;
  /**
   * The same without dampers or tethers.
   */
  arrival_bare: Arrival | null;
  /**
   * Energy of all that arrives together, dampers included, over the injury criterion.
   */
  times_injury: number;
  /**
   * Energy passing each distance from the far vehicle's side of the break.
   */
  energy_along: EnergyAt[];
  /**
   * Where the free end is when it has come to rest, or is too slow to matter, as if no
   * vehicle stood in its way.
   */
  rests_x_m: number;
  /**
   * The same, to the side.
   */
  rests_y_m: number;
  /**
   * How far past the far recovery point it gets, still held by the line, as if no
   * vehicle stood there.
   */
  reach_m: number;
  /**
   * How far past the far recovery point it could skip and slide if it came off the
   * line, as if no vehicle stood there.
   */
  free_reach_m: number;
  /**
   * What each damper does.
   */
  dampers: DamperFlight[];
  /**
   * What each tether does.
   */
  tethers: TetherOutcome[];
  /**
   * How far the far vehicle has moved by the time a tether parts, or by arrival.
   */
  vehicle_moved_m: number;
  /**
   * Energy left over by the run as a share of what was stored (ideally 0).
   */
  audit_error_share: number;
  /**
   * Everything that flies on this side, what it meets, what stays behind.
   */
  side: FlyingSide;
  /**
   * The free end in time.
   */
  path: FlightPath;
}
/**
 * Arrival of the free end at the far vehicle.
 */
export interface Arrival {
  /**
   * When, after the link let go.
   */
  time_s: number;
  /**
   * How fast.
   */
  speed_m_s: number;
  /**
   * Energy of the hardware alone, or of the line's last half metre where there
   * is none. A damper that comes with it is told under `dampers`.
   */
  energy_j: number;
  /**
   * How high above the ground.
   */
  height_m: number;
  /**
   * What it meets: ground, body, screen, over the roof.
   */
  strikes: string;
}
/**
 * Energy of the free end as it passes a place.
 */
export interface EnergyAt {
  /**
   * Distance flown along the line of pull from where it let go.
   */
  distance_m: number;
  /**
   * Energy there.
   */
  energy_j: number;
}
/**
 * What a damper does.
 */
export interface DamperFlight {
  /**
   * Its name.
   */
  name: string;
  /**
   * Its greatest speed.
   */
  speed_m_s: number;
  /**
   * Its greatest energy: a damper is itself a projectile.
   */
  energy_j: number;
  /**
   * How far its grip slipped along the line.
   */
  slipped_m: number;
}
/**
 * What a tether does.
 */
export interface TetherOutcome {
  /**
   * Its name.
   */
  name: string;
  /**
   * Whether it parts.
   */
  parts: boolean;
  /**
   * When it parts.
   */
  parts_at_s: number | null;
  /**
   * Greatest load in it.
   */
  peak_load_n: number;
  /**
   * Energy it can take up.
   */
  energy_capacity_j: number;
  /**
   * Energy the recoil asks of it.
   */
  energy_asked_j: number;
}
/**
 * One side of a link that lets go: what flies, what it meets, what stays behind.
 */
export interface FlyingSide {
  /**
   * The vehicle to which it flies.
   */
  flies_to: Side;
  /**
   * Where the link parts, in words.
   */
  parts: string;
  /**
   * For a line that parts inside: how far from its casualty end, at rest; the worst of
   * the places tried.
   */
  inside_at_m: number | null;
  /**
   * The places along the line that were tried; empty where it does not part inside.
   */
  places: BreakPlace[];
  /**
   * What stays on the other vehicle, in words.
   */
  stays: string;
  /**
   * Mass of the hardware that stays there.
   */
  stays_mass_kg: number;
  /**
   * A bridle that snaps back to the other vehicle.
   */
  snaps_back: SnapBack | null;
  /**
   * The face of the vehicle that the line comes to, in words.
   */
  comes_to: string;
  /**
   * Everything that flies on this side.
   */
  things: FlyingThing[];
  /**
   * The crack of the tail; null where the run did not come so far.
   */
  whip: Whip | null;
}
/**
 * A place along a line at which it was tried to part.
 */
export interface BreakPlace {
  /**
   * How far along the line, at rest, from its end that comes first in its path or run.
   */
  at_m: number;
  /**
   * Greatest speed of the tail's end.
   */
  speed_m_s: number;
  /**
   * Energy of its last half metre with any damper that it picked up: as it arrives
   * (0 if it does not); in a rig laid out on the ground the greatest, as it leaves.
   */
  energy_j: number;
}
/**
 * A bridle that snaps back to its own vehicle: upper bounds.
 */
export interface SnapBack {
  /**
   * Its apex, with what hangs on it, is no faster.
   */
  speed_m_s: number;
  /**
   * Energy at that speed.
   */
  energy_j: number;
}
/**
 * Something that flies.
 */
export interface FlyingThing {
  /**
   * What, in words.
   */
  what: string;
  /**
   * What sort.
   */
  sort: FlyingSort;
  /**
   * Its mass.
   */
  mass_kg: number;
  /**
   * Greatest speed before it strikes.
   */
  speed_m_s: number;
  /**
   * Greatest energy before it strikes; of hardware with dampers that it carries.
   */
  energy_j: number;
  /**
   * What it meets at the vehicle.
   */
  meets: Meeting;
  /**
   * The strike, if it strikes.
   */
  strike: Strike | null;
  /**
   * How it passes the end of the vehicle, if it does not strike.
   */
  passes: Passes | null;
  /**
   * Where it comes to rest if no vehicle is in its way, along the line of pull: what
   * strikes one is followed on as if nothing stood there.
   */
  rests_x_m: number;
  /**
   * The same, to the side.
   */
  rests_y_m: number;
  /**
   * Stretches of its way over the injury criteria.
   */
  hazardous: Hazardous[];
}
/**
 * The first strike on the vehicle.
 */
export interface Strike {
  /**
   * On which face.
   */
  face: BodyFace;
  /**
   * When, after the link let go.
   */
  time_s: number;
  /**
   * How high above the ground.
   */
  height_m: number;
  /**
   * How far behind the face with the recovery point.
   */
  behind_m: number;
  /**
   * How far to the left of the line of pull, seen from the casualty to the tug.
   */
  side_m: number;
  /**
   * How fast.
   */
  speed_m_s: number;
  /**
   * Speed square to the face.
   */
  normal_speed_m_s: number;
  /**
   * With what kinetic energy.
   */
  energy_j: number;
  /**
   * Energy of the ball in the published windscreen test; null unless it strikes glass.
   */
  windscreen_test_j: number | null;
  /**
   * What stands before the glass there, outermost first.
   */
  shields: Shield[];
  /**
   * Whether something rated for it holds it; null where no glass is behind it.
   */
  glass_is_guarded: boolean | null;
}
/**
 * Something before the glass.
 */
export interface Shield {
  /**
   * What it is.
   */
  what: string;
  /**
   * Whether it holds: `true` by its stated rating, `null` where nobody can say.
   * What is `null` never counts as protection.
   */
  holds: boolean | null;
  /**
   * Its stated rating.
   */
  rated_energy_j: number | null;
  /**
   * Rating over the energy that strikes.
   */
  margin: number | null;
  /**
   * Estimate of the energy that perforates it, low and high.
   *
   * @minItems 2
   * @maxItems 2
   */
  perforated_from_j: [number, number] | null;
  /**
   * What that rests on.
   */
  source: string;
}
/**
 * How a thing passes the end of the vehicle.
 */
export interface Passes {
  /**
   * When.
   */
  time_s: number;
  /**
   * How high.
   */
  height_m: number;
  /**
   * How far to the left of the line of pull.
   */
  side_m: number;
  /**
   * How fast.
   */
  speed_m_s: number;
  /**
   * With what energy.
   */
  energy_j: number;
}
/**
 * The stretch of the way over an injury criterion.
 */
export interface Hazardous {
  /**
   * The criterion.
   */
  criterion_j: number;
  /**
   * Where it comes from.
   */
  source: string;
  /**
   * One end of the stretch, along the line of pull from the casualty's recovery point.
   */
  from_x_m: number;
  /**
   * The other end.
   */
  to_x_m: number;
  /**
   * Least height on it.
   */
  lowest_m: number;
  /**
   * Greatest height on it.
   */
  highest_m: number;
  /**
   * What of a standing person is at those heights.
   */
  body: string;
}
/**
 * The crack of the tail, after the launch: its end turns, or the line comes tight.
 */
export interface Whip {
  /**
   * Speed of the last half metre in this run: a chain of segments smooths a crack,
   * so it is a lower figure.
   */
  at_least_m_s: number;
  /**
   * No more than if all the energy that the line gave back were in that half metre.
   */
  at_most_m_s: number;
  /**
   * When, in this run.
   */
  time_s: number;
  /**
   * Where, along the line of pull; x of the plan for a rig laid out on the ground.
   */
  x_m: number;
  /**
   * Where, to the side; y of the plan for a rig laid out on the ground.
   */
  y_m: number;
  /**
   * How high.
   */
  height_m: number;
}
/**
 * The free end in time; all lists have the same length.
 */
export interface FlightPath {
  /**
   * Time after the link let go.
   */
  time_s: number[];
  /**
   * Along the line of pull.
   */
  x_m: number[];
  /**
   * To the side.
   */
  y_m: number[];
  /**
   * Above the ground.
   */
  z_m: number[];
  /**
   * Speed.
   */
  speed_m_s: number[];
}
/**
 * A part lets go. Places are in the plan's own frame.
 */
export interface Parting {
  /**
   * The part's name in the plan.
   */
  part: string;
  /**
   * What it is.
   */
  what: string;
  /**
   * Where in the rig, by the names of its neighbours.
   */
  at: string;
  /**
   * Where that is.
   */
  x_m: number;
  /**
   * Where that is.
   */
  y_m: number;
  /**
   * Height in the plan's frame.
   */
  z_m: number;
  /**
   * Its load when it lets go.
   */
  load_n: number;
  /**
   * Energy that comes free.
   */
  released_energy_j: number;
  /**
   * The runs that go slack.
   */
  freed: FreedRun[];
  /**
   * What is left holding the casualty, in words.
   */
  holding: string;
  /**
   * Runs that can still carry load.
   */
  runs_left: string[];
  /**
   * Runs that still hold the casualty; empty when nothing does.
   */
  casualty_held_by: string[];
  /**
   * Slack that runs out before they do, where it is known.
   */
  slack_m: number | null;
  /**
   * What flies, most energetic first.
   */
  flights: Flight[];
  /**
   * To which sides things fly, in words.
   */
  side: string;
  /**
   * Energy of the most energetic flight as it leaves, over the injury criterion.
   */
  times_injury: number;
}
/**
 * A run that goes slack.
 */
export interface FreedRun {
  /**
   * Its name in the plan.
   */
  run: string;
  /**
   * Its greatest tension before.
   */
  tension_n: number;
  /**
   * Energy that it gives back.
   */
  energy_j: number;
}
/**
 * Something that flies.
 */
export interface Flight {
  /**
   * What, in words.
   */
  what: string;
  /**
   * A block, ring or join thrown by the lines left on it, as against an end of line.
   */
  thrown: boolean;
  /**
   * Mass of the hardware; 0 for a bare end of line.
   */
  mass_kg: number;
  /**
   * From where.
   */
  from_x_m: number;
  /**
   * From where.
   */
  from_y_m: number;
  /**
   * Direction in which it leaves, anticlockwise from the frame's x axis.
   */
  heading_deg: number;
  /**
   * How steeply it leaves upwards.
   */
  climb_deg: number;
  /**
   * Greatest speed.
   */
  speed_m_s: number;
  /**
   * Energy of the hardware then, or of the last half metre of a bare end.
   */
  energy_j: number;
  /**
   * Whether speed and energy are upper bounds, as against worked out in time.
   */
  upper_bound: boolean;
  /**
   * Where it first touches the ground if it comes off the line.
   */
  lands_x_m: number | null;
  /**
   * Where it first touches the ground if it comes off the line.
   */
  lands_y_m: number | null;
  /**
   * How far from where it let go it could skip and slide in all.
   */
  runs_on_m: number | null;
  /**
   * The vehicle at which its line ends, if it strikes that.
   */
  strikes_vehicle: Side | null;
  /**
   * The strike, if it comes off the line at its greatest speed; its `side_m` is to
   * the left of its own way.
   */
  strike: Strike | null;
  /**
   * For the tail of a line that parts inside: how far along the line, at rest, from
   * its end that its run comes to first; the worst of the places tried.
   */
  inside_at_m: number | null;
  /**
   * The places along the line that were tried; empty where it does not part inside.
   */
  places: BreakPlace[];
  /**
   * The crack of the tail; null for what is thrown, for an upper bound, and where the
   * run did not come so far.
   */
  whip: Whip | null;
  /**
   * Stretches of its way on its line over the injury criteria; empty for what is
   * thrown and for an upper bound.
   */
  hazardous: HazardousWay[];
  /**
   * The same if it comes off the line at its greatest speed, flight and slide.
   */
  hazardous_off_line: HazardousWay[];
  /**
   * To which side, in words.
   */
  side: string;
}
/**
 * The stretch of a way over an injury criterion, in a rig laid out on the ground.
 */
export interface HazardousWay {
  /**
   * The criterion.
   */
  criterion_j: number;
  /**
   * Where it comes from.
   */
  source: string;
  /**
   * Where the stretch begins, in the plan's frame.
   */
  from_x_m: number;
  /**
   * Where it begins.
   */
  from_y_m: number;
  /**
   * Where it ends.
   */
  to_x_m: number;
  /**
   * Where it ends.
   */
  to_y_m: number;
  /**
   * How long it is.
   */
  length_m: number;
  /**
   * Least height above the ground on it.
   */
  lowest_m: number;
  /**
   * Greatest height on it.
   */
  highest_m: number;
  /**
   * What of a standing person is at those heights.
   */
  body: string;
}
/**
 * A face that is struck in the scattered runs behind the zone.
 */
export interface FaceStruck {
  /**
   * The vehicle.
   */
  vehicle: Side;
  /**
   * The face.
   */
  face: BodyFace;
  /**
   * In how many of the runs that fly to this vehicle.
   */
  strikes: number;
  /**
   * How many runs fly to it.
   */
  runs: number;
  /**
   * Link that strikes it hardest.
   */
  link: string;
  /**
   * Greatest speed of a strike.
   */
  speed_m_s: number;
  /**
   * Greatest energy of a strike.
   */
  energy_j: number;
  /**
   * What stands before the glass, against that strike.
   */
  shields: Shield[];
  /**
   * Whether something rated for it holds that strike; null where no glass is behind it.
   */
  glass_is_guarded: boolean | null;
}
/**
 * How far back people stand, in plan, to scale.
 */
export interface Standoff {
  /**
   * The rule distance from either vehicle and from the line.
   */
  rule_m: number;
  /**
   * The rule in words, with its source.
   */
  rule: string;
  /**
   * Greatest computed reach beyond either vehicle's recovery point.
   */
  computed_reach_m: number;
  /**
   * Whether the computed zone is larger than the rule anywhere.
   */
  computed_governs: boolean;
  /**
   * Quantile of the computed zone.
   */
  quantile: number;
  /**
   * Runs behind it.
   */
  runs: number;
  /**
   * Runs that failed and are not in it (ideally 0).
   */
  failed_runs: number;
  /**
   * Corners of the zone: nobody inside while the line is loaded.
   */
  zone: PlanPoint[];
  /**
   * Corners of the rule's share of it.
   */
  rule_zone: PlanPoint[];
  /**
   * Greatest distance from the casualty's recovery point, away from the tug; for a
   * rig laid out on the ground to the edge, where that point is nearest to it.
   */
  behind_casualty_m: number;
  /**
   * Greatest distance from the tug's recovery point or winch, in the same way.
   */
  behind_tug_m: number;
  /**
   * Greatest distance to either side of the line; for a rig laid out on the ground
   * from the nearest line to the edge, where no vehicle's point is nearer.
   */
  beside_m: number;
  /**
   * The vehicles, lines, dampers and blocks to scale.
   */
  outlines: Outline[];
  /**
   * Who stands where.
   */
  places: Place[];
  /**
   * Parts of the zone with a danger of their own: the bights of a rig laid out on
   * the ground. Empty for a straight rig.
   */
  danger_areas: DangerArea[];
}
/**
 * A point in plan.
 *
 * A straight rig lies along its own line of pull; a rig laid out on the ground
 * lies in the frame of its plan file.
 */
export interface PlanPoint {
  /**
   * Along the line of pull from the casualty's recovery point towards the tug;
   * x of the plan for a rig laid out on the ground.
   */
  x_m: number;
  /**
   * To the left of that.
   */
  y_m: number;
}
/**
 * Something drawn in plan.
 */
export interface Outline {
  /**
   * What it is: casualty, tug, line, damper, recovery point; in a rig laid out
   * on the ground also winch, block, ring, bridle apex, and the sorts of
   * anchor (anchor tree, pickets, deadman, plate, vehicle; else anchor alone).
   */
  what: string;
  /**
   * Its name.
   */
  name: string;
  /**
   * Whether the last corner joins the first.
   */
  closed: boolean;
  /**
   * Its corners.
   */
  points: PlanPoint[];
  /**
   * Tension of a part of line, in a rig laid out on the ground.
   */
  tension_n: number | null;
}
/**
 * Where a group of people stands.
 */
export interface Place {
  /**
   * Who.
   */
  who: string;
  /**
   * Where, in words with distances.
   */
  place: string;
}
/**
 * A part of the zone with a danger of its own.
 */
export interface DangerArea {
  /**
   * What it is called.
   */
  name: string;
  /**
   * Why nobody goes in.
   */
  why: string;
  /**
   * Its corners, anticlockwise.
   */
  corners: PlanPoint[];
}
/**
 * Lowering the casualty down a slope. Distances are those of its upper axle
 * along the ground from the top of the way, unless said otherwise.
 */
export interface Lowering {
  /**
   * The main line.
   */
  line: string;
  /**
   * What holds it back, in words.
   */
  held_by: string;
  /**
   * What that is fixed to.
   */
  anchor: string;
  /**
   * Whether the nose points down the way.
   */
  nose_down: boolean;
  /**
   * Distance between the axles.
   */
  wheelbase_m: number;
  /**
   * Place at the start.
   */
  from_m: number;
  /**
   * Place at the end.
   */
  to_m: number;
  /**
   * The ground, from the anchor to past the end.
   */
  way: WayPoint[];
  /**
   * Tension in the line at the vehicle where it is greatest, as a range.
   */
  greatest: ForceRange;
  /**
   * The same at the policy's design quantile: the load for every part.
   */
  greatest_design_n: number;
  /**
   * Where that is.
   */
  greatest_at_m: number;
  /**
   * Tension at the holder there, after edges and blocks.
   */
  at_holder: ForceRange;
  /**
   * The holding force along the way.
   */
  series: LoweringSeries;
  /**
   * How it tips over an edge on its chassis; null if it does not.
   */
  rocks: Rocking | null;
  /**
   * First place where the chassis bears on the ground; null if it clears it.
   */
  belly_from_m: number | null;
  /**
   * Last such place.
   */
  belly_to_m: number | null;
  /**
   * Least share of the weight on the upper axle; under 0 it pitches over.
   */
  upper_axle_share: number;
  /**
   * Paying out.
   */
  pay_out: PayOut;
  /**
   * Every part of the main line that could let go, vehicle end first.
   */
  parts: LoweringPart[];
  /**
   * The worst run-away with nothing to catch.
   */
  run_away: RunAway;
  /**
   * The belay; null if there is none.
   */
  belay: Belay | null;
  /**
   * How far everybody without a task keeps from vehicle, lines and anchors.
   */
  standoff_m: number;
  /**
   * The rule behind that.
   */
  standoff_rule: string;
  /**
   * What was taken into account and what was not.
   */
  models: string[];
}
/**
 * A place on the ground.
 */
export interface WayPoint {
  /**
   * Level distance from the top of the way.
   */
  level_m: number;
  /**
   * Height over the top of the way.
   */
  height_m: number;
  /**
   * Slope, positive where it falls.
   */
  slope_deg: number;
}
/**
 * The holding force along the way; all lists are as long.
 */
export interface LoweringSeries {
  /**
   * Place.
   */
  distance_m: number[];
  /**
   * Median tension at the vehicle.
   */
  hold_n: number[];
  /**
   * 5 % quantile.
   */
  hold_low_n: number[];
  /**
   * 95 % quantile.
   */
  hold_high_n: number[];
  /**
   * Median tension at the holder.
   */
  holder_n: number[];
  /**
   * Pitch of the vehicle, positive down the way.
   */
  pitch_deg: number[];
  /**
   * Share of the weight on the upper bearing (axle, or edge under the chassis).
   */
  upper_share: number[];
  /**
   * Line between anchor and vehicle.
   */
  line_out_m: number[];
  /**
   * Level distance of the foot of the upper wheels.
   */
  upper_level_m: number[];
  /**
   * Height of the foot of the upper wheels.
   */
  upper_height_m: number[];
  /**
   * Level distance of the foot of the lower wheels.
   */
  lower_level_m: number[];
  /**
   * Height of the foot of the lower wheels.
   */
  lower_height_m: number[];
}
/**
 * A rocking over an edge on the chassis.
 */
export interface Rocking {
  /**
   * Where.
   */
  at_m: number;
  /**
   * Pitch before.
   */
  from_deg: number;
  /**
   * Pitch after.
   */
  to_deg: number;
}
/**
 * Paying out, all the way down.
 */
export interface PayOut {
  /**
   * Speed: that wanted, or the winch's if it is slower.
   */
  speed_m_s: number;
  /**
   * Time without a stop.
   */
  time_s: number;
  /**
   * Line between anchor and vehicle at the start.
   */
  out_at_start_m: number;
  /**
   * The most line out.
   */
  out_greatest_m: number;
  /**
   * Line needed, with that on the holder and the tail.
   */
  needed_m: number;
  /**
   * Line there is.
   */
  there_is_m: number;
  /**
   * Greatest force of the tending hand; null on a winch.
   */
  hand: ForceRange | null;
  /**
   * The same at the policy's design quantile.
   */
  hand_design_n: number | null;
  /**
   * Most that a hand holds for minutes.
   */
  hand_limit_n: number | null;
  /**
   * Turns that keep the hand within that; null on a winch.
   */
  turns_needed: number | null;
  /**
   * Heat at the holder.
   */
  heat_j: number;
  /**
   * Heat that a winch's brake is tested with; null for turns.
   */
  heat_limit_j: number | null;
  /**
   * Hottest that what the turns go round gets, no heat lost; null on a winch.
   */
  hottest_c: number | null;
  /**
   * Temperature up to which the line keeps its strength.
   */
  line_stands_c: number;
}
/**
 * One part that could let go.
 */
export interface LoweringPart {
  /**
   * Its name.
   */
  name: string;
  /**
   * What it is.
   */
  kind: string;
  /**
   * Its greatest load at the design quantile.
   */
  load_n: number;
  /**
   * What it may carry; null if that is not known or nothing.
   */
  limit_n: number | null;
  /**
   * Load over limit.
   */
  share_of_limit: number | null;
  /**
   * What the limit is, or why there is none.
   */
  limited_by: string;
  /**
   * Whether it may carry its load.
   */
  within: boolean;
  /**
   * What is left when it lets go.
   */
  left: string;
  /**
   * What the vehicle then does at the worst; null if that is not known.
   */
  then: RunAway | null;
}
/**
 * A run-away: what the vehicle does once it is let go.
 */
export interface RunAway {
  /**
   * Place when it is let go.
   */
  from_m: number;
  /**
   * How it ends: `stays`, `caught`, `line parts`, `tail runs through`, `runs`.
   */
  end: string;
  /**
   * Greatest speed.
   */
  greatest_speed_m_s: number;
  /**
   * Speed when a line comes tight; null if none does.
   */
  taut_speed_m_s: number | null;
  /**
   * Peak tension in the line that catches; 0 if none does.
   */
  peak_force_n: number;
  /**
   * Way run to standstill; null if it does not stop in sight.
   */
  ran_m: number | null;
  /**
   * Way from the line coming tight to standstill; null if it is not caught.
   */
  stopping_m: number | null;
  /**
   * Line let through by the device.
   */
  slipped_m: number;
  /**
   * Speed at the end of the way; null if it does not get there.
   */
  foot_speed_m_s: number | null;
  /**
   * How far past the end it stops; null if it does not get there, or not stop.
   */
  past_foot_m: number | null;
  /**
   * Time to standstill, or to the end of the way if it does not stop.
   */
  time_s: number;
  /**
   * Energy the sums lost or made, over what was put in.
   */
  audit_error_share: number;
  /**
   * Its course.
   */
  series: RunAwaySeries;
}
/**
 * The course of a run-away; all lists are as long.
 */
export interface RunAwaySeries {
  /**
   * Time from the parting.
   */
  time_s: number[];
  /**
   * Place.
   */
  distance_m: number[];
  /**
   * Speed.
   */
  speed_m_s: number[];
  /**
   * Tension in the line that catches.
   */
  force_n: number[];
}
/**
 * The belay.
 */
export interface Belay {
  /**
   * Its line.
   */
  line: string;
  /**
   * What it is fixed to.
   */
  anchor: string;
  /**
   * The casualty's point.
   */
  point: string;
  /**
   * Slack kept.
   */
  slack_m: number;
  /**
   * Force at which its device slips; null for a fixed one.
   */
  slips_at_n: number | null;
  /**
   * Whether it catches from every place, line, anchor and point all standing.
   */
  catches: boolean;
  /**
   * That in words.
   */
  words: string;
  /**
   * Highest peak on it from any place.
   */
  peak_force_n: number;
  /**
   * What its line may carry in a catch: strength over the policy's factor.
   */
  limit_n: number;
  /**
   * Strength of its line as it is.
   */
  strength_n: number;
  /**
   * What its anchor holds; null if that is not known.
   */
  anchor_holds_n: number | null;
  /**
   * What its point may carry; null if that is not known or nothing.
   */
  point_limit_n: number | null;
  /**
   * Line needed.
   */
  needed_m: number;
  /**
   * Line there is.
   */
  there_is_m: number;
  /**
   * The worst catch.
   */
  worst: RunAway;
  /**
   * Place from which each run-away below starts.
   */
  from_m: number[];
  /**
   * Peak on the belay in each.
   */
  peaks_n: number[];
}
/**
 * One thing noticed.
 */
export interface Finding {
  /**
   * How bad.
   */
  severity: Severity;
  /**
   * A stable word for the kind of finding.
   */
  code: string;
  /**
   * What it is about.
   */
  subject: string;
  /**
   * What is so.
   */
  message: string;
  /**
   * What to do about it.
   */
  remedy: string;
  /**
   * The published source, or `common practice`.
   */
  source: string;
}
/**
 * A brief to print.
 */
export interface BriefRequest {
  /**
   * The plan file as text.
   */
  plan: string;
  /**
   * Texts of the line files that the plan names, by name.
   */
  lines?: {
    [k: string]: string;
  };
  /**
   * As what.
   */
  format: BriefFormat;
  /**
   * In which units people read it.
   */
  units: ReadUnits;
}
/**
 * A recovery under everything that is not known: how likely it is to work and to
 * break, what breaks first, how far things fly, and what drives all that.
 */
export interface Chance {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * The plan in short, and every default that was filled in.
   */
  plan: PlanSummary;
  /**
   * One line, such as `Do not pull with this rig`.
   */
  headline: string;
  /**
   * What an instructor reads first, one sentence each.
   */
  summary: string[];
  /**
   * What the study is of.
   */
  studied: ChanceStudied;
  /**
   * The method studied; null of a plan without a rig.
   */
  method: MethodName | null;
  /**
   * Its rig: the parts in order from the casualty; empty without one.
   */
  rig: string[];
  /**
   * Whether the tool proposed the rig.
   */
  proposed: boolean;
  /**
   * Whether the casualty is dug out first, as the verdict on the method assumes.
   */
  dug_first: boolean;
  /**
   * Wanted speed of the tug when the line comes taut; null unless it is a kinetic pull.
   */
  run_up_m_s: number | null;
  /**
   * How many draws were made and how sure they are.
   */
  sample: ChanceSample;
  /**
   * That the casualty moves before anything lets go: it breaks out under a steady
   * pull, or comes as far as asked in one kinetic pull. Null of a lowering (see
   * `lowering`) and of a plan without a rig (see `by_method`).
   */
  moves: ChanceProbability | null;
  /**
   * The lowering; null of anything else.
   */
  lowering: ChanceLowering | null;
  /**
   * Of a plan without a rig: the methods that the tug alone decides; else empty.
   */
  by_method: ChanceMethod[];
  /**
   * That a part passes its working load limit, after reductions; null where no part
   * has one.
   */
  passes_wll: ChanceProbability | null;
  /**
   * That a part lets go; null where no part has a stated strength.
   */
  lets_go: ChanceProbability | null;
  /**
   * The same with the strengths not drawn but reckoned whole, as the laws they follow,
   * for the load of each draw: much finer where it is rare.
   */
  lets_go_reckoned: ReckonedChance | null;
  /**
   * That each part is the first to go, likeliest first.
   */
  first_to_go: FirstToGo[];
  /**
   * Parts whose strength is not stated: they are not counted among what lets go.
   */
  strength_not_stated: string[];
  /**
   * Resistance to be overcome; null for a casualty that is held fast, and of a
   * lowering.
   */
  resistance_n: Quantiles | null;
  /**
   * The same once dug out; of a plan without a rig, else null.
   */
  resistance_dug_n: Quantiles | null;
  /**
   * What the method can bring to bear at the casualty; null for a kinetic pull, of a
   * lowering and of a plan without a rig.
   */
  brings_n: Quantiles | null;
  /**
   * Greatest pull at the casualty; it stops where a part lets go. Null of a plan
   * without a rig.
   */
  peak_n: Quantiles | null;
  /**
   * Movement in one kinetic pull; null for a steady pull.
   */
  movement_m: Quantiles | null;
  /**
   * Greatest load over working load limit of all parts that have one, a share.
   */
  share_of_wll: Quantiles | null;
  /**
   * Greatest load over breaking strength of all parts that have one, a share.
   */
  share_of_mbs: Quantiles | null;
  /**
   * If a part lets go, each as likely; null where nothing flies.
   */
  if_a_part_lets_go: ChanceFlight | null;
  /**
   * If a part lets go, thing by thing, the most energetic first.
   */
  flights: ChanceFlight[];
  /**
   * Where nobody stands.
   */
  zone: ChanceZone;
  /**
   * What drives the answer: one list a result.
   */
  drivers: Drivers[];
  /**
   * Everything that was drawn, with what it may be and why.
   */
  variables: ChanceVariable[];
  /**
   * What cannot be said, and why.
   */
  not_said: string[];
  /**
   * What to know about these numbers.
   */
  notes: string[];
  /**
   * What was noticed, worst first.
   */
  findings: Finding[];
  /**
   * What holds for every answer.
   */
  cautions: string[];
}
/**
 * How many draws were made and how sure they are.
 */
export interface ChanceSample {
  /**
   * Seed of every draw; the same seed and count give the same answer to the bit.
   */
  seed: number;
  /**
   * Draws of everything that was worked out.
   */
  draws: number;
  /**
   * Further draws that change one group of inputs at a time, for the drivers.
   */
  draws_for_drivers: number;
  /**
   * Let-go runs behind the flights and the zone.
   */
  let_go_runs: number;
  /**
   * Draws and let-go runs that failed and are not in the numbers (ideally 0).
   */
  failed: number;
  /**
   * Confidence of every interval in this answer, a probability.
   */
  confidence: number;
  /**
   * Error asked for: half the width of the intervals, a share. Null for a fixed count.
   */
  error_asked: number | null;
  /**
   * The greatest half width of the intervals of the probabilities it stops by: that it
   * works, that a part passes its WLL, that one lets go; of a lowering that the belay
   * holds; without a rig each method's.
   */
  error_of_probabilities: number;
  /**
   * The greatest half width of the intervals of the greatest pull and of the reach
   * at the policy's quantiles, as a share of them; null where the draws do not bound
   * one of them.
   */
  error_of_quantiles: number | null;
  /**
   * Why it stopped.
   */
  stopped: StoppedBy;
}
/**
 * A probability with its sampling interval.
 */
export interface ChanceProbability {
  /**
   * Share of draws in which it happened.
   */
  estimate: number;
  /**
   * Low end of the interval.
   */
  low: number;
  /**
   * High end of the interval: above nothing even where it never happened.
   */
  high: number;
  /**
   * Draws in which it happened.
   */
  hits: number;
  /**
   * Draws.
   */
  draws: number;
}
/**
 * A lowering by chance.
 */
export interface ChanceLowering {
  /**
   * That the vehicle is held all the way down: the holder and what it is fixed to
   * hold the greatest pull, and no part lets go before.
   */
  held: ChanceProbability;
  /**
   * Greatest pull that holding it asks for, at the vehicle.
   */
  asked_n: Quantiles;
  /**
   * Pull at the vehicle that the holder, and anchors that give way slowly, can hold.
   */
  can_hold_n: Quantiles;
  /**
   * Greatest speed if the main line lets go anywhere on the way with nothing to
   * catch it; of a vehicle that does not stop in sight, that at the end of the way.
   */
  loose_m_s: Quantiles;
  /**
   * The belay, if the main line lets go anywhere on the way; null if there is none.
   */
  belay: ChanceBelay | null;
}
/**
 * Quantiles of a result, in the unit that its field's name ends in.
 */
export interface Quantiles {
  /**
   * The quantiles, rising: 5 %, the middle, 95 % and the policy's.
   */
  at: QuantileAt[];
  /**
   * Draws behind them.
   */
  draws: number;
}
/**
 * One quantile with its sampling interval.
 */
export interface QuantileAt {
  /**
   * Share of draws that stay at or under it.
   */
  level: number;
  /**
   * Its value, in the unit of the result.
   */
  value: number;
  /**
   * Low end of the interval; null where so few draws do not bound it.
   */
  low: number | null;
  /**
   * High end of the interval; null where so few draws do not bound it.
   */
  high: number | null;
}
/**
 * A belay by chance, given that the main line lets go.
 */
export interface ChanceBelay {
  /**
   * That its line and device stop the vehicle.
   */
  stops: ChanceProbability;
  /**
   * That its anchor and its point hold the peak too; null where what one of them
   * holds is not stated.
   */
  holds: ChanceProbability | null;
  /**
   * Peak tension in it.
   */
  peak_n: Quantiles;
}
/**
 * A method that the tug alone decides, of a plan without a rig.
 */
export interface ChanceMethod {
  /**
   * The method.
   */
  method: MethodName;
  /**
   * Whether the casualty is dug out first.
   */
  dug_first: boolean;
  /**
   * That what the tug brings is at least the resistance.
   */
  moves: ChanceProbability;
  /**
   * What it brings to bear at the casualty.
   */
  brings_n: Quantiles;
}
/**
 * A probability as the mean of what each draw leaves open, with its sampling interval.
 */
export interface ReckonedChance {
  /**
   * As found.
   */
  estimate: number;
  /**
   * Low end of the interval.
   */
  low: number;
  /**
   * High end of the interval.
   */
  high: number;
}
/**
 * A part and how likely it is to be the first to go.
 */
export interface FirstToGo {
  /**
   * Name of the part.
   */
  part: string;
  /**
   * That it is the first to be exceeded.
   */
  probability: ChanceProbability;
}
/**
 * What a let-go is like.
 */
export interface ChanceFlight {
  /**
   * What flies.
   */
  what: string;
  /**
   * Parts that leave it to fly if they let go.
   */
  parts: string[];
  /**
   * Speed of the hardware: as it passes the far recovery point of a straight rig
   * (0 where it never does), as it leaves on a rig laid out on the ground.
   */
  speed_m_s: Quantiles;
  /**
   * Its energy there.
   */
  energy_j: Quantiles;
  /**
   * Greatest distance from the nearest line at which anything is or first comes down.
   */
  reach_m: Quantiles;
  /**
   * What it does to the vehicle that it flies to; null where it flies to none, or
   * where that is not worked out.
   */
  at_vehicle: ChanceStrikes | null;
}
/**
 * What flying things do to the vehicle that they fly to: hardware or bare end on its
 * line (off it, where it misses on it), the tail behind it, every damper.
 */
export interface ChanceStrikes {
  /**
   * That anything strikes the vehicle.
   */
  strikes: ChanceProbability;
  /**
   * That anything strikes its screen: glass, or a raised bonnet before it, which is
   * never counted on.
   */
  strikes_screen: ChanceProbability;
  /**
   * That anything arrives there (strikes it, or passes it) over the injury criterion.
   */
  over_injury: ChanceProbability;
  /**
   * That criterion, by the policy.
   */
  injury_energy_j: number;
  /**
   * Height of the hardest strike on the screen; null where none struck it.
   */
  screen_height_m: Quantiles | null;
  /**
   * Its energy; null where none struck it.
   */
  screen_energy_j: Quantiles | null;
  /**
   * Of the let-gos that strike the screen behind a guard of a stated rating: that it
   * holds by that rating. Null where no such guard was struck.
   */
  guard_holds: ChanceProbability | null;
}
/**
 * The standoff zone by chance, in plan, to scale.
 */
export interface ChanceZone {
  /**
   * Quantile of the zone, by the policy.
   */
  quantile: number;
  /**
   * The rule distance; the zone is nowhere smaller.
   */
  rule_m: number;
  /**
   * The rule in words, with its source.
   */
  rule: string;
  /**
   * Corners of the zone, anticlockwise: nobody inside while the line is loaded. Of
   * each thing that could fly the stated share of draws stays inside along every ray.
   */
  corners: PlanPoint[];
  /**
   * Corners of the inner edge of its sampling band.
   */
  inner: PlanPoint[];
  /**
   * Corners of the outer edge of its sampling band.
   */
  outer: PlanPoint[];
  /**
   * Corners of the rule's share of it.
   */
  rule_corners: PlanPoint[];
  /**
   * Where things come down at several quantiles, rising, whatever the rule; those
   * that so few draws cannot tell are left out.
   */
  contours: ZoneContour[];
  /**
   * Whether it passes the rule anywhere.
   */
  computed_governs: boolean;
  /**
   * Greatest distance of its edge from the nearest line.
   */
  furthest_m: number;
  /**
   * The same for the inner edge of its band.
   */
  furthest_inner_m: number;
  /**
   * The same for the outer edge of its band.
   */
  furthest_outer_m: number;
  /**
   * Share of the directions in which the band passes the rule that so few runs do not
   * bound from outside: the band is open there.
   */
  open_share: number;
  /**
   * Distance of the edge from the casualty's recovery point, straight back from the
   * tug; null for a rig laid out on the ground.
   */
  behind_casualty_m: number | null;
  /**
   * Distance of the edge from the tug's recovery point, straight back from the
   * casualty; null for a rig laid out on the ground.
   */
  behind_tug_m: number | null;
  /**
   * Greatest distance to either side of the line; null for a rig laid out on the
   * ground.
   */
  beside_m: number | null;
  /**
   * The vehicles, lines, dampers and blocks to scale.
   */
  outlines: Outline[];
}
/**
 * A contour of the zone.
 */
export interface ZoneContour {
  /**
   * Its quantile.
   */
  quantile: number;
  /**
   * Its corners, anticlockwise.
   */
  corners: PlanPoint[];
}
/**
 * What drives one result.
 */
export interface Drivers {
  /**
   * The result, in words.
   */
  result: string;
  /**
   * Draws behind the shares.
   */
  draws: number;
  /**
   * Groups of inputs, the largest total first; empty where the result does not vary.
   */
  drivers: Driver[];
}
/**
 * The share of a group of inputs in the spread of a result.
 */
export interface Driver {
  /**
   * The inputs.
   */
  what: string;
  /**
   * Share of the variance that goes with these inputs alone (first order); may come
   * out a little under 0 by sampling error.
   */
  alone: number;
  /**
   * Low end of its interval.
   */
  alone_low: number;
  /**
   * High end of its interval.
   */
  alone_high: number;
  /**
   * Share of the variance that would be left if all others were known (total
   * effect): alone, and together with others.
   */
  total: number;
  /**
   * Low end of its interval.
   */
  total_low: number;
  /**
   * High end of its interval.
   */
  total_high: number;
}
/**
 * One uncertain input.
 */
export interface ChanceVariable {
  /**
   * Key in the plan file, or a short name of the model's own.
   */
  key: string;
  /**
   * What it is.
   */
  what: string;
  /**
   * The group whose share in the results it counts to.
   */
  group: string;
  /**
   * The law it follows, in words.
   */
  law: string;
  /**
   * Unit of the three values, SI; empty for a plain number or a share.
   */
  unit: string;
  /**
   * 5 % of draws are at or under it, in its unit.
   */
  low: number;
  /**
   * The middle, in its unit.
   */
  median: number;
  /**
   * 95 % of draws are at or under it, in its unit.
   */
  high: number;
  /**
   * Where this comes from.
   */
  source: string;
  /**
   * Whether it is an assumption of this project.
   */
  assumed: boolean;
}
/**
 * Set-ups to be compared.
 */
export interface CompareRequest {
  /**
   * In which units its sentences are, metric if null; every number stays SI.
   */
  units: ReadUnits | null;
}
/**
 * What `steadypull dampers --json` prints.
 */
export interface DampersAnswer {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * Title of the plan.
   */
  title: string;
  /**
   * What dampers it takes, or that none will do.
   */
  dampers: DamperDesign;
  /**
   * Everything noticed about the plan and the design, worst first.
   */
  findings: Finding[];
  /**
   * What holds for every answer.
   */
  cautions: string[];
}
/**
 * What dampers it takes to keep a wish, or that none will do.
 */
export interface DamperDesign {
  /**
   * Why nothing was worked out, if so; everything else is then empty.
   */
  missing: string | null;
  /**
   * What was asked, and for which link.
   */
  wish: DamperWish | null;
  /**
   * Whether dampers keep the wish, or none are needed.
   */
  meets: boolean;
  /**
   * The answer in a sentence.
   */
  headline: string;
  /**
   * Without dampers.
   */
  bare: ArrivalEnergies | null;
  /**
   * The least set-up for each number of dampers; where none keeps the wish, the
   * one that comes closest.
   */
  numbers: DamperChoice[];
  /**
   * Place in `numbers` of the set-up of the answer: the least that keeps the wish,
   * else the one that comes closest; null where no dampers are needed.
   */
  chosen: number | null;
  /**
   * The same set-up if another link lets go at the same end.
   */
  other_links: OtherLink[];
  /**
   * Arrival energy against the mass of each damper, at the places of `numbers`.
   */
  by_mass: MassCurve[];
  /**
   * Arrival energy against the place of one damper.
   */
  by_place: PlacePoint[];
  /**
   * Mass of that damper.
   */
  placed_mass_kg: number;
  /**
   * Arrival energy of the chosen set-up against the force at which its grips slip.
   */
  by_grip: GripPoint[];
  /**
   * Usual set-ups against the load at which the line parts.
   */
  by_load: LoadPoint[];
  /**
   * The usual set-ups, in the order of `by_load`.
   */
  usual: UsualSetUp[];
  /**
   * Where common advice holds, in words.
   */
  advice: string[];
  /**
   * How fine the search was.
   */
  accuracy: DesignAccuracy | null;
}
/**
 * What was asked of the dampers.
 */
export interface DamperWish {
  /**
   * The link that lets go.
   */
  link: string;
  /**
   * Whether it is the worst of the rig, as against one that was named.
   */
  worst: boolean;
  /**
   * The end at which it lets go.
   */
  parts_at: Side;
  /**
   * What flies to the other vehicle, in words.
   */
  flies: string;
  /**
   * Mass of the hardware that flies, median; 0 for a bare line.
   */
  hardware_mass_kg: number;
  /**
   * Tension in the line when it lets go, median.
   */
  tension_n: number;
  /**
   * Energy that the line gives back then, median.
   */
  stored_energy_j: number;
  /**
   * Length of the line.
   */
  line_m: number;
  /**
   * Nothing may arrive with more than this, at any height, dampers included.
   */
  under_j: number;
  /**
   * In this share of the draws.
   */
  chance: number;
  /**
   * Energy at which people have first been hurt: the lower line of the figure.
   */
  first_casualty_j: number;
  /**
   * Greatest mass of one damper.
   */
  most_kg: number;
  /**
   * Force at which the grip of a damper slips (assumed unless the plan or the
   * command line says it).
   */
  grip_n: number;
  /**
   * Drag coefficient times area of a damper.
   */
  drag_area_m2: number;
}
/**
 * What arrives at the far vehicle.
 */
export interface ArrivalEnergies {
  /**
   * The hardware alone, or the last half metre of a bare line; 0 when it stops short.
   */
  hardware: EnergySpread;
  /**
   * The most energetic damper, of its own mass.
   */
  damper: EnergySpread;
  /**
   * The most energetic thing: the hardware with all that it carries, or a damper.
   */
  worst: EnergySpread;
  /**
   * Share of the draws that keep the wish, through dampers with what finer segments
   * could add.
   */
  met_share: number;
  /**
   * Lower end of the 90 % sampling band of that share.
   */
  met_low: number;
  /**
   * Upper end.
   */
  met_high: number;
  /**
   * Share of the draws in which the hardware gets to the far vehicle at all.
   */
  arrives_share: number;
  /**
   * Draws.
   */
  draws: number;
  /**
   * Draws whose run failed; they count against the wish.
   */
  failed: number;
}
/**
 * One quantity over the draws.
 */
export interface EnergySpread {
  /**
   * Median.
   */
  median_j: number;
  /**
   * At the wish's chance.
   */
  quantile_j: number;
  /**
   * Lower end of the 90 % sampling band of that quantile.
   */
  band_low_j: number;
  /**
   * Upper end; null where there are too few draws to have one.
   */
  band_high_j: number | null;
}
/**
 * The least set-up of so many dampers, or the one that comes closest.
 */
export interface DamperChoice {
  /**
   * The dampers, from the hardware on.
   */
  dampers: HungDamper[];
  /**
   * Mass of all.
   */
  total_kg: number;
  /**
   * Whether they keep the wish, on fresh draws too.
   */
  meets: boolean;
  /**
   * Over the draws that they were chosen by: flattered, since the best was taken.
   */
  search: ArrivalEnergies;
  /**
   * Over fresh draws.
   */
  check: ArrivalEnergies;
}
/**
 * One damper of a set-up.
 */
export interface HungDamper {
  /**
   * Mass.
   */
  mass_kg: number;
  /**
   * Length of line between it and the hardware; 0 is hard against it.
   */
  from_hardware_m: number;
  /**
   * The same as a share of the line.
   */
  from_hardware_share: number;
}
/**
 * The chosen set-up if another link lets go.
 */
export interface OtherLink {
  /**
   * The link.
   */
  link: string;
  /**
   * Length of the line that flies: less than all of it where it parts inside.
   */
  line_m: number;
  /**
   * Tension in the line when it lets go.
   */
  tension_n: number;
  /**
   * Mass of the hardware that flies.
   */
  hardware_mass_kg: number;
  /**
   * Whether the wish is kept.
   */
  meets: boolean;
  /**
   * What arrives, over fresh draws.
   */
  check: ArrivalEnergies;
}
/**
 * Arrival energy against mass for one number of dampers.
 */
export interface MassCurve {
  /**
   * Their places, as shares of the line from the hardware.
   */
  places: number[];
  /**
   * Points, from no dampers on.
   */
  points: MassPoint[];
}
/**
 * A point of a curve against mass.
 */
export interface MassPoint {
  /**
   * Mass of each damper.
   */
  each_kg: number;
  /**
   * What arrives.
   */
  energies: ArrivalEnergies;
}
/**
 * A point of the curve against place.
 */
export interface PlacePoint {
  /**
   * Place of the damper, as a share of the line from the hardware.
   */
  from_hardware_share: number;
  /**
   * What arrives.
   */
  energies: ArrivalEnergies;
}
/**
 * A point of the curve against grip.
 */
export interface GripPoint {
  /**
   * Force at which every grip slips.
   */
  grip_n: number;
  /**
   * What arrives.
   */
  energies: ArrivalEnergies;
}
/**
 * The usual set-ups at one load.
 */
export interface LoadPoint {
  /**
   * Tension in the line when it parts, median.
   */
  tension_n: number;
  /**
   * Energy that it gives back then, median.
   */
  stored_energy_j: number;
  /**
   * Whether this is the load of the plan.
   */
  own: boolean;
  /**
   * One a usual set-up.
   */
  energies: ArrivalEnergies[];
  /**
   * Which common advice holds; null where nothing arrives with more than the wish
   * without any damper.
   */
  advice: AdviceHolds | null;
}
/**
 * Which common advice holds at one load.
 */
export interface AdviceHolds {
  /**
   * A light damper in the middle takes less than 30 % of the hardware's median energy.
   */
  light_does_little: boolean;
  /**
   * The hardware's median energy falls with each step until it is stopped: none,
   * light, heavy, two.
   */
  in_order: boolean;
  /**
   * With two of 5 kg, one hard against the hardware, the hardware alone keeps the wish,
   * with what finer segments could add.
   */
  two_stop_hardware: boolean;
  /**
   * With these nothing that arrives passes the wish, dampers included.
   */
  two_stop_all: boolean;
}
/**
 * A set-up that people use.
 */
export interface UsualSetUp {
  /**
   * In words.
   */
  name: string;
  /**
   * Its dampers.
   */
  dampers: HungDamper[];
}
/**
 * How fine the search was.
 */
export interface DesignAccuracy {
  /**
   * Segments of the runs that set-ups were chosen by, and of the curves.
   */
  segments: number;
  /**
   * Segments of the check on fresh draws, as short as the distance at which hardware
   * runs into a damper (longer on a long line); draws are spread over this number, 4
   * and 8 more.
   */
  check_segments: number;
  /**
   * What finer segments could still add to an energy through dampers in the check, as a
   * share: a wish is kept only with so much added, and shares that keep it count so.
   */
  finer_adds_share: number;
  /**
   * The same in the curves, which have fewer segments: they may run so much too low.
   */
  finer_adds_to_curves_share: number;
  /**
   * Draws that set-ups were chosen by.
   */
  search_draws: number;
  /**
   * Fresh draws that those were checked on that will do; fewer tell what the others
   * and other links come to.
   */
  check_draws: number;
  /**
   * Finest step of a damper's mass.
   */
  mass_step_kg: number;
  /**
   * Finest step of a place, as a share of the line.
   */
  place_step_share: number;
  /**
   * Draws by which the two numbers of segments are compared.
   */
  compared_draws: number;
  /**
   * Median over them of the most energetic thing of the chosen set-up, with the
   * segments of the check; null where no dampers are needed.
   */
  compared_check_j: number | null;
  /**
   * The same with the segments of the search.
   */
  compared_search_j: number | null;
}
/**
 * A plan and what to change in it.
 */
export interface EditRequest {
  /**
   * The plan file as text.
   */
  plan: string;
  /**
   * Changes, in order; none to have the form alone.
   */
  edits: Edit[];
  /**
   * Texts of the line files that the plan names, by name.
   */
  lines?: {
    [k: string]: string;
  };
  /**
   * In which units the form tells what is filled in and between which limits a key lies.
   */
  units: ReadUnits & string;
}
/**
 * A value or a table set or taken away.
 */
export interface SetValue {
  /**
   * Where, table by table: `["casualty", "mass"]`; a figure in a list by its place from
   * 0: `["casualty", "at", "1"]`. Tables on the way are made.
   */
  path: string[];
  /**
   * What stands there from now on; null takes the key or the table away. Text becomes
   * text, a number a number, true or false a flag, a list a list, an object a table.
   */
  value: unknown;
}
/**
 * Another name for a part, a recovery point, an anchor or a run.
 */
export interface Rename {
  /**
   * Which table: `["line", "strap-1"]`, `["casualty", "point", "front"]`.
   */
  path: string[];
  /**
   * Its new name; every key of the plan that names it follows.
   */
  rename: string;
}
/**
 * Changes to a test file; comments and the order of the file stay.
 */
export interface EditTestDay {
  /**
   * Values and tables to set or take away, in order:
   * `["pull", "dry-1", "events", "taut"]` to `"1.234 s"`.
   */
  edits: SetValue[];
  /**
   * The revision that they are made to; another one standing there by now is a conflict.
   */
  revision: string;
}
/**
 * A plan after changes, as text and as a form. A plan with mistakes in it is changed
 * all the same: it stays editable and says what is wrong.
 */
export interface Edited {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * The plan file as text.
   */
  plan: string;
  /**
   * The plan as a form.
   */
  form: Form;
  /**
   * What is wrong in it, in the order of the file.
   */
  errors: InputError[];
  /**
   * Mistakes beyond those listed.
   */
  more: number;
}
/**
 * Every key that the reader looked for, in the order it reads them.
 */
export interface Form {
  /**
   * The fields.
   */
  fields: Field[];
  /**
   * The tables that they are in, and those that could be there.
   */
  tables: FormTable[];
}
/**
 * One key of a plan.
 */
export interface Field {
  /**
   * Key as the plan file has it, such as `casualty.mass` or `line.strap-1.mbs`.
   */
  key: string;
  /**
   * The same table by table, for an edit.
   */
  path: string[];
  /**
   * What can stand there.
   */
  kind: FieldKind;
  /**
   * What stands there as JSON: text as written without its quotes, numbers, flags,
   * lists, tables; null where the file leaves it out.
   */
  written: unknown;
  /**
   * What is filled in where the file leaves it out; null where it is needed, or where
   * nothing is filled in.
   */
  filled: Filled | null;
  /**
   * Whether a plan without it is no plan.
   */
  needed: boolean;
  /**
   * The words that it can be; empty where it is no word of a fixed list.
   */
  words: string[];
  /**
   * Units that can be written, the usual metric one first; empty where it has none.
   */
  units: string[];
  /**
   * The range that it must lie in, as people write it.
   */
  limits: string | null;
  /**
   * What can stand there, in words, with an example.
   */
  expected: string;
  /**
   * What is wrong with what stands there: the mistakes, one a line, each with what to do.
   */
  problem: string | null;
}
/**
 * A value that was filled in.
 */
export interface Filled {
  /**
   * The value, as a plan file would have it.
   */
  value: string;
  /**
   * Why this one.
   */
  reason: string;
}
/**
 * A table of a plan, there or not: one that is not can be made by an edit.
 */
export interface FormTable {
  /**
   * Key as the plan file has it, such as `tug.winch` or `line`.
   */
  key: string;
  /**
   * The same table by table, for an edit.
   */
  path: string[];
  /**
   * Whether the file has it.
   */
  there: boolean;
  /**
   * Whether it holds tables by names of the plan's own, such as `line.strap-1`.
   */
  named: boolean;
}
/**
 * One mistake.
 */
export interface InputError {
  /**
   * The file, as it was named (`-` for standard input); null when no file is to blame.
   */
  file: string | null;
  /**
   * Line, from 1; null when it is about the file as a whole.
   */
  line: number | null;
  /**
   * Column in characters, from 1.
   */
  column: number | null;
  /**
   * Column after the last character that is wrong.
   */
  end_column: number | null;
  /**
   * The key that it is about, as a plan file has it; null where it is about none.
   */
  key: string | null;
  /**
   * The text that is wrong, as written; empty where something is missing.
   */
  found: string | null;
  /**
   * What is wrong.
   */
  message: string;
  /**
   * What was expected instead.
   */
  expected: string | null;
  /**
   * What to do about it.
   */
  hint: string | null;
}
/**
 * What any command prints with `--json` when it ends with exit code 1.
 */
export interface Errors {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * Every mistake found, in the order of the file.
   */
  errors: InputError[];
  /**
   * Mistakes beyond those listed, in a file that is broken as a whole.
   */
  more: number;
}
/**
 * What `example --list --json` prints.
 */
export interface ExampleList {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * Every demo plan.
   */
  examples: ExampleEntry[];
}
/**
 * One demo plan.
 */
export interface ExampleEntry {
  /**
   * Its name for `steadypull example NAME`.
   */
  name: string;
  /**
   * What it is about.
   */
  about: string;
}
/**
 * What `example --json` prints when no file is asked for.
 */
export interface ExampleText {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * Its name.
   */
  name: string;
  /**
   * The plan file as text.
   */
  plan: string;
}
/**
 * Lines to be fitted.
 */
export interface FitRequest {
  /**
   * The one to fit; null: every one that the test file asks for.
   */
  fit: string | null;
  /**
   * In which units its sentences are, metric if null; every number stays SI.
   */
  units: ReadUnits | null;
}
/**
 * That the server is there.
 */
export interface Health {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * Version of the program.
   */
  version: string;
}
/**
 * A line file as it is kept.
 */
export interface KeptLineFile {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * The name by which a plan names it.
   */
  file: string;
}
/**
 * A plan whose straight rig is to be laid out on the ground.
 */
export interface LayOut {
  /**
   * The plan file as text.
   */
  plan: string;
  /**
   * Texts of the line files that the plan names, by name.
   */
  lines?: {
    [k: string]: string;
  };
}
/**
 * What `steadypull let-go --converge --json` prints.
 */
export interface ConvergenceAnswer {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * Title of the plan.
   */
  title: string;
  /**
   * Whether the let-go's numbers have settled.
   */
  convergence: Convergence;
  /**
   * Everything noticed about the plan and the check, worst first.
   */
  findings: Finding[];
  /**
   * What holds for every answer.
   */
  cautions: string[];
}
/**
 * Each let-go run with more segments and shorter steps.
 */
export interface Convergence {
  /**
   * Why nothing was worked out, if so; `cases` is then empty.
   */
  missing: string | null;
  /**
   * The answer in a sentence.
   */
  headline: string;
  /**
   * Whether Ctrl-C came before the last case: `cases` holds those that were done.
   */
  stopped: boolean;
  /**
   * Cases there are to follow finer; things that fly alike count once.
   */
  of_cases: number;
  /**
   * One a thing that flies.
   */
  cases: ConvergedCase[];
  /**
   * A speed has settled when no more than this share of it is left to change.
   */
  speed_settled_share: number;
  /**
   * An arrival energy has settled when no more than this share of it is left to change.
   */
  arrival_settled_share: number;
  /**
   * How the errors left are reckoned.
   */
  model: string;
}
/**
 * One thing that flies, followed with four finenesses.
 */
export interface ConvergedCase {
  /**
   * The link that lets go, or the run of a laid-out rig whose end flies.
   */
  link: string;
  /**
   * What flies, in words.
   */
  flies: string;
  /**
   * What it flies to.
   */
  flies_to: string;
  /**
   * Tension in the line when the link lets go.
   */
  tension_n: number;
  /**
   * Mass of hardware at the free end; 0 for a bare line, whose speed is that of its
   * last twentieth.
   */
  hardware_mass_kg: number;
  /**
   * Dampers on the line: an energy through them settles slowly.
   */
  dampers: number;
  /**
   * Whether the run ends with the launch, as those of a laid-out rig do: no arrival is
   * followed then.
   */
  launch_alone: boolean;
  /**
   * With the segments of the answer, twice and four times as many, and with the
   * segments of the answer and half the step.
   */
  levels: ConvergenceLevel[];
  /**
   * Greatest speed with the segments of the answer against four times as many, as a
   * share: less than 0 where the answer is too low.
   */
  speed_change_share: number;
  /**
   * The same against half the step.
   */
  speed_change_by_step_share: number;
  /**
   * Error that is left in the speed of the answer, as a share.
   */
  speed_error_share: number;
  /**
   * Arrival energy with the segments of the answer against four times as many, as a
   * share; null unless both arrive.
   */
  arrival_change_share: number | null;
  /**
   * The same against half the step.
   */
  arrival_change_by_step_share: number | null;
  /**
   * Error that is left in the arrival energy of the answer, as a share; null unless
   * all arrive.
   */
  arrival_error_share: number | null;
  /**
   * Whether it arrives with some finenesses and not with others.
   */
  arrival_in_doubt: boolean;
  /**
   * Whether speed and arrival have settled.
   */
  settled: boolean;
}
/**
 * One run.
 */
export interface ConvergenceLevel {
  /**
   * Segments of line.
   */
  segments: number;
  /**
   * Share of the longest stable step that each step took.
   */
  step_share: number;
  /**
   * Steps taken.
   */
  steps: number;
  /**
   * Greatest speed of the free end on its way.
   */
  speed_m_s: number;
  /**
   * Its energy at the far vehicle, of hardware with all it carries; null where it does
   * not get there.
   */
  arrival_energy_j: number | null;
}
/**
 * What `steadypull let-go --json` prints.
 */
export interface LetGoAnswer {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * What comes back if a part lets go.
   */
  let_go: LetGo;
  /**
   * Everything noticed about the plan, worst first, whatever its area.
   */
  findings: Finding[];
  /**
   * What holds for every answer.
   */
  cautions: string[];
}
/**
 * The load of a pull to be drawn.
 */
export interface LevelsRequest {
  /**
   * The pull.
   */
  pull: string;
  /**
   * First time, s; null: the record's.
   */
  from_s: number | null;
  /**
   * Last time, s; null: the record's.
   */
  to_s: number | null;
  /**
   * In how many even parts, 1 to 10 000.
   */
  parts: number;
  /**
   * Rather the whole log as it came than wait until it is cleaned.
   */
  at_once: boolean;
}
/**
 * A plan, what to change in it, and that an answer is wanted at once.
 */
export interface LiveRequest {
  /**
   * The plan file as text.
   */
  plan: string;
  /**
   * Changes, in order.
   */
  edits: Edit[];
  /**
   * Texts of the line files that the plan names, by name.
   */
  lines?: {
    [k: string]: string;
  };
  /**
   * In which units its sentences are; every number stays SI.
   */
  units: ReadUnits & string;
}
/**
 * What can be told at once: loads, angles and zones, without what takes many runs. The
 * whole answer follows by `answer`; `quick` says what is left out until then.
 */
export interface Live {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * The plan file as text, after the changes; as it came where they cannot be made.
   */
  plan: string;
  /**
   * What is wrong in it; everything below is null while anything is.
   */
  errors: InputError[];
  /**
   * How hard the casualty is stuck.
   */
  situation: Situation | null;
  /**
   * Every link from casualty to tug with its load, as in the whole answer.
   */
  load_path: LoadPath | null;
  /**
   * The rig laid out on the ground, as in the whole answer; null for a straight one too.
   */
  rig: RigState | null;
  /**
   * How far back people stand by the rule and the bights alone, and the outlines to
   * draw. What flies can only make the zone of the whole answer larger: `quick` says
   * so, and `places` is empty until then.
   */
  standoff: Standoff | null;
  /**
   * What was noticed in what was worked out, worst first.
   */
  findings: Finding[];
  /**
   * What the quick answer leaves out, in words.
   */
  quick: string[];
}
/**
 * What `steadypull load-path --json` prints.
 */
export interface LoadPathAnswer {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * The load in every link from casualty to tug.
   */
  load_path: LoadPath;
  /**
   * Everything noticed about the plan, worst first, whatever its area.
   */
  findings: Finding[];
  /**
   * What holds for every answer.
   */
  cautions: string[];
}
/**
 * A log to look at.
 */
export interface LookRequest {
  /**
   * The log, a file of the test day.
   */
  file: string;
  /**
   * The recipe to read it by, as TOML; the guess if null.
   */
  recipe: string | null;
  /**
   * In how many parts the course of each channel is wanted, 1 to 10 000; none if null.
   */
  course_parts: number | null;
}
/**
 * What `steadypull lowering --json` prints.
 */
export interface LoweringAnswer {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * Lowering the casualty down a slope; null if the plan has none.
   */
  lowering: Lowering | null;
  /**
   * Everything noticed about the plan, worst first, whatever its area.
   */
  findings: Finding[];
  /**
   * What holds for every answer.
   */
  cautions: string[];
}
/**
 * A line file to keep beside the plans, so that they can name it.
 */
export interface NewLineFile {
  /**
   * What to call it, without the ending. A name that another text has gets a number.
   */
  name: string;
  /**
   * The line file as text.
   */
  text: string;
}
/**
 * A plan to keep from now on.
 */
export interface NewPlan {
  /**
   * What to call it; made from the title if null. A name that is taken gets a number.
   */
  name: string | null;
  /**
   * The plan file as text.
   */
  plan: string;
}
/**
 * A test day to keep from now on.
 */
export interface NewTestDay {
  /**
   * What to call it; made from the title if null. A name that is taken gets a number.
   */
  name: string | null;
  /**
   * Its title; that of the demo is the demo's own.
   */
  title: string;
  /**
   * Whether to begin with the demo: an invented day with its logs.
   */
  demo: boolean;
}
/**
 * A method of the ladder, to be opened as the plan's own rig.
 */
export interface OpenAsRig {
  /**
   * The plan file as text.
   */
  plan: string;
  /**
   * Texts of the line files that the plan names, by name.
   */
  lines?: {
    [k: string]: string;
  };
  /**
   * The method; its rig takes the place of the one in the plan.
   */
  method: MethodName;
}
/**
 * What `steadypull options --json` prints.
 */
export interface OptionsAnswer {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * Every method, least hazardous first.
   */
  options: Options;
  /**
   * Everything noticed about the plan, worst first, whatever its area.
   */
  findings: Finding[];
  /**
   * What holds for every answer.
   */
  cautions: string[];
}
/**
 * The running order to be planned.
 */
export interface OrderRequest {
  /**
   * In which units its sentences and its record sheet are, metric if null; every number
   * stays SI.
   */
  units: ReadUnits | null;
}
/**
 * Every plan that is kept, the last changed first.
 */
export interface PlanList {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * The folder that they are kept in, as people would look for it.
   */
  folder: string;
  /**
   * The plans.
   */
  plans: PlanEntry[];
}
/**
 * One plan that is kept.
 */
export interface PlanEntry {
  /**
   * Its name.
   */
  name: string;
  /**
   * Its title, if it reads so far.
   */
  title: string | null;
  /**
   * When it was last changed, seconds since 1970 began (UTC).
   */
  changed_s: number;
  /**
   * Why its file cannot be opened here, in words; null where it can.
   */
  problem: string | null;
}
/**
 * A plan to answer.
 */
export interface PlanRequest {
  /**
   * The plan file as text.
   */
  plan: string;
  /**
   * Texts of the line files that the plan names, by name.
   */
  lines?: {
    [k: string]: string;
  };
  /**
   * In which units its sentences are; every number stays SI.
   */
  units: ReadUnits & string;
}
/**
 * What `steadypull pull --json` prints.
 */
export interface PullAnswer {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * What a kinetic pull would do.
   */
  pull: Pull;
  /**
   * Everything noticed about the plan, worst first, whatever its area.
   */
  findings: Finding[];
  /**
   * What holds for every answer.
   */
  cautions: string[];
}
/**
 * Pulls to be read off.
 */
export interface ReadRequest {
  /**
   * The one to read; null: every one.
   */
  pull: string | null;
  /**
   * In which units its sentences are, metric if null; every number stays SI.
   */
  units: ReadUnits | null;
}
/**
 * Another name for a test day; everything in its folder stays as it is.
 */
export interface RenameTestDay {
  /**
   * The new name: letters, digits and hyphens. One that is taken is refused.
   */
  name: string;
}
/**
 * A plan, which link parts, and the dampers to try.
 */
export interface ReplayRequest {
  /**
   * The plan file as text.
   */
  plan: string;
  /**
   * The rig that the plan's answer is about; worked out afresh, which takes longer, if
   * null.
   */
  rig: ReplayRig | null;
  /**
   * Which of `let_go.cases` of the plan's answer, from 0; of `let_go.partings` where the
   * rig is laid out on the ground.
   */
  case: number;
  /**
   * Which of the `flights` of that parting; null for a straight rig.
   */
  flight: number | null;
  /**
   * Dampers in place of the plan's, if given: at most 12.
   */
  dampers: ReplayDamper[] | null;
  /**
   * The load at which it parts, N: in the line, or on the part of a rig laid out on the
   * ground; that of the answer if null.
   */
  load_n: number | null;
  /**
   * Texts of the line files that the plan names, by name.
   */
  lines?: {
    [k: string]: string;
  };
  /**
   * In which units its sentences are; every number stays SI.
   */
  units: ReadUnits & string;
}
/**
 * The rig of an answer, with the pull on it: `load_path.method` and
 * `load_path.tension_n`.
 */
export interface ReplayRig {
  /**
   * The method that it is for.
   */
  method: MethodName;
  /**
   * The pull, N.
   */
  pull_n: number;
}
/**
 * A damper on the line.
 */
export interface ReplayDamper {
  /**
   * Mass, kg: 0.1 to 100.
   */
  mass_kg: number;
  /**
   * Place on the line as in a plan, 0 at the casualty's end to 1 at the tug's.
   */
  place: number;
}
/**
 * The motion of one recoil, the same run as that behind the answer. Places are in the
 * frame of the answer's zone: of a straight rig x from the casualty's recovery point
 * towards the tug along the ground, y to the left; of a rig laid out on the ground that
 * of the plan file. z is the height above the ground.
 */
export interface Replay {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * The rig that it is of.
   */
  rig: ReplayRig;
  /**
   * What parts, where, in words.
   */
  parts: string;
  /**
   * The load at which it parts, N.
   */
  load_n: number;
  /**
   * The greatest load that the rig's lines can bring there, N.
   */
  most_load_n: number;
  /**
   * The dampers looked at, those on the other side of the break among them.
   */
  dampers: ReplayDamper[];
  /**
   * The vehicle that it flies to; null where it flies to something else.
   */
  flies_to: Side | null;
  /**
   * Time of each frame after the link let go, s, from 0 to the end of the run.
   */
  time_s: number[];
  /**
   * The furthest that anything moves from one frame to the next, m.
   */
  apart_m: number;
  /**
   * Whether everything had come to rest by the end.
   */
  at_rest: boolean;
  /**
   * What moves, the line first.
   */
  tracks: ReplayTrack[];
  /**
   * The vehicles of a straight rig as boxes; empty for a rig laid out on the ground,
   * whose `standoff.outlines` has them.
   */
  vehicles: ReplayVehicle[];
  /**
   * Slope of the ground, uphill positive: along x of a straight rig, along the way of a
   * flight of a rig laid out on the ground.
   */
  slope_deg: number;
  /**
   * What flies and what it does: speeds and energies against the injury criterion.
   */
  things: ReplayThing[];
  /**
   * All that the answer tells of it, with these dampers at this load, for a straight rig.
   */
  case: LetGoCase | null;
  /**
   * The same for a rig laid out on the ground.
   */
  flight: Flight | null;
  /**
   * Energy that the line could give back when it let go, J.
   */
  stored_energy_j: number;
  /**
   * Injury criterion of the policy, J.
   */
  criterion_j: number;
  /**
   * The criterion in words, with its source.
   */
  criterion: string;
  /**
   * Segments that the line was followed in.
   */
  segments: number;
  /**
   * The largest share of the energy books that did not close.
   */
  energy_error_share: number;
  /**
   * What it leaves out, in words.
   */
  leaves_out: string[];
  /**
   * What holds for every answer.
   */
  cautions: string[];
}
/**
 * Places of one thing over time: a line is many points, hardware or a damper one.
 */
export interface ReplayTrack {
  /**
   * What it is.
   */
  kind: TrackKind;
  /**
   * Its name in words.
   */
  name: string;
  /**
   * Mass, kg.
   */
  mass_kg: number;
  /**
   * Points that it consists of.
   */
  points: number;
  /**
   * x, y, z of each point, frame by frame, in millimetres: frame f, point p, axis a at
   * `(f * points + p) * 3 + a`.
   */
  places_mm: number[];
  /**
   * Speed, m/s, frame by frame: of a line that of its free end as a whole.
   */
  speed_m_s: number[];
  /**
   * Kinetic energy, J, frame by frame, of its own mass.
   */
  energy_j: number[];
  /**
   * When a tether parted; null if it held, and of anything else.
   */
  parts_at_s: number | null;
}
/**
 * A vehicle as a box.
 */
export interface ReplayVehicle {
  /**
   * Which it is.
   */
  side: Side;
  /**
   * Its name.
   */
  name: string;
  /**
   * Its outline from the side: x and z of each corner, mm, when the link lets go.
   */
  outline_mm: [number, number][];
  /**
   * y of its right side, mm.
   */
  right_mm: number;
  /**
   * y of its left side, mm.
   */
  left_mm: number;
  /**
   * Whether it holds the line, and rolls with the line's first point.
   */
  holds_line: boolean;
}
/**
 * What flies, at its worst and where it arrives.
 */
export interface ReplayThing {
  /**
   * Its name in words.
   */
  name: string;
  /**
   * Its mass; of a line the half metre that counts.
   */
  mass_kg: number;
  /**
   * Greatest speed, m/s.
   */
  fastest_m_s: number;
  /**
   * Greatest kinetic energy, J.
   */
  greatest_energy_j: number;
  /**
   * Time of arrival at the far recovery point, s; null where it stops short.
   */
  arrives_s: number | null;
  /**
   * Speed there, m/s.
   */
  arrival_speed_m_s: number | null;
  /**
   * Energy there, J, with what it has picked up.
   */
  arrival_energy_j: number | null;
  /**
   * What it strikes of the far vehicle; null where it misses or stops short.
   */
  strikes: string | null;
  /**
   * When, s.
   */
  strikes_s: number | null;
  /**
   * Its speed there, m/s.
   */
  strike_speed_m_s: number | null;
  /**
   * Its energy there, J.
   */
  strike_energy_j: number | null;
  /**
   * Whether it arrives or strikes with more than the criterion; null where it stops
   * short.
   */
  over_criterion: boolean | null;
}
/**
 * A report to print.
 */
export interface ReportRequest {
  /**
   * As what.
   */
  format: BriefFormat;
  /**
   * In which units people read it.
   */
  units: ReadUnits;
}
/**
 * What `steadypull rig --json` prints.
 */
export interface RigAnswer {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * A rig laid out on the ground, under its load; null for a straight rig.
   */
  rig: RigState | null;
  /**
   * Everything noticed about the plan, worst first, whatever its area.
   */
  findings: Finding[];
  /**
   * What holds for every answer.
   */
  cautions: string[];
}
/**
 * A plan to save.
 */
export interface SavePlan {
  /**
   * The plan file as text.
   */
  plan: string;
  /**
   * The revision that it was made from; another one standing there by now is a conflict.
   */
  revision: string;
}
/**
 * A test file to save.
 */
export interface SaveTestDay {
  /**
   * The test file as text.
   */
  text: string;
  /**
   * The revision that it was made from; another one standing there by now is a conflict.
   */
  revision: string;
}
/**
 * What `serve --json` prints, in one line, as soon as it can be asked.
 */
export interface Serving {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * Where it is, for this machine.
   */
  address: string;
  /**
   * Where it is for others, if they are let in and the machine has such an address.
   */
  network_address: string | null;
  /**
   * The folder that plans are kept in.
   */
  plans: string;
  /**
   * The folder that test days are kept in.
   */
  tests: string;
  /**
   * What to know about it, in words: what it exposes, what is not there.
   */
  notes: string[];
}
/**
 * What `steadypull situation --json` prints.
 */
export interface SituationAnswer {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * How hard the casualty is stuck.
   */
  situation: Situation;
  /**
   * Everything noticed about the plan, worst first, whatever its area.
   */
  findings: Finding[];
  /**
   * What holds for every answer.
   */
  cautions: string[];
}
/**
 * What `steadypull standoff --json` prints.
 */
export interface StandoffAnswer {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * How far back people stand.
   */
  standoff: Standoff;
  /**
   * Everything noticed about the plan, worst first, whatever its area.
   */
  findings: Finding[];
  /**
   * What holds for every answer.
   */
  cautions: string[];
}
/**
 * A plan as it is kept.
 */
export interface StoredPlan {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * Its name: letters, digits and hyphens, that of its file without the ending.
   */
  name: string;
  /**
   * Changes with every change of its text.
   */
  revision: string;
  /**
   * The plan file as text.
   */
  plan: string;
}
/**
 * A test day as it is kept.
 */
export interface StoredTestDay {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * Its name: letters, digits and hyphens, that of its folder.
   */
  name: string;
  /**
   * Changes with every change of its test file.
   */
  revision: string;
  /**
   * When its test file was last changed, seconds since 1970 began (UTC).
   */
  changed_s: number;
  /**
   * The test file as text.
   */
  text: string;
  /**
   * What is wrong in it, in the order of the file.
   */
  mistakes: InputError[];
  /**
   * Mistakes beyond those listed.
   */
  more: number;
  /**
   * Every other file of the day, by name.
   */
  files: TestDayFile[];
  /**
   * The pulls of the test file; none where it has mistakes.
   */
  pulls: TestDayPull[];
  /**
   * Names of its cells; none where it has mistakes, and so on below.
   */
  cells: string[];
  /**
   * Names of its set-ups.
   */
  setups: string[];
  /**
   * Names of the lines to be fitted.
   */
  fits: string[];
  /**
   * Names of the comparisons.
   */
  comparisons: string[];
  /**
   * What the running order is to be made of; null where the test file asks for none.
   */
  order: OrderAsked | null;
}
/**
 * One file of a test day.
 */
export interface TestDayFile {
  /**
   * Its name.
   */
  name: string;
  /**
   * Its length.
   */
  bytes: number;
  /**
   * SHA-256 of its bytes, in hexadecimal digits; null where it was not worked out lately.
   */
  sha256: string | null;
  /**
   * What it is.
   */
  kind: TestDayFileKind;
  /**
   * Why it cannot be used here, in words; null where it can.
   */
  problem: string | null;
}
/**
 * One pull as the test file has it.
 */
export interface TestDayPull {
  /**
   * Its name.
   */
  name: string;
  /**
   * The log.
   */
  log: string;
  /**
   * The recipe that it is read by.
   */
  recipe: string;
  /**
   * Which pull of the log, from 1, if the test file says.
   */
  which: number | null;
  /**
   * The cell, if the test file names one.
   */
  cell: string | null;
  /**
   * The set-up, if the test file names one.
   */
  setup: string | null;
  /**
   * The channel of the stretch, if the test file names one.
   */
  displacement: string | null;
  /**
   * Its events that are set by hand.
   */
  by_hand: EventsByHand;
}
/**
 * Events set by hand, each null where it is found in the log.
 */
export interface EventsByHand {
  /**
   * The line comes tight, s.
   */
  taut_s: number | null;
  /**
   * The load is greatest, s.
   */
  peak_s: number | null;
  /**
   * The casualty begins to move, s.
   */
  break_out_s: number | null;
  /**
   * Something lets go, s.
   */
  parting_s: number | null;
  /**
   * The line is slack again, s.
   */
  end_s: number | null;
  /**
   * Whether the break-out is taken away.
   */
  no_break_out: boolean;
  /**
   * Whether the parting is taken away.
   */
  no_parting: boolean;
  /**
   * Standard uncertainty of those times, s; null where none is set.
   */
  uncertainty_s: number | null;
}
/**
 * The `[order]` of a test file as it is written there, whether it reads or not.
 */
export interface OrderAsked {
  /**
   * Every key with one value, such as `spread` with `1.2 kN`.
   */
  values: {
    [k: string]: string;
  };
  /**
   * What is varied, in the order of the file.
   */
  factors: FactorAsked[];
}
/**
 * Something that is varied, as it is written.
 */
export interface FactorAsked {
  /**
   * Its name.
   */
  name: string;
  /**
   * Its levels.
   */
  levels: string[];
}
/**
 * What `sweep --list` prints with `--json`.
 */
export interface SweepList {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * Every number of the plan that can be varied.
   */
  inputs: ListedInput[];
  /**
   * Everything in its answer that can be a column.
   */
  outputs: ListedOutput[];
}
/**
 * A number of a plan that can be varied.
 */
export interface ListedInput {
  /**
   * Key in the plan file.
   */
  key: string;
  /**
   * What it is.
   */
  what: string;
  /**
   * Its value in the plan, SI with its unit.
   */
  value: string;
  /**
   * The range it may lie in; null where there is none.
   */
  limits: string | null;
  /**
   * Whether the file gives it; else it is a default.
   */
  given: boolean;
}
/**
 * A number or word of the answer.
 */
export interface ListedOutput {
  /**
   * Its path.
   */
  path: string;
  /**
   * What it is in the answer to the plan as written.
   */
  value: string;
}
/**
 * What `sweep` prints with `--json`.
 */
export interface SweepSummary {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * The word that stands for plan, study and program; each row carries it.
   */
  study: string;
  /**
   * The table that was written.
   */
  file: string;
  /**
   * Whether every row that this run is for is in it.
   */
  complete: boolean;
  /**
   * Points of the whole study.
   */
  points: number;
  /**
   * Draws at each point of its grid; 1 where nothing is drawn.
   */
  runs: number;
  /**
   * How draws are sampled; null where nothing is drawn.
   */
  sampling: string | null;
  /**
   * Seed of the draws; null where nothing is drawn.
   */
  seed: number | null;
  /**
   * The part that this run is for, such as `3/16`; `1/1` is all of it.
   */
  shard: string;
  /**
   * Rows in the table.
   */
  rows: number;
  /**
   * Rows that were there already when this run began.
   */
  rows_found: number;
  /**
   * Rows with an answer, safe or not.
   */
  ok: number;
  /**
   * Rows whose numbers make no plan.
   */
  refused: number;
  /**
   * Rows that no answer came of.
   */
  failed: number;
  /**
   * What was varied.
   */
  inputs: SweepInput[];
  /**
   * The columns of the table, in order.
   */
  columns: string[];
  /**
   * Inputs that the plan gives as spreads and that stayed at their middle.
   */
  left_at_middle: string[];
  /**
   * What holds for every table.
   */
  cautions: string[];
}
/**
 * A number that was varied.
 */
export interface SweepInput {
  /**
   * Key in the plan file.
   */
  key: string;
  /**
   * SI unit of its column; empty for a plain number or a share.
   */
  unit: string;
  /**
   * `listed` or `drawn`.
   */
  how: string;
  /**
   * As the study writes it.
   */
  text: string;
}
/**
 * A log to take into the test file: its recipe is kept beside it, and each pull found in
 * it gets a table.
 */
export interface TakeUpRequest {
  /**
   * The log, a file of the test day.
   */
  file: string;
  /**
   * The recipe to read it by, as TOML.
   */
  recipe: string;
  /**
   * The channel of the load; may be null where the recipe has one load alone.
   */
  force: string | null;
  /**
   * The channel of how far the line's ends are apart; null: none.
   */
  displacement: string | null;
  /**
   * The cell that took the load, one of the test file; null: none is named.
   */
  cell: string | null;
  /**
   * The set-up that was pulled, one of the test file; null: none is named.
   */
  setup: string | null;
  /**
   * The revision that it is added to; another one standing there by now is a conflict.
   */
  revision: string;
}
/**
 * A file that was put into a test day.
 */
export interface KeptTestFile {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * Its name.
   */
  name: string;
  /**
   * Its length.
   */
  bytes: number;
  /**
   * SHA-256 of its bytes, in hexadecimal digits.
   */
  sha256: string;
  /**
   * What it is.
   */
  kind: TestDayFileKind;
}
/**
 * Every test day that is kept, the last changed first.
 */
export interface TestDayList {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * The folder that they are kept in, as people would look for it.
   */
  folder: string;
  /**
   * The test days.
   */
  days: TestDayEntry[];
}
/**
 * One test day that is kept.
 */
export interface TestDayEntry {
  /**
   * Its name.
   */
  name: string;
  /**
   * Its title, if its test file reads so far.
   */
  title: string | null;
  /**
   * Changes with every change of its test file; null where that cannot be read.
   */
  revision: string | null;
  /**
   * When its test file was last changed, seconds since 1970 began (UTC).
   */
  changed_s: number;
  /**
   * Why it cannot be opened here, in words; null where it can.
   */
  problem: string | null;
}
/**
 * Every comparison of a test file.
 */
export interface TestsCompareAnswer {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * The test file in short.
   */
  test: TestSummary;
  /**
   * The comparisons.
   */
  compared: Compared[];
  /**
   * What was predicted, beside what was measured.
   */
  predicted: Predicted[];
  /**
   * What was noticed, worst first.
   */
  findings: Finding[];
  /**
   * What holds for every answer.
   */
  cautions: string[];
}
/**
 * A test file, or a day file, in short.
 */
export interface TestSummary {
  /**
   * Title.
   */
  title: string;
  /**
   * Day, as year-month-day; null where none is fixed.
   */
  date: string | null;
  /**
   * Where.
   */
  place: string | null;
  /**
   * Seed of every random draw.
   */
  seed: number;
  /**
   * Set-ups that the file describes; none in a day file.
   */
  setups: TestSetUp[];
  /**
   * Defaults that were filled in.
   */
  assumed: AssumedDefault[];
}
/**
 * What was pulled, as the labels of a test file say it.
 */
export interface TestSetUp {
  /**
   * Its name.
   */
  name: string;
  /**
   * The line.
   */
  line: string | null;
  /**
   * What stands on the label of what was tested.
   */
  product: string | null;
  /**
   * `new`, `used` or `worn`.
   */
  condition: string | null;
  /**
   * Wet or dry.
   */
  wet: boolean | null;
  /**
   * Dampers on the line.
   */
  dampers: TestDamper[];
  /**
   * Anything else.
   */
  note: string | null;
}
/**
 * A damper on a tested line.
 */
export interface TestDamper {
  /**
   * Its mass.
   */
  mass_kg: number;
  /**
   * Where it hung, as a share of the line from the casualty.
   */
  place_share: number;
}
/**
 * Set-ups compared by one reading.
 */
export interface Compared {
  /**
   * Its name in the test file.
   */
  name: string;
  /**
   * The reading.
   */
  reading: TestReading;
  /**
   * SI unit of every figure here that has none in its name; `1` for a share.
   */
  unit: string;
  /**
   * How often the intervals are meant to hold the truth.
   */
  confidence: number;
  /**
   * The set-ups.
   */
  setups: ComparedSetUp[];
  /**
   * Each with each later one.
   */
  pairs: ComparePair[];
}
/**
 * One set-up in a comparison.
 */
export interface ComparedSetUp {
  /**
   * Its name.
   */
  name: string;
  /**
   * Pulls with the reading.
   */
  pulls: number;
  /**
   * Their names.
   */
  pull_names: string[];
  /**
   * Their values, in `unit`.
   */
  values: number[];
  /**
   * Standard uncertainty of each as read, in `unit`; null where it has no interval.
   */
  uncertainties: (number | null)[];
  /**
   * Pulls that have no such reading, or none that may be used, and why.
   */
  left_out: string[];
  /**
   * Mean; null without pulls.
   */
  mean: number | null;
  /**
   * Lower end of the mean's interval by the spread from pull to pull (Student's t); null
   * for fewer than two pulls.
   */
  mean_low: number | null;
  /**
   * Upper end.
   */
  mean_high: number | null;
  /**
   * Standard deviation from pull to pull; null for fewer than two.
   */
  deviation: number | null;
  /**
   * Tolerance limit, where one is asked for and can be had.
   */
  tolerance: ToleranceLimit | null;
  /**
   * Why there is none, where one is asked for.
   */
  no_tolerance: string | null;
}
/**
 * A bound on a share of all pulls of a set-up.
 */
export interface ToleranceLimit {
  /**
   * Share of all such pulls that it covers.
   */
  cover: number;
  /**
   * How often such a limit keeps its word.
   */
  confidence: number;
  /**
   * Lower limit; null where only the upper is asked for.
   */
  low: number | null;
  /**
   * Upper limit; null where only the lower is asked for.
   */
  high: number | null;
  /**
   * Factor on the standard deviation.
   */
  factor: number;
}
/**
 * Two set-ups.
 */
export interface ComparePair {
  /**
   * The first.
   */
  first: string;
  /**
   * The second.
   */
  second: string;
  /**
   * Second mean less first, in `unit`; null without pulls of both.
   */
  difference: number | null;
  /**
   * Lower end of Welch's interval; null without one.
   */
  low: number | null;
  /**
   * Upper end.
   */
  high: number | null;
  /**
   * Lower end of the bootstrap's interval.
   */
  bootstrap_low: number | null;
  /**
   * Upper end.
   */
  bootstrap_high: number | null;
  /**
   * Share of deals by chance alone that part the set-ups as far.
   */
  permutation_p: number | null;
  /**
   * The same with all pairs in view (Holm).
   */
  adjusted_p: number | null;
  /**
   * Least share that so few pulls could give.
   */
  least_p: number | null;
  /**
   * True difference that so many pulls would show four times in five, in `unit`.
   */
  resolution: number | null;
  /**
   * What may be said; null where there is nothing to judge, as after one pull.
   */
  verdict: CompareVerdict | null;
  /**
   * The same in a sentence.
   */
  says: string;
}
/**
 * A prediction beside what was measured.
 */
export interface Predicted {
  /**
   * Its name in the test file.
   */
  name: string;
  /**
   * The set-up.
   */
  setup: string;
  /**
   * The reading.
   */
  reading: TestReading;
  /**
   * SI unit of the figures.
   */
  unit: string;
  /**
   * Where it comes from: `stated`, or the plan file.
   */
  from: string;
  /**
   * What was predicted.
   */
  predicted: number;
  /**
   * Mean of what was measured; null without pulls.
   */
  measured: number | null;
  /**
   * Lower end of the mean's interval; null for fewer than two pulls.
   */
  low: number | null;
  /**
   * Upper end.
   */
  high: number | null;
  /**
   * Pulls.
   */
  pulls: number;
  /**
   * Measured less predicted, over predicted.
   */
  off_share: number | null;
  /**
   * Whether the interval holds the prediction; null without an interval.
   */
  agrees: boolean | null;
  /**
   * The same in a sentence.
   */
  says: string;
}
/**
 * Every line that a test file asks to be fitted.
 */
export interface TestsFitAnswer {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * The test file in short.
   */
  test: TestSummary;
  /**
   * The lines.
   */
  lines: FittedLine[];
  /**
   * What was noticed, worst first.
   */
  findings: Finding[];
  /**
   * What holds for every answer.
   */
  cautions: string[];
}
/**
 * One line fitted.
 */
export interface FittedLine {
  /**
   * Its name.
   */
  name: string;
  /**
   * Material, as a plan file writes it.
   */
  material: string;
  /**
   * Rest length as new.
   */
  length_m: number;
  /**
   * Breaking strength that the curve is scaled by; stated, not fitted.
   */
  mbs_n: number;
  /**
   * The pulls it rests on.
   */
  pulls: FittedPull[];
  /**
   * The parameters.
   */
  parameters: FittedParameter[];
  /**
   * How often the intervals are meant to hold the truth.
   */
  confidence: number;
  /**
   * How the intervals were made, in words.
   */
  intervals: string;
  /**
   * Whether the pulls can tell the parameters apart.
   */
  verdict: FitVerdict;
  /**
   * The same in a sentence, with what to do.
   */
  says: string;
  /**
   * Condition of the slopes, from 1 (each on its own).
   */
  condition: number;
  /**
   * Correlations of the parameters, by rows: of their scatter and of what all pulls share.
   */
  correlation: number[][];
  /**
   * Whether the residuals pass for noise.
   */
  residuals_like_noise: boolean;
  /**
   * Chance of as few or as many runs of one sign in noise.
   */
  runs_p: number;
  /**
   * Chance of correlations so large in noise.
   */
  correlation_p: number;
  /**
   * Share of a reading's noise that the next one keeps; 0 where none was found.
   */
  noise_memory: number;
  /**
   * Noise of one load about the line (standard deviation).
   */
  noise_n: number;
  /**
   * What the noise of the stretch makes of one load beside it (root of the mean square).
   */
  noise_by_stretch_n: number;
  /**
   * Stretch over rest length at the points of the extension curve.
   */
  curve_stretch: number[];
  /**
   * Share of the breaking strength at the same points.
   */
  curve_share: number[];
  /**
   * Share of the breaking strength up to which there is data; above, the curve goes
   * straight on.
   */
  share_read: number;
  /**
   * Energy given back over energy taken.
   */
  energy_return: number;
  /**
   * Stretch left over greatest stretch.
   */
  set_share: number;
  /**
   * Instant stiffness over slow; null without a rate effect.
   */
  stiffness_ratio: number | null;
  /**
   * Relaxation time; null without a rate effect.
   */
  relaxation_s: number | null;
  /**
   * The line file, which a plan names: the line, how sure it is, where it comes from.
   */
  line_toml: string;
}
/**
 * A pull that a line was fitted to.
 */
export interface FittedPull {
  /**
   * Its name.
   */
  name: string;
  /**
   * SHA-256 of its log.
   */
  sha256: string;
  /**
   * Readings taken from it.
   */
  readings: number;
  /**
   * Greatest strain seen before it and not recovered.
   */
  strain_seen: number;
  /**
   * How far the fit moved where its stretch begins, from where the log has it taut.
   */
  moved_m: number;
  /**
   * Noise of one stretch that the fit weighed (standard deviation).
   */
  stretch_noise_m: number;
  /**
   * Times of the readings from taut.
   */
  time_s: number[];
  /**
   * Stretch of each from taut, as moved.
   */
  stretch_m: number[];
  /**
   * Load of each.
   */
  force_n: number[];
  /**
   * Fitted less read.
   */
  residual_n: number[];
}
/**
 * A fitted parameter.
 */
export interface FittedParameter {
  /**
   * A stable word for it.
   */
  name: string;
  /**
   * What it is.
   */
  says: string;
  /**
   * SI unit; `1` for a share or a ratio.
   */
  unit: string;
  /**
   * Its value and interval.
   */
  value: Measured;
  /**
   * Whether the pulls leave an end of the interval open.
   */
  open: boolean;
}
/**
 * A number with how sure it is. The field that holds it ends in the unit.
 */
export interface Measured {
  /**
   * The number; null where it could not be had.
   */
  value: number | null;
  /**
   * Lower end of its interval, which is meant to hold the truth 95 times in 100.
   */
  low: number | null;
  /**
   * Upper end.
   */
  high: number | null;
  /**
   * Combined standard uncertainty.
   */
  standard_uncertainty: number | null;
  /**
   * Why there is no interval; null where there is one.
   */
  no_interval: string | null;
  /**
   * What the uncertainty is made of, largest first.
   */
  made_of: Doubt[];
}
/**
 * One doubt about a number.
 */
export interface Doubt {
  /**
   * Where it comes from.
   */
  from: string;
  /**
   * Standard uncertainty it brings, in the unit of the number.
   */
  standard_uncertainty: number;
}
/**
 * The cleaned load of a pull for drawing: least and greatest in each of even parts.
 */
export interface TestsLevels {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * The pull.
   */
  pull: string;
  /**
   * Whether it is the load as cleaned. If not it is the whole log as it came, by its cell's
   * sensitivity: zero not taken off, nothing filtered, parts of as many samples each.
   */
  cleaned: boolean;
  /**
   * Start of the first part.
   */
  from_s: number;
  /**
   * End of the last.
   */
  to_s: number;
  /**
   * Least load in each part; null where there is none.
   */
  least_n: (number | null)[];
  /**
   * Greatest load in each part; null where there is none.
   */
  greatest_n: (number | null)[];
  /**
   * Whether a sample is missing in the part.
   */
  gap: boolean[];
}
/**
 * A log looked at: the recipe that was guessed, why, and what it gives.
 */
export interface TestsLookAnswer {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * The log.
   */
  file: string;
  /**
   * SHA-256 of its bytes, in hexadecimal digits.
   */
  sha256: string;
  /**
   * Its length.
   */
  bytes: number;
  /**
   * The recipe as TOML, to be kept beside the log.
   */
  recipe: string;
  /**
   * The choices in it, with their reasons.
   */
  choices: LookChoice[];
  /**
   * The first rows as the recipe reads them.
   */
  preview: LookPreviewRow[];
  /**
   * Rows read; 0 where the log could not be read whole.
   */
  samples: number;
  /**
   * Time from the first to the last row; null where the log could not be read whole.
   */
  span_s: number | null;
  /**
   * What the channels hold.
   */
  channels: LogColumn[];
  /**
   * What was odd while the log was read.
   */
  mistakes: LogGroup[];
  /**
   * Why the log cannot be read by this recipe as it is; null where it can.
   */
  unreadable: string | null;
  /**
   * What holds for every answer.
   */
  cautions: string[];
}
/**
 * One choice of a recipe.
 */
export interface LookChoice {
  /**
   * The recipe's key.
   */
  key: string;
  /**
   * What was chosen.
   */
  chosen: string;
  /**
   * Why.
   */
  why: string;
  /**
   * How sure it is.
   */
  sure: LookSure;
  /**
   * What else it could be.
   */
  instead: LookInstead[];
}
/**
 * Another way a choice could go.
 */
export interface LookInstead {
  /**
   * The value of the key.
   */
  value: string;
  /**
   * What speaks for it, or what it would change.
   */
  why: string;
}
/**
 * One row as read.
 */
export interface LookPreviewRow {
  /**
   * Where it stands.
   */
  place: string;
  /**
   * Its time; null where it has none.
   */
  time_s: number | null;
  /**
   * Its cells.
   */
  cells: LookPreviewCell[];
}
/**
 * One cell as read.
 */
export interface LookPreviewCell {
  /**
   * Its column, from 1.
   */
  column: number;
  /**
   * What stands there.
   */
  raw: string;
  /**
   * What it becomes, in `unit`; null for a gap.
   */
  value: number | null;
  /**
   * SI unit of the value.
   */
  unit: string;
}
/**
 * What one channel holds.
 */
export interface LogColumn {
  /**
   * Its name.
   */
  name: string;
  /**
   * Unit of the figures here.
   */
  unit: string;
  /**
   * Unit in the file.
   */
  written_unit: string;
  /**
   * Least value; null where there is none.
   */
  least: number | null;
  /**
   * Greatest value; null where there is none.
   */
  greatest: number | null;
  /**
   * Values that are missing.
   */
  missing: number;
  /**
   * What is wrong with it.
   */
  faults: LogFault[];
  /**
   * How it goes, to be drawn; null where that was not asked for, or the log is not at hand.
   */
  course: LogCourse | null;
}
/**
 * Something wrong with a log.
 */
export interface LogFault {
  /**
   * A stable word for the kind.
   */
  kind: string;
  /**
   * Time it begins; null where the times are none.
   */
  from_s: number | null;
  /**
   * Time it ends.
   */
  to_s: number | null;
  /**
   * What it is and what it does to the numbers.
   */
  says: string;
}
/**
 * A channel from its first sample to its last, in parts of as many samples each.
 */
export interface LogCourse {
  /**
   * First time, s.
   */
  from_s: number;
  /**
   * Last time, s.
   */
  to_s: number;
  /**
   * Least value in each part; null where there is none.
   */
  least: (number | null)[];
  /**
   * Greatest value in each part; null where there is none.
   */
  greatest: (number | null)[];
}
/**
 * All oddities of one kind found while a log was read.
 */
export interface LogGroup {
  /**
   * A stable word for the kind.
   */
  kind: string;
  /**
   * What it is and what was done.
   */
  says: string;
  /**
   * Whether values were lost by it.
   */
  lost: boolean;
  /**
   * How many there are.
   */
  count: number;
  /**
   * Where the first is.
   */
  first: string;
}
/**
 * A day of tests.
 */
export interface TestsPlanAnswer {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * The day file in short.
   */
  test: TestSummary;
  /**
   * What is varied.
   */
  factors: string[];
  /**
   * The pulls in the order they are made.
   */
  pulls: PlannedPull[];
  /**
   * Pairs of set-ups that will be compared.
   */
  comparisons: number;
  /**
   * Pulls of each set-up that the day needs.
   */
  pulls_each: number;
  /**
   * Chance that they show the wanted difference.
   */
  chance: number;
  /**
   * Least difference worth knowing.
   */
  difference_n: number;
  /**
   * Standard deviation from pull to pull that was planned with.
   */
  spread_n: number;
  /**
   * Whether that was guessed.
   */
  spread_guessed: boolean;
  /**
   * Chance at which the difference is wanted to be shown.
   */
  power: number;
  /**
   * What other numbers of pulls can show.
   */
  seen: Seen[];
  /**
   * How far back people stand: the larger of what the day file states and what its plan's
   * let-go gives.
   */
  standoff_m: number;
  /**
   * As the day file states it; null where it does not.
   */
  standoff_stated_m: number | null;
  /**
   * As the let-go of a plan gives it; null where the day file names none.
   */
  standoff_of_plan: StandoffOfPlan | null;
  /**
   * Highest load that is planned; the limit where the day file does not say.
   */
  highest_load_n: number;
  /**
   * Lowest rating of what carries the load, as the day file states.
   */
  limit_n: number;
  /**
   * What ends a pull, or the day, at once.
   */
  stop_rules: string[];
  /**
   * The record sheet: its head, then a row a pull.
   */
  sheet: string[][];
  /**
   * What was noticed, worst first.
   */
  findings: Finding[];
  /**
   * What holds for every answer.
   */
  cautions: string[];
}
/**
 * One pull of the day.
 */
export interface PlannedPull {
  /**
   * Which, from 1.
   */
  number: number;
  /**
   * Block, from 1: each block holds each set-up once.
   */
  block: number;
  /**
   * Level of each factor.
   */
  levels: string[];
}
/**
 * What a number of pulls can show.
 */
export interface Seen {
  /**
   * Pulls of each set-up.
   */
  pulls_each: number;
  /**
   * Difference that is then shown at the wanted chance; null where so few pulls can show
   * none.
   */
  difference_n: number | null;
}
/**
 * How far back people stand by the let-go of a plan: the largest of its three distances,
 * over every part that could let go.
 */
export interface StandoffOfPlan {
  /**
   * The plan file.
   */
  file: string;
  /**
   * SHA-256 of its bytes, in hexadecimal digits.
   */
  sha256: string;
  /**
   * Its title.
   */
  title: string;
  /**
   * Its own verdict in a line.
   */
  headline: string;
  /**
   * Whether its rig is within policy.
   */
  within_policy: boolean;
  /**
   * What its answer says not to do, in words; empty where there is nothing.
   */
  critical: string[];
  /**
   * Greatest load in a line at which a part was taken to let go.
   */
  load_n: number;
  /**
   * Parts that could let go.
   */
  parts: number;
  /**
   * The one whose failure brings the most energy.
   */
  worst: string | null;
  /**
   * The largest of the three distances.
   */
  distance_m: number;
  /**
   * Behind the casualty.
   */
  behind_casualty_m: number;
  /**
   * Behind the tug.
   */
  behind_tug_m: number;
  /**
   * Beside the line.
   */
  beside_m: number;
  /**
   * Whether the computed zone is larger than the rule's anywhere.
   */
  computed_governs: boolean;
  /**
   * Quantile of the computed zone.
   */
  quantile: number;
  /**
   * Runs behind it.
   */
  runs: number;
  /**
   * Runs that failed and are not in it (ideally 0).
   */
  failed_runs: number;
  /**
   * The rule's distance.
   */
  rule_m: number;
  /**
   * The rule in words, with its source.
   */
  rule: string;
}
/**
 * Every pull of a test file, read off.
 */
export interface TestsReadAnswer {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * The test file in short.
   */
  test: TestSummary;
  /**
   * The pulls, in the order of the file.
   */
  pulls: PullRead[];
  /**
   * What was noticed, worst first.
   */
  findings: Finding[];
  /**
   * What holds for every answer.
   */
  cautions: string[];
}
/**
 * One pull.
 */
export interface PullRead {
  /**
   * Its name in the test file.
   */
  name: string;
  /**
   * Its set-up.
   */
  setup: string | null;
  /**
   * Where its numbers come from.
   */
  log: LogProvenance;
  /**
   * The cell that took it; null where the test file names none.
   */
  cell: CellUsed | null;
  /**
   * What was odd while the log was read.
   */
  mistakes: LogGroup[];
  /**
   * What is wrong with the load channel as it came.
   */
  faults: LogFault[];
  /**
   * What was done to it, in order.
   */
  steps: CleaningStep[];
  /**
   * Standard deviation of one load at rest, after cleaning.
   */
  noise_n: number;
  /**
   * Load from which a pull was taken for one.
   */
  threshold_n: number;
  /**
   * First and last time of the cleaned record.
   *
   * @minItems 2
   * @maxItems 2
   */
  record_s: [number, number];
  /**
   * What happened, in order of time.
   */
  events: TestEvent[];
  /**
   * The log begins, ends or has a gap while the line is under load.
   */
  cut_off: boolean;
  /**
   * What its footage shows; null without any.
   */
  footage: FootageRead | null;
  /**
   * Other pulls, and rebounds, in the same log.
   */
  others: OtherPull[];
  /**
   * The numbers.
   */
  readings: PullReadings;
}
/**
 * Where numbers come from.
 */
export interface LogProvenance {
  /**
   * The log as the test file names it.
   */
  file: string;
  /**
   * SHA-256 of its bytes, in hexadecimal digits.
   */
  sha256: string;
  /**
   * Whether the test file gave that hash, and it agreed.
   */
  checked: boolean;
  /**
   * Its length.
   */
  bytes: number;
  /**
   * The recipe it was read by.
   */
  recipe: string;
  /**
   * Rows of the log.
   */
  samples: number;
  /**
   * Samples a second, where the file or its recipe tells it.
   */
  rate_hz: number | null;
  /**
   * What the logger's clock showed at time 0.
   */
  starts: string | null;
  /**
   * The channel of the load.
   */
  force_channel: string;
  /**
   * The channel of the stretch.
   */
  displacement_channel: string | null;
}
/**
 * The cell that took a pull.
 */
export interface CellUsed {
  /**
   * Its name in the test file.
   */
  name: string;
  /**
   * What its certificate goes by.
   */
  certificate: string;
  /**
   * The copy of it that is kept with the test; null where there is none.
   */
  certificate_file: KeptCertificate | null;
  /**
   * Day the certificate falls due, as year-month-day.
   */
  due: string;
  /**
   * Whether it was due on the day of the test.
   */
  overdue: boolean;
  /**
   * Greatest load calibrated.
   */
  range_n: number;
}
/**
 * The copy of a certificate.
 */
export interface KeptCertificate {
  /**
   * The file as the test file names it.
   */
  file: string;
  /**
   * SHA-256 of its bytes, in hexadecimal digits.
   */
  sha256: string;
  /**
   * Whether the test file gave that hash, and it agreed.
   */
  checked: boolean;
  /**
   * Its length.
   */
  bytes: number;
}
/**
 * One step of cleaning.
 */
export interface CleaningStep {
  /**
   * What was done.
   */
  says: string;
  /**
   * Samples before.
   */
  samples_before: number;
  /**
   * Samples after.
   */
  samples_after: number;
}
/**
 * Something that happened at a time.
 */
export interface TestEvent {
  /**
   * What.
   */
  kind: TestEventKind;
  /**
   * When, by the log's clock.
   */
  time_s: number;
  /**
   * Standard uncertainty of that.
   */
  uncertainty_s: number;
  /**
   * Who set it.
   */
  set_by: SetBy;
}
/**
 * How a point moved in footage, by a smoothing spline through its marks.
 */
export interface FootageRead {
  /**
   * The table of marks.
   */
  file: string;
  /**
   * SHA-256 of its bytes, in hexadecimal digits.
   */
  sha256: string;
  /**
   * Its length.
   */
  bytes: number;
  /**
   * Marks.
   */
  marks: number;
  /**
   * From the first mark to the last.
   */
  span_s: number;
  /**
   * Along the known length, from its first end to its second.
   */
  along: FootageAxis;
  /**
   * Square to it, in the plane.
   */
  across: FootageAxis;
  /**
   * Its clock beside the log's; null where no event of the log is named in it.
   */
  clock: FootageClock | null;
}
/**
 * Greatest values along one axis, with their signs.
 */
export interface FootageAxis {
  /**
   * Furthest from the first mark.
   */
  moved_m: Measured;
  /**
   * Fastest.
   */
  speed_m_s: Measured;
  /**
   * Hardest.
   */
  acceleration_m_s2: Measured;
}
/**
 * The clock of footage beside the log's, from events that both have.
 */
export interface FootageClock {
  /**
   * Log time less footage time (from frame 0, by the frame rate as stated).
   */
  shift_s: Measured;
  /**
   * Footage time at which it is so.
   */
  at_s: number;
  /**
   * Seconds that the log gains on the footage in a second, by the events alone; null from
   * one event.
   */
  drift_share: Measured | null;
  /**
   * The same as taken: as far as the frame rate's uncertainty leaves room for it.
   */
  drift_taken_share: number;
  /**
   * Standard uncertainty of the footage's clock at the worst place of the pull: what its
   * stretch is read with.
   */
  within_pull_s: number;
  /**
   * Whether the events agree; null from one event, which nothing checks.
   */
  agreement: ClockAgreement | null;
  /**
   * The events, in order of time.
   */
  events: ClockEvent[];
}
/**
 * Whether events put the footage beside the log in the same way.
 */
export interface ClockAgreement {
  /**
   * Sum of squares of what is left of the events, each by its uncertainty.
   */
  chi_square: number;
  /**
   * Its degrees of freedom.
   */
  degrees_of_freedom: number;
  /**
   * Chance that events which agree would differ so much or more.
   */
  p: number;
  /**
   * Whether they are taken to say different times: the uncertainties are then widened.
   */
  in_doubt: boolean;
}
/**
 * An event that footage and log both have.
 */
export interface ClockEvent {
  /**
   * What.
   */
  kind: TestEventKind;
  /**
   * The first frame that shows it.
   */
  frame: number;
  /**
   * When the log has it.
   */
  log_time_s: number;
  /**
   * Log time less footage time and shift.
   */
  left_s: number;
  /**
   * Standard uncertainty of that, from frame and log.
   */
  uncertainty_s: number;
}
/**
 * Another pull in the same log.
 */
export interface OtherPull {
  /**
   * When its line comes tight.
   */
  taut_s: number;
  /**
   * When it is slack.
   */
  end_s: number;
  /**
   * Its greatest load, roughly.
   */
  about_n: number;
  /**
   * Whether it is a rebound of the one before.
   */
  rebound: boolean;
}
/**
 * The numbers of a pull.
 */
export interface PullReadings {
  /**
   * Greatest load, with what the filter took off put back.
   */
  peak_n: Measured;
  /**
   * Greatest load as the filter class gives it.
   */
  peak_as_filtered_n: Measured;
  /**
   * When it was greatest.
   */
  peak_time_s: Measured;
  /**
   * From 10 to 90 % of the peak.
   */
  rise_s: Measured;
  /**
   * How long the load was above half the peak.
   */
  width_s: Measured;
  /**
   * Load over time from taut to end.
   */
  impulse_n_s: Measured;
  /**
   * From taut to end.
   */
  duration_s: Measured;
  /**
   * Strongest oscillation of the taut line after the break-out, or after the peak where
   * there is none.
   */
  oscillation: OscillationReadings;
  /**
   * What the stretch beside the load tells; null where there is none.
   */
  stretch: StretchReadings | null;
  /**
   * Why there is none, where a stretch was logged.
   */
  no_stretch: string | null;
}
/**
 * The strongest oscillation of the load about its slow course.
 */
export interface OscillationReadings {
  /**
   * Start of the window it was looked for in.
   */
  from_s: number;
  /**
   * End of that window: slack, or the parting.
   */
  to_s: number;
  /**
   * How often it swings.
   */
  frequency_hz: Measured;
  /**
   * Damping ratio; 1 is critical.
   */
  damping_ratio: Measured;
  /**
   * Half the swing at the start of the window.
   */
  amplitude_n: Measured;
  /**
   * Frequencies closer together than this look like one; null where the window is empty.
   */
  resolution_hz: number | null;
}
/**
 * What the stretch beside the load tells.
 */
export interface StretchReadings {
  /**
   * Greatest stretch from taut.
   */
  greatest_m: Measured;
  /**
   * Energy the line took in.
   */
  energy_in_j: Measured;
  /**
   * Energy it gave back.
   */
  energy_back_j: Measured;
  /**
   * Share it kept.
   */
  hysteresis_share: Measured;
  /**
   * Load for a metre more of stretch, on the way up.
   */
  stiffness_n_m: Measured;
}
/**
 * A test day read, fitted and compared, with what draws it and what repeats it.
 */
export interface TestsReport {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * Version of the program that worked it out.
   */
  program_version: string;
  /**
   * The test file.
   */
  test_file: HashedFile;
  /**
   * Recipes, certificates, plans and marks of another end that it names.
   */
  beside: HashedFile[];
  /**
   * The pulls.
   */
  read: TestsReadAnswer;
  /**
   * The lines; null where the test file asks for none.
   */
  fit: TestsFitAnswer | null;
  /**
   * The comparisons; null where the test file asks for none.
   */
  compare: TestsCompareAnswer | null;
  /**
   * What each pull is drawn from, in the order of the pulls.
   */
  drawn: DrawnPull[];
  /**
   * What was noticed anywhere, each once, worst first.
   */
  findings: Finding[];
}
/**
 * A file by its bytes.
 */
export interface HashedFile {
  /**
   * Its name, from the folder of the test file.
   */
  file: string;
  /**
   * What it holds, in words, such as `recipe`.
   */
  holds: string;
  /**
   * SHA-256 of its bytes, in hexadecimal digits.
   */
  sha256: string;
  /**
   * Its length.
   */
  bytes: number;
}
/**
 * What a pull is drawn from.
 */
export interface DrawnPull {
  /**
   * The load in time, from a little before taut to a little after slack.
   */
  levels: TestsLevels;
  /**
   * Stretch from taut to slack, or to the parting, thinned; empty without one.
   */
  stretch_m: number[];
  /**
   * The load at the same times.
   */
  force_n: number[];
}
/**
 * What `steadypull tether --json` prints.
 */
export interface TetherAnswer {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * Title of the plan.
   */
  title: string;
  /**
   * What tether holds, or that none will do.
   */
  tether: TetherDesign;
  /**
   * Everything noticed about the plan and the design, worst first.
   */
  findings: Finding[];
  /**
   * What holds for every answer.
   */
  cautions: string[];
}
/**
 * What tether holds a recoil, or that none will do.
 */
export interface TetherDesign {
  /**
   * Why nothing was worked out, if so; everything else is then empty.
   */
  missing: string | null;
  /**
   * What was asked, and for which link.
   */
  wish: TetherWish | null;
  /**
   * Whether a tether in the range holds.
   */
  meets: boolean;
  /**
   * The answer in a sentence.
   */
  headline: string;
  /**
   * The tether that takes the least strength, after its check on fresh draws.
   */
  least: TetherFit | null;
  /**
   * Share of the fresh draws in which it holds.
   */
  held_share: number | null;
  /**
   * Lower end of the 90 % sampling band of that share.
   */
  held_low: number | null;
  /**
   * Upper end.
   */
  held_high: number | null;
  /**
   * Strength against stretch: every length tried with every stretch.
   */
  cells: TetherCell[];
  /**
   * The points of the vehicle that a tether could be made fast to.
   */
  points: TetherPoint[];
  /**
   * Draws of the search.
   */
  search_draws: number;
  /**
   * Fresh draws of the check.
   */
  check_draws: number;
  /**
   * Runs of the check that failed; they count as parted.
   */
  failed: number;
  /**
   * Segments of the runs of the search.
   */
  segments: number;
  /**
   * Segments of the check.
   */
  check_segments: number;
  /**
   * Step of the strengths tried, as a ratio.
   */
  strength_step: number;
}
/**
 * What was asked of the tether.
 */
export interface TetherWish {
  /**
   * The link that lets go.
   */
  link: string;
  /**
   * Whether it is the worst of the rig, as against one that was named.
   */
  worst: boolean;
  /**
   * The end at which it lets go, where the tether is made fast.
   */
  parts_at: Side;
  /**
   * What flies, in words.
   */
  flies: string;
  /**
   * Mass of the hardware that flies, median; 0 for a bare line.
   */
  hardware_mass_kg: number;
  /**
   * Tension in the line when it lets go, median.
   */
  tension_n: number;
  /**
   * Energy of the hardware at the far vehicle without a tether or dampers, at the
   * wish's chance.
   */
  untethered_j: number;
  /**
   * The tether must hold in this share of the draws.
   */
  chance: number;
  /**
   * What is held gets no further than this from where it let go.
   */
  within_m: number;
  /**
   * Least strength tried.
   */
  weakest_n: number;
  /**
   * Greatest strength tried.
   */
  strongest_n: number;
  /**
   * Dampers of the plan on the line meanwhile.
   */
  dampers: number;
}
/**
 * A tether that holds.
 */
export interface TetherFit {
  /**
   * Length.
   */
  length_m: number;
  /**
   * Stretch at break, as a ratio.
   */
  stretch_at_break: number;
  /**
   * Strength.
   */
  mbs_n: number;
  /**
   * Mass, as nylon webbing.
   */
  mass_kg: number;
  /**
   * Load that it hands to its anchor point, median.
   */
  peak_median_n: number;
  /**
   * The same at the wish's chance.
   */
  peak_n: number;
  /**
   * Energy that it takes up before it parts; if it parts, its own ends fly with it.
   */
  capacity_j: number;
  /**
   * Greatest speed that this energy could give the tether's own mass.
   */
  end_speed_m_s: number;
}
/**
 * One length and stretch.
 */
export interface TetherCell {
  /**
   * Length.
   */
  length_m: number;
  /**
   * Stretch at break, as a ratio.
   */
  stretch_at_break: number;
  /**
   * How far it lets anything get: length and stretch.
   */
  reach_m: number;
  /**
   * Whether that is further than asked.
   */
  too_long: boolean;
  /**
   * The least tether that holds; null where none in the range does.
   */
  fit: TetherFit | null;
}
/**
 * A point of the vehicle that the tether could be made fast to.
 */
export interface TetherPoint {
  /**
   * Its name in the plan.
   */
  name: string;
  /**
   * Whether the line itself is made fast there: it may be what lets go.
   */
  in_use: boolean;
  /**
   * Whether it is a rated point.
   */
  rated: boolean;
  /**
   * Working load limit, if stated.
   */
  wll_n: number | null;
  /**
   * Breaking strength, if stated.
   */
  mbs_n: number | null;
  /**
   * Peak load of the least tether over the working load limit.
   */
  share_of_wll: number | null;
  /**
   * Peak load of the least tether over the breaking strength.
   */
  share_of_mbs: number | null;
}
/**
 * What `brief`, `plot`, `example -o` and `tests report` print with `--json`.
 */
export interface Written {
  /**
   * Version of the contract.
   */
  contract_version: number;
  /**
   * Every file written, in order.
   */
  written: WrittenFile[];
  /**
   * Figures that hold nothing for this plan.
   */
  skipped: SkippedFigure[];
  /**
   * Everything noticed about the plan, worst first; empty for a demo plan.
   */
  findings: Finding[];
  /**
   * What holds for every answer.
   */
  cautions: string[];
}
/**
 * One file.
 */
export interface WrittenFile {
  /**
   * Its path as given or built on the command line.
   */
  file: string;
  /**
   * What it holds: `brief`, `plan`, `test report`, or the name of the figure.
   */
  holds: string;
  /**
   * Its form.
   */
  kind: FileKind;
}
/**
 * A figure that holds nothing for this plan.
 */
export interface SkippedFigure {
  /**
   * Its name.
   */
  figure: string;
  /**
   * Why there is nothing to draw.
   */
  why: string;
}
