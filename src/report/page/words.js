"use strict";
// What a page knows, and how it is said.
const data = JSON.parse(document.getElementById("data").textContent);
const clamp = (v, low, high) => Math.min(high, Math.max(low, v));

// Words.
const NB = "\u00a0";
const number = (v, decimals) =>
  v.toLocaleString("en-US", { minimumFractionDigits: decimals, maximumFractionDigits: decimals });
const told = (v, unit) => number(v, unit.decimals) + NB + unit.name;
const metres = (m) => told(m * data.units.length.factor, data.units.length);
const duration = (s) => {
  const whole = Math.round(s);
  return whole < 60 ? whole + NB + "s" : Math.floor(whole / 60) + NB + "min" + NB + String(whole % 60).padStart(2, "0") + NB + "s";
};
const root = document.documentElement;
