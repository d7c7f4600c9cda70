// What the engine is asked and what it answers: one JSON question to one JSON answer.
//
// One job: the shapes that the screens rely on. What the figures mean is told by the program's
// own answers; this side computes none of them.

export interface ScenarioFile {
  name: string;
  text: string;
  /** What the scenario points to, by its path. */
  files: Record<string, string>;
}

/** Long option names of the command line; values as it takes them. */
export type Options = Record<string, string | number | boolean | string[]>;

export interface Question {
  ask: "run" | "chance" | "outline" | "numbers" | "edit" | "places" | "templates" | "about" | "schema";
  scenario?: ScenarioFile;
  command?: string;
  options?: Options;
  today?: string;
  files?: boolean;
  now?: string;
  /** Changes to the scenario, of `run`, `chance` and `edit`: values by key, loads to switch off. */
  set?: Record<string, unknown>;
  off?: string[];
  name?: string;
  /** Names that begin so, not only this very name. */
  begins?: boolean;
  /** A point, and where one comes from: latitude and longitude. */
  at?: readonly [number, number];
  by?: readonly [number, number];
}

export interface Problem {
  path?: string;
  label?: string;
  line?: number;
  column?: number;
  text: string;
  hint?: string | null;
}

export interface Refusal {
  status: number;
  problems?: Problem[];
  text?: string;
}

export interface ChanceAnswer {
  status: number;
  chance_no_shortfall: Interval;
}

/** What stands after the sentences, in the screen's order: a note or a table. */
export type Shown =
  | { note: string }
  | { columns: string[]; figures: boolean[]; rows: string[][] };

export interface RunAnswer {
  status: number;
  json: string;
  /** The sentence that says from when and where. */
  from: string | null;
  verdict: string;
  warnings: string[];
  cautions: string[];
  tables: Shown[];
  files?: Record<string, string>;
}

export interface Stop {
  name: string;
  at: [number, number];
  arrive: string;
  depart: string | null;
  nights: number;
  mains: boolean;
}

export interface OutlineBank {
  id: string;
  name?: string;
  kind: string;
  capacity_ah: number;
  reserve_soc: number;
  is_starter: boolean;
}

export interface Part {
  id: string;
  name?: string;
  /** Of a load: the bank it draws from, and whether the file has it switched off. */
  bank?: string;
  off?: boolean;
}

export interface Outline {
  status: number;
  name: string;
  start: string;
  end: string;
  zone: string;
  from: string;
  from_at: [number, number];
  stops: Stop[];
  banks: OutlineBank[];
  loads: Part[];
  chargers: Part[];
  panels: Part[];
  position?: { stop: string | null; number: number | null; driving: boolean };
}

export interface Template {
  name: string;
  summary: string;
  text: string;
}

export interface FileNumber {
  key: string;
  label: string;
  /** `share`: from 0 to 1, shown in per cent. */
  unit: string;
  value: number;
  min: number;
  max: number;
  step: number;
  given: boolean;
}

export interface Interval {
  value: number;
  low: number;
  high: number;
}

export interface Quantiles {
  p10: number;
  p50: number;
  p90: number;
}

export interface Days {
  value: number | null;
  low: number | null;
  high: number | null;
  beyond_horizon: boolean;
}

export interface BankNight {
  date: string;
  stop: string;
  dawn_soc: Quantiles;
  chance_no_shortfall: Interval;
}

export interface TripJson {
  trials: number;
  chance_no_shortfall: Interval;
  banks: {
    id: string;
    chance_no_shortfall: Interval;
    lowest_soc: Quantiles;
    end_soc: Quantiles;
    nights: BankNight[];
  }[];
}

export interface StayRow {
  nights_more: number;
  leave: string;
  chance_here: Interval;
  chance_rest: Interval;
  chance_both: Interval;
}

export interface StayJson {
  trials: number;
  from: { now: string; stop: string; nights: number; soc: Record<string, unknown> };
  stop: string;
  stay_until: string | null;
  banks: { id: string; nights: BankNight[]; autonomy_days: { p10: Days; p50: Days; p90: Days } }[];
  rest?: StayRow[];
}

export interface MendJson {
  meets_aim: boolean;
  mends: {
    changes: { key: string; from: unknown; to: unknown }[];
    text: string;
    chance: Interval;
    price: number | null;
    mass_kg: number | null;
    free: boolean;
    meets_aim: boolean;
  }[];
  useless: { kind: string; text: string }[];
}

/** Whether an answer is a refusal rather than what was asked for. */
export function isRefusal(answer: unknown): answer is Refusal {
  const status = (answer as { status?: number }).status;
  return status !== undefined && status !== 0 && status !== 1;
}
