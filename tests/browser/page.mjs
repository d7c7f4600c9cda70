// Opens the page that `tideover page` wrote in a real browser and spends a day at camp with it.
//
// One job: `node page.mjs PAGE.html TIDEOVER SCENARIO.json [SITE]` with the page, and the folder of
// `--site`, written for that scenario; from the disk, the network off, by touch and by keyboard. Answers are held to the
// bytes of the command line TIDEOVER.
// Needs: Chromium (CHROMIUM, by default /usr/bin/chromium). SHOTS=FOLDER keeps screenshots; RANDOM_FILES=FOLDER has the
// scenarios that `kept_for_the_page` of tests/fuzz_commands.rs wrote.

import { execFileSync, spawnSync } from "node:child_process";
import { createServer } from "node:http";
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join, resolve } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { gunzipSync } from "node:zlib";
import { BY_HAND, refusals } from "../page/refusals.mjs";
import { audit, check, overflowing, withBrowser } from "./browser.mjs";

const SCREENS = ["road", "try", "build", "papers", "files", "begin"];
const EVERY_IMPACT = ["minor", "moderate", "serious", "critical"];
// All places are in it.
const LIMIT_BYTES = 6_000_000;
const PATIENCE_MS = 120_000;

const [file, tideover, scenarioPath, site] = process.argv.slice(2);
if (!scenarioPath) {
  console.error("usage: node page.mjs PAGE.html TIDEOVER SCENARIO.json [SITE]");
  process.exit(2);
}
const url = file.startsWith("http") ? file : pathToFileURL(resolve(file)).href;
const scenario = JSON.parse(readFileSync(scenarioPath, "utf8"));
const shots = process.env.SHOTS;
if (shots) mkdirSync(shots, { recursive: true });
const scratch = mkdtempSync(join(tmpdir(), "tideover-page-"));

// A page, with all that it says on the console or asks of the network.
async function opened(browser, { hash = "road", offline = true, address = url, ...options } = {}) {
  const context = await browser.newContext({
    viewport: { width: 390, height: 800 }, hasTouch: true, acceptDownloads: true, locale: "en-GB", ...options,
  });
  if (offline && !url.startsWith("http")) await context.setOffline(true);
  const page = await context.newPage();
  page.setDefaultTimeout(PATIENCE_MS);
  const talk = [];
  page.on("console", (message) => talk.push(`${message.type()}: ${message.text()}`));
  page.on("pageerror", (error) => talk.push(String(error)));
  page.on("dialog", (dialog) => { talk.push(`dialog: ${dialog.message()}`); void dialog.dismiss(); });
  page.on("request", (request) => {
    const asked = request.url();
    if (!/^(blob|data|about):/.test(asked) && !asked.startsWith(address.split("#")[0])) talk.push(`request: ${asked}`);
  });
  await page.goto(`${address}#${hash}`);
  return { context, page, talk };
}

async function answered(page) {
  await page.locator(".claim").first().waitFor();
}

// All of the road's answers are there, and the finest figure.
async function settled(page) {
  await page.getByText("From 2,000 random trips.").first().waitFor();
  await page.waitForFunction(() => !document.querySelector("main .wait"));
}

// Milliseconds from a number moved on Try to the first figure that follows it.
async function firstFigure(page) {
  await page.getByText("From 10,000 random trips.").waitFor();
  await page.getByRole("slider").first().focus();
  await page.evaluate(() => {
    let moved = 0;
    const told = document.querySelector("#try-heading ~ [role=status]");
    addEventListener("keydown", () => { moved ||= performance.now(); }, { once: true, capture: true });
    window.firstFigure = new Promise((done) => {
      const watch = new MutationObserver(() => {
        if (moved && told.textContent.startsWith("From 128 ")) {
          watch.disconnect();
          done(Math.round(performance.now() - moved));
        }
      });
      watch.observe(told, { subtree: true, childList: true, characterData: true });
    });
  });
  await page.keyboard.press("ArrowLeft");
  return page.evaluate(() => window.firstFigure);
}

const claim = (page) => page.locator("#stay-heading ~ .claim").innerText();

// The command line's own first sentence to the same question.
function commandLine(command, options, extra = []) {
  return execFileSync(tideover, [command, scenarioPath, ...options, ...extra, "--out", join(scratch, "out")], {
    encoding: "utf8", maxBuffer: 1e8,
  });
}

const flat = (text) => text.replace(/\s+/g, " ").trim();

