// Keeps the page of a web space on the device: after the first visit it opens without signal.
//
// One job: serve the files of this version from the store, whatever the network does. A new
// version is fetched whole before the old one goes.

interface ServeScope {
  addEventListener(kind: string, listener: (event: ServeEvent) => void): void;
  skipWaiting(): Promise<void>;
  clients: { claim(): Promise<void> };
}

interface ServeEvent {
  waitUntil(promise: Promise<unknown>): void;
  respondWith(response: Promise<Response>): void;
  request: Request;
}

const scope = globalThis as unknown as ServeScope;
const STORE = "tideover-{{version}}";
const FILES = ["./", "index.html", "manifest.webmanifest", "icon.svg"];

scope.addEventListener("install", (event) => {
  event.waitUntil(
    caches
      .open(STORE)
      .then((store) => store.addAll(FILES.map((file) => new Request(file, { cache: "reload" }))))
      .then(() => scope.skipWaiting()),
  );
});

scope.addEventListener("activate", (event) => {
  event.waitUntil(
    caches
      .keys()
      .then((names) =>
        Promise.all(
          names
            .filter((name) => name.startsWith("tideover-") && name !== STORE)
            .map((name) => caches.delete(name)),
        ),
      )
      .then(() => scope.clients.claim()),
  );
});

scope.addEventListener("fetch", (event) => {
  if (event.request.method !== "GET") return;
  event.respondWith(
    caches
      .open(STORE)
      .then((store) => store.match(event.request, { ignoreSearch: true }))
      .then((kept) => kept ?? fetch(event.request)),
  );
});
