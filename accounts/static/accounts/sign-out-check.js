/**
 * Says how many changes wait on this device before a person signs out, and clears
 * them with the sign-out, so that the next person at the device finds nothing.
 *
 *   <sign-out-check hidden>... <span data-count></span> ...</sign-out-check>
 *   <form method="post">...</form>
 */
const OUTBOX = "bellside-outbox";

/** How many rows the outbox's stores hold; 0 where there is no outbox. */
export async function unsent() {
  const known = await indexedDB.databases();
  if (!known.some(({ name }) => name === OUTBOX)) return 0;
  const db = await answer(indexedDB.open(OUTBOX));
  try {
    let count = 0;
    for (const name of db.objectStoreNames) {
      count += await answer(db.transaction(name).objectStore(name).count());
    }
    return count;
  } finally {
    db.close();
  }
}

/**
 * @template T
 * @param {IDBRequest<T>} request
 * @returns {Promise<T>}
 */
function answer(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

export class SignOutCheck extends HTMLElement {
  #ends = new AbortController();

  async connectedCallback() {
    const form = this.parentElement?.querySelector("form");
    form?.addEventListener("submit", () => indexedDB.deleteDatabase(OUTBOX), {
      signal: this.#ends.signal,
    });
    const count = await unsent();
    const place = this.querySelector("[data-count]");
    if (place) place.textContent = String(count);
    this.hidden = count === 0;
  }

  disconnectedCallback() {
    this.#ends.abort();
  }
}

customElements.define("sign-out-check", SignOutCheck);
