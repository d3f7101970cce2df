/**
 * Elements and site grids as rows of the sheet: each is made once and then shown anew
 * when its node differs, so that nothing is taken from under the person's hands.
 *
 * @typedef {import("./tree.js").DraftNode} DraftNode
 */

import { find, make } from "../../accounts/markup.js";
import { control, show } from "./controls.js";
import { decimal, share, shown, sum, times } from "./figures.js";
import { AXES, cellsOf, sizeOf } from "./selectors.js";
import { TECHNIQUES } from "./values.js";

const TECHNIQUE_OPTIONS = TECHNIQUES.map(
  (word) => /** @type {[string, string]} */ ([word, word]),
);

/** @param {DraftNode} node */
export function partRow(node) {
  const { id, kind } = node;
  const isGrid = kind === "grid";
  const hint = isGrid ? "Listens at the {site}, {instrument}" : "What is to be done";
  const row = make(
    "div",
    { class: "row" },
    control({
      node: id,
      path: "text",
      as: "line",
      label: isGrid ? "Text of the site grid" : "Text of the element",
      hint,
    }),
    control({
      ...{ node: id, path: "technique", as: "choice", label: "Technique" },
      options: TECHNIQUE_OPTIONS,
    }),
    isGrid
      ? make("points-choice", { "data-node": id, "data-path": "points" })
      : control({
          node: id,
          path: "points",
          as: "number",
          label: "Points",
          high: 10000,
        }),
    make("effect-choice", { "data-node": id, "data-path": "critical" }),
    more(isGrid ? "site grid" : "element"),
  );
  const item = make("li", { class: `part ${kind}`, "data-row": id }, row, faults());
  if (isGrid) row.after(...gridLines(id));
  showPart(item, node);
  return item;
}

/** @param {Element} item @param {DraftNode} node */
export function showPart(item, node) {
  show(item, node);
  if (node.kind !== "grid") return;
  find(item, "[data-summary]", HTMLElement).textContent = gridSummary(node);
}

/** The button that leads to the rest of a row. @param {string} of */
export function more(of) {
  return make(
    "button",
    {
      type: "button",
      class: "more",
      "data-act": "more",
      "aria-label": `More of this ${of}`,
    },
    "⋯",
  );
}

export function faults() {
  const list = make("ul", { class: "faults", "data-faults": "", role: "list" });
  list.hidden = true;
  return list;
}

/** @param {string} id */
function gridLines(id) {
  const axes = AXES.map(([word, path]) =>
    make(
      "div",
      { class: "axis" },
      make("span", { class: "label" }, `${word[0].toUpperCase()}${word.slice(1)}s`),
      make("chip-list", { "data-node": id, "data-path": path, "data-word": word }),
    ),
  );
  return [make("p", { class: "soft small", "data-summary": "" }), ...axes];
}

/** How many elements a grid makes, what each weighs, and which is the first. @param {DraftNode} node */
function gridSummary({ fields }) {
  const size = sizeOf(fields);
  const weight = decimal(fields.points_shared ?? fields.points);
  if (!size) return "No element yet: name its sites.";
  const count = size === 1 ? "1 element" : `${size} elements`;
  const cells = cellsOf(fields);
  const first =
    cells.length > 1
      ? `, from “${cells[0].text}” to “${cells[cells.length - 1].text}”`
      : "";
  if (!weight) return `${count}${first}`;
  const each =
    "points_shared" in fields && !("points" in fields)
      ? `${shown(weight)} points shared equally, ${share(weight, size)} each`
      : `${shown(weight)} points each, ${shown(times(weight, size))} together`;
  return `${count} · ${each}${first}`;
}

/** What a section holds. @param {DraftNode[]} parts */
export function counted(parts) {
  let elements = 0;
  let points = decimal("0");
  for (const { kind, fields } of parts) {
    const size = kind === "grid" ? sizeOf(fields) : 1;
    elements += size;
    const shared = kind === "grid" && fields.points === undefined;
    const own = decimal(shared ? fields.points_shared : fields.points);
    if (own && points) points = sum(points, shared ? own : times(own, size));
  }
  return { elements, points: points ? shown(points) : "0" };
}
