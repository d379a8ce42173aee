// Faults of a browser's store, put in by wrapping the browser's own functions; each test takes them out again.
const undo = [];

function wrap(on, name, make) {
  const was = on[name];
  on[name] = make(was);
  undo.push(() => { on[name] = was; });
}

function define(on, name, how) {
  const was = Object.getOwnPropertyDescriptor(on, name);
  Object.defineProperty(on, name, { configurable: true, ...how });
  undo.push(() => { if (was) Object.defineProperty(on, name, was); else delete on[name]; });
  return was;
}

export function restore() {
  while (undo.length) undo.pop()();
}

// 13: the write succeeds, and nothing is there. Counting is a request that succeeds.
export function lose_writes(store) {
  for (const name of ["add", "put"]) {
    wrap(IDBObjectStore.prototype, name, (was) => function (...given) {
      return this.name === store ? this.count() : was.apply(this, given);
    });
  }
}

// 13, the harder kind: what is there differs in one letter.
export function garble_writes(store, field) {
  for (const name of ["add", "put"]) {
    wrap(IDBObjectStore.prototype, name, (was) => function (value, ...key) {
      return was.apply(this, [this.name === store ? { ...value, [field]: value[field] + " " } : value, ...key]);
    });
  }
}

// 7: the connection is lost on resume.
export function closing(times) {
  let left = times;
  wrap(IDBDatabase.prototype, "transaction", (was) => function (...given) {
    if (left-- > 0) throw new DOMException("The database connection is closing.", "InvalidStateError");
    return was.apply(this, given);
  });
}

// 7: the connection in use is lost for good; one opened after it works.
export function dead_connection() {
  let dead;
  wrap(IDBDatabase.prototype, "transaction", (was) => function (...given) {
    dead ??= this;
    if (this === dead) throw new DOMException("The database connection is closing.", "InvalidStateError");
    return was.apply(this, given);
  });
}

// 7: the connection is lost with a write under way.
export function lost_under_way() {
  let done = false;
  wrap(IDBObjectStore.prototype, "add", (was) => function (...given) {
    const request = was.apply(this, given);
    if (!done) { done = true; queueMicrotask(() => this.transaction.abort()); }
    return request;
  });
}

// 8: a transaction that never ends.
export function silent_transactions() {
  define(IDBTransaction.prototype, "oncomplete", { set() {}, get() { return null; } });
}

// 8: a request that is never answered.
export function silent_requests() {
  define(IDBRequest.prototype, "onsuccess", { set() {}, get() { return null; } });
}

// 9: something else is awaited inside the transaction, so it has committed by itself.
export function late_answers(ms) {
  const was = Object.getOwnPropertyDescriptor(IDBRequest.prototype, "onsuccess");
  define(IDBRequest.prototype, "onsuccess", {
    get: was.get,
    set(heard) { was.set.call(this, (event) => setTimeout(() => heard(event), ms)); },
  });
}

// 6: opening fails for good.
export function open_fails(error) {
  wrap(IDBFactory.prototype, "open", (was) => function (name) {
    const request = was.call(this, name + "-unused", 1);
    Object.defineProperty(request, "error", { get: () => new DOMException("Internal error.", error) });
    return request;
  });
}

// 6: opening throws, as where storage is forbidden.
export function open_throws(error) {
  wrap(IDBFactory.prototype, "open", () => function () { throw new DOMException("denied", error); });
}

// 8: opening is never answered.
export function open_silent() {
  wrap(IDBFactory.prototype, "open", (was) => function (...given) {
    const request = was.apply(this, given);
    Object.defineProperty(request, "onsuccess", { set() {}, get() { return null; } });
    return request;
  });
}

// 11: what this page asks for is a newer version than the one other tabs hold.
export function open_newer(version) {
  wrap(IDBFactory.prototype, "open", (was) => function (name) { return was.call(this, name, version); });
}

// 3: no room, at the nth entry of a transaction.
export function full_at(nth) {
  let count = 0;
  wrap(IDBObjectStore.prototype, "add", (was) => function (...given) {
    const request = was.apply(this, given);
    if (++count === nth) {
      const { transaction } = this;
      Object.defineProperty(transaction, "error", { get: () => new DOMException("", "QuotaExceededError") });
      queueMicrotask(() => transaction.abort());
    }
    return request;
  });
}

let begun = [];
// Which transactions were begun, and how.
export function record() {
  begun = [];
  wrap(IDBDatabase.prototype, "transaction", (was) => function (...given) {
    const transaction = was.apply(this, given);
    begun.push({ stores: given[0].join(), mode: transaction.mode, asked: given[2]?.durability ?? "", got: transaction.durability });
    return transaction;
  });
}

export function recorded() {
  return JSON.stringify(begun);
}

const settled = (request) => new Promise((resolve, reject) => {
  request.onsuccess = () => resolve(request.result);
  request.onerror = () => reject(request.error);
});

const others = [];
// Another tab that holds the database; a stubborn one does not let go.
export async function other_tab(name, version, stubborn) {
  const database = await settled(indexedDB.open(name, version));
  if (!stubborn) database.onversionchange = () => database.close();
  others.push(database);
}

export function other_tabs_close() {
  while (others.length) others.pop().close();
}

export async function delete_database(name) {
  await settled(indexedDB.deleteDatabase(name));
}

export async function database_exists(name) {
  return (await indexedDB.databases()).some((found) => found.name === name);
}

// Writes a row as another program, or a damaged disk, might.
export async function put_raw(name, store, json) {
  const database = await settled(indexedDB.open(name));
  const transaction = database.transaction([store], "readwrite");
  transaction.objectStore(store).put(JSON.parse(json));
  await new Promise((resolve) => { transaction.oncomplete = resolve; });
  database.close();
}
