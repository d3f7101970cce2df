/**
 * The page's line to the server, and how it stands. Nothing here throws: what cannot be
 * had is null, and `standing` says why.
 *
 * @typedef {"fine" | "no network" | "signed out" | "another person" | "not yours" |
 *   "trouble"} Standing
 */

const PATIENCE = 20_000;

export class Line extends EventTarget {
  #data;
  /** @type {Standing} */
  standing = "fine";
  /** What the server said of its trouble, where it said anything. */
  words = "";

  /** @param {DOMStringMap} data person, csrf and addresses */
  constructor(data) {
    super();
    this.#data = data;
  }

  /** What changed after a version. @param {number} version @returns {Promise<any>} */
  async news(version) {
    const { status, body } = await this.#ask(`${this.#data.changes}?after=${version}`);
    if (status === 200 && String(body.person) !== this.#data.person)
      this.#stand("another person");
    else if (status !== 200) this.#stand(trouble(status), body?.error);
    else {
      this.#data.csrf = body.csrf;
      this.#stand("fine");
      return body;
    }
    return null;
  }

  /**
   * @param {import("./tree.js").Change[]} changes
   * @param {number} version
   * @returns {Promise<any>}
   */
  async send(changes, version) {
    // Somebody else may have signed in since; and a sign-in brings a new token.
    if (this.standing !== "fine" && !(await this.news(version))) return null;
    const url = this.#data.changes ?? "";
    const body = { person: Number(this.#data.person), after: version, changes };
    let answer = await this.#ask(url, body);
    if (answer.status === 403 && (await this.news(version)))
      answer = await this.#ask(url, body);
    const isFine = answer.status === 200;
    this.#stand(isFine ? "fine" : trouble(answer.status), answer.body?.error);
    return isFine ? answer.body : null;
  }

  /** Reads lines pasted into a section; the rows, or words. @param {string} text @param {string} section */
  async read(text, section) {
    const sent = { text, in: section };
    const { status, body } = await this.#ask(this.#data.paste ?? "", sent);
    if (status === 200) return /** @type {any[]} */ (body.rows);
    if (status === 0) return "No network: the lines stay here, try again later.";
    return String(body?.error ?? "The server could not read the lines.");
  }

  /** @param {Standing} standing @param {string} [words] */
  #stand(standing, words = "") {
    if (this.standing === standing && this.words === words) return;
    this.standing = standing;
    this.words = words;
    this.dispatchEvent(new Event("standing"));
  }

  /**
   * @param {string} url
   * @param {object} [body] sent by POST where there is one
   * @returns {Promise<{status: number, body: any}>} status 0 is no network
   */
  async #ask(url, body) {
    try {
      const response = await fetch(url, {
        method: body ? "POST" : "GET",
        headers: {
          Accept: "application/json",
          ...(body && {
            "Content-Type": "application/json",
            "X-CSRFToken": this.#data.csrf ?? "",
          }),
        },
        body: body && JSON.stringify(body),
        redirect: "error",
        signal: AbortSignal.timeout(PATIENCE),
      });
      const kind = response.headers.get("Content-Type") ?? "";
      const isJson = kind.startsWith("application/json");
      const text = isJson ? await response.text() : "";
      return { status: response.status, body: isJson ? exact(text) : null };
    } catch {
      return { status: 0, body: null };
    }
  }
}

/**
 * JSON whose numbers lose no digit: one that a computer's number cannot hold stays text.
 * @param {string} text
 */
export function exact(text) {
  return JSON.parse(
    text,
    /** @type {any} */ (
      (
        /** @type {string} */ _,
        /** @type {any} */ value,
        /** @type {any} */ context,
      ) =>
        typeof value === "number" && (context?.source ?? `${value}`) !== `${value}`
          ? context.source
          : value
    ),
  );
}

/** @param {number} status @returns {Standing} */
function trouble(status) {
  if (status === 0) return "no network";
  if (status === 401) return "signed out";
  if (status === 409) return "another person";
  return status === 403 || status === 404 ? "not yours" : "trouble";
}
