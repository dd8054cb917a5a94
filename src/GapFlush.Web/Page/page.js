// The page on which an inspector logs readings. What is typed stays in this browser until the record has acknowledged it.
"use strict";

const at = id => document.getElementById(id);
const make = (tag, attributes = {}, ...children) => {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) if (value !== null && value !== undefined) node.setAttribute(name, value);
  node.append(...children);
  return node;
};
const draw = (tag, attributes) => {
  const node = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  return node;
};

let plan, door, draft = {}, entered = {}, verdicts = {}, here = null, judging = 0, late;

const key = (station, characteristic) => `${station}\u0000${characteristic}`;
const kept = name => { try { return localStorage.getItem("gapflush " + name); } catch { return null; } };
const keep = (name, value) => { try { value === null ? localStorage.removeItem("gapflush " + name) : localStorage.setItem("gapflush " + name, value); } catch { tell("This browser keeps nothing: do not close the page before the sheet is entered.", true); } };
const sheetName = () => `sheet ${plan.name} ${at("build").value.trim()} ${door.code} ${at("stage").value}`;

function tell(words, isProblem = false) {
  at("message").textContent = words;
  at("message").className = isProblem ? "problem" : "";
}

async function ask(path, body) {
  let answer;
  try {
    answer = await fetch(path, body === undefined ? {} : { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
  } catch {
    throw new Error("The server is not reached. What you typed is kept in this browser; try again.");
  }
  let content = null;
  try { content = await answer.json(); } catch { /* told by the status below */ }
  if (!answer.ok && answer.status !== 409 && answer.status !== 422) throw new Error(content?.problem ?? `The server answered ${answer.status}.`);
  return { status: answer.status, content };
}

// ---- the head of the sheet

function fillHead() {
  at("plan").textContent = `${plan.aircraft}, plan ${plan.name}${plan.issue ? ", issue " + plan.issue : ""}.`;
  at("caution").textContent = plan.caution;
  at("builds").replaceChildren(...plan.builds.map(b => make("option", { value: b })));
  at("door").replaceChildren(...plan.doors.map(d => make("option", { value: d.code }, `${d.code}, ${d.title}`)));
  const stages = plan.stages.map(s => make("option", { value: s.name }, s.name));
  if (plan.stages.length !== 1) stages.unshift(make("option", { value: "" }, plan.stages.length ? "choose" : "none"));
  at("stage").replaceChildren(...stages);
  for (const id of ["build", "door", "stage", "inspector", "unit"]) if (kept(id) !== null) at(id).value = kept(id);
  if (!at("door").value) at("door").selectedIndex = 0;
  for (const id of ["build", "door", "stage"]) at(id).addEventListener("change", openSheet);
  for (const id of ["inspector", "unit", "temperature"]) at(id).addEventListener("change", () => { if (id !== "temperature") keep(id, at(id).value); judgeSoon(); });
  at("head").addEventListener("submit", e => e.preventDefault());
}

// ---- the sheet

async function openSheet() {
  for (const id of ["build", "door", "stage"]) keep(id, at(id).value);
  door = plan.doors.find(d => d.code === at("door").value);
  draft = JSON.parse(kept(sheetName()) ?? "{}");
  verdicts = {};
  entered = {};
  here = door.stations[0].name;
  at("state").textContent = [plan.stages.find(s => s.name === at("stage").value)?.state, `${door.definitions}; a gap is positive when open, a flush where the door stands proud`].filter(Boolean).map(w => w[0].toUpperCase() + w.slice(1) + ".").join(" ");
  layOut();
  await loadEntered();
  judgeSoon();
}

async function loadEntered() {
  const build = at("build").value.trim();
  at("report").hidden = true;
  if (!build) return;
  try {
    const { content } = await ask(`entered?build=${encodeURIComponent(build)}&door=${encodeURIComponent(door.code)}&stage=${encodeURIComponent(at("stage").value)}`);
    entered = {};
    for (const e of content) (entered[key(e.station, e.characteristic)] ??= []).push(`${e.value} ${e.unit}`);
    at("report").hidden = content.length === 0;
    at("report").href = `report?build=${encodeURIComponent(build)}`;
  } catch (problem) {
    tell(problem.message, true);
  }
  for (const input of document.querySelectorAll("td input")) {
    const old = entered[key(input.dataset.station, input.dataset.characteristic)];
    input.placeholder = old ? old.at(-1).split(" ")[0] : "";
    input.title = old ? `in the record: ${old.join("; ")}` : "";
  }
  count();
}

function layOut() {
  at("columns").replaceChildren(make("tr", {}, make("th", {}, "Station"), ...door.characteristics.map(c => {
    const gauge = make("select", { "aria-label": `gauge for ${c.words}`, "data-gauge": c.code }, make("option", { value: "" }, "gauge"), ...plan.gauges.map(g => make("option", { value: g.name }, `${g.name}, ${g.kind}${g.due ? `, due ${g.due}` : ""}`)));
    gauge.value = kept(`gauge ${c.code}`) ?? "";
    gauge.addEventListener("change", () => { keep(`gauge ${c.code}`, gauge.value); judgeSoon(); });
    return make("th", {}, c.words, make("br"), gauge);
  })));
  const rows = [];
  let zone = null;
  for (const station of door.stations) {
    if (station.zone !== zone) rows.push(make("tr", { class: "zone" }, make("td", { colspan: door.characteristics.length + 1 }, zone = station.zone)));
    rows.push(make("tr", { "data-row": station.name }, make("td", { class: "station" }, station.name), ...door.characteristics.map(c => {
      const input = make("input", { inputmode: "decimal", autocomplete: "off", "aria-label": `${c.words} at station ${station.name}`, "data-station": station.name, "data-characteristic": c.code });
      input.value = draft[key(station.name, c.code)]?.value ?? "";
      input.addEventListener("input", () => typed(input));
      input.addEventListener("focus", () => goTo(station.name));
      input.addEventListener("keydown", e => { if (e.key === "Enter") { e.preventDefault(); next(input, e.shiftKey ? -1 : 1); } });
      return make("td", {}, input, make("span", { class: "verdict" }));
    })));
  }
  at("rows").replaceChildren(...rows);
  drawOutline();
  count();
}

function typed(input) {
  const name = key(input.dataset.station, input.dataset.characteristic), value = input.value.trim();
  if (value) draft[name] = { value, takenAt: new Date().toISOString().slice(0, 19) + "Z", gauge: document.querySelector(`[data-gauge="${input.dataset.characteristic}"]`).value };
  else delete draft[name];
  delete verdicts[name];
  keep(sheetName(), Object.keys(draft).length ? JSON.stringify(draft) : null);
  judgeSoon();
}

// The gauge in the hand stays the same: Enter goes on round the door, and after the last station to the first of the next column.
function next(input, step) {
  const order = door.characteristics.flatMap(c => door.stations.map(s => [s.name, c.code]));
  const i = order.findIndex(([s, c]) => s === input.dataset.station && c === input.dataset.characteristic) + step;
  if (i < 0 || i >= order.length) return at("enter").focus();
  const [station, characteristic] = order[i];
  const target = [...document.querySelectorAll("td input")].find(n => n.dataset.station === station && n.dataset.characteristic === characteristic);
  target.focus();
  target.select();
}

function goTo(station) {
  here = station;
  for (const row of document.querySelectorAll("tr[data-row]")) row.classList.toggle("here", row.dataset.row === station);
  drawOutline();
}

// ---- judging what is typed

function sheet() {
  return {
    build: at("build").value.trim(), door: door.code, stage: at("stage").value || null, inspector: at("inspector").value.trim() || null, unit: at("unit").value, temperatureC: at("temperature").value.trim() || null,
    values: Object.entries(draft).map(([name, d]) => {
      const [station, characteristic] = name.split("\u0000");
      return { station, characteristic, value: d.value, gauge: d.gauge || document.querySelector(`[data-gauge="${characteristic}"]`)?.value || null, takenAt: d.takenAt };
    }),
  };
}

function judgeSoon() {
  clearTimeout(late);
  late = setTimeout(judge, 350);
  count();
}

async function judge() {
  const mine = ++judging, asked = sheet();
  verdicts = {};
  if (!asked.build || asked.values.length === 0) return show([], []);
  try {
    const { content } = await ask("judge", asked);
    if (mine !== judging) return;   // something newer is under way
    for (const r of content.rows) verdicts[key(r.station, r.characteristic)] = { word: r.verdict ?? "no limit", reason: r.reason };
    show(content.problems.map(p => ({ ...p, value: asked.values[p.value] })), content.doubts);
    if (at("message").className === "problem") tell("");
  } catch (problem) {
    if (mine === judging) tell(problem.message, true);
  }
}

function show(problems, doubts) {
  for (const input of document.querySelectorAll("td input")) {
    const problem = problems.find(p => p.value?.station === input.dataset.station && p.value?.characteristic === input.dataset.characteristic);
    const verdict = verdicts[key(input.dataset.station, input.dataset.characteristic)];
    input.setAttribute("aria-invalid", problem ? "true" : "false");
    const said = input.nextSibling;
    said.className = problem ? "verdict problem" : "verdict";
    said.replaceChildren(...(problem ? [problem.words] : verdict && input.value.trim() ? [mark(verdict.word), " ", verdict.word === "within" ? "within" : `${verdict.word}${verdict.reason ? ": " + verdict.reason : ""}`] : []));
  }
  const general = problems.filter(p => !p.value).map(p => make("p", { class: "problem" }, p.words));
  at("doubts").replaceChildren(...general, ...doubts.map(d => make("p", {}, mark("doubt"), ` ${d.stations.length && d.stations.length <= 6 ? "At " + d.stations.join(", ") + ": " : ""}${d.seen} ${d.todo}`)));
  drawOutline();
  count();
}

function mark(word) {
  const svg = draw("svg", { class: "mark", viewBox: "0 0 4 4", "aria-hidden": "true" });
  svg.innerHTML = plan.marks[word] ?? "";
  return svg;
}

function count() {
  const wanted = door.stations.length * door.characteristics.length, typedIn = Object.keys(draft).length;
  const there = door.stations.reduce((n, s) => n + door.characteristics.filter(c => draft[key(s.name, c.code)] || entered[key(s.name, c.code)]).length, 0);
  const words = Object.values(verdicts).map(v => v.word), of = word => words.filter(w => w === word).length;
  at("count").textContent = `${there} of ${wanted} read, ${typedIn} of them not yet in the record. ${["outside", "undecided"].filter(w => of(w)).map(w => `${of(w)} ${w}`).join(", ")}`;
  at("enter").disabled = typedIn === 0;
}

// ---- the outline: what is read, what is out, where one stands

function drawOutline() {
  const size = Math.max(door.width, door.height), text = size / 30, svg = at("outline"), around = size * 0.09;
  svg.setAttribute("viewBox", `${-around} ${-around} ${door.width + 2 * around} ${door.height + 2 * around}`);
  const shapes = [draw("polygon", { class: "seam", points: door.stations.map(s => `${s.x},${s.y}`).join(" "), "stroke-width": size / 170 })];
  const [cx, cy] = [door.width / 2, door.height / 2];
  for (const station of door.stations) {
    const words = door.characteristics.map(c => verdicts[key(station.name, c.code)]?.word ?? (draft[key(station.name, c.code)] || entered[key(station.name, c.code)] ? "read" : "todo"));
    const worst = ["outside", "undecided"].find(w => words.includes(w));
    if (worst) {
      const g = draw("g", { transform: `translate(${station.x} ${station.y}) scale(${size / 90}) translate(-2 -2)` });
      g.innerHTML = plan.marks[worst];
      shapes.push(g);
    } else {
      shapes.push(draw("circle", { cx: station.x, cy: station.y, r: size / 130, class: words.includes("todo") ? "todo" : "done", "stroke-width": size / 400, fill: "#004488" }));
    }
    if (station.name === here) shapes.push(draw("circle", { cx: station.x, cy: station.y, r: size / 45, class: "here", "stroke-width": size / 170 }));
    const away = Math.hypot(station.x - cx, station.y - cy) || 1, k = 1 + text * 1.6 / away;
    const name = draw("text", { class: "name", x: cx + (station.x - cx) * k, y: cy + (station.y - cy) * k, "font-size": text });
    name.textContent = station.name;
    const spot = draw("circle", { class: "spot", cx: station.x, cy: station.y, r: size / 40 });
    spot.addEventListener("click", () => document.querySelector(`tr[data-row="${CSS.escape(station.name)}"] input`).focus());
    shapes.push(name, spot);
  }
  svg.replaceChildren(...shapes);
}

// ---- entering

async function enter(sameKey = "ask", why = null) {
  const sent = { ...sheet(), sameKey, why }, name = sheetName();
  if (!sent.build) return tell("Write the serial of the aircraft first.", true), at("build").focus();
  at("enter").disabled = true;
  tell("Entering …");
  try {
    const { status, content } = await ask("readings", sent);
    if (status === 409) {
      tell(content.problem, true);
      at("taken-list").replaceChildren(...content.taken.map(t => make("li", {}, `Station ${t.station}, ${t.characteristic}: ${t.now} now, ${t.before} in ${t.source}${t.by ? ` by ${t.by}` : ""}`)));
      return at("taken").showModal();
    }
    if (status === 422) {
      tell(content.problem, true);
      return content.problems && show(content.problems.map(p => ({ ...p, value: sent.values[p.value] })), []);
    }
    // Only what was sent is taken off the sheet: a value typed meanwhile stays.
    for (const v of sent.values) if (draft[key(v.station, v.characteristic)]?.value === v.value) delete draft[key(v.station, v.characteristic)];
    keep(name, Object.keys(draft).length ? JSON.stringify(draft) : null);
    verdicts = {};
    layOut();
    await loadEntered();
    tell(`${content.words} Head of the record: ${content.head.slice(0, 16)}…`);
  } catch (problem) {
    tell(problem.message, true);
  } finally {
    count();
  }
}

at("enter").addEventListener("click", () => enter());
at("replace").addEventListener("click", () => {
  if (!at("why").value.trim()) return at("why").focus();
  at("taken").close();
  enter("replace", at("why").value.trim());
});
at("repeat").addEventListener("click", () => { at("taken").close(); enter("repeat"); });
at("back").addEventListener("click", () => at("taken").close());

(async () => {
  try {
    plan = (await ask("plan")).content;
    fillHead();
    await openSheet();
  } catch (problem) {
    tell(problem.message, true);
  }
})();
