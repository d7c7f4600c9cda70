// A plain outline map to choose a point on.
//
// One job: coasts, borders and the trip, moved and zoomed by touch, mouse and keys; a tap takes a point. What lies
// there is told beside it, in words.

import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { around, held, KM_PER_DEG, moved, pixel, pointAt, roundKm, transformOf, turnsInView, type Point, type Size, type View } from "./map_view";
import { outlinesOf, STEPS_PER_DEG, type Outlines } from "./outline";
import { count } from "./words";

export interface MapStop {
  name: string;
  at: Point;
}

interface Props {
  /** Where the trip begins and its stops, in order. */
  stops: readonly MapStop[];
  chosen: Point | null;
  choose(point: Point): void;
}

/** So far a finger may slip and still mean a tap, px. */
const TAP = 8;
const STEP = 1.6;
const PAN = 60;
const SCALE_BAR = 110;
/** Room for a letter and a line of a name, px. */
const [LETTER, LINE] = [8, 16];
const NOTICE = "Coasts and borders: Natural Earth, 1:50 million, in the public domain, thinned to some 3 km.";

export function OutlineMap({ stops, chosen, choose }: Props) {
  const box = useRef<HTMLDivElement>(null);
  const [outlines, setOutlines] = useState<Outlines | null>(null);
  const [size, setSize] = useState<Size>({ width: 340, height: 320 });
  const all = stops.map(({ at }) => at);
  const [view, setView] = useState<View | null>(null);
  const shown = view ? held(view, size) : around(all, size);
  const fingers = useRef(new Map<number, readonly [number, number]>());
  const slipped = useRef(0);
  useEffect(() => {
    void outlinesOf().then(setOutlines);
    const watch = new ResizeObserver(([entry]) => {
      if (entry) setSize({ width: Math.max(entry.contentRect.width, 100), height: Math.max(entry.contentRect.height, 100) });
    });
    if (box.current) watch.observe(box.current);
    return () => watch.disconnect();
  }, []);
  const middle = [size.width / 2, size.height / 2] as const;
  const zoom = (by: number, about: readonly [number, number] = middle) => setView(moved(shown, size, about, about, by));
  const placeOf = (event: PointerEvent | WheelEvent) => {
    const edge = box.current?.getBoundingClientRect();
    return [event.clientX - (edge?.left ?? 0), event.clientY - (edge?.top ?? 0)] as const;
  };
  const slide = (event: PointerEvent) => {
    const before = fingers.current.get(event.pointerId);
    if (!before) return;
    const after = placeOf(event);
    const other = [...fingers.current].find(([id]) => id !== event.pointerId)?.[1];
    fingers.current.set(event.pointerId, after);
    slipped.current += Math.hypot(after[0] - before[0], after[1] - before[1]);
    if (slipped.current < TAP) return;
    if (!other) {
      setView(moved(shown, size, before, after));
      return;
    }
    const between = (one: readonly [number, number]) => [(one[0] + other[0]) / 2, (one[1] + other[1]) / 2] as const;
    const apart = (one: readonly [number, number]) => Math.max(Math.hypot(one[0] - other[0], one[1] - other[1]), 1);
    setView(moved(shown, size, between(before), between(after), apart(after) / apart(before)));
  };
  const lift = (event: PointerEvent) => {
    if (!fingers.current.delete(event.pointerId) || fingers.current.size > 0) return;
    if (event.type === "pointerup" && slipped.current < TAP) choose(pointAt(placeOf(event), shown, size));
  };
  const press = (event: KeyboardEvent) => {
    const pans: Record<string, readonly [number, number]> = {
      ArrowLeft: [PAN, 0], ArrowRight: [-PAN, 0], ArrowUp: [0, PAN], ArrowDown: [0, -PAN],
    };
    const pan = pans[event.key];
    if (pan) setView(moved(shown, size, middle, [middle[0] + pan[0], middle[1] + pan[1]]));
    else if (event.key === "+" || event.key === "=") zoom(STEP);
    else if (event.key === "-") zoom(1 / STEP);
    else if (event.key === "Enter" || event.key === " ") choose(pointAt(middle, shown, size));
    else return;
    event.preventDefault();
  };
  // Thousands of points: taken up by the drawing once, moved by their transform.
  const lines = useMemo(
    () => outlines && (
      <>
        <path class="land" d={outlines.land} />
        <path class="border" d={outlines.borders} />
      </>
    ),
    [outlines],
  );
  const places = stops.map((stop) => ({ name: stop.name.split(",")[0] ?? "", at: pixel(stop.at, shown, size) }));
  const km = roundKm(shown, SCALE_BAR);
  const bar = (km / KM_PER_DEG) * shown.scale;
  return (
    <div>
      <div
        ref={box}
        class="map"
        role="application"
        tabIndex={0}
        aria-label="Outline map: arrow keys move it, plus and minus zoom, Enter takes the point in the middle"
        onKeyDown={press}
        onWheel={(event) => {
          event.preventDefault();
          zoom(event.deltaY < 0 ? STEP : 1 / STEP, placeOf(event));
        }}
        onPointerDown={(event) => {
          if (fingers.current.size === 0) slipped.current = 0;
          fingers.current.set(event.pointerId, placeOf(event));
          event.currentTarget.setPointerCapture(event.pointerId);
        }}
        onPointerMove={slide}
        onPointerUp={lift}
        onPointerCancel={lift}
      >
        <svg width={size.width} height={size.height} aria-hidden="true">
          {turnsInView(shown, size).map((turn) => (
            <g key={turn} transform={transformOf(shown, size, turn, STEPS_PER_DEG)}>
              {lines}
            </g>
          ))}
          <polyline class="way" points={places.map(({ at }) => at.join()).join(" ")} />
          {places.map(({ at: [x, y] }, index) => (
            <circle key={index} class="stop" cx={x} cy={y} r={5} />
          ))}
          {labelled(places).map(({ name, at: [x, y] }) => {
            const isLeft = x + 9 + name.length * LETTER > size.width;
            return (
              <text key={`${name} ${x} ${y}`} x={isLeft ? x - 9 : x + 9} y={y + 4} text-anchor={isLeft ? "end" : "start"}>
                {name}
              </text>
            );
          })}
          {chosen && <Cross at={pixel(chosen, shown, size)} isChosen />}
          <Cross at={middle} />
          <path class="bar" d={`M10 ${size.height - 16}v6h${bar}v-6`} />
          <text x={16 + bar} y={size.height - 9}>
            {count(km)} km
          </text>
        </svg>
      </div>
      <div class="actions">
        <button type="button" onClick={() => zoom(STEP)}>
          Nearer
        </button>
        <button type="button" onClick={() => zoom(1 / STEP)}>
          Farther
        </button>
        {all.length > 0 && (
          <button type="button" onClick={() => setView(null)}>
            Whole trip
          </button>
        )}
      </div>
      <p class="hint">{NOTICE}</p>
    </div>
  );
}

function Cross({ at: [x, y], isChosen = false }: { at: readonly [number, number]; isChosen?: boolean }) {
  return <path class={isChosen ? "chosen" : "middle"} d={`M${x - 12} ${y}h8m8 0h8M${x} ${y - 12}v8m0 8v8`} />;
}

/** Names that have room, the first stop's first. */
function labelled(places: { name: string; at: readonly [number, number] }[]): typeof places {
  const taken: typeof places = [];
  for (const place of places) {
    const isFree = taken.every(({ name, at: [x, y] }) =>
      Math.abs(place.at[1] - y) > LINE || place.at[0] > x + name.length * LETTER || x > place.at[0] + place.name.length * LETTER);
    if (isFree) taken.push(place);
  }
  return taken;
}
