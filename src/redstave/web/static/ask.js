// Asking the desk: every change carries the page's token; after a restart of the desk the page asks
// for the new token once and goes on.

const meta = document.querySelector('meta[name="redstave-token"]');

export class Refused extends Error {
  constructor(status, said) {
    super(said.error || `The desk answered ${status}.`);
    this.status = status;
    this.said = said;
  }
}

export async function get(url, signal) {
  return answer(await fetch(url, { signal, headers: { accept: "application/json" } }));
}

export async function send(method, url, body, { keepalive = false } = {}) {
  const isForm = body instanceof FormData; // it says itself what it is
  const ask = () =>
    fetch(url, {
      method,
      keepalive,
      headers: { "x-redstave-token": meta.content, ...(isForm ? {} : { "content-type": "application/json" }) },
      body: isForm ? body : JSON.stringify(body ?? {}),
    });
  let found = await ask();
  if (found.status === 403 && (await renewed())) found = await ask();
  return answer(found);
}

// What rests on the answer before it, or must not overtake it, is asked in turn.
let turn = Promise.resolve();

export function inTurn(deed) {
  const done = turn.then(deed);
  turn = done.catch(() => {});
  return done;
}

async function renewed() {
  const found = await fetch("/token");
  if (!found.ok) return false;
  const { token } = await found.json();
  const fresh = token && token !== meta.content;
  meta.content = token;
  return fresh;
}

async function answer(found) {
  const kind = found.headers.get("content-type") || "";
  if (found.ok) return kind.includes("json") ? found.json() : found.text();
  const said = kind.includes("json") ? await found.json() : { error: (await found.text()).trim() };
  throw new Refused(found.status, said);
}
