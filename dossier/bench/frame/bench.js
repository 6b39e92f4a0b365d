// The only script of the workbench. It posts forms, cancels the question before, and writes
// into output cells alone: a field is never touched while someone types in it. Without it
// every page can be read, and every form sent by its button.

const status = document.getElementById("status");
let said = 0;
function say(text) {
  clearTimeout(said);
  said = setTimeout(() => { if (status && text) status.textContent = text; }, 400);
}

function put(out) {
  for (const id in out || {}) {
    const cell = document.getElementById(id);
    if (cell && !cell.contains(document.activeElement)) cell.innerHTML = out[id];
    if (cell) cell.classList.remove("stale");
  }
}

// a save is sent to its end, even where the page is left meanwhile
async function ask(url, body, signal) {
  const keepalive = !signal && String(body).length < 60000; // browsers take no longer one
  const r = await fetch(url, { method: "POST", body, signal, keepalive, headers: { Accept: "application/json" } });
  return answer(r);
}
async function answer(r) {
  if (/json/.test(r.headers.get("Content-Type") || "")) return r.json();
  const other = await r.text(); // who guards the door speaks plainly
  throw Object.assign(new Error("no answer of a page"), { other });
}

// The number of the workshop as this page shows it, and whether the page is on its way out: then
// a question that is cut off says nothing about the program, and nothing may lead elsewhere.
let number = document.body.dataset.number;
let leaving = 0;
addEventListener("beforeunload", () => {
  clearTimeout(leaving);
  leaving = setTimeout(() => { leaving = 0; }, 20000); // a file to save leads nowhere
});
function lead(to) { leaving ||= setTimeout(() => { leaving = 0; }, 20000); location.assign(to); }

// what a field holds beside what it held when it was last saved
const kept = new WeakMap();
const ticks = f => f.type === "checkbox" || f.type === "radio";
const value = f => !ticks(f) ? f.value : f.checked ? f.value : "";
const first = f => ticks(f) ? (f.defaultChecked ? f.value : "") : f.tagName !== "SELECT" ? f.defaultValue
  : ([...f.options].find(o => o.defaultSelected) || f.options[0])?.value;
const changed = f => (kept.has(f) ? kept.get(f) : first(f)) !== value(f);
const stands = f => /^(set|text|lines|list|words|figures|marks|pick):/.test(f.name);

// data-live: while typing, ask what it comes to
let seq = 0;
const running = new WeakMap();
async function live(form, field) {
  running.get(form)?.abort();
  const stop = new AbortController();
  running.set(form, stop);
  const mine = String(++seq);
  const body = new URLSearchParams();
  for (const f of form.querySelectorAll("[data-also]")) body.append(f.name, f.value);
  if (field) body.append(field.name, field.value);
  body.append("seq", mine);
  for (const cell of document.querySelectorAll("[data-stale]")) cell.classList.add("stale");
  try {
    const a = await ask(form.dataset.live, body, stop.signal);
    if (a.seq !== String(seq)) return;
    wrong(field, a);
    put(a.out);
    for (const cell of document.querySelectorAll("[data-stale]")) cell.classList.toggle("stale", !!a.error);
    if (a.say) say(a.say);
  } catch (e) {
    gone(e);
  }
}

// a question failed: whether the program still answers is asked, and not guessed
async function gone(e) {
  if (e.name === "AbortError" || leaving) return;
  if (e.other) { say(e.other + " What you typed stays here."); return; }
  await new Promise(later => setTimeout(later, 1000));
  if (leaving) return;
  try {
    await answer(await fetch("/number", { headers: { Accept: "application/json" } }));
    say("That was cut off. What you typed stays here: leave its field once more to keep it.");
  } catch (again) {
    if (!leaving) say(again.other ? again.other + " What you typed stays here."
      : "The program does not answer. What you typed stays here; start it again and try once more.");
  }
}

// the error of a field stands below it, tied to it for a reader of the screen
function wrong(field, a) {
  if (!field) return;
  let note = document.getElementById(field.id + "-wrong");
  if (!a.error) {
    note?.remove();
    field.removeAttribute("aria-invalid");
    field.removeAttribute("aria-describedby");
    field.classList.remove("bad");
    return;
  }
  if (!note) {
    note = document.createElement("p");
    note.id = field.id + "-wrong";
    note.className = "wrong";
    (field.closest("[data-wrong]") || field).insertAdjacentElement("afterend", note);
  }
  note.textContent = a.error + (a.fix ? " " + a.fix : "");
  field.setAttribute("aria-invalid", "true");
  field.setAttribute("aria-describedby", note.id);
  field.classList.add("bad");
}

