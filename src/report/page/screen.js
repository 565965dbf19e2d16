// The field's map: which screen is shown, by what it is coloured, and what was chosen on it or in the lists.
const readout = document.getElementById("readout");
const choice = document.getElementById("case");
const nets = [...document.querySelectorAll(".net")];
const bases = [...document.querySelectorAll(".base")];
const segments = nets.map((net) => [...net.children]);
const lineOf = (path) => path.getAttribute("d").slice(1).split("L").map((p) => p.split(" ").map(Number));
const drawn = segments.map((of) => of.map(lineOf));
const stands = [...document.querySelectorAll("#chart .st")];
const tables = [...document.querySelectorAll("[data-case]")];
const legends = [...document.querySelectorAll("[data-legend]")];
const routes = [...document.querySelectorAll("#routes path")];
let shown = data.cases[0], stretch = -1;

const chosen = (name) => document.querySelector(`input[name=${name}]:checked`).value;
const className = (letter) => (letter === "-" ? "hid" : "c" + letter);
const paint = () => {
  const lines = chosen("lines"), spots = chosen("stands");
  chart.classList.remove(...chart.classList);
  chart.classList.add("chart", lines, spots);
  for (const of of [bases, nets]) of.forEach((net, n) => net.toggleAttribute("hidden", n !== shown.net));
  segments[shown.net].forEach((path, i) => path.setAttribute("class", "seg " + className(shown.classes[lines][i])));
  stands.forEach((spot, i) => spot.setAttribute("class", "mk spot st " + className(shown.classes[spots][i])));
  for (const list of legends) list.hidden = list.dataset.legend !== lines && list.dataset.legend !== spots;
  for (const table of tables) table.hidden = Number(table.dataset.case) !== data.cases.indexOf(shown);
};
const point_out = (row, paths) => {
  show_route(-1);
  for (const path of document.querySelectorAll(".seg.sel")) path.classList.remove("sel");
  for (const path of paths) path.classList.add("sel");
  for (const old of document.querySelectorAll("tr[aria-current]")) old.removeAttribute("aria-current");
  if (row) row.setAttribute("aria-current", "true");
};
const show_route = (i) => {  // of the case shown; -1: none
  const first = data.cases.slice(0, data.cases.indexOf(shown)).reduce((sum, c) => sum + c.routes.length, 0);
  routes.forEach((path, r) => path.classList.toggle("hid", i < 0 || r !== first + i));
  const of = i < 0 ? [] : shown.routes[i].stands;
  stands.forEach((spot, s) => spot.classList.toggle("of", of.includes(s)));
  return i < 0 ? null : routes[first + i];
};
const rowOf = (key, i) => {
  const table = tables.find((t) => !t.hidden && t.querySelector(`[data-${key}]`));
  const button = table && table.querySelector(`[data-${key}="${i}"]`);
  return button ? button.closest("tr") : null;
};
const middle = (line) => line[Math.floor(line.length / 2)];
const mark = (x, y) => {
  root.classList.add("live");
  putHere(x, y);
};
const kilograms = (kg) => told(kg * data.units.fuel.factor, { decimals: 0, name: data.units.fuel.name });
const lostWords = (s) => (s.lost === null ? "what it loses was not searched" : `${kilograms(s.lost)} of fuel are lost a year because of it`);
const share = (i) => {
  const s = shown.segments;
  return s.use[i] > 0 ? s.forced[i] / s.use[i] : s.kept[i] / s.pairs[i];
};
const segmentWords = (i) => {
  const s = shown.segments, net = data.nets[shown.net];
  let text = `${net.name[i]}, ${metres(net.length[i])}: ${number(s.use[i], 0)} movements a year lead over it`;
  if (!s.kept[i]) return text + ", and one engine will do.";
  const part = 100 * share(i);
  text += `, ${part < 1 ? "less than 1" : number(part, 0)}${NB}% of them forced to run every engine (${data.reasons[s.why[i]]}).`;
  const of = shown.stretches[s.stretch[i]];
  return `${text} Of its stretch, ${metres(of.length)}: ${lostWords(of)}.`;
};
const chooseStretch = (i, told_of) => {
  stretch = i;
  const at = shown.segments.stretch.flatMap((s, n) => (s === i ? [n] : []));
  point_out(rowOf("stretch", i), at.map((n) => segments[shown.net][n]));
  const of = shown.stretches[i];
  const why = [...new Set(at.map((n) => data.reasons[shown.segments.why[n]]))].join(", ");
  readout.textContent = told_of || `${i + 1} of ${shown.stretches.length}: ${of.name}, ${metres(of.length)}, forces every engine (${why}); ${lostWords(of)}.`;
  if (told_of || !at.length) return;
  const [x, y] = middle(drawn[shown.net][at[Math.floor(at.length / 2)]]);
  mark(x, y);
  reveal(x, y);
};
const chooseSegment = (i) => {
  const of = shown.segments.stretch[i];
  if (of >= 0) chooseStretch(of, segmentWords(i)); else point_out(null, [segments[shown.net][i]]);
  readout.textContent = segmentWords(i);
};
const chooseStand = (i) => {
  point_out(rowOf("stand", i), []);
  readout.textContent = `Stand ${data.stands[i]}: ${shown.stands[i]}.`;
  mark(Number(stands[i].dataset.x), Number(stands[i].dataset.y));
  reveal(Number(stands[i].dataset.x), Number(stands[i].dataset.y));
};

