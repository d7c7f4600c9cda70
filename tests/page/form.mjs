// The form of the page against the program's own schema and examples, without a browser.
//
// One job: `node form.mjs TIDEOVER`: every key of `check --schema` has a field; an edit changes its own bytes and no
// others; devices and vehicles of the first screen make sound files; what `check` refuses or assumes stands at its
// field. Needs `npm ci --prefix src/page/web`.

import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { BY_HAND, refusals } from "./refusals.mjs";

const top = fileURLToPath(new URL("../../", import.meta.url));
const web = join(top, "src/page/web");
const esbuild = createRequire(join(web, "package.json"))("esbuild");
const [tideover] = process.argv.slice(2);
if (!tideover) {
  console.error("usage: node form.mjs TIDEOVER");
  process.exit(2);
}

const scratch = mkdtempSync(join(tmpdir(), "tideover-form-"));
async function sourceOf(name) {
  const { outputFiles } = esbuild.buildSync({ entryPoints: [join(web, "source", name)], bundle: true, format: "esm", write: false });
  const path = join(scratch, `${name}.mjs`);
  writeFileSync(path, outputFiles[0].text);
  return import(pathToFileURL(path).href);
}

let passed = 0;
let failed = 0;
function check(name, faults) {
  if (faults.length === 0) passed += 1;
  else {
    failed += 1;
    console.log(`FAILED ${name}`);
    for (const fault of faults.slice(0, 12)) console.log(`    ${fault}`);
  }
}

const { beginning, kindOf, resolved } = await sourceOf("schema.ts");
const { valueOf, withItem, withSwapped, withValue } = await sourceOf("edit_text.ts");
const { shownAt } = await sourceOf("problem_place.ts");
const pathOf = (path) => path.map((part) => `/${part}`).join("");
const { DEVICES } = await sourceOf("devices.ts");
const { withDevice } = await sourceOf("add_device.ts");
const root = JSON.parse(execFileSync(tideover, ["check", "--schema"], { encoding: "utf8", maxBuffer: 1e8 }));

// Keys whose value is anything: told as text.
const AS_TEXT = new Set(["note", "columns"]);
const without = [];
const odd = [];
const seen = new Set();
let keys = 0;
function walk(schema, path) {
  if (schema.$ref) {
    if (seen.has(schema.$ref)) return;
    seen.add(schema.$ref);
  }
  const whole = resolved(schema, root);
  for (const [key, inner] of Object.entries(whole.properties ?? {})) {
    keys += 1;
    if (kindOf(resolved(inner, root), root) === "free" && !AS_TEXT.has(key)) without.push(`${path}/${key}`);
    const begun = beginning(inner, root, key);
    const { type } = resolved(inner, root);
    if (AS_TEXT.has(key)) continue;
    const fits = type === undefined || (type === "array" ? Array.isArray(begun) : type === "integer" ? Number.isInteger(begun) : typeof begun === type);
    if (!fits) odd.push(`${path}/${key} begins with ${JSON.stringify(begun)}`);
    walk(inner, `${path}/${key}`);
  }
  if (whole.items) walk(whole.items, `${path}/*`);
  for (const form of whole.anyOf ?? []) walk(form, path);
}
walk(root, "");
check(`every one of ${keys} keys has a field`, keys > 150 ? without : [`only ${keys} keys were found`]);
check("every key begins with a value of its type", odd);

const folders = [join(top, "scenarios"), join(top, "src/scenario/templates")];
const files = folders.flatMap((folder) => readdirSync(folder).filter((name) => name.endsWith(".json")).map((name) => join(folder, name)));
for (const file of files) {
  const text = readFileSync(file, "utf8");
  const scenario = JSON.parse(text);
  const capacity = scenario.banks[0].capacity_ah;
  const other = withValue(text, ["banks", 0, "capacity_ah"], 12345.5);
  const back = withValue(other, ["banks", 0, "capacity_ah"], capacity);
  check(`${file}: a value there and back`, back === text && other !== text ? [] : ["other bytes moved"]);
  const { assumed } = JSON.parse(execFileSync(tideover, ["check", file, "--json"], { encoding: "utf8", maxBuffer: 1e8 }));
  const astray = assumed.map(({ path }) => path).filter((path) => pathOf(shownAt(root, scenario, path)) !== path);
  check(`${file}: what is assumed stands at its key`, assumed.length > 10 ? astray : ["too little is assumed"]);
  const swapped = withSwapped(text, ["loads"], 0);
  check(`${file}: two loads changed about, twice`, withSwapped(swapped, ["loads"], 0) === text ? [] : ["other bytes moved"]);
  check(`${file}: the order is the other`, JSON.parse(swapped).loads[0].id === scenario.loads[1].id ? [] : ["it is not"]);
  const more = withItem(text, ["loads"], scenario.loads.length, { id: "new", bank: scenario.banks[0].id, kind: "steady", power_w: 5 });
  const less = withValue(more, ["loads", scenario.loads.length], undefined);
  const same = JSON.stringify(JSON.parse(less)) === JSON.stringify(scenario);
  check(`${file}: a load in and out again`, same && more.includes(text.slice(0, text.indexOf('"loads"'))) ? [] : ["something else moved"]);
}

