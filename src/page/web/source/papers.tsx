// Papers: the report, the wiring sheet, the pictures, to look at, print and keep.
//
// One job: ask the engine for its files and show them as they are. A written page is shown in a
// frame that runs no script; a picture as a picture.

import { useEffect, useRef, useState } from "preact/hooks";
import { ask, type Given } from "./asking";
import { Stale, type Lanes } from "./engine";
import { download } from "./fields";
import type { Question } from "./protocol";
import type { Sheet } from "./state";
import { Cautions, Refused, Verdict } from "./told";
import { clockIn } from "./words";

interface Paper {
  title: string;
  about: string;
  command: string;
}

const PAPERS: Paper[] = [
  { title: "Trip report", about: "All of it in one paper to print or carry.", command: "report" },
  { title: "Wiring sheet", about: "Cable and fuse of every run, and the one-line diagram.", command: "wiring" },
  { title: "Picture of the trip", about: "Charge night by night, and how long it lasts.", command: "trip" },
  { title: "Picture of a stay", about: "How long the charge lasts parked at the first stop.", command: "stay" },
  { title: "Energy budget", about: "What each bank gets and gives on an average day.", command: "budget" },
  { title: "Driving to stay topped up", about: "The least driving a day, and what more would bring.", command: "topup" },
  { title: "What it depends on", about: "Which assumption moves the answer most.", command: "why" },
];
const PAPER_TRIALS = 500;

export function PapersScreen({ lanes, sheet }: { lanes: Lanes; sheet: Sheet }) {
  const [open, setOpen] = useState<Paper | null>(null);
  const [given, setGiven] = useState<Given | null>(null);
  useEffect(() => {
    setOpen(null);
    setGiven(null);
    return () => lanes.asked.drop(true);
  }, [sheet.id, sheet.text]);
  const make = async (paper: Paper) => {
    lanes.asked.drop(true);
    setOpen(paper);
    setGiven(null);
    const question: Question = {
      ask: "run",
      command: paper.command,
      scenario: { name: sheet.name, text: sheet.text, files: sheet.files },
      options: paper.command === "wiring" ? {} : { trials: PAPER_TRIALS },
      today: clockIn(Intl.DateTimeFormat().resolvedOptions().timeZone).slice(0, 10),
      files: true,
    };
    try {
      setGiven(await ask(lanes.asked, question));
    } catch (error) {
      if (!(error instanceof Stale)) throw error;
    }
  };
  useEffect(() => {
    const heading = document.getElementById("paper-heading");
    heading?.scrollIntoView();
    heading?.focus({ preventScroll: true });
  }, [open]);
  return (
    <>
      <section aria-labelledby="papers-heading" class="no-print">
        <h2 id="papers-heading">Papers and pictures</h2>
        <p>Made from the file as it stands, with {PAPER_TRIALS} random trips, here on this device.</p>
        <ul class="papers">
          {PAPERS.map((paper) => (
            <li key={paper.command}>
              <button type="button" aria-pressed={open === paper} onClick={() => void make(paper)}>
                {paper.title}
              </button>
              <span>{paper.about}</span>
            </li>
          ))}
        </ul>
      </section>
      {open && (
        <section aria-labelledby="paper-heading">
          <h2 id="paper-heading" tabIndex={-1}>
            {open.title}
          </h2>
          {!given && <p class="wait" role="status">Making it…</p>}
          {given && "refusal" in given && <Refused refusal={given.refusal} />}
          {given && "fault" in given && <p class="refused">The engine stopped at this question: {given.fault}</p>}
          {given && "answer" in given && (
            <>
              {open.command !== "report" && <Verdict answer={given.answer} label="In words and tables" />}
              <Cautions answers={[given.answer]} />
              <Files files={given.answer.files ?? {}} title={open.title} />
            </>
          )}
        </section>
      )}
    </>
  );
}

const TYPES: Record<string, string> = {
  html: "text/html",
  svg: "image/svg+xml",
  csv: "text/csv",
  json: "application/json",
};

function Files({ files, title }: { files: Record<string, string>; title: string }) {
  const names = Object.keys(files);
  const pages = names.filter((name) => name.endsWith(".html"));
  const pictures = pages.length > 0 ? [] : names.filter((name) => name.endsWith(".svg"));
  return (
    <>
      {pages.map((name) => (
        <Framed key={name} name={name} html={files[name] ?? ""} title={title} />
      ))}
      {pictures.map((name) => (
        <Picture key={name} name={name} svg={files[name] ?? ""} />
      ))}
      <div class="actions no-print">
        {names.map((name) => (
          <button
            key={name}
            type="button"
            onClick={() => download(name, files[name] ?? "", TYPES[name.split(".").pop() ?? ""] ?? "text/plain")}
          >
            Save {name}
          </button>
        ))}
      </div>
    </>
  );
}

/** A page of the engine's in a frame without scripts; the frame's own print is the page's. */
function Framed({ name, html, title }: { name: string; html: string; title: string }) {
  const frame = useRef<HTMLIFrameElement>(null);
  // As high as what is in it, so that one thing scrolls and not two.
  const fit = () => {
    const height = frame.current?.contentDocument?.documentElement.scrollHeight;
    if (frame.current && height) frame.current.style.height = `${height + 8}px`;
  };
  useEffect(() => {
    addEventListener("resize", fit);
    return () => removeEventListener("resize", fit);
  }, []);
  return (
    <>
      <button type="button" class="no-print" onClick={() => frame.current?.contentWindow?.print()}>
        Print
      </button>
      <iframe
        ref={frame}
        class="paper"
        title={`${title}, ${name}`}
        sandbox="allow-same-origin allow-modals"
        srcdoc={html}
        onLoad={fit}
      />
    </>
  );
}

export function Picture({ name, svg }: { name: string; svg: string }) {
  const [url, setUrl] = useState<string>();
  useEffect(() => {
    const made = URL.createObjectURL(new Blob([svg], { type: "image/svg+xml" }));
    setUrl(made);
    return () => URL.revokeObjectURL(made);
  }, [svg]);
  const parsed = new DOMParser().parseFromString(svg, "image/svg+xml");
  const said = (tag: string) => parsed.querySelector(`svg > ${tag}`)?.textContent ?? "";
  return (
    <figure>
      <div class="scroll" tabIndex={0} role="region" aria-label={said("title") || name}>
        {url && <img src={url} alt={said("title") || name} />}
      </div>
      {said("desc") && <figcaption>{said("desc")}</figcaption>}
      <button type="button" class="no-print" onClick={() => print()}>
        Print
      </button>
    </figure>
  );
}
