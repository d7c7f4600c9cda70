// Files: the scenarios in this page, in and out, and where what was typed is kept.

import { useState } from "preact/hooks";
import { useQuick } from "./asking";
import type { Lanes } from "./engine";
import { download } from "./fields";
import { isRefusal, type ScenarioFile, type Template } from "./protocol";
import { canLink, linkTo } from "./link";
import { newSheet, type Sheet, type Store } from "./state";

interface Props {
  lanes: Lanes;
  store: Store;
}

/** The title that a scenario's text gives itself. */
export function titleOf(sheet: ScenarioFile): string {
  try {
    const title = (JSON.parse(sheet.text.replace(/^\uFEFF/, "")) as { title?: unknown }).title;
    if (typeof title === "string" && title.trim()) return title;
  } catch {
    // Not sound JSON: its check says so where it is asked anything.
  }
  return sheet.name;
}

/** Scenario files, and beside them what they point to; every byte stays, a mark at the beginning too. */
async function readAll(list: FileList): Promise<ScenarioFile[]> {
  const decoder = new TextDecoder("utf-8", { ignoreBOM: true });
  const texts = await Promise.all([...list].map(async (file) => [file.name, decoder.decode(await file.arrayBuffer())] as const));
  const beside = texts.filter(([name]) => !name.toLowerCase().endsWith(".json"));
  return texts
    .filter(([name]) => name.toLowerCase().endsWith(".json"))
    .map(([name, text]) => ({ name, text, files: besideOf(text, beside) }));
}

/** What a scenario points to by a path goes by the file's own name when it is brought in. */
function besideOf(text: string, beside: (readonly [string, string])[]): Record<string, string> {
  const files: Record<string, string> = {};
  for (const [name, content] of beside) {
    const paths = [...text.matchAll(/"file"\s*:\s*"([^"\\]+)"/g)].map((match) => match[1] ?? "");
    files[paths.find((path) => path.split("/").pop() === name) ?? name] = content;
  }
  return files;
}

