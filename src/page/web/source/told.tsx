// What the engine said, as it said it.
//
// One job: sentences, tables, warnings, cautions and refusals of an answer, in one form on every
// screen.

import { Fold } from "./fields";
import type { Refusal, RunAnswer, Shown } from "./protocol";
import { lead } from "./words";

interface VerdictProps {
  answer: Pick<RunAnswer, "verdict" | "tables">;
  label: string;
  /** What is known already while the answer is still that to the question before. */
  known?: string | null;
}

/** The first claim of an answer large; the rest of it, and its tables, a tap away. */
export function Verdict({ answer, label, known }: VerdictProps) {
  const [first = "", ...more] = answer.verdict.split("\n\n").filter(Boolean);
  const [claim, rest] = lead(first);
  return (
    <>
      <p class="claim">{known ?? claim}</p>
      {(rest || more.length > 0 || answer.tables.length > 0) && (
        <Fold summary={label}>
          {known && <p class="hint">This is still from before the change.</p>}
          {rest && <p>{rest}</p>}
          {more.map((paragraph) => (
            <p key={paragraph}>{paragraph}</p>
          ))}
          <Tables parts={answer.tables} label={label} />
        </Fold>
      )}
    </>
  );
}

export function Tables({ parts, label }: { parts: Shown[]; label: string }) {
  return (
    <>
      {parts.map((part, index) =>
        "note" in part ? (
          <p key={index} class="note">
            {part.note}
          </p>
        ) : (
          <div key={index} class="scroll" tabIndex={0} role="region" aria-label={`${label}, table ${index + 1}`}>
            <table>
              <thead>
                <tr>
                  {part.columns.map((column, at) => (
                    <th key={at} scope="col" class={part.figures[at] ? "figure" : undefined}>
                      {column}
                    </th>
                  ))}
                </tr>
              </thead>
              <tbody>
                {part.rows.map((row, at) => (
                  <tr key={at}>
                    {row.map((cell, column) =>
                      column === 0 ? (
                        <th key={column} scope="row">
                          {cell}
                        </th>
                      ) : (
                        <td key={column} class={part.figures[column] ? "figure" : undefined}>
                          {cell}
                        </td>
                      ),
                    )}
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        ),
      )}
    </>
  );
}

/** Warnings, each once, but for advice on the command line's options. */
export function Warnings({ answers }: { answers: RunAnswer[] }) {
  const texts = new Set(answers.flatMap((answer) => answer.warnings));
  const list = [...texts].filter((text) => !/ --[a-z]/.test(text)).map((text) => text.replace(/^warning: /, ""));
  if (list.length === 0) return null;
  return (
    <details>
      <summary>
        {list.length === 1 ? "One thing to know" : `${list.length} things to know`} about this scenario
      </summary>
      <ul>
        {list.map((text) => (
          <li key={text}>{text}</li>
        ))}
      </ul>
    </details>
  );
}

export function Cautions({ answers }: { answers: RunAnswer[] }) {
  const texts = [...new Set(answers.flatMap((answer) => answer.cautions))];
  if (texts.length === 0) return null;
  return (
    <div class="cautions">
      {texts.map((text) => (
        <p key={text}>
          <strong>Caution:</strong> {text}
        </p>
      ))}
    </div>
  );
}

/** Words of the trade where they stand. */
const WORDS: [string, string][] = [
  ["Reserve", "the charge below which you do not want a bank to go; the plan counts on what is above it."],
  ["Cut-off", "the charge at which a bank is switched off, and with it all that depends on it."],
  ["Shortfall", "a bank below its reserve. An outage is a bank at its cut-off, its loads without power."],
];

export function Explained() {
  return (
    <details>
      <summary>What the words mean: reserve, cut-off, shortfall</summary>
      <dl>
        {WORDS.map(([word, meaning]) => (
          <div key={word}>
            <dt>{word}</dt>
            <dd>{meaning}</dd>
          </div>
        ))}
      </dl>
    </details>
  );
}

export function Refused({ refusal }: { refusal: Refusal }) {
  const problems = refusal.problems ?? [];
  return (
    <div class="refused" role="alert">
      {problems.length === 0 && <p>{(refusal.text ?? "This cannot be answered.").replace(/^error: /, "")}</p>}
      {problems.map((problem, index) => (
        <p key={index}>
          {problem.path && <strong>{problem.label ? `${problem.path} (${problem.label})` : problem.path}</strong>}{" "}
          {problem.line ? `line ${problem.line}: ` : ""}
          {problem.text}
          {problem.hint ? `. ${problem.hint}` : ""}
        </p>
      ))}
    </div>
  );
}
