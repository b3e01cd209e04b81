// Keeps the page as the files are: hears that something changed, asks for this page again, and puts in only what differs,
// so that the place, the focus and what is open stay as they are.

const said = document.getElementById("live-said");
const gone = document.getElementById("live-gone");
const counts = () => document.getElementById("live-counts")?.textContent ?? "";
let tag = null;
let reading = null;
let busy = null;

/** Asks for this page again; `aloud` where the files changed, and not only the clock. */
async function refresh(aloud) {
  let answer;
  try {
    answer = await fetch(location.pathname, { cache: "no-store", headers: tag ? { "If-None-Match": tag } : {} });
  } catch {
    return;
  }
  if (answer.status === 304) {
    tell("");
    return;
  }
  if (answer.status === 404) {
    tell("The journal as it is now has nothing for this page. What you see is what it had before.");
    return;
  }
  if (!answer.ok) {
    tell("This page could not be made again. What you see is how it was before.");
    return;
  }
  const text = await answer.text();
  tag = answer.headers.get("ETag");
  tell("");
  const newer = new DOMParser().parseFromString(text, "text/html");
  const before = counts();
  const changed = update(newer);
  if (changed && aloud) {
    const now = counts();
    said.textContent = before === now ? `The journal changed. Still ${now}.` : `The journal changed. Now ${now}; before, ${before}.`;
  }
}

/** A sentence above the page, or none. */
function tell(words) {
  gone.hidden = words === "";
  if (gone.textContent !== words) gone.textContent = words;
}

/** Brings the page to what it is now; whether anything differed. */
function update(newer) {
  const focus = document.activeElement;
  let changed = false;
  for (const id of ["live-bar", "page"]) {
    const [old, now] = [document.getElementById(id), newer.getElementById(id)];
    if (now) changed = match(old, now) || changed;
  }
  if (document.title !== newer.title) document.title = newer.title;
  // Where what had the focus is gone, the next Tab goes on from the page and not from the window's top.
  if (focus && focus !== document.body && !focus.isConnected) document.getElementById("page").focus({ preventScroll: true });
  return changed;
}

/** Makes one node as another, touching only what differs. */
function match(old, now) {
  if (old.nodeType !== Node.ELEMENT_NODE) {
    if (old.nodeValue === now.nodeValue) return false;
    old.nodeValue = now.nodeValue;
    return true;
  }
  if (old.isEqualNode(now)) return false;
  let changed = attributes(old, now);
  changed = children(old, now) || changed;
  return changed;
}

function attributes(old, now) {
  let changed = false;
  // Whether something is open is the reader's.
  const mine = (name) => name === "open" || (old.id === "page" && name === "tabindex");
  for (const { name, value } of [...now.attributes]) {
    if (!mine(name) && old.getAttribute(name) !== value) {
      old.setAttribute(name, value);
      changed = true;
    }
  }
  for (const { name } of [...old.attributes]) {
    if (!mine(name) && !now.hasAttribute(name)) {
      old.removeAttribute(name);
      changed = true;
    }
  }
  return changed;
}

const key = (node) => (node.nodeType === Node.ELEMENT_NODE ? node.dataset?.key : undefined);
const alike = (one, other) => one.nodeName === other.nodeName && key(one) === key(other);

/** Brings the children of a node to those of another. What has a key is found again wherever it went. */
function children(old, now) {
  const known = new Map();
  for (const child of old.children) if (key(child)) known.set(key(child), child);
  const wanted = new Set([...now.children].map(key).filter(Boolean));
  let changed = false;
  let at = old.firstChild;
  for (const next of [...now.childNodes]) {
    const found = key(next) && known.get(key(next));
    // What is not there any more goes, and what is found again further on need not move.
    while (at && at !== found && (key(at) ? !wanted.has(key(at)) : found)) {
      const going = at;
      at = at.nextSibling;
      going.remove();
      changed = true;
    }
    const same = found || (at && alike(at, next) ? at : undefined);
    if (same && same.nodeName === next.nodeName) {
      if (same === at) at = at.nextSibling;
      else {
        old.insertBefore(same, at);
        changed = true;
      }
      changed = match(same, next) || changed;
    } else {
      old.insertBefore(document.importNode(next, true), at);
      changed = true;
    }
  }
  while (at) {
    const going = at;
    at = at.nextSibling;
    going.remove();
    changed = true;
  }
  return changed;
}

/** One after the other: what is told while a page is on its way is asked for behind it. */
function soon(aloud) {
  busy = (busy ?? Promise.resolve()).then(() => refresh(aloud));
}

let changes = null;

function listen() {
  if (changes) return;
  changes = new EventSource("/live/changes");
  changes.onmessage = ({ data }) => {
    const now = data.split(" ")[0];
    // The first word after a while apart may be old news: only what changed while we listened is said aloud.
    soon(reading !== null && reading !== now);
    reading = now;
  };
  changes.onerror = () => tell("Foliary has stopped, or is starting again. What you see is how the journal was.");
}

/** A browser keeps only a few lines open to one place: a page that nobody sees lets go of its own. */
function rest() {
  changes?.close();
  changes = null;
}

document.addEventListener("visibilitychange", () => (document.hidden ? rest() : listen()));
addEventListener("pagehide", rest);
addEventListener("pageshow", () => document.hidden || listen());
if (!document.hidden) listen();
