/** Where the focus goes on the sheet: by an arrow, and after a mark. */

const STEPS = new Map([
  ["ArrowUp", -1],
  ["ArrowDown", 1],
  ["ArrowLeft", -1],
  ["ArrowRight", 1],
]);

/**
 * On in exam order, but first to what was passed over in the same grid and in the same
 * section, so that no blank is left behind unnoticed; where all is given it stays.
 * @param {HTMLElement[]} rows
 * @param {number} at
 * @param {(row: HTMLElement) => boolean} isOpen
 */
export function nextOpen(rows, at, isOpen) {
  for (const place of ["table", "section"]) {
    const around = rows[at].closest(place);
    const open = rows.filter((row) => around?.contains(row) && isOpen(row));
    const next = open.find((row) => rows.indexOf(row) > at) ?? open[0];
    if (next) return rows.indexOf(next);
  }
  const next = rows.findIndex((row, i) => i > at && isOpen(row));
  return next < 0 ? at : next;
}

/**
 * Up and down through the rows; in a site grid all four walk its cells, and lead out of
 * it at its edges.
 * @param {HTMLElement[]} rows
 * @param {HTMLElement} current
 * @param {string} key an arrow's
 */
export function stepped(rows, current, key) {
  const at = rows.indexOf(current);
  const by = STEPS.get(key) ?? 0;
  const isSideways = key === "ArrowLeft" || key === "ArrowRight";
  const grid = current.closest("table");
  if (!grid) return isSideways ? at : at + by;
  if (isSideways) return at + by;
  const width = current.closest("tr")?.querySelectorAll(".element").length ?? 1;
  const next = at + by * width;
  if (rows[next]?.closest("table") === grid) return next;
  const cells = rows.filter((row) => grid.contains(row));
  return rows.indexOf(by > 0 ? cells[cells.length - 1] : cells[0]) + by;
}