// 1. What opens, opens alone and keeps silent; sizes.
async function testOpens(browser) {
  if (!url.startsWith("http")) {
    const bytes = statSync(file).size;
    console.log(`page: ${(bytes / 1e6).toFixed(2)} MB`);
    check("the page is under 6 MB", bytes < LIMIT_BYTES);
  }
  const { context, page, talk } = await opened(browser);
  await answered(page);
  const milliseconds = await page.evaluate(() => Math.round(performance.now()));
  console.log(`first answer after ${milliseconds} ms`);
  await settled(page);
  check("nothing on the console, nothing asked of the network", talk);
  const policy = await page.locator('meta[http-equiv="Content-Security-Policy"]').getAttribute("content");
  check("the policy allows nothing from outside and no eval", [
    ...(/unsafe-inline|unsafe-eval'|https?:/.test(policy.replace("'wasm-unsafe-eval'", "").replace(/http:\/\/localhost:\d+/, "")) ? [policy] : []),
    ...(policy.includes("default-src 'none'") ? [] : [policy]),
  ]);
  // From a timer: what the tests call directly goes past the policy.
  check("eval is refused", await page.evaluate(() => new Promise((done) => setTimeout(() => {
    try { (0, globalThis.eval)("1"); done(false); } catch { done(true); }
  }))));
  await context.close();
}

// 2. A day at camp by touch: morning readings, a dull forecast, one more night, drive on.
async function testDayAtCamp(browser) {
  const { context, page, talk } = await opened(browser);
  await answered(page);
  await page.locator("#road-day").fill("2027-07-15");
  await page.locator("#road-time").fill("08:00");
  await page.getByLabel("main", { exact: true }).fill("64");
  await page.getByLabel("canopy", { exact: true }).fill("93");
  await page.getByRole("button", { name: "more: trailer" }).tap();
  const trailer = Number(await page.getByLabel("trailer", { exact: true }).inputValue());
  for (const name of ["Thu 15 Jul", "Fri 16 Jul"]) {
    await page.getByRole("group", { name }).getByRole("radio", { name: "dull" }).tap();
  }
  await page.getByText(/main at 64 %/).waitFor();
  await page.getByText("From 2,000 random trips.").waitFor();
  const options = [
    "--now", "2027-07-15T08:00", "--soc", "main=64%", "--soc", "canopy=93%", "--soc", `trailer=${trailer}%`,
    "--sky", "2027-07-15=dull", "--sky", "2027-07-16=dull",
  ];
  const said = flat(commandLine("stay", options, ["--trials", "2000"]));
  const first = (await claim(page)).replace(/\.$/, "");
  check("a day at camp: the page says what the command line says", said.includes(first) ? [] : [`page: ${first}`, `command line: ${said.slice(0, 300)}`]);
  const taken = await page.locator('input[name="nights-more"]:checked ~ span strong').first().innerText();
  const rows = page.locator('input[name="nights-more"]');
  const index = await rows.evaluateAll((list) => list.findIndex((input) => input.checked));
  await page.locator(".rows label").nth(index + 1).tap();
  await page.waitForFunction((was) => {
    const row = document.querySelector('input[name="nights-more"]:checked ~ span strong');
    return row && row.textContent !== was;
  }, taken);
  await page.getByText("From 2,000 random trips.").waitFor();
  const more = flat(commandLine("stay", [...options, "--nights", String(index + 1)], ["--trials", "2000"]));
  const from = flat(await page.locator("#stay-heading ~ .hint").first().innerText());
  check("a day at camp: one more night", more.includes(from) ? [] : [`page: ${from}`, `command line: ${more.slice(0, 300)}`]);
  await settled(page);
  if (shots) await page.screenshot({ path: join(shots, "day-at-camp.png"), fullPage: true });
  await page.getByRole("button", { name: /^Drive on to / }).tap();
  await page.getByText(/^From .* at Mount Dare/).waitFor();
  check("a day at camp: driven on, the meters are to be read again", (await page.getByLabel("main", { exact: true }).inputValue()) === "");
  await answered(page);
  await page.getByLabel("main", { exact: true }).fill("55");
  await page.waitForTimeout(400);
  await page.reload();
  await answered(page);
  check("a day at camp: nothing is lost by a reload", (await page.getByLabel("main", { exact: true }).inputValue()) === "55");
  check("a day at camp: nothing on the console", talk);
  await context.close();
}

// 3. The same by keyboard alone: every control is reached by Tab and worked by keys.
async function testKeyboard(browser) {
  const { context, page, talk } = await opened(browser, { hasTouch: false });
  await answered(page);
  const focused = () => page.evaluate(() => {
    const element = document.activeElement;
    return element.getAttribute("aria-label") ?? element.labels?.[0]?.innerText ?? element.textContent.trim();
  });
  const tabTo = async (name) => {
    for (let presses = 0; presses < 120; presses += 1) {
      await page.keyboard.press("Tab");
      if ((await focused()) === name) return true;
    }
    return false;
  };
  check("keyboard: a meter is reached", await tabTo("main"));
  await page.keyboard.type("70");
  await page.keyboard.press("ArrowDown");
  check("keyboard: it is typed and stepped", (await page.getByLabel("main", { exact: true }).inputValue()) === "69");
  await page.getByText(/main at 69 %/).waitFor();
  check("keyboard: the sky is reached", await tabTo("not known"));
  await page.keyboard.press("ArrowLeft");
  check("keyboard: the sky is chosen", (await page.locator('.choice input[value="dull"]:checked').count()) === 1);
  await page.keyboard.press("Shift+Tab");
  check("keyboard: the focus can be seen", await page.evaluate(() => {
    const style = getComputedStyle(document.activeElement);
    return style.outlineStyle !== "none" && parseFloat(style.outlineWidth) > 1;
  }));
  await page.goto(`${url}#road`);
  check("keyboard: the screens are reached", await tabTo("Try"));
  await page.keyboard.press("Enter");
  await page.locator("#turn-heading").waitFor();
  check("keyboard: nothing on the console", talk);
  await context.close();
}

// 4. Try: a slider, an option, the file changed only when asked.
async function testTry(browser) {
  const { context, page, talk } = await opened(browser, { hash: "try" });
  await answered(page);
  await page.getByText("From 10,000 random trips.").waitFor();
  const range = () => ["x", "width"].map((key) => document.querySelector(".strip .range").getAttribute(key)).join();
  const before = await page.evaluate(range);
  console.log(`try: first figure after ${await firstFigure(page)} ms`);
  const slider = page.getByRole("slider").first();
  await slider.focus();
  for (let presses = 0; presses < 6; presses += 1) await page.keyboard.press("ArrowLeft");
  await page.getByRole("heading", { name: "With these changes" }).waitFor();
  // What is said of the file before the change may stand for a moment more.
  await page.waitForFunction((before) => {
    const range = document.querySelector(".strip .range");
    return range && ["x", "width"].map((key) => range.getAttribute(key)).join() !== before;
  }, before);
  check("try: the answer follows", true);
  await page.getByText("From 10,000 random trips.").waitFor();
  const width = await page.locator(".strip .range").getAttribute("width");
  check("try: the interval of 10,000 trips is narrow", Number(width) < 12);
  // An open "Why" says as long as it is that of the former answer.
  await page.getByText("Why, and night by night").first().tap();
  await page.evaluate(() => {
    const section = document.querySelector('section[aria-labelledby="try-heading"]');
    window.isFormer = () => section.textContent.includes("still from before the change");
    new MutationObserver(() => { window.wasFormer ||= window.isFormer(); }).observe(section, { childList: true, subtree: true });
  });
  await slider.focus();
  await page.keyboard.press("ArrowRight");
  await page.waitForFunction(() => window.wasFormer && !window.isFormer());
  await page.getByText("From 10,000 random trips.").waitFor();
  check("try: an open why says when it is still the former", true);
  await page.getByRole("button", { name: "Keep as an option" }).tap();
  await page.locator("#options-heading").waitFor();
  await page.waitForFunction(() => [...document.querySelectorAll("#options-heading ~ .scroll tbody tr")]
    .every((row) => /\d %/.test(row.cells[1].textContent)));
  await page.getByText("Loads on and off").tap();
  await page.getByRole("checkbox").nth(2).tap();
  check("try: a load is off", await page.locator(".changes li").allInnerTexts().then((list) => list.some((text) => text.startsWith("without "))));
  await page.getByRole("button", { name: "Back to the file" }).tap();
  await page.getByRole("heading", { name: "The file as it is" }).waitFor();
  await page.getByRole("button", { name: "Look for it" }).tap();
  await page.locator("#mend-heading ~ .claim").waitFor();
  await page.locator("#mend-heading ~ .claim").scrollIntoViewIfNeeded();
  if (shots) await page.screenshot({ path: join(shots, "try.png"), fullPage: true });
  check("try: nothing on the console", talk);
  await context.close();
}

// 5. Build: from a template to a verdict for a trip of three stops found by name, no coordinate
// typed, in no more than 60 taps; what the check refuses stands at its field; every step undone.
async function testBuild(browser) {
  const { context, page, talk } = await opened(browser, { hash: "files" });
  const begun = Date.now();
  let taps = 0;
  const tap = async (locator) => { taps += 1; await locator.tap(); };
  taps += 1;
  await page.getByLabel("Or from a whole example").selectOption("two-banks");
  await tap(page.getByRole("button", { name: "Begin with two-banks" }));
  await page.locator("#parts-heading").waitFor();
  await tap(page.locator("summary", { hasText: /^Trip / }));
  const place = page.getByLabel("Find a place by name");
  const find = async (name, button) => {
    taps += 1;
    await place.fill(name);
    await tap(page.locator(".suggestions button").first());
    await tap(page.getByRole("button", { name: button, exact: true }));
  };
  await find("Maun", "Begin here");
  // The template's own stops go: they are far from here.
  for (let index = 0; index < 3; index += 1) {
    const first = page.locator('fieldset:has(> legend:text-is("Drives and stops")) > details').first();
    if (index > 0) await page.waitForTimeout(300);
    if (!(await first.evaluate((box) => box.open))) await tap(first.locator("summary").first());
    await tap(first.getByRole("button", { name: /^Remove / }));
  }
  for (const name of ["Ghanzi", "Shakawe", "Maun"]) {
    await find(name, "Add as the last stop");
    await page.getByText(new RegExp(`^${name}, .* is the last stop now`)).waitFor();
  }
  const gpx = join(scratch, "stops.gpx");
  writeFileSync(gpx, '<gpx version="1.1"><wpt lat="-19.5" lon="23.1"><name>Pan &lt;b&gt;edge&lt;/b&gt;</name></wpt></gpx>');
  await page.getByLabel("Or stops from a GPX file").setInputFiles(gpx);
  await page.getByText("Pan <b>edge</b>", { exact: true }).waitFor();
  await page.getByRole("button", { name: "Undo" }).tap();
  await page.waitForFunction(() => ![...document.querySelectorAll("summary")].some((summary) => summary.textContent.includes("Pan ")));
  await tap(page.locator("summary", { hasText: /^Loads / }));
  taps += 1;
  await page.getByLabel("Add a usual device").selectOption("satellite-small");
  await tap(page.getByRole("button", { name: /^Add it to / }));
  await page.locator("summary", { hasText: "satellite-small" }).waitFor();
  await page.locator("#build-heading ~ .claim").waitFor();
  await page.waitForFunction(() => document.querySelector(".short")?.textContent.startsWith("No shortfall"));
  console.log(`build: a verdict after ${taps} taps and ${((Date.now() - begun) / 1000).toFixed(0)} s`);
  check("build: a verdict within 60 taps and three minutes", taps <= 60 && Date.now() - begun < 180_000);
  const path = await exported(page, "my-two-banks.json");
  const built = readFileSync(path, "utf8");
  check("build: what was not edited keeps its bytes", built.includes('"note": "priority: 1 is served first when the alternator cannot feed all", "id": "cabin-dcdc"'));
  await checkAnswer(page, "build", path);
  await unfold(page.locator("summary", { hasText: /^Banks / }));
  await unfold(page.locator("summary", { hasText: /^cabin/ }).first());
  const capacity = page.getByLabel(/^Capacity/).first();
  await capacity.fill("-5");
  await capacity.blur();
  await page.locator(".field", { has: capacity }).locator(".warn").waitFor();
  check("build: a refusal stands at its field", (await capacity.getAttribute("aria-invalid")) === "true");
  await page.getByRole("button", { name: "Undo" }).tap();
  await page.waitForFunction(() => !document.querySelector('[aria-invalid="true"]'));
  check("build: undone", (await capacity.inputValue()) === "100");
  await page.getByRole("button", { name: "Redo" }).tap();
  await page.waitForFunction(() => document.querySelector('[aria-invalid="true"]'));
  check("build: done again", (await capacity.inputValue()) === "-5");
  await page.getByRole("button", { name: "Undo" }).tap();
  if (shots) await page.screenshot({ path: join(shots, "build.png"), fullPage: true });
  check("build: nothing on the console", talk);
  await context.close();
}

// The open scenario, saved under its name.
async function exported(page, name) {
  await page.evaluate(() => { location.hash = "#files"; });
  const save = page.getByRole("button", { name: `Save ${name}`, exact: true });
  // A screen that changes under the finger takes no tap: then once more.
  let saved;
  for (let tries = 0; !saved; tries += 1) {
    const wanted = page.waitForEvent("download", { timeout: tries < 4 ? 15000 : 60000 });
    [saved] = await Promise.all([tries < 4 ? wanted.catch(() => undefined) : wanted, save.click()]);
  }
  const path = join(scratch, name);
  await saved.saveAs(path);
  return path;
}

// Opens a fold, as a person does: looking whether it opened.
async function unfold(summary) {
  await summary.waitFor();
  for (let tries = 0; tries < 8; tries += 1) {
    if (await summary.evaluate((line) => line.parentElement.open)) return;
    await summary.tap();
    await summary.page().waitForTimeout(200);
  }
}

// What the form's screen says is what the command line says of the exported file.
async function checkAnswer(page, what, path) {
  await page.evaluate(() => { location.hash = "#build"; });
  const claim = page.locator("#build-heading ~ .claim");
  await claim.waitFor();
  const told = flat(execFileSync(tideover, ["trip", path, "--trials", "2000", "--out", join(scratch, "out")], { encoding: "utf8" }));
  const isSame = await page.waitForFunction(
    (told) => told.includes(document.querySelector("#build-heading ~ .claim")?.innerText.replace(/\s+/g, " ").replace(/\.$/, "") ?? "?"), told, { timeout: 30_000 },
  ).then(() => true, () => false);
  check(`${what}: the exported file gives the page's answer`, isSame ? [] : [await claim.innerText(), told.slice(0, 300)]);
}

// A page without a scenario, as the program writes it.
function emptyPage() {
  execFileSync(tideover, ["page", "--quiet", "--out", join(scratch, "empty")]);
  return pathToFileURL(join(scratch, "empty", "page.html")).href;
}

// 6. From the empty page to a verdict by three answers: a vehicle of two banks, a trip of three stops, no coordinate
// typed, in no more than 60 taps and three minutes.
async function testBegin(browser) {
  const { context, page, talk } = await opened(browser, { hash: "", address: emptyPage() });
  const begun = Date.now();
  let taps = 0;
  const tap = async (locator) => { taps += 1; await locator.tap(); };
  await tap(page.getByRole("radio", { name: /^Four-wheel drive with canopy/ }));
  for (const name of ["Fridge, some 40 l", "Satellite uplink, small dish", "Air compressor, large"]) {
    const tick = page.getByRole("checkbox", { name: new RegExp(`^${name}`) });
    if (!(await tick.isChecked())) await tap(tick);
  }
  check("begin: a device is on the bank of its like", (await page.getByLabel("on bank for Fridge, some 40 l").inputValue()) === "canopy");
  const find = async (label, letters, name) => {
    taps += 1;
    const field = page.getByLabel(label);
    await field.pressSequentially(letters, { delay: 30 });
    const suggestion = page.locator(".suggestions button", { hasText: name }).first();
    await suggestion.waitFor();
    const told = await suggestion.innerText();
    await tap(suggestion);
    return told;
  };
  await find("Where do you set off?", "Maun", "Maun, BW");
  const told = await find("Where to first?", "ghan", "Ghanzi, BW");
  check("begin: a suggestion has region, country and distance", /Botswana; \d+ km away/.test(told) ? [] : [told]);
  await find("And then to?", "shaka", "Shakawe, BW");
  await tap(page.getByText("Or a tap on a map"));
  await page.locator(".map .land").first().waitFor();
  await tap(page.locator(".map"));
  await page.getByText(/^Nights at \d+ km [NESW]+ of /).waitFor();
  await tap(page.getByRole("button", { name: "more: Nights at Ghanzi, BW" }));
  if (shots) await page.screenshot({ path: join(shots, "begin.png"), fullPage: true });
  check("begin: nothing overflows", await page.evaluate(overflowing));
  check("begin: the audit finds nothing", await audit(page, EVERY_IMPACT));
  await page.waitForTimeout(400);
  await page.reload();
  await page.getByText("Nights at Ghanzi, BW").waitFor();
  check("begin: nothing is lost by a reload", (await page.getByLabel("Nights at Ghanzi, BW", { exact: true }).inputValue()) === "3");
  await tap(page.getByRole("button", { name: "Show the verdict" }));
  await page.locator("#build-heading ~ .claim").waitFor();
  console.log(`begin: a verdict after ${taps} taps and ${((Date.now() - begun) / 1000).toFixed(0)} s`);
  check("begin: a verdict within 60 taps and three minutes", taps <= 60 && Date.now() - begun < 180_000);
  if (shots) await page.screenshot({ path: join(shots, "begin-verdict.png"), fullPage: true });
  const path = await exported(page, "my-trip.json");
  const { banks, itinerary } = JSON.parse(readFileSync(path, "utf8"));
  check("begin: two house banks", banks.filter(({ role }) => role !== "start").length === 2);
  check("begin: three stops and the way back", itinerary.legs.length === 4 ? [] : [JSON.stringify(itinerary.legs)]);
  await checkAnswer(page, "begin", path);
  check("begin: nothing on the console", talk);
  await context.close();
}

// 7. The same by keyboard alone, the map too.
async function testBeginByKeys(browser) {
  const { context, page, talk } = await opened(browser, { hash: "", address: emptyPage(), hasTouch: false });
  await page.getByText("1. What vehicle?").waitFor();
  const press = (key) => page.keyboard.press(key);
  const tabTo = async (selector) => {
    for (let presses = 0; presses < 120; presses += 1) {
      if (await page.evaluate((wanted) => document.activeElement.matches(wanted), selector)) return;
      await press("Tab");
    }
    throw new Error(`${selector} is not reached by Tab`);
  };
  await tabTo('input[name="vehicle"]');
  await press("Space");
  await press("ArrowDown");
  check("begin by keys: the second vehicle", await page.getByRole("radio").nth(1).isChecked());
  await tabTo('input[type="checkbox"]');
  await press("Space");
  check("begin by keys: a device left out", !(await page.getByRole("checkbox").first().isChecked()));
  await press("Space");
  const place = 'input[placeholder]';
  for (const name of ["Maun", "Ghanzi"]) {
    await tabTo(place);
    await page.keyboard.type(name);
    await page.locator(".suggestions button").first().waitFor();
    await press("Enter");
    await page.getByRole("button", { name: new RegExp(`^Leave out ${name}`) }).waitFor();
  }
  await press("Tab");
  await press("Enter");
  await page.locator(".map .land").first().waitFor();
  await tabTo(".map");
  check("begin by keys: the middle of the map is marked", await page.locator(".map .middle").evaluate((cross) => getComputedStyle(cross).stroke !== "none"));
  for (const key of ["+", "ArrowRight", "ArrowUp", "Enter"]) await press(key);
  await page.getByText(/^Nights at \d+ km [NESW]+ of /).waitFor();
  await tabTo("main > section:last-of-type button");
  await press("Enter");
  await page.locator("#build-heading ~ .claim").waitFor();
  check("begin by keys: a verdict", true);
  check("begin by keys: nothing on the console", talk);
  await context.close();
}

// 8. What the check refuses is told at its field, and what is folded leads there.
async function testRefusals(browser) {
  const { context, page, talk } = await opened(browser, { hash: "build" });
  await answered(page);
  await page.getByText("The file as text").tap();
  const text = page.getByLabel("Taken when you leave the field");
  const faults = [];
  let shown = 0;
  for (const { name, text: broken } of refusals(fileURLToPath(new URL("../../", import.meta.url)))) {
    if (name in BY_HAND) continue;
    const file = join(scratch, "base.json");
    writeFileSync(file, broken);
    const { problems } = JSON.parse(spawnSync(tideover, ["check", file, "--json"], { encoding: "utf8" }).stdout);
    await text.fill(broken);
    await text.blur();
    await page.getByText(problems[0].text).first().waitFor();
    for (let depth = 0; depth < 4; depth += 1) {
      await page.evaluate(() => { for (const fold of document.querySelectorAll("details:not([open]) > summary:has(.warn)")) fold.click(); });
    }
    for (const { path, text: said } of problems) {
      const key = path.split("/").filter((part) => !/^\d+$/.test(part)).pop();
      const told = page.locator("#parts-heading ~ * .warn").filter({ hasText: said.slice(0, 60) });
      const around = await told.first().evaluate((line) => {
        const box = line.closest(".field, fieldset, details");
        return box.querySelector("label, legend, summary").textContent;
      }, undefined, { timeout: 5000 }).catch(() => null);
      if (around === null) faults.push(`${name}: ${path} is not shown`);
      else if (/\/\d+$/.test(path) || around.toLowerCase().includes(key.split("_")[0].replace("soc", "charge").slice(0, 4)) || ALIKE[key] === around) shown += 1;
      else faults.push(`${name}: ${path} stands at ${around}`);
    }
  }
  check(`${shown} refusals stand at their fields`, shown > 60 ? faults : [...faults, "too few"]);
  check("refusals: nothing on the console", talk);
  await context.close();
}

// Keys whose label is another word.
const ALIKE = { id: "Name", lat: "Latitude", solar: "Panels" };

// 9. Files in and out unchanged: 200 random ones, laid out in three ways; every template and example with an edit.
async function testFiles(browser) {
  const top = fileURLToPath(new URL("../../", import.meta.url));
  const { context, page, talk } = await opened(browser, { hash: "files" });
  const bring = page.locator("#bring");
  const inFolder = (folder) => readdirSync(folder).filter((name) => name.endsWith(".json")).map((name) => join(folder, name));
  const random = process.env.RANDOM_FILES ? inFolder(process.env.RANDOM_FILES) : [];
  const other = [];
  if (random.length > 0) {
    await bring.setInputFiles([...random, join(process.env.RANDOM_FILES, "record.csv")]);
    await page.getByText(/opened\.$/).waitFor();
    const sheets = page.locator('input[name="open-sheet"]');
    const before = (await sheets.count()) - random.length;
    for (const [index, path] of random.entries()) {
      await sheets.nth(before + index).check();
      if (!readFileSync(await exported(page, basename(path))).equals(readFileSync(path))) other.push(basename(path));
    }
  }
  check(`files: ${random.length} random ones unchanged to the byte`, random.length >= 200 ? other : [...other, "RANDOM_FILES=FOLDER has fewer than 200"]);
  for (const path of [...inFolder(join(top, "scenarios")), ...inFolder(join(top, "src/scenario/templates"))]) {
    const name = basename(path);
    const beside = readFileSync(path, "utf8").matchAll(/"file"\s*:\s*"([^"]+)"/g);
    const files = [...beside].map(([, file]) => join(path, "..", file));
    await bring.setInputFiles([path, ...files]);
    await page.getByText(new RegExp(`${name} opened\\.$`)).waitFor();
    await page.evaluate(() => { location.hash = "#build"; });
    await page.locator("#build-heading ~ .claim").waitFor();
    await unfold(page.locator("summary", { hasText: /^Banks / }));
    await unfold(page.locator("#parts-heading ~ details[open] details summary").first());
    const capacity = page.getByLabel(/^Capacity/).first();
    const more = String(Number(await capacity.inputValue()) + 5);
    await capacity.fill(more);
    await capacity.blur();
    await page.locator("#build-heading ~ .claim").waitFor();
    const [was, is] = [readFileSync(path, "utf8").split("\n"), readFileSync(await exported(page, name), "utf8").split("\n")];
    const moved = is.filter((line, at) => line !== was[at]);
    check(`files: ${name}, one line edited`, moved.length === 1 && moved[0].includes(`"capacity_ah": ${more}`) ? [] : moved);
    for (const file of files) writeFileSync(join(scratch, basename(file)), readFileSync(file));
    await checkAnswer(page, `files: ${name}`, join(scratch, name));
    await page.evaluate(() => { location.hash = "#files"; });
  }
  // The same in °F and miles.
  const american = join(scratch, "american.json");
  const [metric, ...others] = [
    readFileSync(join(top, "scenarios/weekend.json"), "utf8"), ['"set_c": 4', '"set_f": 39.2'],
    ['"at_ambient_c": 32, "at_inside_c": 4', '"at_ambient_f": 89.6, "at_inside_f": 39.2'],
    ['"drive_hours": { "min": 2.2, "likely": 2.6, "max": 3.6 }', '"distance_mi": 110, "speed_mph": 40'],
  ];
  writeFileSync(american, others.reduce((text, [from, to]) => text.replace(from, to), metric));
  await bring.setInputFiles(american);
  await page.getByText("american.json opened.").waitFor();
  await page.evaluate(() => { location.hash = "#build"; });
  await unfold(page.locator("summary", { hasText: /^Trip / }));
  await unfold(page.locator("fieldset > details summary").first());
  await unfold(page.locator("summary", { hasText: /^Loads / }));
  await unfold(page.locator("summary", { hasText: /^fridge/ }));
  const labels = (await page.locator("#parts-heading ~ * label").allInnerTexts()).map(flat);
  const wanted = ["Distance, mi", "Speed, mph", "Set, °F", "At ambient, °F"];
  check("files: °F and miles have their units", wanted.filter((label) => !labels.includes(label)));
  await checkAnswer(page, "files: °F and miles", american);
  check("files: nothing on the console", talk);
  await context.close();
}

