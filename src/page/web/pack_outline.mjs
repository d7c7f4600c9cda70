// Packs the outlines of coasts and borders that the map of the form draws into source/outline.bin.
//
// One job: `npm pack world-atlas@2.0.2`, unpack it, then `node pack_outline.mjs package/countries-50m.json`; with
// `--check` it fails where source/outline.bin is not what comes of it. The data are Natural Earth's countries at
// 1:50 million (version 4.1.0, public domain) as that package has them: lines between nodes, each line once.
// Lines are thinned so that none moves by more than TOLERANCE_DEG (Douglas and Peucker, Cartographica 10(2), 1973,
// from memory), laid on a grid of STEP_DEG, and islands are left out that are smaller than SMALLEST_DEG across, as is
// all that lies south of SOUTHERNMOST_DEG: nobody drives there.
//
// The file is gzip. In it, numbers of seven bits a byte, least first, the eighth bit set where more follow; signed
// ones with the sign in the lowest bit. First the number of rings of land, then each as its number of points and the
// steps from point to point (east, north; the first from 0, 0), without the last point, which is the first; then
// the number of borders and each likewise, with both ends.

import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";

const SOURCE_SHA256 = "04342cdc1e3016bcd7db1630de95684d67b79fe3c8c460321e87aef469502394";
const TOLERANCE_DEG = 0.03;
const STEP_DEG = 0.01;
const SMALLEST_DEG = 0.12;
const SOUTHERNMOST_DEG = -60;

const [path] = process.argv.slice(2).filter((word) => !word.startsWith("--"));
if (!path) {
  console.error("usage: node pack_outline.mjs countries-50m.json [--check]");
  process.exit(2);
}
const bytes = readFileSync(path);
const found = createHash("sha256").update(bytes).digest("hex");
if (found !== SOURCE_SHA256) throw new Error(`${path} is another edition: ${found}`);
const world = JSON.parse(bytes);

/** A line of the file in degrees. */
function inDegrees(steps) {
  const { scale, translate } = world.transform;
  let [x, y] = [0, 0];
  return steps.map(([east, north]) => {
    x += east;
    y += north;
    return [x * scale[0] + translate[0], y * scale[1] + translate[1]];
  });
}

/** Distance of a point from a line between two, squared; longitudes as they are on the ground. */
function apart([x, y], [x0, y0], [x1, y1]) {
  const narrow = Math.cos((y * Math.PI) / 180);
  const [ax, ay, bx, by] = [(x1 - x0) * narrow, y1 - y0, (x - x0) * narrow, y - y0];
  const length = ax * ax + ay * ay;
  const share = length === 0 ? 0 : Math.min(1, Math.max(0, (ax * bx + ay * by) / length));
  return (bx - share * ax) ** 2 + (by - share * ay) ** 2;
}

function thinned(points) {
  const kept = new Set([0, points.length - 1]);
  const spans = [[0, points.length - 1]];
  for (let span = spans.pop(); span; span = spans.pop()) {
    const [from, to] = span;
    let [farthest, most] = [0, TOLERANCE_DEG ** 2];
    for (let at = from + 1; at < to; at += 1) {
      const far = apart(points[at], points[from], points[to]);
      if (far > most) [farthest, most] = [at, far];
    }
    if (farthest > 0) {
      kept.add(farthest);
      spans.push([from, farthest], [farthest, to]);
    }
  }
  return points.filter((_, at) => kept.has(at));
}

const lines = world.arcs.map((steps) => thinned(inDegrees(steps)));
const lineOf = (number) => (number < 0 ? [...lines[~number]].reverse() : lines[number]);

/** On the grid, without points that fall together. */
function onGrid(points) {
  const grid = points.map((point) => point.map((degrees) => Math.round(degrees / STEP_DEG)));
  return grid.filter(([x, y], at) => at === 0 || x !== grid[at - 1][0] || y !== grid[at - 1][1]);
}

/** A ring that goes on over the 180th meridian rather than back around the Earth. */
function goingOn(points) {
  let turn = 0;
  return points.map(([x, y], at) => {
    if (at > 0) turn += Math.round((points[at - 1][0] - x) / 360) * 360;
    return [x + turn, y];
  });
}

const across = (points, axis) => {
  const values = points.map((point) => point[axis]);
  return Math.max(...values) - Math.min(...values);
};

const rings = [];
for (const { arcs, type } of world.objects.land.geometries) {
  for (const polygon of type === "MultiPolygon" ? arcs : [arcs]) {
    for (const ring of polygon) {
      const points = goingOn(ring.flatMap((number, at) => lineOf(number).slice(at === 0 ? 0 : 1)));
      const isSmall = Math.max(across(points, 0), across(points, 1)) < SMALLEST_DEG;
      const grid = onGrid(points.slice(0, -1));
      if (!isSmall && grid.length > 2 && points.some(([, y]) => y > SOUTHERNMOST_DEG)) rings.push(grid);
    }
  }
}

// A line that two countries have is a border; one that only one has is coast.
const times = new Map();
for (const { arcs } of world.objects.countries.geometries) {
  for (const number of (arcs ?? []).flat(3)) {
    const line = number < 0 ? ~number : number;
    times.set(line, (times.get(line) ?? 0) + 1);
  }
}
const borders = lines.filter((_, number) => times.get(number) > 1).map((points) => onGrid(goingOn(points))).filter(({ length }) => length > 1);

const out = [];
function put(number) {
  for (let left = number; ; left = Math.floor(left / 128)) {
    if (left < 128) return void out.push(left);
    out.push((left % 128) + 128);
  }
}
const putSigned = (number) => put(number < 0 ? -2 * number - 1 : 2 * number);
for (const list of [rings, borders]) {
  put(list.length);
  for (const points of list) {
    put(points.length);
    points.forEach(([x, y], at) => {
      const [x0, y0] = at === 0 ? [0, 0] : points[at - 1];
      putSigned(x - x0);
      putSigned(y - y0);
    });
  }
}
const packed = gzipSync(Uint8Array.from(out), { level: 9 });
// The byte that names the system on which it was packed.
packed[9] = 255;
const target = join(dirname(fileURLToPath(import.meta.url)), "source/outline.bin");
const points = [...rings, ...borders].reduce((sum, { length }) => sum + length, 0);
if (process.argv.includes("--check")) {
  if (!readFileSync(target).equals(packed)) throw new Error("source/outline.bin is not what comes of this");
} else {
  writeFileSync(target, packed);
}
console.log(`${rings.length} rings, ${borders.length} borders, ${points} points, ${out.length} bytes, packed ${packed.length}`);
