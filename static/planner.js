// Reads any cell of the map of hours: by pointing, tapping or the arrow keys.
"use strict";

(() => {
  const BLANK = -32768;
  const SLOT_MIN = 10;
  // Where the picture lies in the drawings, in their own units; the drawing code has the same.
  const WIDE = { left: 46, right: 10, width: 420 };
  const YEAR = { top: 30, bottom: 38 };
  const kept = new Map();
  const decimals = { minimumFractionDigits: 1, maximumFractionDigits: 1 };
  const tenths = (value) => Number(value.toFixed(1)).toLocaleString(document.documentElement.lang, decimals);

  function fetchValues(address) {
    if (!kept.has(address)) {
      if (kept.size > 12) kept.clear();
      kept.set(address, fetch(address).then((answer) => {
        if (!answer.ok) throw new Error(`${answer.status}`);
        return answer.arrayBuffer();
      }).then((bytes) => {
        const view = new DataView(bytes);
        const numbers = new Int16Array(bytes.byteLength / 2);
        for (let i = 0; i < numbers.length; i += 1) numbers[i] = view.getInt16(i * 2, true);
        return numbers;
      }).catch(() => {
        kept.delete(address);
        return null;
      }));
    }
    return kept.get(address);
  }

  class Hours {
    constructor(root) {
      this.root = root;
      this.data = JSON.parse(document.getElementById("hours-data").textContent);
      this.rows = this.data.dayNumbers.length;
      this.values = null;
      this.failed = false;
      this.cell = null;
      this.said = document.getElementById("hours-reading");
      this.form = root.querySelector("form");
      const language = document.documentElement.lang;
      this.dates = new Intl.DateTimeFormat(language, {
        weekday: "short", day: "numeric", month: "long", year: "numeric", timeZone: "UTC",
      });
      fetchValues(this.data.values).then((numbers) => {
        this.values = numbers;
        this.failed = numbers === null;
        root.dataset.values = this.failed ? "failed" : "here";
        if (this.cell) this.show();
      });
      root.querySelectorAll("[data-chart]").forEach((chart) => this.listen(chart));
    }

    listen(chart) {
      chart.addEventListener("pointermove", (event) => {
        if (event.pointerType !== "touch") this.point(chart, event);
      });
      chart.addEventListener("click", (event) => {
        this.point(chart, event);
        chart.focus({ preventScroll: true });
      });
      chart.addEventListener("dblclick", () => this.choose());
      chart.addEventListener("keydown", (event) => this.key(chart, event));
    }

    // Minutes past midnight that the clock shows, start by start, for a row.
    clock(row) {
      const odd = this.data.oddDays[row];
      if (odd) return odd;
      return Array.from({ length: 144 }, (_, column) => column * SLOT_MIN);
    }

    value(plane, row, column) {
      const at = plane * this.rows * this.data.columns + row * this.data.columns + column;
      const found = this.values[at];
      return found === BLANK ? null : found / 100;
    }

    point(chart, event) {
      const drawing = chart.querySelector("svg").getBoundingClientRect();
      const x = (event.clientX - drawing.left) / drawing.width * WIDE.width;
      const part = (x - WIDE.left) / (WIDE.width - WIDE.left - WIDE.right);
      const [first, last] = this.data.hours;
      const minute = (first + part * (last - first)) * 60;
      if (part < 0 || part >= 1) return;
      let row = this.data.row;
      if (chart.dataset.chart === "year") {
        const high = this.data.days + YEAR.top + YEAR.bottom;
        const y = (event.clientY - drawing.top) / drawing.height * high;
        row = this.data.dayNumbers.indexOf(Math.floor(y - YEAR.top));
      }
      if (row === null || row < 0) return;
      // Of two starts at the same reading of the clock the first, as in the picture.
      const column = this.clock(row).indexOf(Math.floor(minute / SLOT_MIN) * SLOT_MIN);
      if (column < 0) return;
      this.cell = { row, column };
      this.show();
    }

    // Where the keyboard begins: the first start of the chosen date that has a value.
    begin() {
      const row = this.data.row ?? 0;
      return { row, column: this.usable(row)[0] ?? 72 };
    }

    usable(row) {
      const columns = this.clock(row).map((_, column) => column);
      if (!this.values) return columns;
      return columns.filter((column) => this.value(0, row, column) !== null);
    }

    key(chart, event) {
      if (event.altKey || event.ctrlKey || event.metaKey) return;
      const year = chart.dataset.chart === "year";
      const days = { ArrowUp: -1, ArrowDown: 1, PageUp: -30, PageDown: 30 }[event.key];
      const starts = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
      const before = this.cell ?? this.begin();
      let next = { ...before };
      if (!year && this.data.row !== null) next.row = this.data.row;
      if (event.key === "Enter") {
        this.choose();
      } else if (event.key === "Home" || event.key === "End") {
        const columns = this.usable(next.row);
        next.column = columns.at(event.key === "Home" ? 0 : -1) ?? next.column;
      } else if (starts) {
        if (this.cell) next.column += starts;
      } else if (days && year) {
        if (this.cell) next = this.otherDay(next, days);
      } else {
        return;
      }
      event.preventDefault();
      next.column = Math.min(Math.max(next.column, 0), this.clock(next.row).length - 1);
      this.cell = next;
      this.show();
    }

    // The same reading of the clock on another date, where it exists there.
    otherDay(cell, days) {
      const row = Math.min(Math.max(cell.row + days, 0), this.rows - 1);
      const minute = this.clock(cell.row)[cell.column];
      const clock = this.clock(row);
      const same = clock.indexOf(minute);
      const later = clock.findIndex((shown) => shown >= minute);
      return { row, column: same >= 0 ? same : Math.max(later, 0) };
    }

    choose() {
      if (!this.cell) return;
      const input = this.form.elements.namedItem("day");
      const day = this.date(this.cell.row).toISOString().slice(0, 10);
      if (input.value === day) return;
      input.value = day;
      input.dispatchEvent(new Event("change", { bubbles: true }));
    }

    date(row) {
      return new Date(Date.UTC(this.data.year, 0, 1 + this.data.dayNumbers[row]));
    }

    day(row) {
      return this.dates.formatToParts(this.date(row))
        .map(({ type, value }) => (type === "day" && value === "1" ? this.data.words.first_of_month : value))
        .join("");
    }

    zone({ row, column }) {
      const at = row * this.data.columns + column;
      return this.data.names.filter(([from]) => from <= at).at(-1)?.[1] ?? "";
    }

    words() {
      const { row, column } = this.cell;
      const minute = this.clock(row)[column];
      const time = [Math.floor(minute / 60), minute % 60]
        .map((part) => String(part).padStart(2, "0")).join(":");
      const when = `${this.day(row)}, ${time} ${this.zone(this.cell)}`;
      const words = this.data.words;
      const said = (text) => words.said_of.replace("{name}", () => when).replace("{text}", () => text);
      if (this.failed) return said(words.failed);
      if (!this.values) return said(words.loading);
      const error = this.value(0, row, column);
      if (error === null) return said(words.blank);
      const size = `${tenths(Math.abs(error))}°`;
      const side = Math.abs(error).toFixed(1) === "0.0" ? words.none : error > 0 ? words.right : words.left;
      const parts = [side.replace("%s", size)];
      if (Math.abs(error) > this.data.tolerance) parts.push(words.beyond);
      const scatter = this.value(1, row, column);
      if (scatter !== null) parts.push(words.scatter.replace("%s", `${tenths(scatter)}°`));
      return said(parts.join(", "));
    }

    show() {
      this.said.textContent = this.words();
      const [first, last] = this.data.hours;
      const minute = this.clock(this.cell.row)[this.cell.column] + SLOT_MIN / 2;
      const part = (minute / 60 - first) / (last - first);
      const across = WIDE.left + part * (WIDE.width - WIDE.left - WIDE.right);
      const shown = part >= 0 && part <= 1;
      this.root.querySelectorAll("[data-chart]").forEach((chart) => {
        const cross = chart.querySelector(".planner-cross");
        const year = chart.dataset.chart === "year";
        cross.hidden = !shown || !year;
        if (cross.hidden) return;
        const high = this.data.days + YEAR.top + YEAR.bottom;
        const down = YEAR.top + this.data.dayNumbers[this.cell.row] + 0.5;
        const drawing = chart.querySelector("svg");
        cross.style.left = `${across / WIDE.width * drawing.clientWidth}px`;
        cross.style.top = `${down / high * drawing.clientHeight}px`;
      });
    }
  }

  function start() {
    const root = document.getElementById("planner");
    if (!root || root.dataset.read || !document.getElementById("hours-data")) return;
    root.dataset.read = "yes";
    const before = document.getElementById("planner").contains(document.activeElement)
      ? null : start.focused;
    new Hours(root);
    if (before) root.querySelector(`[data-chart="${before}"]`)?.focus({ preventScroll: true });
    start.focused = null;
  }

  // A date chosen on the map redraws the page: the keyboard stays where it was.
  document.addEventListener("htmx:beforeSwap", () => {
    start.focused = document.activeElement?.dataset?.chart ?? null;
  });
  document.addEventListener("htmx:afterSettle", start);
  start();
})();
