// Opens every report of a folder in a real browser and checks what a reader would notice.
//
// One job: `node run.mjs DIR` looks for report.html in DIR and its folders, opens each from the
// disk and prints one line a failure, then "N passed, N failed". What the figures say is tested
// in Rust.
// Needs: Chromium (CHROMIUM, by default /usr/bin/chromium). SHOTS=FOLDER keeps screenshots and PDFs.

import { mkdirSync, readdirSync, statSync, writeFileSync } from "node:fs";
import { basename, dirname, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { audit, check, overflowing, withBrowser } from "./browser.mjs";

const WIDTHS_PX = [360, 768, 1280];
const LIMIT_BYTES = 1_500_000;
// A twelve-day trip of four banks.
const MOST_SIDES = 10;

function reportsIn(folder) {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return entry.name === "node_modules" ? [] : reportsIn(path);
    return entry.name === "report.html" ? [path] : [];
  });
}

function brokenLinks() {
  const faults = [];
  const ids = [...document.querySelectorAll("[id]")].map((element) => element.id);
  for (const id of ids) {
    if (ids.indexOf(id) !== ids.lastIndexOf(id)) faults.push(`id ${id} stands twice`);
  }
  const links = [...document.querySelectorAll("a[href]")];
  if (links.length < 8) faults.push(`only ${links.length} links`);
  for (const link of links) {
    const href = link.getAttribute("href");
    if (!href.startsWith("#")) faults.push(`${href} leads out of the file`);
    else if (!document.getElementById(decodeURIComponent(href.slice(1)))) faults.push(`${href} leads nowhere`);
  }
  for (const element of document.querySelectorAll("[aria-labelledby]")) {
    for (const id of element.getAttribute("aria-labelledby").split(" ")) {
      if (!document.getElementById(id)) faults.push(`label ${id} is missing`);
    }
  }
  return faults;
}

// Every picture has a title, a description, a caption; every table headings; every text of a
// picture a size that can be read.
function poorlyLabelled() {
  const faults = [];
  for (const figure of document.querySelectorAll("figure")) {
    const svg = figure.querySelector("svg");
    if (!svg?.querySelector(":scope > title")?.textContent) faults.push("a picture without a title");
    if (!svg?.querySelector(":scope > desc")?.textContent) faults.push("a picture without a description");
    if ((figure.querySelector("figcaption")?.textContent.length ?? 0) < 40) faults.push("a picture without words");
    for (const text of svg?.querySelectorAll("text") ?? []) {
      const box = text.getBoundingClientRect();
      if (text.textContent.trim() && box.height < 6) {
        faults.push(`“${text.textContent.trim()}” is ${box.height.toFixed(1)} px high`);
      }
    }
  }
  for (const table of document.querySelectorAll("table")) {
    if (!table.querySelector("thead th[scope=col]")) faults.push("a table without headings");
    for (const row of table.tBodies[0].rows) {
      if (row.cells[0].scope !== "row") faults.push("a row without a heading");
      if (row.cells.length !== table.tHead.rows[0].cells.length) faults.push("a row of another length");
    }
  }
  if (document.querySelector("script, link, img, iframe, object, embed")) faults.push("something that is not in the file");
  return faults;
}

// In print nothing scrolls, so nothing may be wider than the sheet.
function cutInPrint() {
  const faults = [];
  for (const box of document.querySelectorAll(".scroll")) {
    const inner = box.firstElementChild.getBoundingClientRect();
    const outer = box.getBoundingClientRect();
    if (inner.right > outer.right + 1) {
      faults.push(`${box.getAttribute("aria-labelledby")} is ${Math.round(inner.width)} px wide on ${Math.round(outer.width)}`);
    }
  }
  for (const row of document.querySelectorAll("tr")) {
    if (getComputedStyle(row).breakInside !== "avoid") faults.push("a row may be cut by a page");
  }
  for (const head of document.querySelectorAll("thead")) {
    if (getComputedStyle(head).display !== "table-header-group") faults.push("a heading does not repeat");
  }
  return [...new Set(faults)];
}

// Letters of the one-line diagram on the sheet, in points; a CSS pixel is three quarters of one.
function smallLettersOfTheDiagram() {
  const texts = [...document.querySelectorAll("#wiring ~ figure svg text")];
  const points = (text) => text.getAttribute("font-size") * text.getScreenCTM().a * 0.75;
  const small = texts.filter((text) => points(text) < 7);
  return small.map((text) => `“${text.textContent.trim()}” is ${points(text).toFixed(1)} pt high`);
}

