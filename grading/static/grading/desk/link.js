/**
 * The desk's line to the server, and how it stands. Nothing here throws: what cannot be
 * had is null, and `standing` says why.
 *
 * @typedef {"saved" | "sending" | "no network" | "signed out" | "another person" |
 *   "released" | "not yours" | "trouble"} Standing
 * @typedef {import("./store.js").Change} Change
 * @typedef {import("./settlement.js").Answer} Answer
 */

const PATIENCE = 20_000;

export class Link extends EventTarget {
  #data;
  /** @type {Standing} */
  standing = "saved";
  savedAt = Date.now();

  /** @param {any} data of the desk: person, version, csrf and addresses */
  constructor(data) {
    super();
    this.#data = data;
  }

  /**
   * @param {Change[]} changes
   * @param {[number, number][]} played
   * @param {boolean} [isLast] whether it may outlive the page
   * @returns {Promise<Answer | null>}
   */
  async save(changes, played, isLast = false) {
    this.stand("sending");
    const { urls, person, version } = this.#data;
    const body = { person, version, changes, played };
    let answer = await this.#ask(urls.save, body, isLast);
    // A sign-in changes the token that must come with a save; the state brings a new one.
    if (answer.status === 403 && (await this.state()))
      answer = await this.#ask(urls.save, body, isLast);
    if (answer.status === 200) {
      this.savedAt = Date.now();
      return answer.body;
    }
    this.stand(trouble(answer.status, answer.body));
    return null;
  }

  /** Where the marking stands; with its targets if they are newer. @returns {Promise<any>} */
  async state() {
    const { urls, version, person } = this.#data;
    const { status, body } = await this.#ask(`${urls.state}?version=${version}`);
    if (status !== 200) this.stand(trouble(status, body));
    else if (body.person !== person) this.stand("another person");
    else if (body.closed) this.stand("released");
    else {
      this.#data.csrf = body.csrf;
      if (this.standing !== "sending") this.stand("saved");
      return body;
    }
    return null;
  }

  /** @param {Standing} standing */
  stand(standing) {
    this.standing = standing;
    this.dispatchEvent(new Event("standing"));
  }

  /**
   * @param {string} url
   * @param {object} [body] sent by POST where there is one
   * @param {boolean} [isLast]
   * @returns {Promise<{status: number, body: any}>} status 0 is no network
   */
  async #ask(url, body, isLast = false) {
    try {
      const response = await fetch(url, {
        method: body ? "POST" : "GET",
        headers: {
          Accept: "application/json",
          ...(body && {
            "Content-Type": "application/json",
            "X-CSRFToken": this.#data.csrf,
          }),
        },
        body: body && JSON.stringify(body),
        redirect: "error",
        keepalive: isLast,
        signal: AbortSignal.timeout(PATIENCE),
      });
      const kind = response.headers.get("Content-Type") ?? "";
      const isJson = kind.startsWith("application/json");
      return { status: response.status, body: isJson ? await response.json() : null };
    } catch {
      return { status: 0, body: null };
    }
  }
}

/** @param {number} status @param {any} body @returns {Standing} */
function trouble(status, body) {
  if (status === 0) return "no network";
  if (status === 401) return "signed out";
  if (status === 403 || status === 404) return "not yours";
  if (status === 409) return body?.error === "released" ? "released" : "another person";
  return "trouble";
}
