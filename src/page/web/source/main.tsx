// The page's beginning: what is kept, the engine, and the screen that is asked for.

import { render } from "preact";
import { useEffect, useState } from "preact/hooks";
import { BeginScreen } from "./begin";
import { BuildScreen } from "./build";
import { startEngine, type Lanes } from "./engine";
import { FilesScreen, titleOf } from "./files";
import { takeLinked } from "./link";
import { PapersScreen } from "./papers";
import { askAhead, RoadScreen } from "./road";
import { Opening, Store } from "./state";
import { TryScreen } from "./try";

const SCREENS = [
  ["road", "On the road"],
  ["try", "Try"],
  ["build", "Build"],
  ["papers", "Papers"],
  ["files", "Files"],
] as const;
/** What a page without a scenario has. */
const FIRST_SCREENS = [
  ["begin", "Begin"],
  ["files", "Files"],
] as const;
type ScreenName = (typeof SCREENS | typeof FIRST_SCREENS)[number][0];

function screenOf(hash: string, store: Store): ScreenName {
  const screens = store.sheet ? [...SCREENS, ...FIRST_SCREENS] : FIRST_SCREENS;
  return screens.find(([name]) => `#${name}` === hash)?.[0] ?? (store.sheet ? "road" : "begin");
}

interface AppProps {
  store: Store;
  opening: Opening;
  lanes: Lanes;
  fault: string | null;
}

function App({ store, opening, lanes, fault }: AppProps) {
  const [hash, setHash] = useState(location.hash);
  const screen = screenOf(hash, store);
  const [, redraw] = useState(0);
  useEffect(() => store.listen(() => redraw((times) => times + 1)), [store]);
  useEffect(() => {
    const turn = () => {
      setHash(location.hash);
      void takeLinked(store);
      scrollTo(0, 0);
    };
    addEventListener("hashchange", turn);
    return () => removeEventListener("hashchange", turn);
  }, []);
  const { sheet } = store;
  return (
    <>
      <header>
        <h1>{sheet && screen !== "begin" ? titleOf(sheet) : "Does the battery last?"}</h1>
      </header>
      <nav aria-label="Screens">
        {(sheet ? SCREENS : FIRST_SCREENS).map(([name, title]) => (
          <a key={name} href={`#${name}`} aria-current={screen === name ? "page" : undefined}>
            {title}
          </a>
        ))}
      </nav>
      <main>
        {fault && (
          <p class="refused" role="alert">
            The engine does not start in this browser: {fault}. It needs WebAssembly with SIMD and the decompression of
            streams, as browsers have had them since 2023.
          </p>
        )}
        {!fault && screen === "files" && <FilesScreen lanes={lanes} store={store} />}
        {!fault && screen === "begin" && <BeginScreen lanes={lanes} store={store} />}
        {!fault && sheet && screen === "road" && (
          <RoadScreen
            key={sheet.id}
            lanes={lanes}
            opening={opening}
            sheet={sheet}
            change={(road) => store.changeSheet(sheet.id, { road: { ...(store.sheet ?? sheet).road, ...road } })}
          />
        )}
        {!fault && sheet && screen === "try" && (
          <TryScreen key={sheet.id} lanes={lanes} sheet={sheet} change={(part) => store.changeSheet(sheet.id, part)} />
        )}
        {!fault && sheet && screen === "build" && (
          <BuildScreen key={sheet.id} lanes={lanes} sheet={sheet} change={(part) => store.changeSheet(sheet.id, part)} />
        )}
        {!fault && sheet && screen === "papers" && <PapersScreen key={sheet.id} lanes={lanes} sheet={sheet} />}
      </main>
      <footer>
        <p>
          Nothing leaves this device.{" "}
          {store.keeps
            ? "What you type is kept in this browser."
            : "This browser keeps nothing: save the page under Files before you close it."}
        </p>
      </footer>
    </>
  );
}

function keepForLater(): void {
  const script = document.querySelector<HTMLMetaElement>('meta[name="tideover-site"]')?.content;
  if (script && "serviceWorker" in navigator && location.protocol.startsWith("http")) {
    // Without it the page works as long as there is signal.
    navigator.serviceWorker.register(script).catch(() => undefined);
  }
}

const root = document.getElementById("page");
if (root) {
  const store = new Store(document);
  const opening = new Opening(document);
  const { lanes, started } = startEngine(opening.answer);
  const draw = (fault: string | null) =>
    render(<App store={store} opening={opening} lanes={lanes} fault={fault} />, root);
  // What goes wrong here is told by the screen, which then asks itself.
  if (store.sheet && screenOf(location.hash, store) === "road") askAhead(lanes, store.sheet).catch(() => undefined);
  draw(null);
  void takeLinked(store);
  keepForLater();
  started.catch((error: unknown) => draw(error instanceof Error ? error.message : String(error)));
}
