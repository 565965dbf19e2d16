// What the page knows of every place of the way.
// First index whose chainage reaches the one asked; columns hold the same chainage twice where the aircraft stands.
const reach = (list, at) => {
  let low = 0, high = list.length;
  while (low < high) {
    const mid = (low + high) >> 1;
    if (list[mid] < at) low = mid + 1; else high = mid;
  }
  return low;
};
const mixed = (xs, ys, at) => {
  const j = reach(xs, at);
  if (j >= xs.length) return null;
  if (j === 0 || xs[j] === at) return ys[j];
  const i = j - 1;
  if (ys[i] === null || ys[j] === null) return null;
  return ys[i] + (ys[j] - ys[i]) * (at - xs[i]) / (xs[j] - xs[i]);
};
const last = (list, key, at) => {
  let found = null;
  for (const item of list) if (item[key] <= at + 0.05) found = item;
  return found;
};
const placeAt = (at) => {
  const { at: ms, x, y } = data.line;
  const j = clamp(reach(ms, at), 0, ms.length - 1);
  if (j === 0 || ms[j] <= at) return [x[j], y[j]];
  const share = (at - ms[j - 1]) / (ms[j] - ms[j - 1]);
  return [x[j - 1] + share * (x[j] - x[j - 1]), y[j - 1] + share * (y[j] - y[j - 1])];
};
const gradeAt = (at) => {
  const g = data.grade;
  for (let i = 0; i < g.from.length; ++i)
    if (at >= g.from[i] && at <= g.to[i] && g.value[i] !== null) return [g.value[i], g.sd[i]];
  return null;
};
const stateAt = (at) => {
  const d = data.drive;
  const pushed = at < data.driven - 0.05;
  const value = (key) => (pushed ? null : mixed(d.at, d[key], at));
  const i = reach(d.at, at - 0.05);
  let stands = 0;
  for (let j = i; j + 1 < d.at.length && Math.abs(d.at[j + 1] - d.at[i]) < 0.01; ++j) stands = d.time[j + 1] - d.time[i];
  if (pushed || Math.abs(d.at[i] - at) > 0.5) stands = 0;
  return { pushed, stands, time: value("time"), speed: value("speed"), needed: value("needed"), available: value("available"),
           fuel: value("fuel"), brake: value("brake"), height: mixed(data.ground.at, data.ground.height, at), grade: gradeAt(at) };
};