export function FilesScreen({ lanes, store }: Props) {
  const { sheets } = store.state;
  const sheet = store.sheet;
  const [said, setSaid] = useState("");
  const about = useQuick<{ status: number; version: string; notices: string[] }>(lanes, { ask: "about" });
  const bring = async (input: HTMLInputElement) => {
    const files = input.files ? await readAll(input.files) : [];
    input.value = "";
    if (files.length === 0) {
      setSaid("No scenario among these: a scenario is a .json file.");
      return;
    }
    const more: Sheet[] = [...sheets];
    for (const file of files) more.push(newSheet(file, false, more));
    store.change({ sheets: more, open: more[more.length - 1]?.id ?? store.state.open });
    setSaid(`${files.map((file) => file.name).join(", ")} opened.`);
  };
  const remove = (gone: Sheet) => {
    const left = sheets.filter((other) => other !== gone);
    store.change({ sheets: left, open: gone.id === store.state.open ? (left[0]?.id ?? "") : store.state.open });
  };
  return (
    <>
      <section aria-labelledby="scenarios-heading">
        <h2 id="scenarios-heading">Scenarios in this page</h2>
        {sheets.length === 0 && <p>None yet.</p>}
        <fieldset class="rows" hidden={sheets.length === 0}>
          <legend>The one that is open</legend>
          {sheets.map((other) => (
            <label key={other.id}>
              <input
                type="radio"
                name="open-sheet"
                checked={other.id === store.state.open}
                onChange={() => store.change({ open: other.id })}
              />
              <span>
                <strong>{titleOf(other)}</strong>
                <br />
                {other.name}
                {other.given !== null && other.given !== other.text ? ", changed here" : ""}
              </span>
            </label>
          ))}
        </fieldset>
        {sheet && (
          <div class="actions">
            <button type="button" onClick={() => download(sheet.name, sheet.text, "application/json")}>
              Save {sheet.name}
            </button>
            <button
              type="button"
              onClick={() => {
                const twin = newSheet({ ...sheet, name: `copy-of-${sheet.name}` }, false, sheets);
                store.change({ sheets: [...sheets, twin], open: twin.id });
              }}
            >
              Make a copy
            </button>
            {canLink() && (
              <button
                type="button"
                onClick={() =>
                  void linkTo(sheet)
                    .then((link) => navigator.clipboard.writeText(link))
                    .then(
                      () => setSaid("The link is on the clipboard: it carries the whole scenario."),
                      () => setSaid("This browser gives no clipboard to the page."),
                    )
                }
              >
                Copy a link with it
              </button>
            )}
            {sheet.given !== null && sheet.given !== sheet.text && (
              <button type="button" onClick={() => store.changeSheet(sheet.id, { text: sheet.given ?? sheet.text })}>
                Back to the file as it came
              </button>
            )}
            {sheet.given === null && (
              <button type="button" onClick={() => remove(sheet)}>
                Remove {sheet.name}
              </button>
            )}
          </div>
        )}
        <p>
          <a href="#begin">Begin a new trip with three questions</a>
        </p>
        <Templates
          lanes={lanes}
          begin={(file) => {
            const sheet = newSheet(file, false, sheets);
            store.change({ sheets: [...sheets, sheet], open: sheet.id });
            location.hash = "#build";
          }}
        />
        <div class="field">
          <label for="bring">Open scenario files of this device, with the weather files they name</label>
          <input id="bring" type="file" multiple accept=".json,.csv,application/json,text/csv" onChange={(event) => void bring(event.currentTarget)} />
          <p class="hint" role="status">{said}</p>
        </div>
      </section>
      <section aria-labelledby="kept-heading">
        <h2 id="kept-heading">What you typed</h2>
        <p>
          {store.keeps
            ? "This browser keeps it on this device: it is there again when you open the page again."
            : "This browser keeps nothing for this page: what you typed is lost when you close it, unless you save the page."}
        </p>
        <button
          type="button"
          onClick={async () => {
            download("page-with-what-i-typed.html", await store.pageWithState(), "text/html");
            setSaid("A copy of the page was handed to the browser to save.");
          }}
        >
          Save this page with what I typed
        </button>
      </section>
      <section aria-labelledby="trust-heading">
        <h2 id="trust-heading">How far to trust it</h2>
        <p>Nothing you type leaves this device: the page holds the whole engine and asks nobody.</p>
        <p>
          The answers are chances from random trips in a plausible climate, not a forecast. Local codes and licensed
          practice come first wherever cables, fuses, gas or mains are touched.
        </p>
        {about && !isRefusal(about) && (
          <p class="hint">
            tideover {about.version}.{about.notices.map((notice) => ` ${notice}`)}
          </p>
        )}
      </section>
    </>
  );
}

/** A new scenario from one that comes with the program. */
function Templates({ lanes, begin }: { lanes: Lanes; begin(file: ScenarioFile): void }) {
  const answer = useQuick<{ status: number; templates: Template[] }>(lanes, { ask: "templates" });
  const [chosen, setChosen] = useState("");
  if (!answer || isRefusal(answer)) return null;
  const template = answer.templates.find(({ name }) => name === chosen);
  return (
    <div class="field">
      <label for="template">Or from a whole example</label>
      <select id="template" value={chosen} onChange={(event) => setChosen(event.currentTarget.value)}>
        <option value="">choose what is most like yours</option>
        {answer.templates.map(({ name, summary }) => (
          <option key={name} value={name}>
            {name}: {summary}
          </option>
        ))}
      </select>
      {template && (
        <div class="actions">
          <button type="button" onClick={() => begin({ name: `my-${template.name}.json`, text: template.text, files: {} })}>
            Begin with {template.name}
          </button>
        </div>
      )}
    </div>
  );
}
