// @ts-check
// What a phone keeps: facts with their fate, packs, and a few settings of its own. Plain IndexedDB, durable writes.

/** @typedef {import('../shared/outbox.js').Entry} Entry */
/** @typedef {import('../shared/pack.js').Pack} Pack */

const NAME = 'tarsus', VERSION = 1;

/** The storage of this phone refused to keep something: it is full, or private browsing forbids it. */
export class NotKept extends Error {
  /** @param {unknown} cause */
  constructor(cause) {
    super(
      'This phone could not keep that: its storage is full or closed. Nothing was recorded. '
        + 'Make room on it, then open this page again.',
    );
    this.cause = cause;
  }
}

/** @returns {Promise<IDBDatabase>} */
function open() {
  return new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, VERSION);
    asked.onupgradeneeded = () => {
      const db = asked.result;
      db.createObjectStore('facts', { keyPath: 'fact.id' });
      db.createObjectStore('packs', { keyPath: 'exhibit.id' });
      db.createObjectStore('phone');
    };
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(new NotKept(asked.error));
    asked.onblocked = () => reject(new NotKept('another page holds an older store'));
  });
}

/** @template T @param {IDBRequest<T>} request @returns {Promise<T>} */
function answered(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

export class Store {
  /** @param {IDBDatabase} db */
  constructor(db) {
    this.db = db;
    db.onversionchange = () => db.close();
  }

  /** @returns {Promise<Store>} */
  static async open() {
    return new Store(await open());
  }

  /** Write in one durable transaction: all of it stands on the disk, or none. @param {string} name
   * @param {(store: IDBObjectStore) => void} write @returns {Promise<void>} */
  #write(name, write) {
    return this.#writeAll([name], (act) => write(act.objectStore(name)));
  }

  /** @param {string[]} names @param {(act: IDBTransaction) => void} write @returns {Promise<void>} */
  #writeAll(names, write) {
    return new Promise((resolve, reject) => {
      const refused = (/** @type {unknown} */ cause) => reject(new NotKept(cause));
      /** @type {IDBTransaction|undefined} */
      let act;
      try {
        act = this.db.transaction(names, 'readwrite', { durability: 'strict' });
        const begun = act;
        act.oncomplete = () => resolve();
        act.onabort = () => refused(begun.error);
        act.onerror = () => refused(begun.error);
        write(act);
      } catch (error) {
        refused(error);
        act?.abort();
      }
    });
  }

  /** @param {Entry[]} entries @returns {Promise<void>} */
  putEntries(entries) {
    return this.#write('facts', (store) => entries.forEach((entry) => store.put(entry)));
  }

  /** @param {string[]} ids @returns {Promise<void>} */
  forgetEntries(ids) {
    return this.#write('facts', (store) => ids.forEach((id) => store.delete(id)));
  }

  /** Whoever was here has signed out: forget all that this phone was told, and keep what it alone knows.
   * @param {string[]} heard  ids of facts that the server has @param {Entry[]} sealed  each in place of what it seals
   * @param {string[]} said  what it kept under these names @returns {Promise<void>} */
  forgetTold(heard, sealed, said) {
    return this.#writeAll(['facts', 'packs', 'phone'], (act) => {
      heard.forEach((id) => act.objectStore('facts').delete(id));
      sealed.forEach((entry) => act.objectStore('facts').put(entry));
      act.objectStore('packs').clear();
      said.forEach((key) => act.objectStore('phone').delete(key));
    });
  }

  /** @returns {Promise<Entry[]>} */
  entries() {
    return answered(this.db.transaction('facts').objectStore('facts').getAll());
  }

  /** @param {Pack} pack @returns {Promise<void>} */
  putPack(pack) {
    return this.#write('packs', (store) => store.put(pack));
  }

  /** @param {number} exhibit @returns {Promise<Pack|undefined>} */
  pack(exhibit) {
    return answered(this.db.transaction('packs').objectStore('packs').get(exhibit));
  }

  /** @returns {Promise<Pack[]>} */
  packs() {
    return answered(this.db.transaction('packs').objectStore('packs').getAll());
  }

  /** @param {string} key @param {unknown} value @returns {Promise<void>} */
  setPhone(key, value) {
    return this.#write('phone', (store) => store.put(value, key));
  }

  /** @param {string} key @returns {Promise<any>} */
  phone(key) {
    return answered(this.db.transaction('phone').objectStore('phone').get(key));
  }
}
