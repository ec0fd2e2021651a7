// Requests to the page's own server. The score's token goes in a header, all wishes in the body.

const NOTHING = 204; // the answer to a wish that a newer one has overtaken, or the person has stopped

export class Refusal extends Error {
  constructor(error, status) {
    super(error.what);
    Object.assign(this, error);
    this.status = status;
  }
}

let open = 0;

/** How many requests are open stands on the page's root, for styles and tests. */
function counting(by) {
  open += by;
  document.documentElement.dataset.asking = open;
}

let token = "";
let reopen = null, reopening = null;

export const setToken = (value, again) => {
  token = value;
  reopen = again;
};

async function send(path, body) {
  let response;
  try {
    response = await fetch(path, {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-Gripway-Work": token },
      body: JSON.stringify(body),
    });
  } catch {
    throw new Refusal({ code: "away", what: "gripway does not answer", next_step: "Is gripway serve still running? Start it again; what you see here stays" }, 0);
  }
  if (response.status === NOTHING) throw new Refusal({ code: "stopped", what: "Stopped", place: "", next_step: "" }, NOTHING);
  if (response.ok) return response;
  let error = { code: "fault", what: `the server answered ${response.status}`, place: "", next_step: "Try again" };
  try {
    error = (await response.json()).error;
  } catch { /* the words above must do */ }
  throw new Refusal(error, response.status);
}

/** Sends a request and reads its answer; a score the server has let go is opened again first. */
async function held(path, body, read) {
  counting(1);
  try {
    return await read(await heldOnce(path, body));
  } finally {
    setTimeout(() => counting(-1)); // after whoever waits for the answer has taken it
  }
}

async function heldOnce(path, body) {
  const used = token;
  try {
    return await send(path, body);
  } catch (problem) {
    if (problem.code !== "no-work" || !reopen) throw problem;
    if (token === used) await (reopening ??= reopen().finally(() => (reopening = null))); // once for all that wait
    const fresh = { ...body };
    delete fresh.since;
    return send(path, fresh);
  }
}

const CHUNK = 0x8000; // bytes at a time: so many arguments any browser takes

/** Bytes as a request carries them. */
export function base64(bytes) {
  let text = "";
  for (let k = 0; k < bytes.length; k += CHUNK) text += String.fromCharCode(...bytes.subarray(k, k + CHUNK));
  return btoa(text);
}

export const ask = (path, body = {}) => held(path, body, (response) => response.json());

export const fetchFile = (path, body) => held(path, body, async (response) => {
  const named = /filename="([\w.-]+)"/.exec(response.headers.get("content-disposition") || "");
  return { blob: await response.blob(), name: named ? named[1] : "gripway" };
});

export const flutes = async () => (await fetch("/flutes")).json();
