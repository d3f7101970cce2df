/**
 * Says how much of a person's marking waits on this device before the person signs out,
 * and clears it with the sign-out, so that the next person at the device finds nothing.
 * What another person left here waits for that person.
 *
 *   <sign-out-check data-person="3" hidden>... <span data-count></span> ...</sign-out-check>
 *   <form method="post">...</form>
 */
const OUTBOX = "bellside-outbox";

/** @returns {Promise<IDBDatabase | null>} null where the desk never kept anything here */
async function outbox() {
  const known = await indexedDB.databases();
  if (!known.some(({ name }) => name === OUTBOX)) return null;
  return answer(indexedDB.open(OUTBOX));
}

/** Changes not sent, choices not made and comments not kept. @param {number} person */
export async function unsent(person) {
  const db = await outbox();
  if (!db) return 0;
  const transaction = db.transaction(["changes", "kept"]);
  const [changes, names, kept] = await Promise.all([
    answer(transaction.objectStore("changes").getAll()),
    answer(transaction.objectStore("kept").getAllKeys()),
    answer(transaction.objectStore("kept").getAll()),
  ]);
  db.close();
  let count = changes.filter((row) => row.person === person).length;
  for (const [i, key] of names.entries()) {
    const [whose, , name] = /** @type {[number, number, string]} */ (key);
    if (whose !== person) continue;
    if (name === "comment") count += 1;
    if (name === "conflicts") count += kept[i].length;
  }
  return count;
}

/** Removes everything that the desk keeps here for this person. @param {number} person */
export async function clear(person) {
  const db = await outbox();
  if (!db) return;
  const transaction = db.transaction(["changes", "kept"], "readwrite");
  const range = IDBKeyRange.bound([person], [person, []]);
  transaction.objectStore("kept").delete(range);
  const changes = transaction.objectStore("changes");
  const keys = await answer(changes.index("whose").getAllKeys(range));
  for (const key of keys) changes.delete(key);
  await new Promise((resolve) => {
    transaction.oncomplete = resolve;
  });
  db.close();
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
    const person = Number(this.dataset.person);
    const form = this.parentElement?.querySelector("form");
    form?.addEventListener(
      "submit",
      async (event) => {
        event.preventDefault();
        try {
          await clear(person);
        } finally {
          form.submit(); // nothing that goes wrong here may keep a person signed in
        }
      },
      { signal: this.#ends.signal },
    );
    const count = await unsent(person);
    const place = this.querySelector("[data-count]");
    if (place) place.textContent = String(count);
    this.hidden = count === 0;
  }

  disconnectedCallback() {
    this.#ends.abort();
  }
}

customElements.define("sign-out-check", SignOutCheck);