const chooseRoute = (i) => {
  point_out(rowOf("route", i), []);
  const path = show_route(i);
  readout.textContent = shown.routes[i].text;
  root.classList.remove("live");
  if (path.getAttribute("d")) reveal(...middle(lineOf(path)));
};

// What lies nearest to a place of the map; stands before lines.
const nearest = (px, py) => {
  const x = view.x + (px - size.w / 2) * view.u, y = view.y + (py - size.h / 2) * view.u;
  let best = { d: Infinity };
  stands.forEach((spot, i) => {
    const d = Math.hypot(spot.dataset.x - x, spot.dataset.y - y);
    if (d < best.d) best = { d, stand: i, at: [Number(spot.dataset.x), Number(spot.dataset.y)] };
  });
  if (best.d / view.u < 10) return { ...best, px: best.d / view.u };
  drawn[shown.net].forEach((line, i) => {
    if (segments[shown.net][i].classList.contains("hid")) return;
    for (let k = 1; k < line.length; ++k) {
      const [ax, ay] = line[k - 1], dx = line[k][0] - ax, dy = line[k][1] - ay;
      const t = clamp(((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy || 1), 0, 1);
      const d = Math.hypot(ax + t * dx - x, ay + t * dy - y);
      if (d < best.d) best = { d, segment: i, at: [ax + t * dx, ay + t * dy] };
    }
  });
  return { ...best, px: best.d / view.u };
};
page.hover = (px, py) => {
  const hit = nearest(px, py);
  chart.classList.toggle("over", hit.px < 20);
};
page.pick = (px, py) => {
  const hit = nearest(px, py);
  if (!(hit.px < 40)) return;
  if (hit.stand !== undefined) chooseStand(hit.stand); else chooseSegment(hit.segment);
  mark(...hit.at);
};
const step = (by) => {
  const many = shown.stretches.length;
  if (many) chooseStretch(stretch < 0 && by < 0 ? many - 1 : (stretch + by + many) % many);
};
page.keys = { ",": () => step(-1), ".": () => step(1) };
page.paper = { w: 730, h: 390 };

document.addEventListener("click", (e) => {
  const button = e.target.closest("button[data-stretch], button[data-stand], button[data-route]");
  if (!button) return;
  const { stretch: of, stand, route } = button.dataset;
  if (of) chooseStretch(Number(of)); else if (stand) chooseStand(Number(stand)); else chooseRoute(Number(route));
  const box = chart.getBoundingClientRect();
  if (box.bottom < 80 || box.top > innerHeight - 80) chart.parentElement.scrollIntoView({ block: "center" });
});
document.getElementById("choose").addEventListener("change", () => {
  const other = data.cases[Number(choice.value)];
  if (other !== shown) {
    shown = other;
    stretch = -1;
    root.classList.remove("live");
    point_out(null, []);
    readout.textContent = `Shown: ${shown.title}.`;
  }
  paint();
  draw();
});

document.getElementById("choose").hidden = false;
choice.parentElement.hidden = data.cases.length < 2;
paint();
begin();