// 10. Papers: the report and the wiring sheet dressed, framed without scripts; a picture.
async function testPapers(browser) {
  const { context, page, talk } = await opened(browser, { hash: "papers" });
  for (const [title, word] of [["Trip report", "report"], ["Wiring sheet", "wiring"]]) {
    await page.getByRole("button", { name: title }).tap();
    const frame = page.locator("iframe");
    await frame.waitFor();
    const inside = page.frameLocator("iframe");
    await inside.locator("h1").first().waitFor();
    check(`${word}: the frame runs no script`, !(await frame.getAttribute("sandbox")).includes("allow-scripts"));
    const margin = await inside.locator("body").evaluate((body) => getComputedStyle(body).fontFamily);
    check(`${word}: its own style holds`, margin.includes("system-ui") || margin.includes("DejaVu") ? [] : [margin]);
    if (shots) await page.screenshot({ path: join(shots, `papers-${word}.png`), fullPage: true });
  }
  check("wiring: its cautions are told", (await page.locator(".cautions, iframe").count()) > 0);
  await page.getByRole("button", { name: "Picture of the trip" }).tap();
  await page.locator("figure img").first().waitFor();
  check("a picture is drawn", await page.locator("figure img").first().evaluate((image) => image.decode().then(() => image.naturalWidth > 300)));
  const [saved] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save trip.svg" }).tap()]);
  const kept = readFileSync(await saved.path(), "utf8");
  commandLine("trip", ["--trials", "500"]);
  check("the picture has the command line's bytes", kept === readFileSync(join(scratch, "out", "trip.svg"), "utf8"));
  check("papers: nothing on the console", talk);
  await context.close();
}

