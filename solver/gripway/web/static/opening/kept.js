// What stays in this browser: every work with its steps back, and how the person likes the page.

const DB = "gripway", VERSION = 1, WORKS = "works", SOURCES = "sources";
const OWN_KEY = "gripway-own", TAB_KEY = "gripway-tab", PLACES_KEY = "gripway-places", PRACTICE_KEY = "gripway-practice";
const MOST_PLACES = 50;
const MOST_UNTOUCHED = 10; // works without a single step; those with one stay until they are forgotten

let opening = null;

function base() {
  opening ??= new Promise((done, failed) => {
    const asked = indexedDB.open(DB, VERSION);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore(WORKS, { keyPath: "id" });
      asked.result.createObjectStore(SOURCES, { keyPath: "id" });
    };
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
  return opening;
}

/** One transaction over both stores, on the disk before this returns. */
async function within(mode, does) {
  const db = await base();
  return new Promise((done, failed) => {
    const transaction = db.transaction([WORKS, SOURCES], mode, { durability: "strict" });
    let result;
    transaction.oncomplete = () => done(result);
    transaction.onabort = () => failed(transaction.error);
    does(transaction.objectStore(WORKS), transaction.objectStore(SOURCES), (value) => (result = value));
  });
}

/** The name of a score by its content: the same score opened twice has the same. */
export async function nameOf(source) {
  const digest = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(JSON.stringify(source)));
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** A work that is not kept yet: its score is named, no other tab has it. */
export const fresh = async (source) => ({ id: crypto.randomUUID(), version: 0, source: await nameOf(source) });

/**
 * Keep a work as it is now; gives its keeping with the time. Where another tab has written the same work since,
 * this one becomes a work of its own: neither loses a pin.
 */
export async function keep(keeping, { session, title, about, pins, steps }) {
  const { source, ...said } = session;
  return within("readwrite", (works, sources, result) => {
    works.get(keeping.id).onsuccess = (event) => {
      const there = event.target.result;
      const apart = there && there.version !== keeping.version;
      const kept = {
        id: apart ? crypto.randomUUID() : keeping.id, version: keeping.version + 1, source: keeping.source,
        title, about, pins, steps, at: Date.now(), said,
      };
      works.put(kept);
      sources.getKey(kept.source).onsuccess = (found) => found.target.result ?? sources.put({ id: kept.source, source });
      result({ id: kept.id, version: kept.version, source: kept.source, at: kept.at, apart: Boolean(apart) });
      if (keeping.version === 0) tidy(works, sources);
    };
  });
}

/** Works nobody changed go, but for the last ones; so do scores no work has. */
function tidy(works, sources) {
  works.getAll().onsuccess = (event) => {
    const untouched = event.target.result.filter((work) => !work.steps).sort(newest).slice(MOST_UNTOUCHED);
    const gone = new Set(untouched.map((work) => work.id));
    for (const id of gone) works.delete(id);
    const used = new Set(event.target.result.filter((work) => !gone.has(work.id)).map((work) => work.source));
    sources.getAllKeys().onsuccess = (keys) => keys.target.result.filter((key) => !used.has(key)).forEach((key) => sources.delete(key));
  };
}

/** When a work was last kept or opened. */
export const lastUsed = (work) => Math.max(work.at, work.opened ?? 0);

const newest = (a, b) => lastUsed(b) - lastUsed(a);

/** A kept work is opened again now. */
export const reopened = (id) => within("readwrite", (works) => {
  works.get(id).onsuccess = (event) => event.target.result && works.put({ ...event.target.result, opened: Date.now() });
});

/** All kept works without their scores, the last opened first. */
export const list = () => within("readonly", (works, _sources, result) => {
  works.getAll().onsuccess = (event) => result(event.target.result.sort(newest));
});

/** A kept work as a session with its keeping; null where it is gone. */
export const take = (id) => within("readonly", (works, sources, result) => {
  works.get(id).onsuccess = (event) => {
    const work = event.target.result;
    if (!work) return result(null);
    sources.get(work.source).onsuccess = (found) => result(found.target.result
      ? { session: { ...work.said, source: found.target.result.source }, keeping: { id, version: work.version, source: work.source, at: work.at } }
      : null);
  };
});

export const forget = (id) => within("readwrite", (works, sources) => {
  works.delete(id);
  tidy(works, sources);
});

/** The newest changed work of this score, or null. */
export async function sameScore(source) {
  const name = await nameOf(source);
  return (await list()).find((work) => work.source === name && work.steps) ?? null;
}

/** What a store for texts holds as a value; null where it holds nothing or is closed to us. */
function read(store, key) {
  try { return JSON.parse(store().getItem(key)); } catch { return null; }
}

function write(store, key, value) {
  try { store().setItem(key, JSON.stringify(value)); } catch { /* a private window may refuse */ }
}

/** How the person likes the page and plays: size, look, hearing, flute, dials, bans. */
export const own = () => read(() => localStorage, OWN_KEY) ?? {};
export const keepOwn = (more) => write(() => localStorage, OWN_KEY, { ...own(), ...more });

/** What this tab has open: the kept work, and the server's token for it. */
export const tab = () => read(() => sessionStorage, TAB_KEY) ?? {};
export const keepTab = (value) => write(() => sessionStorage, TAB_KEY, value);

/** Where one was in a kept work: the last works only. */
export const place = (id) => (read(() => localStorage, PLACES_KEY) ?? {})[id] ?? null;
export function keepPlace(id, value) {
  const { [id]: _old, ...others } = read(() => localStorage, PLACES_KEY) ?? {};
  write(() => localStorage, PLACES_KEY, Object.fromEntries([...Object.entries(others).slice(1 - MOST_PLACES), [id, value]]));
}

/** What was practised of a score. */
export const practice = (name) => (read(() => localStorage, PRACTICE_KEY) ?? {})[name] ?? {};
export const keepPractice = (name, value) => write(() => localStorage, PRACTICE_KEY, { ...read(() => localStorage, PRACTICE_KEY), [name]: value });