// data-keep: a field that is left is saved, one value at its place. A value that needs
// another beside it is refused, waits in its field, and goes along with the next.
let queue = Promise.resolve();
let saving = 0; // our own saves change the number of the workshop too
function keep(form, field) {
  if (!changed(field)) return;
  const held = [...form.elements].filter(f => stands(f) && changed(f) && !(f.type === "radio" && !f.checked)).map(f => [f, value(f)]);
  for (const [f, v] of held) kept.set(f, v);
  const back = () => { for (const [f] of held) kept.delete(f); };
  running.get(form)?.abort();
  saving++;
  queue = queue.catch(() => false).then(async () => {
    const body = new URLSearchParams();
    for (const f of form.querySelectorAll("[data-also]")) body.append(f.name, f.value);
    for (const [f, v] of held) {
      if (!f.name.startsWith("marks:")) body.append(f.name, v);
      else if (!body.has(f.name)) for (const b of form.elements) if (b.name === f.name && (b.checked || !ticks(b))) body.append(b.name, b.value);
    }
    let a;
    try { a = await ask(form.action, body); } catch (e) { back(); saving--; gone(e); return false; }
    try {
      if (a.go) { lead(a.go); return false; }
      if (a.error) { // said at each field that is wrong; what was sent beside it waits in its own
        if (a.wrong) for (const [f] of held) wrong(f, a.wrong[f.name] ? { error: a.wrong[f.name] } : {});
        else wrong(field, a);
        back(); say(a.error); return false;
      }
      for (const [f] of held) wrong(f, a);
      if (a.base) for (const b of document.querySelectorAll("input[name=base]")) b.value = a.base;
      put(a.out);
      if (a.say) say(a.say);
      if (a.number) number = String(a.number);
      return true;
    } finally { saving--; }
  });
}

// A link is followed when what is being saved is saved; where that is refused, the page stays
// and says so at the field.
document.addEventListener("click", e => {
  const a = e.target.closest("a[href]");
  if (!saving || !a || e.defaultPrevented || e.button || e.ctrlKey || e.metaKey || e.shiftKey || a.target) return;
  if (a.getAttribute("href").startsWith("#")) return;
  e.preventDefault();
  queue.then(kept => { if (kept) lead(a.href); });
});

document.addEventListener("input", e => {
  const form = e.target.closest("form[data-live]");
  if (form && e.target.name && !e.target.hasAttribute("data-also")) live(form, e.target);
  if (e.target.matches("[data-seek]")) seek(e.target);
});
document.addEventListener("change", e => {
  const form = e.target.closest("form[data-keep]");
  if (form && stands(e.target)) keep(form, e.target);
  else if (e.target.matches("[data-send]")) e.target.form.requestSubmit();
});

// data-seek: hits stand in the flow below the field, and push rows down
const seeking = new WeakMap();
async function seek(field) {
  seeking.get(field)?.abort();
  const stop = new AbortController();
  seeking.set(field, stop);
  const box = document.getElementById(field.getAttribute("aria-controls"));
  try {
    const body = new URLSearchParams({ q: field.value });
    const a = await ask(field.dataset.seek, body, stop.signal);
    const was = box.querySelector("[aria-selected=true]")?.dataset.value; // a late answer leaves it chosen
    box.innerHTML = a.out.hits || "";
    const same = was && [...box.querySelectorAll("[role=option]")].find(h => h.dataset.value === was);
    same?.setAttribute("aria-selected", "true");
    field.setAttribute("aria-activedescendant", same?.id || "");
    box.hidden = !a.out.hits;
    field.setAttribute("aria-expanded", String(!box.hidden));
  } catch (e) { gone(e); }
}
function choose(hit) {
  const box = hit.closest("[role=listbox]");
  const field = document.querySelector(`[aria-controls="${box.id}"]`);
  field.value = hit.dataset.value;
  for (const more of hit.dataset.fill ? JSON.parse(hit.dataset.fill) : []) {
    const f = field.form.querySelector(`[data-fill="${more[0]}"]`) || document.getElementById(field.id.replace(/name$/, more[0]));
    if (f && !f.value) { f.value = more[1]; f.dispatchEvent(new Event("change", { bubbles: true })); }
  }
  box.hidden = true;
  field.setAttribute("aria-expanded", "false");
  field.focus();
  field.dispatchEvent(new Event("input", { bubbles: true }));
  seeking.get(field)?.abort(); // nothing is looked for once it is chosen: the list stays closed
  box.hidden = true;
  field.dispatchEvent(new Event("change", { bubbles: true }));
}
document.addEventListener("mousedown", e => {
  const hit = e.target.closest("[role=option]");
  if (hit) { e.preventDefault(); choose(hit); }
});

