// The outline map of the page, without a browser.
//
// One job: `node map.mjs TIDEOVER`: the packed lines have land where places of the program's table lie and sea where
// the oceans are; pixels and degrees lead to each other, over the 180th meridian too. Needs `npm ci --prefix src/page/web`.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

const web = fileURLToPath(new URL("../../src/page/web", import.meta.url));
const esbuild = createRequire(join(web, "package.json"))("esbuild");
const [tideover] = process.argv.slice(2);
if (!tideover) {
  console.error("usage: node map.mjs TIDEOVER");
  process.exit(2);
}
const scratch = mkdtempSync(join(tmpdir(), "tideover-map-"));
async function sourceOf(name) {
  const { outputFiles } = esbuild.buildSync({
    entryPoints: [join(web, "source", name)], bundle: true, format: "esm", write: false, target: "es2022", loader: { ".bin": "binary" },
  });
  const path = join(scratch, `${name}.mjs`);
  writeFileSync(path, outputFiles[0].text);
  return import(pathToFileURL(path).href);
}
const { outlinesOf, STEPS_PER_DEG } = await sourceOf("outline.ts");
const { around, moved, pixel, pointAt, roundKm, turnsInView } = await sourceOf("map_view.ts");
rmSync(scratch, { recursive: true });

/** The lines of a path, in degrees east and north. */
function lines(path) {
  return path.split("M").slice(1).map((line) => {
    let [x, y] = [0, 0];
    return line.replace(/z$/, "").split("l").map((step) => {
      const [east, south] = step.split(" ").map(Number);
      [x, y] = [x + east, y + south];
      return [x / STEPS_PER_DEG, -y / STEPS_PER_DEG];
    });
  });
}

const { land, borders } = await outlinesOf();
const rings = lines(land);
assert.equal(rings.length, 1146);
assert.equal(lines(borders).length, 361);
for (const [lon, lat] of rings.flat()) assert.ok(lon > -192 && lon < 195 && lat > -61 && lat < 84, `${lon} ${lat}`);

/** Whether a ray from the point crosses the rings an odd number of times. */
function isLand(lat, lon) {
  let isIn = false;
  for (const ring of rings) {
    for (const turn of [0, 360]) {
      for (let at = 0, before = ring.length - 1; at < ring.length; before = at, at += 1) {
        const [[x0, y0], [x1, y1]] = [ring[before], ring[at]];
        if (y0 > lat !== y1 > lat && lon + turn < x0 + ((lat - y0) / (y1 - y0)) * (x1 - x0)) isIn = !isIn;
      }
    }
  }
  return isIn;
}
for (const name of ["Alice Springs", "Maun", "Yakutsk", "Tok, AK, US", "Mendoza, AR", "Agadez", "Madrid", "Egvekinot", "Moab, US"]) {
  const { places } = JSON.parse(execFileSync(tideover, ["places", name, "--json"], { encoding: "utf8" }));
  assert.ok(isLand(places[0].lat, places[0].lon), `${name} lies in the sea`);
}
// Middles of oceans and seas (common knowledge, no source).
for (const [lat, lon] of [[0, -140], [30, -45], [-30, 80], [40, 5.5], [42, 51], [75, -10], [0, 175]]) {
  assert.ok(!isLand(lat, lon), `${lat}, ${lon} lies on land`);
}

const near = (found, wanted, within = 1e-9) => found.forEach((value, at) => assert.ok(Math.abs(value - wanted[at]) < within, `${found} for ${wanted}`));
const size = { width: 360, height: 320 };
for (const view of [{ lat: -24, lon: 134, scale: 40 }, { lat: 65, lon: 179.5, scale: 300 }, { lat: 0, lon: -179.9, scale: 2 }]) {
  for (const point of [[view.lat, view.lon], [view.lat + 0.3, view.lon > -179 ? view.lon - 0.2 : 179.9]]) near(pointAt(pixel(point, view, size), view, size), point);
  // What lies under a finger stays under it.
  const under = pointAt([100, 90], view, size);
  const later = moved(view, size, [100, 90], [140, 120], 1.7);
  near(pixel(under, later, size), [140, 120], 1e-6);
}
// A trip over the 180th meridian is as wide as it is, not the whole way round.
const view = around([[-17, 177], [-17, -178]], size);
assert.ok(Math.abs(Math.abs(view.lon) - 179.5) < 1e-9 && view.scale > 20, JSON.stringify(view));
near(pixel([-17, -178], view, size).slice(0, 1), [size.width / 2 + 2.5 * view.scale * Math.cos((17 * Math.PI) / 180)], 1e-6);
assert.deepEqual(turnsInView(view, size).length, 2);
// By hand: 111.2 km to a degree, so 110 px at 40 px a degree are 306 km.
assert.equal(roundKm({ lat: 0, lon: 0, scale: 40 }, 110), 200);
console.log("the map's lines and its degrees are right");
