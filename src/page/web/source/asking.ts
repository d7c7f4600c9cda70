// Asking while things are still being typed.
//
// One job: for what stands on a screen now, a first figure at once, then finer ones, and never
// an answer to what stood there before.

import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { Stale, type Lane, type Lanes } from "./engine";
import { count } from "./words";
import { isRefusal, type ChanceAnswer, type Interval, type Question, type Refusal, type RunAnswer } from "./protocol";

/** Trials of the first figure, and its step, minutes. */
const FIRST_TRIALS = 128;
const FIRST_STEP = 60;
/** As many trials as the command line takes where none are given. */
export const FINE_TRIALS = 2000;
/** Trials of the finer figures after the first. */
export const FINE = [FINE_TRIALS];
export const FINEST = [FINE_TRIALS, 10_000];
/** Trials of what runs the trip many times. */
export const ASIDE_TRIALS = 200;

/** So long nothing may change before longer work begins: a slider's way is not worth it. */
const STILL_MS = 300;
/** So long nothing may change before more than the chance is worked out. */
const MOVED_MS = 100;

const pause = (milliseconds: number) => new Promise((done) => setTimeout(done, milliseconds));

export type Given = { answer: RunAnswer } | { refusal: Refusal } | { fault: string };

export interface Refined {
  given: Given | null;
  /** The chance alone, from as few trips as the first figure, where it is all that is known yet. */
  chance: Interval | null;
  trials: number;
  /** Whether a finer figure is being worked out. */
  isWorking: boolean;
  /** Whether what is shown still answers the question before. */
  isStale: boolean;
}

export function withTrials(question: Question, trials: number): Question {
  return { ...question, options: { ...question.options, trials } };
}

/** The question of the first figure. */
export function first(question: Question): Question {
  return { ...question, options: { ...question.options, trials: FIRST_TRIALS, step: FIRST_STEP } };
}

/** What a figure rests on, and whether it is the last word. */
export function restsOn({ given, chance, trials, isWorking }: Refined): string {
  if (!chance && !(given && "answer" in given)) return "Working it out…";
  const coarse = trials === FIRST_TRIALS ? " in steps of an hour" : "";
  return `From ${count(trials)} random trips${coarse}${isWorking ? "; a closer figure is coming." : "."}`;
}

export async function ask(lane: Lane, question: Question): Promise<Given> {
  try {
    const answer = await lane.ask<RunAnswer | Refusal>(question);
    return isRefusal(answer) ? { refusal: answer } : { answer };
  } catch (error) {
    if (error instanceof Stale) throw error;
    return { fault: error instanceof Error ? error.message : String(error) };
  }
}

/** The question's answer, coarse at once and then finer; null: nothing to ask. With `chance` before all a question for it. */
export function useRefined(
  lanes: Lanes,
  question: Question | null,
  finer: readonly number[],
  chance: Question | null = null,
): Refined {
  const [refined, setRefined] = useState<Refined>({ given: null, chance: null, trials: 0, isWorking: true, isStale: false });
  const key = JSON.stringify(question);
  // Before the screen is painted, which may take longer than the answer.
  useLayoutEffect(() => {
    if (!question) return;
    let isCurrent = true;
    const show = (given: Given, trials: number, isWorking: boolean) => {
      if (isCurrent) setRefined({ given, chance: null, trials, isWorking: isWorking && "answer" in given, isStale: false });
      return isCurrent && "answer" in given;
    };
    setRefined((was) => ({ ...was, isWorking: true, isStale: true }));
    void (async () => {
      try {
        if (chance) {
          const found = await lanes.quick.ask<ChanceAnswer | Refusal>(first(chance));
          if (!isCurrent) return;
          // What is refused or fails is told by the whole answer.
          if (!isRefusal(found)) setRefined((was) => ({ ...was, chance: found.chance_no_shortfall, trials: FIRST_TRIALS }));
          await pause(MOVED_MS);
          if (!isCurrent) return;
        }
        if (!show(await ask(lanes.quick, first(question)), FIRST_TRIALS, true)) return;
        await pause(STILL_MS);
        if (!isCurrent) return;
        for (const trials of finer) {
          const isLast = trials === finer[finer.length - 1];
          if (!show(await ask(lanes.refine, withTrials(question, trials)), trials, !isLast)) return;
        }
      } catch (error) {
        if (!(error instanceof Stale)) throw error;
      }
    })();
    return () => {
      isCurrent = false;
      lanes.quick.drop(false);
      lanes.refine.drop(true);
    };
  }, [key]);
  return refined;
}

/** Several questions that take longer, one after the other, once the first figure stands. */
export function useAside(lanes: Lanes, questions: (Question | null)[], isReady: boolean): (Given | null)[] {
  const [given, setGiven] = useState<(Given | null)[]>([]);
  const key = JSON.stringify(questions);
  const shown = useRef("");
  useEffect(() => {
    if (shown.current !== key) setGiven([]);
    shown.current = key;
    if (!isReady) return;
    let isCurrent = true;
    void (async () => {
      try {
        await pause(STILL_MS);
        if (!isCurrent) return;
        for (const [index, question] of questions.entries()) {
          if (!question) continue;
          const answer = await ask(lanes.aside, question);
          if (!isCurrent) return;
          setGiven((list) => Object.assign([...list], { [index]: answer }));
        }
      } catch (error) {
        if (!(error instanceof Stale)) throw error;
      }
    })();
    return () => {
      isCurrent = false;
      lanes.aside.drop(true);
    };
  }, [key, isReady]);
  return given;
}

/** An answer that is had at once, such as the outline; the last one stays until the next comes. */
export function useQuick<T>(lanes: Lanes, question: Question | null): T | Refusal | null {
  const [answer, setAnswer] = useState<T | Refusal | null>(null);
  const key = JSON.stringify(question);
  useLayoutEffect(() => {
    if (!question) return;
    let isCurrent = true;
    lanes.look
      .ask<T | Refusal>(question)
      .then((value) => isCurrent && setAnswer(value))
      .catch((error: unknown) => {
        if (isCurrent && !(error instanceof Stale)) setAnswer({ status: 3, text: String(error) });
      });
    return () => {
      isCurrent = false;
    };
  }, [key]);
  return answer;
}
