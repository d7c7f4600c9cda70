// What the page keeps: the scenarios, and what was typed about each.
//
// One job: one value, changed in one way, kept by the browser where it keeps anything, and put
// into a copy of the page where it does not. Nothing is sent anywhere.

import type { Place } from "./find_place";
import type { Question, ScenarioFile } from "./protocol";

export type Weather = "bright" | "mixed" | "dull";

/** What is said of the day on the road; null: as the clock and the plan have it. */
export interface Road {
  now: string | null;
  at: string | null;
  nights: number | null;
  /** Meters, in per cent, by bank. */
  soc: Record<string, number>;
  sky: Record<string, Weather>;
}

/** What differs from the file while trying: values by key, and what is switched off. */
export interface Trying {
  set: Record<string, unknown>;
  off: string[];
}

export interface Option extends Trying {
  name: string;
}

export interface Sheet extends ScenarioFile {
  id: string;
  /** The text that the page came with, where it came with it. */
  given: string | null;
  road: Road;
  trying: Trying;
  options: Option[];
}

/** The three answers of the first screen, as far as they are given. */
export interface Draft {
  vehicle: string;
  /** Devices ticked, and the bank chosen for each, empty for the likeliest; null: as most have it. */
  devices: Record<string, string> | null;
  date: string;
  /** Where one sets off, then the stops. */
  places: (Place & { nights: number })[];
  isRound: boolean;
}

export interface State {
  format: 1;
  /** Set in a saved copy, so that two copies on one device stay apart. */
  copy: string | null;
  changed_ms: number;
  open: string;
  sheets: Sheet[];
  draft?: Draft;
}

export const NO_DRAFT: Draft = { vehicle: "", devices: null, date: "", places: [], isRound: true };
export const NO_ROAD: Road = { now: null, at: null, nights: null, soc: {}, sky: {} };
export const NO_TRYING: Trying = { set: {}, off: [] };

export function newSheet(file: ScenarioFile, given: boolean, taken: Sheet[]): Sheet {
  const ids = new Set(taken.map((sheet) => sheet.id));
  let number = taken.length + 1;
  while (ids.has(String(number))) number += 1;
  return {
    id: String(number),
    ...file,
    given: given ? file.text : null,
    road: NO_ROAD,
    trying: NO_TRYING,
    options: [],
  };
}

/** Waits until the page's file is read to its end, where the module stands: it is worked with before. */
export function wholePage(): Promise<void> {
  if (document.readyState !== "loading") return Promise.resolve();
  return new Promise((done) => document.addEventListener("DOMContentLoaded", () => done(), { once: true }));
}

/** The scenarios that the page came with. */
function delivered(page: Document): ScenarioFile[] {
  const element = page.getElementById("tideover-scenarios");
  return (parsed(element?.textContent) as { scenarios?: ScenarioFile[] } | null)?.scenarios ?? [];
}

/** What the plan says of a stay from a moment on, its figures left out. */
export interface PlannedMoment {
  now: string;
  from: string;
  verdict: string;
}

/** What the page came with about its first scenario as it came. */
export class Opening {
  private readonly file: string;
  private readonly answers: Map<string, unknown>;
  private readonly moments: PlannedMoment[];

  constructor(page: Document) {
    const came = parsed(page.getElementById("tideover-answers")?.textContent) as {
      answers: { question: unknown; answer: unknown }[];
      moments: PlannedMoment[];
    } | null;
    this.file = JSON.stringify(delivered(page)[0]);
    this.answers = new Map(came?.answers.map(({ question, answer }) => [JSON.stringify(question), answer]));
    this.moments = came?.moments ?? [];
  }

  /** The answer to the very same question; undefined: to be asked. */
  readonly answer = ({ scenario, ...question }: Question): unknown =>
    scenario && JSON.stringify(scenario) === this.file ? this.answers.get(JSON.stringify(question)) : undefined;

  /** What the plan said last before a local time. */
  planned(scenario: ScenarioFile, now: string): PlannedMoment | undefined {
    if (JSON.stringify(scenario) !== this.file) return undefined;
    return this.moments.filter((moment) => moment.now <= now).pop();
  }
}

