// The map: its view, and where its signs stand in it.
const chart = document.getElementById("chart");
const here = document.getElementById("here");
const tools = document.getElementById("tools");
const scaleBar = document.getElementById("scale");

// What a page makes of it.
const page = {
  dots: () => [],                 // places in the map's plane that flags keep off
  hover: (px, py) => {},          // the pointer is over a place of the map
  pick: (px, py) => {},           // it was put down and lifted there
  keys: {},                       // on the map, beside those that move it
  measured: () => {},             // the screen's size is another
  paper: { w: 730, h: 260 },      // px of a frame as wide as the sheet
};

// The map's view.
const [left, top, width, height] = chart.getAttribute("viewBox").split(" ").map(Number);
let sign = 1;  // size of signs, less on paper
const view = { x: left + width / 2, y: top + height / 2, u: 1, fitted: true };  // u: metres a pixel
let size = { w: 1000, h: 520 };
let kept = null;  // view and size of the screen while a sheet is printed
const marks = [...chart.querySelectorAll(".mk")];
for (const m of marks) {
  const [x, y] = m.getAttribute("transform").match(/-?[\d.]+/g).map(Number);
  m.dataset.x = x;
  m.dataset.y = y;
  const text = m.querySelector("text");
  if (!text) continue;
  const box = text.getBBox();
  m.w = box.width;
  m.h = box.height;
  m.dy = Number(text.getAttribute("y") || 0);
  const rect = m.querySelector("rect");
  if (rect) {
    m.w += 16;
    m.h = 28;
    rect.setAttribute("x", -m.w / 2);
    rect.setAttribute("width", m.w);
  }
}
const resize = (m) => m.setAttribute("transform", `translate(${m.dataset.x} ${m.dataset.y}) scale(${view.u * sign})`);
const onScreen = (m) => [(m.dataset.x - view.x) / view.u + size.w / 2, (m.dataset.y - view.y) / view.u + size.h / 2];

