// The engine's module inside a worker.
//
// One job: the module out of its packed text; text in, text out, through its memory.

interface Engine {
  memory: WebAssembly.Memory;
  /** Room for a question of so many bytes. */
  room(length: number): number;
  /** Answers it; gives the answer's place. */
  ask(length: number): number;
  /** The answer's length, or frees it, as the module says. */
  done(): number;
}

/** Unpacks and compiles the module while its text comes in, which is base64 of gzip. */
export class Unpacking {
  readonly module: Promise<WebAssembly.Module>;
  private readonly bytes: WritableStreamDefaultWriter<Uint8Array<ArrayBuffer>>;

  constructor() {
    const { readable, writable } = new DecompressionStream("gzip");
    this.bytes = writable.getWriter();
    this.module = WebAssembly.compileStreaming(new Response(readable, { headers: { "content-type": "application/wasm" } }));
  }

  /** The next piece; none: that was all. */
  take(base64: string | null): void {
    // What goes wrong with the bytes is told where the module is waited for.
    if (base64 === null) {
      this.bytes.close().catch(() => undefined);
      return;
    }
    const letters = atob(base64.trim());
    const packed = new Uint8Array(letters.length);
    // Millions of letters: a loop takes a tenth of the time that a function for each would.
    for (let index = 0; index < letters.length; index += 1) packed[index] = letters.charCodeAt(index);
    this.bytes.write(packed).catch(() => undefined);
  }
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