// 11. The engine in the page has the command line's bytes.
async function testBytes(browser) {
  const { context, page } = await opened(browser);
  const ask = (question) => page.evaluate(async (asked) => {
    const text = (id) => document.getElementById(id).textContent;
    const packed = Uint8Array.from(atob(text("tideover-module").trim()), (letter) => letter.charCodeAt(0));
    const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
    const module = await WebAssembly.compile(await new Response(stream).arrayBuffer());
    const worker = new Worker(URL.createObjectURL(new Blob([text("tideover-worker")], { type: "text/javascript" })));
    worker.postMessage({ module });
    const given = await new Promise((done) => {
      worker.onmessage = (event) => done(event.data);
      worker.postMessage({ id: 1, question: JSON.stringify(asked) });
    });
    worker.terminate();
    if (given.fault) throw new Error(given.fault);
    return JSON.parse(given.answer);
  }, question);
  const files = { name: basename(scenarioPath), text: readFileSync(scenarioPath, "utf8"), files: {} };
  for (const command of ["trip", "stay", "budget", "shed", "topup", "why", "mend", "wiring"]) {
    const trials = command === "wiring" ? [] : ["--trials", "100"];
    const options = command === "wiring" ? {} : { trials: 100 };
    const answer = await ask({ ask: "run", command, scenario: files, options });
    check(`${command}: the command line's bytes`, answer.json.trim() === commandLine(command, trials, ["--json"]).trim());
  }
  await context.close();
}