// Every usual device makes a sound file with the example's first house bank.
const weekend = readFileSync(join(top, "scenarios/weekend.json"), "utf8");
const bank = JSON.parse(weekend).banks.find(({ role }) => role !== "start").id;
const all = DEVICES.reduce((text, device) => withDevice(text, JSON.parse(text), device, bank), weekend);
const path = join(scratch, "devices.json");
writeFileSync(path, all);
try {
  execFileSync(tideover, ["check", path], { encoding: "utf8", stdio: ["ignore", "pipe", "pipe"] });
  check(`${DEVICES.length} usual devices are sound`, DEVICES.length >= 60 ? [] : ["fewer than 60"]);
} catch (error) {
  check("usual devices are sound", [String(error.stderr)]);
}

// Every vehicle of the first screen makes a sound file, with the devices of most and with all of them.
const { bankFor, begun, houseBanks, inWords, USUAL, vehicleOf, VEHICLES } = await sourceOf("begin_scenario.ts");
for (const [template, title] of VEHICLES) {
  const text = readFileSync(join(top, "src/scenario/templates", `${template}.json`), "utf8");
  const vehicle = vehicleOf(text);
  for (const devices of [DEVICES.filter(({ id }) => USUAL.includes(id)), DEVICES]) {
    const way = { distance_km: 300, speed_kmh: { min: 45, likely: 60, max: 69 } };
    const legs = [{ to: "Ghanzi, BW", ...way, nights: 2 }, { to: "Maun, BW", ...way }];
    const placed = devices.map((device) => [device.id, bankFor(vehicle, device)]);
    const made = begun({ title, template: text, devices: placed, date: "2027-07-03", from: { name: "Maun, BW" }, legs });
    writeFileSync(path, made);
    const { status, stderr } = spawnSync(tideover, ["check", path], { encoding: "utf8" });
    const { loads, runs } = JSON.parse(made);
    const isWhole = loads.length === devices.length && runs === undefined && !made.includes("undefined");
    check(`${title}, ${devices.length} devices: a sound file`, status === 0 && isWhole ? [] : [stderr || made.slice(0, 200)]);
  }
  check(`${title}: told in a line`, inWords(vehicle).includes(`${houseBanks(vehicle)[0]} `) && !/undefined/.test(inWords(vehicle)) ? [] : [inWords(vehicle)]);
}

// What the check refuses stands at its field, but for what no form can bring about.
const cases = refusals(top);
const base = join(scratch, "base.json");
const elsewhere = new Set();
for (const { name, text } of cases) {
  writeFileSync(base, text);
  const { stdout } = spawnSync(tideover, ["check", base, "--json"], { encoding: "utf8" });
  const { problems } = JSON.parse(stdout);
  if (problems.length === 0) elsewhere.add(`${name} is accepted`);
  const value = valueOf(text);
  for (const { path } of problems) {
    // Of a list of values the whole list is the field.
    const isThere = path && [path, path.replace(/\/\d+$/, "")].includes(pathOf(shownAt(root, value, path)));
    if (!isThere) elsewhere.add(name);
  }
}
// Its field is there, but no form writes the same key twice.
elsewhere.add("refuses_a_doubled_key");
const unlike = [...elsewhere].filter((name) => !(name in BY_HAND)).concat(Object.keys(BY_HAND).filter((name) => !elsewhere.has(name)));
check(`${cases.length} refusals are shown at their fields`, cases.length > 60 ? unlike : [`only ${cases.length} were found`]);

rmSync(scratch, { recursive: true, force: true });
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed === 0 ? 0 : 1);