// keys of a grid: the cell in focus is the tab stop, arrows go to the next
function cells(grid) { return [...grid.querySelectorAll("[data-cell]")].filter(c => c.offsetParent); }
function go(grid, from, rows, cols) {
  const all = cells(grid);
  const [r, c] = from.dataset.cell.split(",").map(Number);
  const pick = rows
    ? all.filter(x => { const [a, b] = x.dataset.cell.split(",").map(Number); return rows > 0 ? a > r : a < r; })
        .sort((x, y) => { const p = x.dataset.cell.split(",").map(Number), q = y.dataset.cell.split(",").map(Number);
          return rows * (p[0] - q[0]) || Math.abs(p[1] - c) - Math.abs(q[1] - c); })[0]
    : all[all.indexOf(from) + cols];
  if (!pick) return;
  focusCell(grid, pick);
}
function focusCell(grid, cell) {
  for (const c of cells(grid)) c.tabIndex = -1;
  cell.tabIndex = 0;
  cell.focus();
  if (cell.select) cell.select();
}
document.addEventListener("focusin", e => {
  const grid = e.target.closest("[data-grid]");
  if (!grid || !e.target.dataset.cell) return;
  for (const row of grid.querySelectorAll(".current")) row.classList.remove("current");
  e.target.closest("tr")?.classList.add("current");
  const form = e.target.closest("form[data-live]");
  const focus = form?.querySelector("input[name=focus]");
  if (focus && e.target.dataset.focus !== undefined) {
    const was = focus.value;
    focus.value = e.target.dataset.focus;
    if (was !== focus.value) live(form, null);
  }
});
let before = new WeakMap();
document.addEventListener("focusin", e => { if (e.target.matches("input,textarea")) before.set(e.target, e.target.value); });

document.addEventListener("keydown", e => {
  const t = e.target;
  const box = t.getAttribute?.("aria-controls") && document.getElementById(t.getAttribute("aria-controls"));
  if (box && !box.hidden) {
    const hits = [...box.querySelectorAll("[role=option]")];
    let at = hits.findIndex(h => h.getAttribute("aria-selected") === "true");
    if (e.key === "ArrowDown" || e.key === "ArrowUp") {
      e.preventDefault();
      if (at >= 0) hits[at].setAttribute("aria-selected", "false");
      at = e.key === "ArrowDown" ? Math.min(at + 1, hits.length - 1) : Math.max(at - 1, 0);
      hits[at]?.setAttribute("aria-selected", "true");
      t.setAttribute("aria-activedescendant", hits[at]?.id || "");
      return;
    }
    if (e.key === "Enter" && at >= 0) { e.preventDefault(); choose(hits[at]); return; }
    if (e.key === "Escape") { box.hidden = true; t.setAttribute("aria-expanded", "false"); return; }
  }
  const grid = t.closest?.("[data-grid]");
  if (grid && t.dataset.cell) {
    const text = t.selectionStart !== undefined && t.selectionStart !== null;
    const edge = !text || (t.selectionStart === 0 && t.selectionEnd === t.value.length) || (e.key === "ArrowLeft" ? t.selectionEnd === 0 : t.selectionStart === t.value.length);
    if (e.altKey && (e.key === "ArrowUp" || e.key === "ArrowDown")) {
      const b = t.closest("tr")?.querySelector(`button[value^="${e.key === "ArrowUp" ? "up" : "down"}:"]`);
      if (b) { e.preventDefault(); remember(t, e.key === "ArrowUp" ? -1 : 1); b.click(); }
    } else if (e.key === "ArrowUp") { e.preventDefault(); go(grid, t, -1, 0); }
    else if (e.key === "ArrowDown") { e.preventDefault(); go(grid, t, 1, 0); }
    else if (e.key === "Enter" && t.tagName === "INPUT") { e.preventDefault(); t.dispatchEvent(new Event("change", { bubbles: true })); go(grid, t, 1, 0); }
    else if (e.key === "ArrowLeft" && edge) { e.preventDefault(); go(grid, t, 0, -1); }
    else if (e.key === "ArrowRight" && edge) { e.preventDefault(); go(grid, t, 0, 1); }
    else if (e.key === "Home" && e.ctrlKey) { e.preventDefault(); focusCell(grid, cells(grid)[0]); }
    else if (e.key === "End" && e.ctrlKey) { e.preventDefault(); focusCell(grid, cells(grid).at(-1)); }
    else if (e.key === "Insert" && !e.ctrlKey && !e.shiftKey) {
      const b = t.closest("tr")?.querySelector('button[value^="add-"]');
      if (b) { e.preventDefault(); remember(t, 1); b.click(); }
    }
  }
  if (e.key === "Escape" && before.has(t) && t.value !== before.get(t)) {
    t.value = before.get(t);
    t.dispatchEvent(new Event("input", { bubbles: true }));
  }
  const free = !t.closest?.("input,textarea,select");
  if (free && e.key === "/" && !e.ctrlKey) { e.preventDefault(); document.getElementById("find")?.focus(); }
  const clean = free || (t.matches("input,textarea") && !changed(t) && t.value === before.get(t));
  if (e.ctrlKey && !e.altKey && clean && (e.key === "z" || e.key === "y")) {
    const b = document.querySelector(e.key === "z" ? "[data-undo]" : "[data-redo]");
    if (b && b.getAttribute("aria-disabled") !== "true") { e.preventDefault(); remember(t, 0); b.click(); }
  }
});
document.addEventListener("click", e => {
  const b = e.target.closest("button[aria-disabled=true]");
  if (b) { e.preventDefault(); say(b.dataset.why || ""); }
  const a = e.target.closest("[data-put]");
  if (a) {
    const f = document.getElementById(a.dataset.put);
    f.value = a.dataset.value;
    f.focus();
    f.dispatchEvent(new Event("input", { bubbles: true }));
    f.dispatchEvent(new Event("change", { bubbles: true }));
  }
});