// Flags find a free spot about their place, nearest first; labels that find none are not shown at this zoom.
const rank = (m) => ["engine", "stop", "crossing", "along", "line-up", "hold", "exit", "end", "toward"].findIndex((c) => m.classList.contains(c)) + 1 || 9;
const flags = marks.filter((m) => m.classList.contains("flag")).sort((a, b) => rank(a) - rank(b));
const labels = ["own", "rwy", "other", "stand"].flatMap((c) => marks.filter((m) => m.classList.contains("lb") && m.classList.contains(c)));
const spots = marks.filter((m) => m.classList.contains("spot") || m.classList.contains("toward"));
const around = (m, x, y, more) => {
  const w = m.w * sign / 2 + more, h = m.h * sign / 2 + more;
  return [x - w, y - h, x + w, y + h];
};
const spotsAbout = (m, x) => {
  const most = Math.max(size.w / sign - m.w / 2 - 4, m.w / 2 + 4);
  const inward = clamp(x / sign, m.w / 2 + 4, most) - x / sign;  // beside the frame's edge
  const list = [];
  for (let out = 0; out < 5; ++out) {
    const up = 34 + 30 * out, side = m.w / 2 + 20 + 26 * out;
    list.push([0, -up], [0, up], [side, 0], [-side, 0], [side * 0.7, -up], [-side * 0.7, -up], [side * 0.7, up], [-side * 0.7, up],
      [inward, -up], [inward, up]);
  }
  return list;
};
const place = () => {
  const taken = [[0, 0, 56, 70], [0, size.h - 44, 170, size.h]];  // north, scale bar, buttons
  if (!kept) taken.push([tools.offsetLeft - 8, 0, size.w, tools.offsetTop + tools.offsetHeight + 8]);
  const free = ([l, t, r, b]) => l >= 2 && t >= 2 && r <= size.w - 2 && b <= size.h - 2 &&
    !taken.some((o) => l < o[2] && o[0] < r && t < o[3] && o[1] < b);
  for (const m of spots) {
    const [x, y] = onScreen(m), r = (m.classList.contains("st") ? 8 : 12) * sign;
    taken.push([x - r, y - r, x + r, y + r]);
  }
  const dots = page.dots().map(([x, y]) => [(x - view.x) / view.u + size.w / 2, (y - view.y) / view.u + size.h / 2]);
  const clear = ([l, t, r, b]) => !dots.some(([x, y]) => x > l && x < r && y > t && y < b);
  for (const m of flags) {
    const [x, y] = onScreen(m);
    const inside = x >= 0 && y >= 0 && x <= size.w && y <= size.h;
    const tries = inside ? spotsAbout(m, x) : [];
    const boxOf = ([dx, dy]) => around(m, x + dx * sign, y + dy * sign, 1);
    const found = tries.find((d) => free(boxOf(d)) && clear(boxOf(d))) || tries.find((d) => free(boxOf(d))) || null;
    m.classList.toggle("hid", !found);
    if (!found) continue;
    const [dx, dy] = found;
    taken.push(around(m, x + dx * sign, y + dy * sign, 3));
    m.querySelector(".stem").setAttribute("d", `M0 0L${dx} ${dy}`);
    m.querySelector(".card").setAttribute("transform", `translate(${dx} ${dy})`);
  }
  for (const m of labels) {
    const [x, y] = onScreen(m);
    const box = around(m, x, y + m.dy * sign, 2);
    const shown = (!m.classList.contains("stand") || view.u < 0.8) && free(box);
    m.classList.toggle("hid", !shown);
    if (shown) taken.push(box);
  }
};
const rounded = (v) => {
  const power = 10 ** Math.floor(Math.log10(v));
  return power * [5, 2, 1].find((k) => k * power <= v);
};
const draw = () => {
  chart.setAttribute("viewBox", [view.x - size.w * view.u / 2, view.y - size.h * view.u / 2, size.w * view.u, size.h * view.u].join(" "));
  for (const m of marks) resize(m);
  place();
  const unit = data.units.length;
  const long = rounded(150 * view.u * unit.factor);
  const px = long / unit.factor / view.u;
  const bar = scaleBar.firstElementChild;
  bar.setAttribute("width", px + 4);
  bar.firstElementChild.setAttribute("d", `M2 0V8H${px + 2}V0`);
  scaleBar.lastElementChild.textContent = number(long, long < 1 ? 1 : 0) + NB + unit.name;
};
const head = () => (kept ? 0 : 56);  // px the buttons take off the top
const fitScale = () => Math.max(width / size.w, height / Math.max(size.h - head(), 100));
const fit = () => {
  const u = fitScale();
  Object.assign(view, { x: left + width / 2, y: top + height / 2 - head() * u / 2, u, fitted: true });
  draw();
};
const zoom = (factor, px = size.w / 2, py = size.h / 2) => {
  const u = clamp(view.u * factor, 0.05, 4 * fitScale());
  view.x += (px - size.w / 2) * (view.u - u);
  view.y += (py - size.h / 2) * (view.u - u);
  view.u = u;
  view.fitted = false;
  draw();
};
// By key or button: about the mark, where it is in view, else about the middle.
const zoomHere = (factor) => {
  const [px, py] = onScreen(here);
  const seen = document.documentElement.classList.contains("live") && px > 0 && py > 0 && px < size.w && py < size.h;
  if (seen) zoom(factor, px, py); else zoom(factor);
};
const pan = (dx, dy) => {
  view.x = clamp(view.x - dx * view.u, left - width, left + 2 * width);
  view.y = clamp(view.y - dy * view.u, top - 2 * height, top + 3 * height);
  view.fitted = false;
  draw();
};
const measure = () => {
  // A field that lies flat needs no high frame.
  const frame = chart.parentElement, room = 230;  // px for buttons and flags besides
  frame.style.height = "";
  const high = frame.getBoundingClientRect();
  frame.style.height = clamp(high.width * height / width + room, Math.min(320, high.height), high.height) + "px";
  const box = chart.getBoundingClientRect();
  if (box.width > 0) size = { w: box.width, h: box.height };
  if (view.fitted) fit(); else draw();
  page.measured();
};
const reveal = (x, y) => {  // brings a place into the map's view
  const px = (x - view.x) / view.u + size.w / 2, py = (y - view.y) / view.u + size.h / 2;
  if (px > 30 && py > 30 && px < size.w - 30 && py < size.h - 30) return;
  Object.assign(view, { x, y, fitted: false });
  draw();
};
const putHere = (x, y) => {
  here.dataset.x = x;
  here.dataset.y = y;
  resize(here);
};
