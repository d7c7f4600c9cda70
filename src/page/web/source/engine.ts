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
  private worker: Worker | null = null;
  private running: Job | null = null;
  private waiting: Job[] = [];

  constructor(private readonly hire: Hire) {}

  ask<T>(question: Question): Promise<T> {
    return new Promise<string>((resolve, reject) => {
      this.waiting.push({ question: JSON.stringify(question), resolve, reject });
      this.next();
    }).then((answer) => JSON.parse(answer) as T);
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

  /** Has the worker ready before the first question. */
  warm(): void {
    this.worker ??= this.start();
  }

  private start(): Worker {
    const worker = this.hire();
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
    this.warm();
    this.worker?.postMessage({ id: 0, question: job.question });
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

async function moduleOf(base64: string): Promise<WebAssembly.Module> {
  const letters = atob(base64);
  const packed = new Uint8Array(letters.length);
  // Millions of letters: a loop takes a tenth of the time that a function for each would.
  for (let index = 0; index < letters.length; index += 1) packed[index] = letters.charCodeAt(index);
  const unpacked = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
  return WebAssembly.compile(await new Response(unpacked).arrayBuffer());
}

/** Unpacks the module that stands in the page and opens the lanes. */
export async function startEngine(): Promise<Lanes> {
  const text = (id: string) => document.getElementById(id)?.textContent ?? "";
  const module = await moduleOf(text("tideover-module").trim());
  const source = URL.createObjectURL(new Blob([text("tideover-worker")], { type: "text/javascript" }));
  const hire = () => {
    const worker = new Worker(source);
    worker.postMessage({ module });
    return worker;
  };
  const lanes = {
    look: new Lane(hire),
    quick: new Lane(hire),
    refine: new Lane(hire),
    aside: new Lane(hire),
    asked: new Lane(hire),
  };
  lanes.look.warm();
  lanes.quick.warm();
  return lanes;
}
