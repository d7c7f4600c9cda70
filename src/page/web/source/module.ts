// The engine's module inside a worker.
//
// One job: text in, text out, through the module's memory.

interface Engine {
  memory: WebAssembly.Memory;
  /** Room for a question of so many bytes. */
  room(length: number): number;
  /** Answers it; gives the answer's place. */
  ask(length: number): number;
  /** The answer's length, or frees it, as the module says. */
  done(): number;
}

export type Answerer = (question: string) => string;

/** Takes the compiled module, gives what answers one question. */
export function open(module: WebAssembly.Module): Answerer {
  const engine = new WebAssembly.Instance(module, {}).exports as unknown as Engine;
  return (question) => {
    const bytes = new TextEncoder().encode(question);
    const place = engine.room(bytes.length);
    new Uint8Array(engine.memory.buffer, place, bytes.length).set(bytes);
    const from = engine.ask(bytes.length);
    const length = engine.done();
    return new TextDecoder().decode(new Uint8Array(engine.memory.buffer, from, length));
  };
}
