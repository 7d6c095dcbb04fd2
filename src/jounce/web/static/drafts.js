// What is typed into a form is kept in this browser until the workbench says that it is saved, and offered again until
// then: after a reload, the way back, a lost connection, a flat battery. Forms work without this, as browsers send them.
"use strict";

const KEPT = "jounce draft";
const AGAIN = [500, 1500]; // pauses before a form is sent again when nobody answers [ms]
const TYPED = "input:not([type=hidden], [type=file], [type=password], [type=range]), textarea, select";
const LINES = "input:not([type=hidden], [type=file], [type=password], [type=range], [type=checkbox], [type=radio])";
const by = document.body.dataset.by;
const cared = new Map(); // form: { key, touched, unsaved, sending, once, sent }
let leaving = false;

start(document.querySelector("main"), false);
elsewhere();

window.addEventListener("beforeunload", (event) => {
  if (!leaving && [...cared].some(([form, care]) => form.isConnected && typedNow(form, care).size)) event.preventDefault();
});
window.addEventListener("pageshow", (event) => {
  if (event.persisted) location.reload(); // a page out of the browser's memory may be older than the book
});

// Care for every form under an element that saves something (one that only asks says so); `unsaved` where the server gave the page back with what was typed in it.
function start(root, unsaved) {
  const seen = {};
  for (const form of root.querySelectorAll('form[method="post"]:not([data-asks])')) {
    if (form.querySelector("[type=password]") || !form.querySelector(TYPED)) continue;
    const action = new URL(form.action).pathname;
    seen[action] = (seen[action] ?? 0) + 1;
    const key = [KEPT, by, location.pathname, action, form.dataset.draft ?? seen[action]].join("\n");
    const care = { key, touched: new Set(), unsaved, sending: false, once: "", sent: "" };
    cared.set(form, care);
    form.addEventListener("input", (event) => keep(form, care, event.target));
    form.addEventListener("change", (event) => keep(form, care, event.target));
    form.addEventListener("submit", (event) => send(form, care, event));
    if (form.querySelectorAll(LINES).length > 1) {
      for (const field of form.querySelectorAll(LINES)) field.enterKeyHint = "next";
      form.addEventListener("keydown", (event) => onward(form, event));
    }
    offer(form, care);
    for (const field of form.querySelectorAll(TYPED)) {
      const fields = field.name ? named(form, field.name) : [];
      if (fields.length && valueOf(fields) !== asItCame(fields)) keep(form, care, field); // typed before this ran
    }
  }
}

// ------------------------------------------------------------------------------------------------------ keeping

function read(key) {
  try {
    return JSON.parse(localStorage.getItem(key));
  } catch {
    return null; // no store in this browser, or not ours
  }
}

function write(key, draft) {
  try {
    if (Object.keys(draft.fields).length) localStorage.setItem(key, JSON.stringify(draft));
    else localStorage.removeItem(key);
    return true;
  } catch {
    return false;
  }
}

function named(form, name) {
  return [...form.querySelectorAll(TYPED)].filter((field) => field.name === name);
}

function valueOf(fields) {
  const field = fields[0];
  if (field.type === "radio") return fields.find((one) => one.checked)?.value ?? "";
  if (field.type === "checkbox") return field.checked ? "on" : "";
  return field.value;
}

function asItCame(fields) {
  const field = fields[0];
  if (field.type === "radio") return fields.find((one) => one.defaultChecked)?.value ?? "";
  if (field.type === "checkbox") return field.defaultChecked ? "on" : "";
  if (field.options) return ([...field.options].find((one) => one.defaultSelected) ?? field.options[0])?.value ?? "";
  return field.defaultValue;
}

function put(fields, value) {
  for (const field of fields) {
    if (field.type === "radio") field.checked = field.value === value;
    else if (field.type === "checkbox") field.checked = value === "on";
    else field.value = value;
  }
  fields[0].dispatchEvent(new Event("input", { bubbles: true }));
}