// 12. Names that try to become something else stay text, from a file and in a saved copy.
async function testHostile(browser) {
  const name = `</script><script>alert(1)</script><img src=x onerror=alert(2)>{{script}}`;
  const hostile = structuredClone(scenario);
  hostile.title = name;
  hostile.itinerary.legs[0].to = `"><b>bold</b>`;
  const path = join(scratch, "hostile.json");
  writeFileSync(path, JSON.stringify(hostile));
  const { context, page, talk } = await opened(browser, { hash: "files" });
  await page.locator("#bring").setInputFiles(path);
  await page.getByText("hostile.json opened.").waitFor();
  check("hostile: the title is text", (await page.locator("h1").innerText()) === name);
  const [saved] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Save this page with what I typed" }).tap(),
  ]);
  const copy = join(scratch, "copy.html");
  await saved.saveAs(copy);
  await page.evaluate(() => { location.hash = "#road"; });
  await answered(page);
  check("hostile: no element comes from a name", (await page.locator("#page b, #page img").count()) === 0);
  check("hostile: nothing runs, nothing is asked", talk);
  await context.close();
  if (!url.startsWith("http")) {
    const other = await browser.newContext();
    const page2 = await other.newPage();
    const words = [];
    page2.on("console", (message) => words.push(message.text()));
    page2.on("dialog", (dialog) => { words.push(dialog.message()); void dialog.dismiss(); });
    await page2.goto(pathToFileURL(copy).href);
    await page2.locator(".claim").first().waitFor({ timeout: PATIENCE_MS });
    check("a saved copy opens with what was typed", (await page2.locator("h1").innerText()) === name);
    check("a saved copy keeps silent", words);
    await other.close();
  }
}

