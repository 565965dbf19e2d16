// Hands on the map; buttons, themes, paper.
const point = (e) => {
  const box = chart.getBoundingClientRect();
  return [e.clientX - box.left, e.clientY - box.top];
};
const fingers = new Map();
let moved = false;
chart.addEventListener("pointerdown", (e) => {
  fingers.set(e.pointerId, point(e));
  chart.setPointerCapture(e.pointerId);
  if (fingers.size === 1) moved = false;
});
chart.addEventListener("pointermove", (e) => {
  const [px, py] = point(e);
  const before = fingers.get(e.pointerId);
  if (!before) {
    page.hover(px, py);
    return;
  }
  if (fingers.size === 1) {
    if (!moved && Math.hypot(px - before[0], py - before[1]) < 6) return;
    moved = true;
    pan(px - before[0], py - before[1]);
  } else {
    moved = true;
    const other = [...fingers].find(([id]) => id !== e.pointerId)[1];
    const was = Math.hypot(before[0] - other[0], before[1] - other[1]), is = Math.hypot(px - other[0], py - other[1]);
    if (is > 1) zoom(was / is, (px + other[0]) / 2, (py + other[1]) / 2);
    pan((px - before[0]) / 2, (py - before[1]) / 2);
  }
  fingers.set(e.pointerId, [px, py]);
});
const lift = (e) => {
  if (fingers.delete(e.pointerId) && e.type === "pointerup" && !moved) page.pick(...point(e));
};
chart.addEventListener("pointerup", lift);
chart.addEventListener("pointercancel", lift);
chart.addEventListener("wheel", (e) => {
  e.preventDefault();
  zoom(Math.exp(clamp(e.deltaY * (e.deltaMode === 1 ? 16 : 1), -240, 240) * 0.002), ...point(e));
}, { passive: false });
chart.addEventListener("keydown", (e) => {
  if (e.ctrlKey || e.metaKey || e.altKey) return;
  const step = 80;
  const act = {
    ArrowLeft: () => pan(step, 0), ArrowRight: () => pan(-step, 0), ArrowUp: () => pan(0, step), ArrowDown: () => pan(0, -step),
    "+": () => zoomHere(0.7), "=": () => zoomHere(0.7), "-": () => zoomHere(1 / 0.7), f: fit, F: fit, 0: fit,
    ...page.keys,
  }[e.key];
  if (!act) return;
  e.preventDefault();
  act();
});

// Buttons.
tools.addEventListener("click", (e) => {
  const act = { in: () => zoomHere(0.7), out: () => zoomHere(1 / 0.7), fit }[e.target.dataset.do];
  if (act) act();
});
const theme = document.getElementById("theme");
const dark = matchMedia("(prefers-color-scheme: dark)");
const isDark = () => (root.dataset.theme || (dark.matches ? "dark" : "light")) === "dark";
const nameTheme = () => {
  theme.textContent = isDark() ? "Light" : "Dark";
  theme.setAttribute("aria-pressed", String(isDark()));
  theme.setAttribute("aria-label", isDark() ? "Light colours" : "Dark colours");
};
theme.addEventListener("click", () => {
  root.dataset.theme = isDark() ? "light" : "dark";
  nameTheme();
});
dark.addEventListener("change", nameTheme);

// Paper: the whole map, its signs set for the sheet's width.
addEventListener("beforeprint", () => {
  if (kept) return;
  kept = { view: { ...view }, size };
  size = { ...page.paper };
  sign = 0.65;
  fit();
});
addEventListener("afterprint", () => {
  if (!kept) return;
  size = kept.size;
  sign = 1;
  Object.assign(view, kept.view);
  kept = null;
  measure();
});

// When all is set up.
const begin = () => {
  for (const id of ["theme", "tools", "scale"]) document.getElementById(id).hidden = false;
  nameTheme();
  measure();
  new ResizeObserver(() => { if (!kept) measure(); }).observe(chart);
};