function keep(form, care, field) {
  if (!field.name || !field.matches(TYPED)) return;
  care.touched.add(field.name);
  const draft = read(care.key) ?? { fields: {} };
  draft.at = new Date().toISOString();
  draft.number = form.elements.number?.value ?? "";
  draft.title = document.title.replace(/ – jounce$/, "");
  for (const name of care.touched) {
    const fields = named(form, name);
    if (care.unsaved || valueOf(fields) !== asItCame(fields)) draft.fields[name] = valueOf(fields);
    else delete draft.fields[name];
  }
  if (!write(care.key, draft)) tell(form, "full");
}

// What was typed on this page, by name, and is not saved.
function typedNow(form, care) {
  const typed = new Map();
  for (const name of care.touched) {
    const fields = named(form, name);
    if (fields.length && (care.unsaved || valueOf(fields) !== asItCame(fields))) typed.set(name, valueOf(fields));
  }
  return typed;
}

// The workbench has these: they are no draft any more. What was typed meanwhile stays one.
function acknowledge(care, typed) {
  const draft = read(care.key);
  if (!draft) return;
  for (const [name, value] of typed) if (draft.fields[name] === value) delete draft.fields[name];
  write(care.key, draft);
}

// ----------------------------------------------------------------------------------------------------- offering

function offer(form, care) {
  const draft = read(care.key);
  if (!draft) return;
  const differing = [];
  for (const [name, value] of Object.entries(draft.fields)) {
    const fields = named(form, name);
    if (!fields.length || valueOf(fields) !== value) differing.push([name, value, fields]);
    else if (care.unsaved || valueOf(fields) !== asItCame(fields)) care.touched.add(name);
    else delete draft.fields[name]; // it is saved as it was typed
  }
  write(care.key, draft);
  if (!differing.length) return;
  const notice = words("offer");
  const language = document.documentElement.lang; // English pages follow the browser, whose days are of its country
  notice.querySelector("time").textContent = new Date(draft.at).toLocaleString(language === "en" ? undefined : language);
  const newer = form.elements.number?.value ?? "";
  notice.querySelector(".newer").hidden = draft.number === newer;
  notice.querySelector(".newer span").textContent = newer;
  const lines = notice.querySelector("tbody");
  for (const [name, value, fields] of differing) {
    const line = lines.insertRow();
    const head = document.createElement("th");
    head.scope = "row";
    head.textContent = fields.length ? labelOf(fields[0]) : name;
    line.append(head);
    line.insertCell().textContent = told(fields, value);
    line.insertCell().textContent = fields.length ? told(fields, valueOf(fields)) : "–";
  }
  notice.querySelector(".put-back").addEventListener("click", () => {
    for (const [, value, fields] of differing) if (fields.length) put(fields, value);
    notice.remove();
    (differing.find(([, , fields]) => fields.length)?.[2][0] ?? form).focus();
  });
  notice.querySelector(".drop").addEventListener("click", () => {
    acknowledge(care, differing);
    notice.remove();
  });
  for (let around = form.closest("details"); around; around = around.parentElement.closest("details")) around.open = true;
  form.before(notice);
}

function labelOf(field) {
  const ids = field.getAttribute("aria-labelledby");
  const labels = ids ? ids.split(" ").map((id) => document.getElementById(id)) : [...(field.labels ?? [])];
  return labels.map((one) => one?.textContent.trim() ?? "").join(" ") || field.name;
}

function told(fields, value) {
  if (fields[0]?.type === "checkbox") return value === "on" ? "✓" : "–";
  const option = [...(fields[0]?.options ?? [])].find((one) => one.value === value);
  const text = option ? option.textContent : value;
  return text.length > 200 ? `${text.slice(0, 200)} …` : text;
}

// On the book's page: where else something was typed and not saved.
function elsewhere() {
  const place = document.getElementById("drafts-elsewhere");
  if (!place) return;
  const found = new Map();
  for (let i = 0; i < localStorage.length; i += 1) {
    const [word, who, path] = localStorage.key(i).split("\n");
    const draft = word === KEPT && who === by && path !== location.pathname ? read(localStorage.key(i)) : null;
    if (draft) found.set(path, draft.title);
  }
  if (!found.size) return;
  for (const [path, title] of found) {
    const link = document.createElement("a");
    link.href = path;
    link.textContent = title;
    const line = document.createElement("li");
    line.append(link);
    place.querySelector("ul").append(line);
  }
  place.hidden = false;
}