// Screenshots in pieces: a long page is more than the browser can take in one.
async function shoot(page, stem) {
  const height = await page.evaluate(() => document.documentElement.scrollHeight);
  const { width } = page.viewportSize();
  await page.setViewportSize({ width, height: 2000 });
  for (let top = 0; top < height; top += 2000) {
    await page.evaluate((y) => window.scrollTo(0, y), top);
    await page.screenshot({ path: `${stem}-${String(top / 2000).padStart(2, "0")}.png` });
  }
  await page.setViewportSize({ width, height: 900 });
}

async function testReport(browser, path, shots) {
  const name = basename(dirname(path));
  const url = pathToFileURL(path).href;
  check(`${name}: at most 1.5 MB`, statSync(path).size <= LIMIT_BYTES);
  for (const scheme of ["light", "dark"]) {
    const context = await browser.newContext({ colorScheme: scheme, viewport: { width: 1280, height: 900 }, bypassCSP: true });
    const page = await context.newPage();
    const talk = [];
    const requests = [];
    page.on("console", (message) => talk.push(`${message.type()}: ${message.text()}`));
    page.on("pageerror", (error) => talk.push(String(error)));
    page.on("request", (request) => { if (request.url() !== url) requests.push(request.url()); });
    await page.goto(url);
    await page.waitForLoadState("networkidle");
    check(`${name}, ${scheme}: it opens with its title`, (await page.title()).endsWith("trip report"));
    check(`${name}, ${scheme}: sections and a picture`, await page.evaluate(() =>
      document.querySelectorAll("main section").length >= 6 && document.querySelectorAll("svg").length >= 2));
    for (const width of WIDTHS_PX) {
      await page.setViewportSize({ width, height: 900 });
      check(`${name}, ${scheme}, ${width} px: nothing overflows`, await page.evaluate(overflowing));
      check(`${name}, ${scheme}, ${width} px: pictures and tables can be read`, await page.evaluate(poorlyLabelled));
      if (shots) await shoot(page, join(shots, `${name}-${scheme}-${width}`));
    }
    check(`${name}, ${scheme}: the audit finds nothing serious`, await audit(page, ["serious", "critical"]));
    check(`${name}, ${scheme}: links lead somewhere in the file`, await page.evaluate(brokenLinks));
    const targets = await page.$$eval("nav a", (links) => links.map((link) => link.getAttribute("href")));
    const missed = [];
    for (const href of targets) {
      await page.click(`nav a[href="${href}"]`);
      const top = await page.evaluate((id) => document.getElementById(id).getBoundingClientRect().top, href.slice(1));
      const isThere = await page.evaluate((y) => y > -2 && y < window.innerHeight, top);
      if (!isThere) missed.push(`${href} is at ${top} px after the click`);
    }
    check(`${name}, ${scheme}: the contents lead to their places`, missed);
    check(`${name}, ${scheme}: nothing on the console`, talk);
    check(`${name}, ${scheme}: no request but for the file`, requests);
    await context.close();
  }
  await testPrint(browser, url, name, shots);
}

async function testPrint(browser, url, name, shots) {
  const context = await browser.newContext({ javaScriptEnabled: true, viewport: { width: 710, height: 1000 } });
  const page = await context.newPage();
  await page.goto(url);
  // 710 px are the 188 mm between the margins of an A4 sheet.
  await page.emulateMedia({ media: "print" });
  check(`${name}, print: nothing is cut`, await page.evaluate(cutInPrint));
  check(`${name}, print: the diagram can be read`, await page.evaluate(smallLettersOfTheDiagram));
  const pdf = await page.pdf({ preferCSSPageSize: true, printBackground: true });
  check(`${name}, print: a PDF`, pdf.subarray(0, 5).toString() === "%PDF-" && pdf.length > 20_000);
  const sides = pdf.toString("latin1").match(/\/Type \/Page\b(?!s)/g)?.length ?? 0;
  check(`${name}, print: ${sides} sides, at most ${MOST_SIDES}`, sides > 0 && sides <= MOST_SIDES);
  if (shots) writeFileSync(join(shots, `${name}.pdf`), pdf);
  await context.close();
}

// Without scripts, as a strict reader has it, all of it is still there.
async function testWithoutScript(browser, path) {
  const context = await browser.newContext({ javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(pathToFileURL(path).href);
  check(`${basename(dirname(path))}: it reads without scripts`, (await page.innerText("main")).length > 2000);
  await context.close();
}

const folder = process.argv[2];
if (!folder) {
  console.error("usage: node run.mjs DIR");
  process.exit(2);
}
const reports = reportsIn(resolve(folder));
if (reports.length === 0) {
  console.error(`no report.html in ${folder}`);
  process.exit(2);
}
const shots = process.env.SHOTS;
if (shots) mkdirSync(shots, { recursive: true });
await withBrowser(async (browser) => {
  for (const report of reports) {
    await testReport(browser, report, shots);
    await testWithoutScript(browser, report);
  }
});