// 13. Every screen: audit, 320 px, dark, twice the text.
async function testLooks(browser) {
  for (const scheme of ["light", "dark"]) {
    for (const [label, width, percent] of [["390 px", 390, 100], ["320 px", 320, 100], ["320 px, 200 % text", 320, 200], ["1280 px", 1280, 100]]) {
      if (scheme === "dark" && label !== "390 px") continue;
      const { context, page } = await opened(browser, { colorScheme: scheme, viewport: { width, height: 800 } });
      await page.evaluate((size) => { document.documentElement.style.fontSize = `${size}%`; }, percent);
      for (const screen of SCREENS) {
        await page.evaluate((name) => { location.hash = `#${name}`; }, screen);
        if (["road", "try", "build"].includes(screen)) await answered(page);
        await page.waitForTimeout(300);
        // What is inside is made when it is opened.
        for (let depth = 0; depth < 3; depth += 1) {
          await page.evaluate(() => { for (const box of document.querySelectorAll("details")) box.open = true; });
          await page.waitForTimeout(200);
        }
        check(`${screen}, ${scheme}, ${label}: nothing overflows`, await page.evaluate(overflowing));
        check(`${screen}, ${scheme}, ${label}: the audit finds nothing`, await audit(page, EVERY_IMPACT));
        if (shots) await page.screenshot({ path: join(shots, `${screen}-${scheme}-${label.replace(/\W+/g, "-")}.png`), fullPage: true });
      }
      await context.close();
    }
  }
}