// ------------------------------------------------------------------------------------------------------- typing

// Enter goes to the next reading, not to the workbench: a form is saved by its button.
function onward(form, event) {
  if (event.key !== "Enter" || event.isComposing || event.ctrlKey || event.metaKey || !event.target.matches(LINES)) return;
  event.preventDefault();
  const fields = [...form.querySelectorAll(LINES)].filter((field) => field.getClientRects().length);
  const rest = fields.slice(fields.indexOf(event.target) + 1);
  const next = rest.find((field) => !field.closest(".band")) ?? form.querySelector("button:not([type=button])");
  next.focus();
  if (next.select) next.select();
}

// ------------------------------------------------------------------------------------------------------ sending

async function send(form, care, event) {
  const button = event.submitter;
  if ((button?.getAttribute("formmethod") ?? form.method) !== "post") return;
  event.preventDefault();
  if (care.sending) return;
  const data = new FormData(form);
  if (button?.name) data.append(button.name, button.value);
  const plain = form.enctype === "multipart/form-data" ? null : new URLSearchParams(data);
  const text = plain ? plain.toString() : "";
  if (!text || text !== care.sent) care.once = [...crypto.getRandomValues(new Uint32Array(4))].join("-");
  care.sent = text; // the same form sent again is saved once
  const typed = typedNow(form, care);
  care.sending = true;
  for (const line of form.querySelectorAll(".actions")) line.dataset.busy = words("busy").textContent;
  form.setAttribute("aria-busy", "true");
  const action = button?.hasAttribute("formaction") ? button.formAction : form.action;
  const answer = await answered(action, plain ?? data, care.once);
  const said = answer && answer.type !== "opaqueredirect" ? await answer.text().catch(() => null) : "";
  care.sending = false;
  form.removeAttribute("aria-busy");
  if (!answer || said === null) return tell(form, "away");
  if (answer.type === "opaqueredirect") return tell(form, "out");
  const kind = answer.headers.get("content-type") ?? "";
  if (kind.startsWith("application/json")) {
    if (button?.name !== "print") acknowledge(care, typed); // printed is not saved: the draft stays
    leaving = true;
    const to = new URL(JSON.parse(said).to, location.href);
    if (to.pathname + to.search === location.pathname + location.search) location.reload();
    else location.assign(to);
  } else if (kind.startsWith("text/html")) show(said);
  else tell(form, "failed", said);
}

async function answered(action, body, once) {
  for (const pause of [...AGAIN, 0]) {
    const asked = { method: "POST", body, headers: { "x-once": once }, redirect: "manual" };
    const answer = await fetch(action, asked).catch(() => null);
    if (answer) return answer;
    if (pause) await new Promise((done) => setTimeout(done, pause));
  }
  return null;
}

// The page that the server gave back, with all that was typed and what is wrong with it.
function show(text) {
  const given = new DOMParser().parseFromString(text, "text/html");
  const main = given.querySelector("main");
  cared.clear();
  document.title = given.title;
  document.querySelector("main").replaceWith(main);
  start(main, true);
  for (const button of main.querySelectorAll("button.print")) button.addEventListener("click", () => window.print());
  const wrong = main.querySelector("[aria-invalid=true]");
  (main.querySelector("[role=alert]") ?? wrong ?? main).scrollIntoView({ block: "start" });
  wrong?.focus({ preventScroll: true });
}

function words(name) {
  return document.getElementById(`drafts-${name}`).content.firstElementChild.cloneNode(true);
}

function tell(form, name, said = "") {
  form.querySelector(".sent")?.remove();
  const notice = words(name);
  const more = notice.querySelector(".more");
  if (more) more.textContent = said.slice(0, 300);
  const buttons = [...form.querySelectorAll(":scope > .actions, :scope > button")];
  if (buttons.length) buttons[0].before(notice);
  else form.append(notice);
  notice.scrollIntoView({ block: "nearest" });
}