function parsed(text: string | null | undefined): unknown {
  try {
    return JSON.parse(text ?? "null");
  } catch {
    return null;
  }
}

function isState(value: unknown): value is State {
  const state = value as State | null;
  return state?.format === 1 && Array.isArray(state.sheets);
}

/** The kept sheets, with those of the page that are new or newer than what was kept. */
export function merged(kept: State | null, given: ScenarioFile[]): Sheet[] {
  const sheets = kept ? [...kept.sheets] : [];
  for (const file of given) {
    const index = sheets.findIndex((sheet) => sheet.given !== null && sheet.name === file.name);
    const old = sheets[index];
    if (!old) {
      sheets.push(newSheet(file, true, sheets));
    } else if (old.given !== file.text) {
      // The page was made again from a newer file: an edited text stays, beside the new one.
      if (old.text === old.given) {
        sheets[index] = { ...old, ...file, given: file.text };
      } else {
        sheets[index] = { ...old, name: `edited-${old.name}`, given: null };
        sheets.push(newSheet(file, true, sheets));
      }
    }
  }
  return sheets;
}

export class Store {
  state: State;
  /** Whether the browser keeps what is typed. */
  keeps = false;
  private listeners = new Set<() => void>();
  private timer = 0;
  private readonly key: string;

  constructor(page: Document) {
    const given = delivered(page);
    const carried = parsed(page.getElementById("tideover-state")?.textContent);
    const copy = isState(carried) ? carried.copy : null;
    this.key = `tideover page: ${copy ?? given.map((file) => file.name).join(", ")}`;
    const stored = this.stored();
    let kept = isState(carried) ? carried : null;
    if (isState(stored) && (!kept || stored.changed_ms >= kept.changed_ms)) kept = stored;
    const sheets = merged(kept, given);
    const open = sheets.find((sheet) => sheet.id === kept?.open) ?? sheets[0];
    this.state = { format: 1, copy, changed_ms: kept?.changed_ms ?? 0, open: open?.id ?? "", sheets, draft: kept?.draft };
    addEventListener("pagehide", () => this.keep());
  }

  get sheet(): Sheet | undefined {
    return this.state.sheets.find((sheet) => sheet.id === this.state.open);
  }

  change(part: Partial<Pick<State, "open" | "sheets" | "draft">>): void {
    this.state = { ...this.state, ...part, changed_ms: Date.now() };
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => this.keep(), 200);
    for (const listener of this.listeners) listener();
  }

  changeSheet(id: string, part: Partial<Sheet>): void {
    this.change({
      sheets: this.state.sheets.map((sheet) => (sheet.id === id ? { ...sheet, ...part } : sheet)),
    });
  }

  listen(listener: () => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  private stored(): unknown {
    try {
      const probe = `${this.key} probe`;
      localStorage.setItem(probe, "1");
      this.keeps = localStorage.getItem(probe) === "1";
      localStorage.removeItem(probe);
      return parsed(localStorage.getItem(this.key));
    } catch {
      this.keeps = false;
      return null;
    }
  }

  private keep(): void {
    clearTimeout(this.timer);
    if (this.state.changed_ms === 0) return;
    let keeps = false;
    try {
      localStorage.setItem(this.key, JSON.stringify(this.state));
      keeps = true;
    } catch {
      // Full or forbidden: the screens say so, and a copy of the page can be saved.
    }
    if (keeps !== this.keeps) {
      this.keeps = keeps;
      for (const listener of this.listeners) listener();
    }
  }

  /** This page as a file, with all that was typed in it. */
  async pageWithState(): Promise<string> {
    await wholePage();
    const copy = document.documentElement.cloneNode(true) as HTMLElement;
    copy.querySelector("#page")?.replaceChildren();
    const state: State = { ...this.state, copy: Date.now().toString(36) };
    const element = copy.querySelector("#tideover-state");
    if (element) element.textContent = JSON.stringify(state).replace(/</g, "\\u003c");
    return `<!DOCTYPE html>\n${copy.outerHTML}\n`;
  }
}
