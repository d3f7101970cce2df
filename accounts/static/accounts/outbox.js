/**
 * What is not yet saved, kept in the browser's store until the server has it: changes in
 * their order, and changes that were refused until the person has chosen. All of it is
 * kept by person, so that nobody else's sign-in ever sends it, and by what it is about:
 * the number of a marking, or the name of something else.
 *
 * @typedef {{seq: number, change: any}} Waiting what the change is, its page knows
 */

const NAME = "bellside-outbox";

/** @returns {Promise<IDBDatabase>} */
export function openOutbox() {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, 1);
    request.onupgradeneeded = () => {
      const changes = request.result.createObjectStore("changes", {
        keyPath: "seq",
        autoIncrement: true,
      });
      changes.createIndex("whose", ["person", "marking"]);
      request.result.createObjectStore("kept");
    };
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
    request.onblocked = () => reject(new Error("another page holds the outbox"));
  });
}

/**
 * @template T
 * @param {IDBRequest<T>} request
 * @returns {Promise<T>}
 */
export function answer(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

export class Outbox {
  #whose;
  /** @type {Promise<IDBDatabase | null>} */
  #db;
  /**
   * Where the browser keeps nothing (any more) for this site, changes wait in memory
   * alone, after those that were kept.
   */
  #memory = { changes: /** @type {Waiting[]} */ ([]), kept: new Map() };
  #next = Number.MAX_SAFE_INTEGER / 2;
  isKept = true;
  /** @type {any[]} done, and not yet on the device */
  unkept = [];
  /** @type {Promise<void> | null} */
  #keeping = null;

  /** @param {number} person @param {number | string} about */
  constructor(person, about) {
    this.#whose = [person, about];
    this.#db = openOutbox().catch(() => {
      this.isKept = false;
      return null;
    });
  }

  /**
   * What comes while the device is still writing goes in one piece after it.
   * @param {any[]} changes
   * @returns {Promise<void>} when they are on the device
   */
  add(changes) {
    this.unkept.push(...changes);
    this.#keeping ??= this.#keepAll().finally(() => {
      this.#keeping = null;
    });
    return this.#keeping;
  }

  async #keepAll() {
    while (this.unkept.length) {
      const changes = [...this.unkept];
      await this.#add(changes);
      this.unkept.splice(0, changes.length);
    }
  }

  /** @param {any[]} changes */
  async #add(changes) {
    try {
      const db = await this.#db;
      if (db && this.isKept) return await this.#store(db, changes);
    } catch {
      this.isKept = false;
    }
    for (const change of changes)
      this.#memory.changes.push({ seq: this.#next++, change });
  }

  /** @param {IDBDatabase} db @param {any[]} changes @returns {Promise<void>} */
  #store(db, changes) {
    const [person, marking] = this.#whose; // as the index of the store names them
    const transaction = db.transaction("changes", "readwrite", {
      durability: "strict",
    });
    const store = transaction.objectStore("changes");
    for (const change of changes) store.add({ person, marking, change });
    return new Promise((resolve, reject) => {
      transaction.oncomplete = () => resolve();
      transaction.onabort = () => reject(transaction.error);
    });
  }

  /** Everything that waits, oldest first. @returns {Promise<Waiting[]>} */
  async waiting() {
    const db = await this.#db;
    if (!db) return [...this.#memory.changes];
    const store = db.transaction("changes").objectStore("changes");
    const rows = await answer(store.index("whose").getAll(this.#whose));
    return [...rows.sort((a, b) => a.seq - b.seq), ...this.#memory.changes];
  }

  /** All this, and what is not yet kept: the server cannot know it. @returns {Promise<any[]>} */
  async unsent() {
    const kept = (await this.waiting()).map(({ change }) => change);
    return [...kept, ...this.unkept];
  }

  /** @param {number[]} seqs */
  async remove(seqs) {
    const db = await this.#db;
    this.#memory.changes = this.#memory.changes.filter((w) => !seqs.includes(w.seq));
    if (!db) return;
    const store = db.transaction("changes", "readwrite").objectStore("changes");
    await Promise.all(seqs.map((seq) => answer(store.delete(seq))));
  }

  /** Replaces a waiting change in its place. @param {Waiting} waiting */
  async replace({ seq, change }) {
    const db = await this.#db;
    const [person, marking] = this.#whose;
    const found = this.#memory.changes.find((waiting) => waiting.seq === seq);
    if (found) found.change = change;
    else if (db) {
      const store = db.transaction("changes", "readwrite").objectStore("changes");
      await answer(store.put({ seq, person, marking, change }));
    }
  }

  /**
   * Something small that is kept on the device beside the changes.
   * @param {"comment" | "conflicts" | "position"} name
   * @returns {Promise<any>}
   */
  async kept(name) {
    const db = await this.#db;
    if (!db) return this.#memory.kept.get(name);
    const store = db.transaction("kept").objectStore("kept");
    return answer(store.get([...this.#whose, name]));
  }

  /** @param {"comment" | "conflicts" | "position"} name @param {any} value null forgets */
  async keep(name, value) {
    const db = await this.#db;
    if (!db) {
      this.#memory.kept.set(name, value);
      return;
    }
    const store = db.transaction("kept", "readwrite").objectStore("kept");
    const key = [...this.#whose, name];
    if (value === null) await answer(store.delete(key));
    else await answer(store.put(value, key));
  }
}
