// The engine behind the screens: workers that each hold one module.
//
// One job: questions to workers and back, so that the newest question is answered first and an
// answer to an older one never reaches a screen. Lanes: looking things up, first figures, refined
// ones, and what takes longer; the last two give up what they work at as soon as it is out of date.

import type { Question } from "./protocol";

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

export class Lane {
  private worker: Worker | null;
  private running: Job | null = null;
  private waiting: Job[] = [];
  private early = new Map<string, Promise<string>>();

  /** With a worker that is ready already, or hiring one for the first question. */
  constructor(private readonly hire: Hire, ready: Worker | null = null) {
    this.worker = ready && this.heard(ready);
  }

  async ask<T>(question: Question): Promise<T> {
    const asked = JSON.stringify(question);
    const ahead = this.early.get(asked);
    this.early.delete(asked);
    return JSON.parse(await (ahead ?? this.answer(asked))) as T;
  }

  /** Asks what a screen is about to ask, before it is drawn: the answer is kept for it. */
  async askAhead<T>(question: Question): Promise<T> {
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
    if (this.running) return;
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

/** Has a worker unpack the module that stands in the page, and opens the lanes: that worker's is the first. */
export async function startEngine(): Promise<Lanes> {
  const text = (id: string) => document.getElementById(id)?.textContent ?? "";
  const source = URL.createObjectURL(new Blob([text("tideover-worker")], { type: "text/javascript" }));
  // Both begin at once; the second waits for what the first unpacks.
  const [first, second] = [new Worker(source), new Worker(source)];
  const module = await new Promise<WebAssembly.Module>((resolve, reject) => {
    first.onmessage = ({ data }) => (data.module ? resolve(data.module) : reject(new Fault(data.fault)));
    first.onerror = (event) => reject(new Fault(event.message || "the worker failed"));
    first.postMessage({ packed: text("tideover-module") });
  });
  second.postMessage({ module });
  const hire = () => {
    const worker = new Worker(source);
    worker.postMessage({ module });
    return worker;
  };
  return {
    look: new Lane(hire, first),
    quick: new Lane(hire, second),
    refine: new Lane(hire),
    aside: new Lane(hire),
    asked: new Lane(hire),
  };
}