// 14. Without scripts the file still answers.
async function testWithoutScripts(browser) {
  const context = await browser.newContext({ javaScriptEnabled: false, viewport: { width: 320, height: 800 } });
  const page = await context.newPage();
  await page.goto(url);
  check("without scripts: a table of nights", (await page.locator("table").count()) > 0);
  check("without scripts: nothing is cut at 320 px", await page.evaluate(overflowing));
  await context.close();
}

// In the page: a device whose clock shows another time.
function clockAt(then) {
  const Clock = Date;
  const ahead = then - Clock.now();
  window.Date = class extends Clock {
    constructor(...given) { super(...(given.length > 0 ? given : [Clock.now() + ahead])); }
    static now() { return Clock.now() + ahead; }
  };
}

const middle = ({ start, end }) => (Date.parse(start) + Date.parse(end)) / 2;

// 15. What the page came with is what its module answers, shown before the module runs, and only to that very question.
async function testOpening(browser) {
  const { context, page } = await opened(browser);
  const [{ answers, moments }, { scenarios }, packed] = await page.evaluate(() => {
    const text = (id) => document.getElementById(id).textContent;
    return [JSON.parse(text("tideover-answers")), JSON.parse(text("tideover-scenarios")), text("tideover-module")];
  });
  const module = new WebAssembly.Module(gunzipSync(Buffer.from(packed, "base64")));
  const { memory, room, ask, done } = new WebAssembly.Instance(module, {}).exports;
  check("opening: three answers", answers.length === 3);
  const answerOf = (question) => {
    const bytes = new TextEncoder().encode(JSON.stringify({ ...question, scenario: scenarios[0] }));
    const place = room(bytes.length);
    new Uint8Array(memory.buffer, place, bytes.length).set(bytes);
    const from = ask(bytes.length);
    return JSON.parse(new TextDecoder().decode(new Uint8Array(memory.buffer, from, done())));
  };
  for (const { question, answer } of answers) {
    check(`opening: the module's answer to ${JSON.stringify(question)}`, JSON.stringify(answerOf(question)) === JSON.stringify(answer));
  }
  const asked = answers[2].question;
  check("opening: moments on the way", moments.length > 10);
  for (const { now, from, verdict } of moments) {
    const answer = answerOf({ ...asked, options: { ...asked.options, now } });
    check(`opening: what the module says at ${now}`, answer.from === from && answer.verdict === verdict);
  }
  await context.close();
  // The same with an engine that never answers.
  const silent = () => { window.Worker = class { postMessage() {} terminate() {} }; };
  const first = await browser.newContext({ viewport: { width: 390, height: 800 } });
  await first.addInitScript(silent);
  const alone = await first.newPage();
  await alone.goto(`${url}#road`);
  const isShown = await alone.locator("#stay-heading ~ .claim").waitFor({ timeout: 20_000 }).then(() => true, () => false);
  check("opening: the first answer needs no engine", isShown);
  if (isShown) {
    await alone.getByText("From 128 random trips in steps of an hour").waitFor();
    await alone.getByLabel("main", { exact: true }).fill("64");
    await alone.waitForTimeout(400);
    await alone.reload();
    await alone.getByLabel("main", { exact: true }).waitFor();
    check("opening: no answer to another question", (await alone.locator(".claim").count()) === 0 && (await alone.getByLabel("main", { exact: true }).inputValue()) === "64");
  }
  await alone.addInitScript(clockAt, middle(answers[0].answer));
  // What is kept is written again as the page goes.
  await alone.addInitScript(() => { if (location.protocol !== "about:") localStorage.clear(); });
  await alone.goto("about:blank");
  await alone.goto(`${url}#road`);
  await alone.getByText("By the plan").waitFor();
  const clock = `${await alone.locator("#road-day").inputValue()}T${await alone.locator("#road-time").inputValue()}`;
  const last = moments.filter(({ now }) => now <= clock).pop();
  const shown = await alone.locator("#stay-heading ~ .claim").textContent();
  check("opening: on the way the plan's own answer at the last moment stands in", last.verdict.startsWith(shown.replace(/\.$/, "")) && (await alone.getByText(last.from).count()) === 1);
  await alone.getByLabel("main", { exact: true }).fill("64");
  check("opening: not where a meter was read", (await alone.locator(".claim").count()) === 0);
  await first.close();
}

