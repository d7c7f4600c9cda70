// A real browser for the tests of this folder, and what they all look for.
//
// One job: start Chromium, count what passed, and say what sticks out of a page or is found by
// the accessibility audit.
// Needs: Chromium (CHROMIUM, by default /usr/bin/chromium).

import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";

const FLAGS = [
  "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
  "--disable-background-networking", "--disable-component-update", "--disable-sync",
];
const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

let passed = 0;
let failed = 0;

export function check(name, faults) {
  const list = Array.isArray(faults) ? faults : faults ? [] : ["not so"];
  if (list.length === 0) {
    passed += 1;
  } else {
    failed += 1;
    console.log(`FAILED ${name}`);
    for (const fault of list.slice(0, 12)) console.log(`    ${fault}`);
  }
}

/** Runs the tests with a browser, prints the count, ends with status 1 if any failed. */
export async function withBrowser(tests) {
  const profile = mkdtempSync(join(tmpdir(), "tideover-browser-"));
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: [...FLAGS, `--crash-dumps-dir=${profile}`],
  });
  try {
    await tests(browser);
  } finally {
    await browser.close();
    rmSync(profile, { recursive: true, force: true });
  }
  console.log(`${passed} passed, ${failed} failed`);
  process.exit(failed === 0 ? 0 : 1);
}

/** In the page: what sticks out of it, outside the boxes that scroll by themselves. */
export function overflowing() {
  const width = document.documentElement.clientWidth;
  const faults = [];
  if (document.documentElement.scrollWidth > width) {
    faults.push(`the page is ${document.documentElement.scrollWidth} px wide in ${width} px`);
  }
  for (const element of document.body.querySelectorAll("*")) {
    if (element.closest("svg") && element.tagName !== "svg") continue;
    const box = element.parentElement.closest(".scroll");
    if (box && box.scrollWidth >= box.clientWidth && getComputedStyle(box).overflowX === "auto") continue;
    const { left, right } = element.getBoundingClientRect();
    if (right > width + 1 || left < -1) {
      faults.push(`<${element.tagName.toLowerCase()} class="${element.getAttribute("class") ?? ""}"> from ${left} to ${right} px`);
    }
  }
  return faults;
}

/** What the accessibility audit finds, of the given impacts. */
export async function audit(page, impacts) {
  // The file's own policy forbids scripts: the auditor comes in from outside the page.
  await page.evaluate(AXE);
  const { violations, incomplete } = await page.evaluate(() => window.axe.run(document, { resultTypes: ["violations"] }));
  if (!incomplete) return ["the audit did not run"];
  return violations
    .filter((violation) => impacts.includes(violation.impact))
    .map((violation) => `${violation.id} (${violation.impact}): ${violation.nodes.length} times, first ${violation.nodes[0].html.slice(0, 140)}`);
}
