// Builds the page's scripts and style into dist/: `npm ci && npm run build` in this folder.
//
// One job: sources in, three scripts and a style out, the same bytes on every machine. The files
// in dist/ are committed, since the program takes them in; `node build.mjs --check` fails where
// they are not what the sources give.

import { readFileSync, writeFileSync, mkdirSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const here = dirname(fileURLToPath(import.meta.url));
const result = await build({
  absWorkingDir: here,
  entryPoints: { page: "source/main.tsx", worker: "source/worker.ts", serve: "source/serve.ts" },
  outdir: "dist",
  bundle: true,
  minify: true,
  format: "iife",
  target: ["chrome91", "firefox90", "safari16.4"],
  charset: "ascii",
  legalComments: "none",
  loader: { ".bin": "binary" },
  jsx: "automatic",
  jsxImportSource: "preact",
  write: false,
});
const style = await build({
  absWorkingDir: here,
  entryPoints: ["source/page.css"],
  outdir: "dist",
  minify: true,
  target: ["chrome91", "firefox90", "safari16.4"],
  charset: "ascii",
  write: false,
});

const stale = [];
mkdirSync(join(here, "dist"), { recursive: true });
for (const { path, text } of [...result.outputFiles, ...style.outputFiles]) {
  // These texts stand inside elements of the page: nothing may end the element.
  if (/<\/(script|style)|<!--/i.test(text)) throw new Error(`${path} would end its element`);
  if (process.argv.includes("--check")) {
    if (readFileSync(path, "utf8") !== text) stale.push(path);
  } else {
    writeFileSync(path, text);
    console.log(`${path.slice(here.length + 1)}: ${(text.length / 1000).toFixed(1)} kB`);
  }
}
if (stale.length > 0) {
  console.error(`not what the sources give: ${stale.join(", ")}; run npm run build`);
  process.exit(1);
}