// A form is not sent while a field of it is being saved: Enter, and a press on Save, leave the
// field first, and the same change would come twice, the second time to a file that has moved
// on. A button with a name of its own is pressed again once that is done.
document.addEventListener("submit", e => {
  if (!saving) return;
  e.preventDefault();
  e.stopImmediatePropagation();
  const form = e.target, by = e.submitter;
  if (by?.name || !form.matches("form[data-keep]")) queue.then(kept => { if (kept) form.requestSubmit(by); });
}, true);

// data-wait: what takes a while says that it is under way, for how long, and is not sent twice
document.addEventListener("submit", e => {
  const at = e.target.dataset.wait && document.getElementById(e.target.dataset.wait);
  if (!at) return;
  if (at.dataset.on) { e.preventDefault(); return; }
  at.dataset.on = "1";
  at.hidden = false;
  const bar = document.createElement("progress"), text = document.createElement("span"), begun = performance.now();
  bar.setAttribute("aria-label", at.dataset.text);
  text.textContent = " " + at.dataset.text;
  const spent = document.createElement("span");
  spent.setAttribute("aria-hidden", "true");
  at.append(bar, text, spent);
  setInterval(() => { spent.textContent = ", " + Math.round((performance.now() - begun) / 1000) + " s"; }, 1000);
  for (const b of e.target.querySelectorAll("button")) b.setAttribute("aria-disabled", "true");
});
addEventListener("pageshow", e => { if (e.persisted) location.reload(); });

