// The mark that links map and profile, and hands on both.
const profile = document.getElementById("profile");
const readout = document.getElementById("readout");
const plots = [...profile.querySelectorAll(".plot")];
const lines = [...profile.querySelectorAll("line.mark")];
const now = new Map([...profile.querySelectorAll(".now")].map((o) => [o.dataset.key, o]));

// The mark: one place, shown on map, profile and in words.
let mark = 0;
const say = (key, text) => { const out = now.get(key); if (out) out.textContent = text; };
const words = (s) => {
  const u = data.units;
  const leg = last(data.legs, "at", mark);
  const phase = last(data.phases, "from", mark);
  const parts = [`At ${metres(mark)}${s.time === null ? "" : ", " + duration(s.time)}: ${leg ? leg.name : ""}`];
  if (!s.pushed && phase) parts[0] += `, ${phase.engines.charAt(0).toLowerCase() + phase.engines.slice(1)}`;
  if (leg && leg.verdict) {
    // Where every engine runs, the verdict is on the set that taxies elsewhere.
    if (!phase || !phase.every || data.set === "every engine") parts[0] += `, ${leg.verdict}`;
    else parts[0] += ` (${data.set} alone: ${leg.verdict})`;
  }
  if (s.stands > 1) parts[0] += `, stands here ${duration(s.stands)}`;
  const values = [];
  if (s.height !== null) values.push("height " + told(s.height, { decimals: u.length.name === "m" ? 1 : 0, name: u.length.name }));
  if (s.grade) values.push(`grade ${s.grade[0] > 0 ? "+" : ""}${number(s.grade[0], 1)} ± ${number(s.grade[1], 1)}${NB}%`);
  if (s.available !== null)
    values.push(`thrust ${s.needed === null ? "beyond measure" : number(s.needed, u.thrust.decimals)} needed of ${told(s.available, u.thrust)}`);
  if (s.speed !== null) values.push(told(s.speed, { decimals: 1, name: "kt" }));
  if (s.fuel !== null) values.push("fuel " + told(s.fuel, u.fuel));
  if (s.brake !== null) values.push("brakes " + told(s.brake, { decimals: 0, name: "°C" }));
  const lies = data.places.filter((p) => p.text && Math.abs(p.at - mark) < 3).map((p) => p.text);
  if (lies.length) parts.push(lies.join(", "));
  if (values.length) parts.push(values.join(", ").replace(/^./, (c) => c.toUpperCase()));
  return parts.join(". ") + ".";
};
const setMark = (at) => {
  mark = clamp(at, 0, data.length);
  root.classList.add("live");
  const s = stateAt(mark);
  const share = data.length > 0 ? (100 * mark / data.length).toFixed(3) + "%" : "0";
  for (const line of lines) { line.setAttribute("x1", share); line.setAttribute("x2", share); }
  putHere(...placeAt(mark));
  const text = words(s);
  readout.textContent = text;
  profile.setAttribute("aria-valuenow", mark.toFixed(0));
  profile.setAttribute("aria-valuetext", text);
  const u = data.units;
  say("height", s.height === null ? "" : number(s.height, u.length.name === "m" ? 1 : 0));
  say("grade", s.grade ? `${number(s.grade[0], 1)} ± ${number(s.grade[1], 1)}` : "");
  say("thrust", s.available === null ? "" : `${s.needed === null ? "–" : number(s.needed, u.thrust.decimals)} of ${number(s.available, u.thrust.decimals)}`);
  say("speed", s.speed === null ? "" : number(s.speed, 1));
  say("fuel", s.fuel === null ? "" : number(s.fuel, u.fuel.decimals));
  say("brake", s.brake === null ? "" : number(s.brake, 0));
};

// Hands on the map.
const nearest = (px, py) => {
  const x = view.x + (px - size.w / 2) * view.u, y = view.y + (py - size.h / 2) * view.u;
  const l = data.line;
  let best = { d: Infinity, at: 0 };
  for (let i = 1; i < l.at.length; ++i) {
    const dx = l.x[i] - l.x[i - 1], dy = l.y[i] - l.y[i - 1];
    const t = clamp(((x - l.x[i - 1]) * dx + (y - l.y[i - 1]) * dy) / (dx * dx + dy * dy || 1), 0, 1);
    const d = Math.hypot(l.x[i - 1] + t * dx - x, l.y[i - 1] + t * dy - y);
    if (d < best.d) best = { d, at: l.at[i - 1] + t * (l.at[i] - l.at[i - 1]) };
  }
  return { at: best.at, px: best.d / view.u };
};
const stride = data.length > 1000 ? 10 : 5;  // m
const show = (at) => reveal(...placeAt(at));
page.hover = (px, py) => {
  const hit = nearest(px, py);
  if (hit.px < 36) setMark(hit.at);
};
page.pick = (px, py) => {
  const hit = nearest(px, py);
  if (hit.px < 48) setMark(hit.at);
};
page.keys = {
  ",": () => { setMark(mark - stride); show(mark); },
  ".": () => { setMark(mark + stride); show(mark); },
};
// The way as dots some 14 px apart.
page.dots = () => {
  const dots = [];
  const step = Math.max(14 * view.u, data.length / 2000);
  for (let at = 0; at <= data.length; at += step) dots.push(placeAt(at));
  return dots;
};
page.measured = () => {
  for (const text of profile.querySelectorAll(".engines text")) {  // a stretch's name, where it finds room
    const room = text.previousElementSibling.getBoundingClientRect().width;
    text.classList.toggle("hid", text.getComputedTextLength() + 12 > room);
  }
};

// Hands on the profile.
const along = (e) => {
  const box = plots[0].getBoundingClientRect();
  setMark(data.length * (e.clientX - box.left) / box.width);
};
profile.addEventListener("pointermove", along);
profile.addEventListener("pointerdown", along);
profile.addEventListener("keydown", (e) => {
  const far = e.shiftKey ? 10 : 1;
  const to = {
    ArrowLeft: mark - stride * far, ArrowDown: mark - stride * far, ArrowRight: mark + stride * far, ArrowUp: mark + stride * far,
    PageDown: mark - 10 * stride, PageUp: mark + 10 * stride, Home: 0, End: data.length,
  }[e.key];
  if (to === undefined || e.ctrlKey || e.metaKey || e.altKey) return;
  e.preventDefault();
  setMark(to);
  show(mark);
});

document.addEventListener("click", (e) => {
  const button = e.target.closest("button[data-at]");
  if (!button) return;
  setMark(Number(button.dataset.at));
  show(mark);
  const box = chart.getBoundingClientRect();
  if (box.bottom < 80 || box.top > innerHeight - 80) chart.parentElement.scrollIntoView({ block: "center" });
});

begin();
