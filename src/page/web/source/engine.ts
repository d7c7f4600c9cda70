// The engine behind the screens: workers that each hold one module.
//
// One job: questions to workers and back, so that the newest question is answered first and an
// answer to an older one never reaches a screen. Lanes: looking things up, first figures, refined
// ones, and what takes longer; the last two give up what they work at as soon as it is out of date.

import type { Question } from "./protocol";
import { wholePage } from "./state";

/** What a question ends with whose answer nobody waits for any more. */
export class Stale extends Error {}

/** The module failed at this question: its worker starts again for the next. */
export class Fault extends Error {}

interface Job {
  question: string;
  resolve(answer: string): void;
  reject(error: Error): void;
}

export type Hire = () => Worker;

/** What the page came with an answer to; undefined: to be asked. */
export type Known = (question: Question) => unknown;

export class Lane {
  private hire: Hire | null = null;
  private worker: Worker | null = null;
  private running: Job | null = null;
  private waiting: Job[] = [];
  private early = new Map<string, Promise<string>>();

  constructor(private readonly known: Known = () => undefined) {}

  /** From now on it answers, and what waits first: with a worker that is ready already, or hiring one. */
  open(hire: Hire, ready: Worker | null = null): void {
    this.hire = hire;
    this.worker = ready && this.heard(ready);
    this.next();
  }

  async ask<T>(question: Question): Promise<T> {
    const known = this.known(question);
    if (known !== undefined) return known as T;
    const asked = JSON.stringify(question);
    const ahead = this.early.get(asked);
    this.early.delete(asked);
    return JSON.parse(await (ahead ?? this.answer(asked))) as T;
  }

  /** Asks what a screen is about to ask, before it is drawn: the answer is kept for it. */
  async askAhead<T>(question: Question): Promise<T> {
    const known = this.known(question);
    if (known !== undefined) return known as T;
    const asked = JSON.stringify(question);
    const answer = this.answer(asked);
    this.early.set(asked, answer);
    return JSON.parse(await answer) as T;
  }

  private answer(question: string): Promise<string> {
    return new Promise((resolve, reject) => {
      this.waiting.push({ question, resolve, reject });
      this.next();
    });
  }

  /** Gives up what waits; with `now`, what is being worked at as well. */
  drop(now: boolean): void {
    const waiting = this.waiting;
    this.waiting = [];
    for (const job of waiting) job.reject(new Stale());
    if (now && this.running) {
      const job = this.running;
      this.dismiss();
      job.reject(new Stale());
    }
  }

  private heard(worker: Worker): Worker {
    worker.onmessage = ({ data }) => {
      if (worker !== this.worker) return;
      const job = this.running;
      if (data.fault !== undefined) {
        this.dismiss();
        job?.reject(new Fault(data.fault));
      } else {
        this.running = null;
        job?.resolve(data.answer);
      }
      this.next();
    };
    worker.onerror = (event) => {
      if (worker !== this.worker) return;
      const job = this.running;
      this.dismiss();
      job?.reject(new Fault(event.message || "the worker failed"));
      this.next();
    };
    return worker;
  }

  private dismiss(): void {
    this.worker?.terminate();
    this.worker = null;
    this.running = null;
  }

  private next(): void {
    if (this.running || !this.hire) return;
    const job = this.waiting.shift();
    if (!job) return;
    this.running = job;
    this.worker ??= this.heard(this.hire());
    this.worker.postMessage({ id: 0, question: job.question });
  }
}

export interface Lanes {
  /** Outline, numbers, edits: never given up. */
  look: Lane;
  quick: Lane;
  refine: Lane;
  aside: Lane;
  /** What is asked for by a button and waited for. */
  asked: Lane;
}

/** Opens the lanes for questions, and has a worker unpack the module that stands in the page, which answers them. */
export function startEngine(known: Known): { lanes: Lanes; started: Promise<void> } {
  const lanes = {
    look: new Lane(known),
    quick: new Lane(known),
    refine: new Lane(),
    aside: new Lane(),
    asked: new Lane(),
  };
  return { lanes, started: start(lanes) };
}

/** Hands the module's pieces to a worker as the page's file is read, which ends with them. */
async function handOn(worker: Worker): Promise<void> {
  let given = 0;
  const give = (isAll: boolean) => {
    const pieces = document.querySelectorAll("#tideover-module > script");
    // The last one may not be whole yet.
    for (const end = pieces.length - (isAll ? 0 : 1); given < end; given += 1) {
      worker.postMessage({ packed: pieces[given]?.textContent });
    }
  };
  const reading = new MutationObserver(() => give(false));
  reading.observe(document.body, { childList: true, subtree: true });
  await wholePage();
  reading.disconnect();
  give(true);
  worker.postMessage({ packed: null });
}

async function start(lanes: Lanes): Promise<void> {
  const text = (id: string) => document.getElementById(id)?.textContent ?? "";
  const source = URL.createObjectURL(new Blob([text("tideover-worker")], { type: "text/javascript" }));
  // Both begin at once; the second waits for what the first unpacks.
  const [first, second] = [new Worker(source), new Worker(source)];
  const module = await new Promise<WebAssembly.Module>((resolve, reject) => {
    first.onmessage = ({ data }) => (data.module ? resolve(data.module) : reject(new Fault(data.fault)));
    first.onerror = (event) => reject(new Fault(event.message || "the worker failed"));
    void handOn(first);
  });
  second.postMessage({ module });
  const hire = () => {
    const worker = new Worker(source);
    worker.postMessage({ module });
    return worker;
  };
  lanes.look.open(hire, first);
  lanes.quick.open(hire, second);
  for (const lane of [lanes.refine, lanes.aside, lanes.asked]) lane.open(hire);
}