// a button that changes the structure loads the page anew: the focus comes back
function remember(field, rows) {
  const [r, c] = (field.dataset.cell || "").split(",").map(Number);
  sessionStorage.setItem("focus", JSON.stringify({ path: location.pathname, cell: field.dataset.cell ? `${r + rows},${c}` : "", id: field.id, y: scrollY }));
}
// Enter in a field keeps that field, and does not send the whole form
document.addEventListener("submit", e => {
  if (e.target.matches("form[data-keep]") && (!e.submitter || e.submitter.hasAttribute("data-default"))) {
    e.preventDefault();
    const f = document.activeElement;
    if (f?.form === e.target && stands(f)) keep(e.target, f);
    return;
  }
  if (e.target.hasAttribute("data-hash")) { // the answer leads to the next field
    if (e.submitter?.hasAttribute("data-default")) e.preventDefault();
    return;
  }
  if (!sessionStorage.getItem("focus")) sessionStorage.setItem("focus", JSON.stringify({ path: location.pathname, id: again(e.target)?.id, y: scrollY }));
});
// what is added below a list is followed by the next: its first field has the focus again
function again(form) {
  return form.closest(".adds") ? form.querySelector("input:not([type=hidden])") : document.activeElement;
}
{
  const f = JSON.parse(sessionStorage.getItem("focus") || "null");
  sessionStorage.removeItem("focus");
  if (f && f.path === location.pathname) {
    scrollTo(0, f.y);
    const auto = document.querySelector("[autofocus]");
    const cell = auto && !auto.value && auto || f.cell && document.querySelector(`[data-cell="${f.cell}"]`) || f.id && document.getElementById(f.id);
    const shut = cell ? cell.closest("details:not([open])") : null; // an empty id is no field
    if (shut) shut.open = true;
    if (cell) cell.focus({ preventScroll: true });
  } else if (location.hash) { // a link of a finding leads to its field
    const t = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    if (t?.matches("input, select, textarea, button")) t.focus();
  } else document.querySelector("[autofocus]")?.focus();
  // what was refused is said where it is seen, and the field that it is about has the focus
  const why = document.querySelector("main p.wrong[role=alert]"), bad = document.querySelector("main [aria-invalid=true]");
  if (why) (bad || why).scrollIntoView({ block: "center" });
  if (why && bad) bad.focus({ preventScroll: true });
  const tab = document.querySelector(".tabs [aria-current]"), tabs = tab?.parentElement;
  if (tabs && tabs.scrollWidth > tabs.clientWidth) tabs.scrollLeft = tab.offsetLeft - tabs.offsetLeft - 24;
}

// a paper beside its values: the line of the value in focus is marked on the page
for (const desk of document.querySelectorAll("[data-beside]")) {
  const rows = [...desk.querySelectorAll(".values tbody tr")];
  const mark = field => {
    const row = field?.closest("tr[data-at]");
    if (!row) return;
    for (const c of desk.querySelectorAll(".cur")) c.classList.remove("cur");
    for (const c of desk.querySelectorAll("tr.current")) c.classList.remove("current");
    row.classList.add("current");
    const spot = document.getElementById(row.dataset.at);
    if (!spot) return;
    spot.classList.add("cur");
    const pane = desk.querySelector(".leaves"), at = spot.getBoundingClientRect(), box = pane.getBoundingClientRect();
    if (at.top < box.top + 40 || at.bottom > box.bottom - 40) pane.scrollTop += at.top - box.top - box.height / 3;
  };
  desk.addEventListener("focusin", e => mark(e.target));
  mark(document.activeElement); // the page begins at the value that is next
  desk.addEventListener("keydown", e => {
    const f = e.target, row = f.closest(".values tbody tr");
    if (!row || !f.matches("input, select")) return;
    const press = what => { const b = what && !what.disabled && what; if (b) { e.preventDefault(); b.click(); } };
    if (e.key === "Enter" && e.shiftKey) press(desk.querySelector("[data-together]"));
    else if (e.key === "Enter") { e.preventDefault(); press(row.querySelector("[data-confirm]")); }
    else if (e.key === "Delete" && e.altKey) press(row.querySelector("[data-refuse]"));
    else if ((e.key === "ArrowDown" || e.key === "ArrowUp") && f.matches("input")) {
      const step = e.key === "ArrowDown" ? 1 : -1;
      for (let i = rows.indexOf(row) + step; rows[i]; i += step) {
        const next = rows[i].querySelector("input, select");
        if (next) { e.preventDefault(); next.focus(); if (next.select) next.select(); break; }
      }
    }
  });
}

// a line of the formula is dragged by its margin to another place of its phase; Alt with the
// arrows and the buttons of its menu do the same
{
  let dragged = null;
  const rowOf = e => e.target.closest?.("tr[data-line]");
  const list = row => row.dataset.line.replace(/\/\d+$/, "");
  const index = row => row.dataset.line.match(/\d+$/)[0];
  const fits = row => row && dragged && row !== dragged && list(row) === list(dragged);
  document.addEventListener("mousedown", e => { const row = e.target.closest?.("tr[data-line] > .gm")?.parentElement; if (row) row.draggable = true; });
  document.addEventListener("mouseup", e => { const row = rowOf(e); if (row) row.draggable = false; });
  document.addEventListener("dragstart", e => { const row = rowOf(e); if (!row?.draggable) return; dragged = row; e.dataTransfer.effectAllowed = "move"; row.classList.add("dragged"); });
  document.addEventListener("dragover", e => { const row = rowOf(e); if (!fits(row)) return; e.preventDefault(); for (const r of document.querySelectorAll(".dropat")) r.classList.remove("dropat"); row.classList.add("dropat"); });
  document.addEventListener("drop", e => {
    const row = rowOf(e);
    if (!fits(row)) return;
    e.preventDefault();
    const form = row.closest("form"), b = document.createElement("button");
    b.name = "do";
    b.value = `to-${index(row)}:${dragged.dataset.line}`;
    b.hidden = true;
    form.append(b);
    form.requestSubmit(b);
  });
  document.addEventListener("dragend", () => { if (dragged) { dragged.draggable = false; dragged.classList.remove("dragged"); } dragged = null; for (const r of document.querySelectorAll(".dropat")) r.classList.remove("dropat"); });
}

