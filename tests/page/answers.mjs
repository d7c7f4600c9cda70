// The packed module against the program: examples and templates through every command, all answers to the byte.
//
//   node tests/page/answers.mjs PROGRAM [MODULE.wasm.gz]
//
// PROGRAM is `tideover` as built for this machine. Exit status 1 with the first differences.

import { spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { gunzipSync } from "node:zlib";

const root = join(dirname(fileURLToPath(import.meta.url)), "..", "..");
const program = process.argv[2];
const packed = process.argv[3] ?? join(root, "src/page/packed/module.wasm.gz");
const module = new WebAssembly.Module(gunzipSync(readFileSync(packed)));
const imports = WebAssembly.Module.imports(module);
if (imports.length > 0) throw new Error(`the module asks for ${JSON.stringify(imports)}`);
const engine = new WebAssembly.Instance(module, {}).exports;

function ask(question) {
  const bytes = new TextEncoder().encode(JSON.stringify(question));
  const place = engine.room(bytes.length);
  new Uint8Array(engine.memory.buffer, place, bytes.length).set(bytes);
  const from = engine.ask(bytes.length);
  const answer = new Uint8Array(engine.memory.buffer, from, engine.done());
  return JSON.parse(new TextDecoder().decode(answer));
}

const scratch = mkdtempSync(join(tmpdir(), "tideover-"));
// The examples through every command; the templates through those that run the trip once.
const inFolder = (folder) =>
  readdirSync(join(root, folder)).filter((name) => name.endsWith(".json")).sort().map((name) => join(root, folder, name));
const examples = inFolder("scenarios");
const templates = inFolder("src/scenario/templates");
const ONCE = ["trip", "stay", "budget", "wiring", "check"];
// The report bears a date.
const [TODAY, EPOCH_S] = ["2027-01-15", "1800000000"];
const wrong = [];
let compared = 0;
try {
  for (const path of [...examples, ...templates]) {
    const name = basename(path);
    const text = readFileSync(path, "utf8");
    const file = JSON.parse(text);
    const files = {};
    const beside = file.climate?.file;
    if (beside) files[beside] = readFileSync(join(dirname(path), beside), "utf8");
    const bank = file.banks[0].id;
    const commands = {
      trip: { trials: 130 },
      stay: { trials: 130, horizon: 6 },
      budget: { trials: 70 },
      shed: { trials: 20, step: 15 },
      why: { trials: 20, step: 15 },
      compare: { trials: 70, vary: [`banks.${bank}.capacity_ah=50,150`] },
      mend: { trials: 20, step: 15 },
      topup: { trials: 20, step: 15 },
      wiring: {},
      check: {},
      report: { trials: 20, step: 15 },
    };
    for (const [command, options] of Object.entries(commands)) {
      if (!examples.includes(path) && !ONCE.includes(command)) continue;
      // A report runs all studies: one says enough of how it is put together.
      if (command === "report" && name !== "weekend.json") continue;
      const out = join(scratch, `${compared}`);
      const words = Object.entries(options).flatMap(([option, value]) =>
        [value].flat().flatMap((value) => [`--${option}`, String(value)]),
      );
      // The check has a screen alone.
      const folder = command === "check" ? [] : ["--out", out];
      const native = spawnSync(program, [command, path, "--json", ...folder, ...words], {
        encoding: "utf8",
        env: { ...process.env, SOURCE_DATE_EPOCH: EPOCH_S },
        maxBuffer: 1 << 28,
      });
      if (native.status !== 0) throw new Error(`${command} ${name}: ${native.stderr}`);
      const scenario = { name, text, files };
      const answer = ask({ ask: "run", command, scenario, options, files: true, today: TODAY });
      const place = `${command} ${name}`;
      compared += 1;
      if (answer.status !== 0) wrong.push(`${place}: ${answer.text}`);
      if (answer.json !== native.stdout) wrong.push(`${place}: JSON`);
      if (command === "trip") {
        const { chance_no_shortfall: chance } = JSON.parse(native.stdout);
        const quick = ask({ ask: "chance", scenario, options });
        if (JSON.stringify(quick.chance_no_shortfall) !== JSON.stringify(chance)) wrong.push(`${place}: chance alone`);
      }
      const written = existsSync(out) ? readdirSync(out).sort() : [];
      if (JSON.stringify(Object.keys(answer.files ?? {}).sort()) !== JSON.stringify(written)) {
        wrong.push(`${place}: other files`);
      }
      for (const one of written) {
        if (answer.files?.[one] !== readFileSync(join(out, one), "utf8")) wrong.push(`${place}: ${one}`);
      }
    }
  }
  // The sky of places by coordinates; its picture is the program's alone.
  for (const [at, month] of [["-20.5,25.2", 7], ["62.3,25.7", 3]]) {
    const native = spawnSync(program, ["sky", "--at", at, "--month", `${month}`, "--json", "--out", scratch], { encoding: "utf8" });
    const answer = ask({ ask: "run", command: "sky", options: { at, month } });
    compared += 1;
    if (answer.json !== native.stdout || native.status !== 0) wrong.push(`sky ${at}: JSON ${answer.text ?? ""}`);
  }
} finally {
  rmSync(scratch, { recursive: true });
}
if (wrong.length > 0) {
  console.error(`the module answers otherwise than the program:\n${wrong.slice(0, 40).join("\n")}`);
  console.error("build it again: .ci/page");
  process.exit(1);
}
if (compared < 65) throw new Error(`only ${compared} answers compared`);
console.log(`${compared} answers of the module, with their files, are the program's to the byte`);
