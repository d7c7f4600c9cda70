// One worker: the engine, asked one question after another.

import { open, Unpacking, type Answerer } from "./module";

interface WorkerScope {
  onmessage: ((event: MessageEvent) => void) | null;
  postMessage(message: unknown): void;
}

const scope = globalThis as unknown as WorkerScope;
let answer: Answerer | null = null;
let unpacking: Unpacking | null = null;

scope.onmessage = ({ data }) => {
  try {
    if (data.packed !== undefined) {
      // Here and not on the page's own thread, which has a screen to draw meanwhile.
      if (!unpacking) {
        unpacking = new Unpacking();
        unpacking.module.then(
          (module) => {
            answer = open(module);
            scope.postMessage({ module });
          },
          (error: unknown) => scope.postMessage({ id: null, fault: String(error) }),
        );
      }
      unpacking.take(data.packed);
    } else if (data.module) {
      answer = open(data.module);
    } else {
      if (!answer) throw new Error("no engine yet");
      scope.postMessage({ id: data.id, answer: answer(data.question) });
    }
  } catch (error) {
    scope.postMessage({ id: data.id ?? null, fault: String(error) });
  }
};