// dropped papers go into the form that takes them
for (const zone of document.querySelectorAll("[data-drop]")) {
  const input = zone.querySelector("input[type=file]");
  zone.addEventListener("dragover", e => { e.preventDefault(); zone.classList.add("over"); });
  zone.addEventListener("dragleave", () => zone.classList.remove("over"));
  zone.addEventListener("drop", e => { e.preventDefault(); input.files = e.dataTransfer.files; input.form.requestSubmit(); });
}

// what is typed while the page is already on its way out comes back on the new one
function holdTyped() {
  const list = [...document.querySelectorAll("input[id],textarea[id],select[id]")].filter(f => f.name && f.type !== "hidden" && f.type !== "file" && !ticks(f) && changed(f)).map(f => [f.id, f.value]);
  if (list.length) sessionStorage.setItem("typed", JSON.stringify({ path: location.pathname, at: document.activeElement?.id, list }));
}
{
  const held = JSON.parse(sessionStorage.getItem("typed") || "null");
  sessionStorage.removeItem("typed");
  if (held && held.path === location.pathname) {
    for (const [id, text] of held.list) {
      const f = document.getElementById(id);
      if (f) { f.value = text; f.dispatchEvent(new Event("input", { bubbles: true })); }
    }
    document.getElementById(held.at)?.focus();
  }
}

// what changes on disk appears by itself: one small question while the page is seen
async function look() {
  if (document.hidden || saving || leaving || !number || number === "0") return;
  const was = number;
  try {
    const now = (await answer(await fetch("/number", { headers: { Accept: "application/json" } }))).say;
    if (now === number || saving || leaving || number !== was) return;
    number = now;
    const typing = [...document.querySelectorAll("input,textarea")].some(f => f.name && !f.hasAttribute("data-also") && f.type !== "hidden" && f.type !== "search" && changed(f));
    if (typing) say("A file has changed on disk. Load the page anew when you have kept what you typed.");
    else { remember(document.activeElement || document.body, 0); addEventListener("pagehide", holdTyped); location.reload(); }
  } catch (e) { gone(e); }
}
setInterval(look, 2000);

// at the scale: what the figure means, in shape and word; the server judges
for (const form of document.querySelectorAll("[data-scale]")) {
  const field = form.querySelector("#grams"), out = form.querySelector("#verdict");
  const judge = () => {
    const g = parseFloat(field.value.replace(",", ".")), low = parseFloat(form.dataset.low), high = parseFloat(form.dataset.high), target = parseFloat(form.dataset.target);
    if (isNaN(g) || isNaN(low)) { out.textContent = ""; return; }
    const steps = (form.dataset.target.split(".")[1] || "").length || 1;
    const [cls, text] = g < low ? ["under", "↑ " + (target - g).toFixed(steps) + " g to go"] : g > high ? ["over", "↓ " + (g - target).toFixed(steps) + " g over"] : ["within", "✓ Within"];
    out.innerHTML = "";
    const s = document.createElement("span");
    s.className = cls;
    s.textContent = text;
    out.append(s);
  };
  field.addEventListener("input", judge);
  form.querySelector("#lot").addEventListener("keydown", e => { if (e.key === "Enter") { e.preventDefault(); field.focus(); field.select(); } });
  field.addEventListener("keydown", e => { if (e.key === "Enter" && !out.querySelector(".within") && !form.querySelector("#reason")?.value) { e.preventDefault(); } });
  // a scanner ends its code with Enter, some twice: without a mass nothing is sent
  form.addEventListener("submit", e => { if (!field.value.trim()) { e.preventDefault(); field.focus(); out.textContent = "no mass yet"; } });
  judge();
}