// 16. With the processor slowed six times, as on a phone.
async function testSlow(browser) {
  const whole = JSON.parse(execFileSync(tideover, ["trip", scenarioPath, "--trials", "1", "--json"], { encoding: "utf8" }));
  // Each alone: what a page goes on to work out would take the other's processor. The page itself notes the time: to be
  // asked for it would slow it.
  const noted = () => {
    const seen = new MutationObserver(() => {
      if (!window.firstAnswer && document.querySelector("#stay-heading ~ .claim")) window.firstAnswer = performance.now();
      const rests = document.querySelector("#stay-heading ~ [role=status]")?.textContent;
      if (!window.ownAnswer && rests?.startsWith("From")) window.ownAnswer = performance.now();
    });
    seen.observe(document, { childList: true, subtree: true, characterData: true });
  };
  const firstAnswer = async (then) => {
    const { context, page } = await opened(browser, { address: "about:blank" });
    await (await context.newCDPSession(page)).send("Emulation.setCPUThrottlingRate", { rate: 6 });
    await page.addInitScript(noted);
    if (then) await page.addInitScript(clockAt, then);
    await page.goto(`${url}#road`);
    await page.getByText(/From [\d,]+ random trips/).waitFor();
    const milliseconds = await page.evaluate(() => [window.firstAnswer, window.ownAnswer].map(Math.round));
    return { context, page, milliseconds };
  };
  const onTheWay = await firstAnswer(middle(whole));
  console.log(`first answer on the way, slowed six times: ${onTheWay.milliseconds[0]} ms, to now ${onTheWay.milliseconds[1]} ms`);
  await onTheWay.context.close();
  const { context, page, milliseconds } = await firstAnswer(null);
  console.log(`first answer, slowed six times: ${milliseconds[0]} ms`);
  await page.evaluate(() => { location.hash = "#try"; });
  console.log(`try: first figure, slowed six times, after ${await firstFigure(page)} ms`);
  await context.close();
}

// 17. From a web space: opened once, then the server is stopped and it opens again.
async function testSite(browser) {
  if (!site) return;
  const types = { html: "text/html", js: "text/javascript", svg: "image/svg+xml", webmanifest: "application/manifest+json" };
  const server = createServer((request, response) => {
    const name = request.url === "/" ? "index.html" : request.url.slice(1);
    try {
      response.setHeader("content-type", types[name.split(".").pop()] ?? "text/plain");
      response.end(readFileSync(join(site, basename(name))));
    } catch {
      response.statusCode = 404;
      response.end();
    }
  });
  await new Promise((done) => server.listen(0, "localhost", done));
  const address = `http://localhost:${server.address().port}/`;
  const context = await browser.newContext({ viewport: { width: 390, height: 800 } });
  const page = await context.newPage();
  page.setDefaultTimeout(PATIENCE_MS);
  const talk = [];
  page.on("console", (message) => talk.push(`${message.type()}: ${message.text()}`));
  await page.goto(address);
  await answered(page);
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  server.closeAllConnections();
  await new Promise((done) => server.close(done));
  await page.reload();
  await answered(page);
  check("site: with the server stopped it opens and answers", (await claim(page)).length > 20);
  check("site: nothing on the console", talk);
  await context.close();
}

const TESTS = { opens: testOpens, camp: testDayAtCamp, keyboard: testKeyboard, try: testTry, build: testBuild, begin: testBegin, keys: testBeginByKeys, refusals: testRefusals, files: testFiles, papers: testPapers,
  bytes: testBytes, hostile: testHostile, looks: testLooks, noscript: testWithoutScripts, opening: testOpening, slow: testSlow, site: testSite };
await withBrowser(async (browser) => {
  const chosen = process.env.ONLY?.split(" ") ?? Object.keys(TESTS);
  try {
    for (const name of chosen) {
      try {
        await TESTS[name](browser);
      } catch (error) {
        check(name, [String(error).slice(0, 600)]);
      }
    }
  } finally {
    rmSync(scratch, { recursive: true, force: true });
  }
});
