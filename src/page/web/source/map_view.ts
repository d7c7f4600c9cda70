// Which part of the Earth a map shows, and where on it a point lies.
//
// One job: degrees to pixels and back. East to west is drawn as long as it is on the ground at the middle of the map
// (a plain cylindrical projection with the middle as its standard parallel), so a trip keeps its shape.

/** Latitude and longitude, degrees. */
export type Point = readonly [number, number];

export interface View {
  lat: number;
  lon: number;
  /** Pixels to a degree of latitude. */
  scale: number;
}

export interface Size {
  width: number;
  height: number;
}

const [SOUTH, NORTH] = [-60, 84];
const CLOSEST = 3000;
export const KM_PER_DEG = 111.2;

const narrowed = (lat: number) => Math.cos((lat * Math.PI) / 180);
const clamped = (value: number, least: number, most: number) => Math.min(most, Math.max(least, value));
const turned = (lon: number) => lon - 360 * Math.round(lon / 360);

/** Kept on the Earth, neither farther away than the whole of it nor closer than its lines are true. */
export function held(view: View, { width }: Size): View {
  return { lat: clamped(view.lat, SOUTH, NORTH), lon: turned(view.lon), scale: clamped(view.scale, width / 400, CLOSEST) };
}

export function pixel([lat, lon]: Point, view: View, { width, height }: Size): [number, number] {
  return [width / 2 + turned(lon - view.lon) * view.scale * narrowed(view.lat), height / 2 - (lat - view.lat) * view.scale];
}

export function pointAt([x, y]: readonly [number, number], view: View, { width, height }: Size): Point {
  const lat = view.lat - (y - height / 2) / view.scale;
  return [clamped(lat, -90, 90), turned(view.lon + (x - width / 2) / (view.scale * narrowed(view.lat)))];
}

/** The view moved so that what lay at one pixel lies at another, and comes nearer by a factor. */
export function moved(view: View, size: Size, from: readonly [number, number], to = from, nearer = 1): View {
  const [lat, lon] = pointAt(from, view, size);
  const { scale } = held({ ...view, scale: view.scale * nearer }, size);
  const middle = clamped(lat + (to[1] - size.height / 2) / scale, SOUTH, NORTH);
  return held({ lat: middle, lon: lon - (to[0] - size.width / 2) / (scale * narrowed(middle)), scale }, size);
}

/** What holds all the points with room around them; without any the whole Earth. */
export function around(points: readonly Point[], size: Size): View {
  const [first] = points;
  if (!first) return held({ lat: 20, lon: 10, scale: 0 }, size);
  const lats = points.map(([lat]) => lat);
  const lons = points.map(([, lon]) => first[1] + turned(lon - first[1]));
  const [south, north, west, east] = [Math.min(...lats), Math.max(...lats), Math.min(...lons), Math.max(...lons)];
  const lat = (south + north) / 2;
  const [high, wide] = [Math.max(north - south, 1), Math.max((east - west) * narrowed(lat), 1)];
  return held({ lat, lon: (west + east) / 2, scale: Math.min(size.height / high, size.width / wide) / 1.5 }, size);
}

/** Turns of the Earth by which lines are in view that go from 195° W to 195° E. */
export function turnsInView(view: View, { width }: Size): number[] {
  const half = width / 2 / (view.scale * narrowed(view.lat));
  return [-360, 0, 360].filter((turn) => view.lon - half < 195 + turn && view.lon + half > -195 + turn);
}

export function transformOf(view: View, { width, height }: Size, turn: number, stepsPerDeg: number): string {
  const scale = view.scale / stepsPerDeg;
  return (
    `translate(${width / 2} ${height / 2}) scale(${scale * narrowed(view.lat)} ${scale}) ` +
    `translate(${(turn - view.lon) * stepsPerDeg} ${view.lat * stepsPerDeg})`
  );
}

/** A round length that fits into so many pixels, km. */
export function roundKm(view: View, pixels: number): number {
  const most = (pixels / view.scale) * KM_PER_DEG;
  const ten = 10 ** Math.floor(Math.log10(most));
  return ([5, 2, 1].find((digit) => digit * ten <= most) ?? 1) * ten;
}
