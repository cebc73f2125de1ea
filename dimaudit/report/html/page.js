"use strict";
// Text from a drawing only ever becomes textContent. Nothing is fetched, stored or evaluated.
(() => {
  const LEVELS = ["error", "warning", "note"];
  const DEEPEST = 20000; // how many times closer than the whole a picture goes
  const MARK_WIDE = 66, MARK_HIGH = 24; // pixels that a marker takes; nearer ones stand together
  const MARK_ABOVE = 38; // pixels from a marker's place to its upper edge, beyond the room around the picture
  const MOST_MARKS = 100; // on a picture at once; nothing is left out, more findings share a marker
  const PRINT_WIDE = 660; // CSS pixels that a picture takes on paper, about
  const REACH = 7; // pixels around a click in which an entity is looked for
  const NEAR_TEXT = 18; // pixels around a click in which the middle of a dimension's text is looked for
  const SAME_SHOWN = 60; // findings at one place that the panel lists by name; more are counted

  const HEAVY = 2500; // entities of a picture that is not drawn anew at each step of a movement
  const REST = 90; // milliseconds after which a movement is over
  const NARROW = matchMedia("(max-width: 56rem)"); // as in page.css
  const AT_ONCE = Number(document.body.dataset.atOnce);

  const all = (what, within = document) => [...within.querySelectorAll(what)];
  const one = (what, within = document) => within.querySelector(what);
  const say = (text) => { one("#status").textContent = text; };

  // An element with properties and children; a string is a text.
  function make(tag, properties = {}, ...children) {
    const element = document.createElement(tag);
    for (const [name, value] of Object.entries(properties)) {
      if (name in element) element[name] = value; else element.setAttribute(name, value);
    }
    element.append(...children.filter((child) => child !== null));
    return element;
  }

  const mark = (level, text, tag = "span") => make(tag, { className: `mark ${level}` }, make("span", {}, text));

  function times(k) {
    if (k < 10) return String(Math.round(k * 10) / 10);
    const step = 10 ** (Math.floor(Math.log10(k)) - 1);
    return String(Math.round(k / step) * step);
  }

  // One layout's picture: what part of it is seen, and the markers on it.
  class Sheet {
    constructor(drawing, number, element, figure) {
      Object.assign(this, { drawing, number, element, size: figure.size });
      this.window = one(".window", element);
      this.svg = one("svg", element);
      this.layer = one(".marks", element);
      this.findings = drawing.findings.filter((f) => f.at && f.at[0] === number);
      this.groups = [];
      this.markers = new Map();
      this.pointers = new Map();
      this.view = null;
      this.heavy = one("g", this.svg).childElementCount > HEAVY;
      this.listen();
      new ResizeObserver(() => { if (this.seen && !this.printing) this.resize(); }).observe(this.window);
    }

    get seen() { return this.window.clientWidth > 0 && this.window.clientHeight > 0; }

    // Handles to the groups that draw them, made when first asked for.
    get entities() {
      if (!this.byHandle) {
        this.byHandle = new Map();
        for (const group of all("g[data-h]", this.svg)) {
          const known = this.byHandle.get(group.dataset.h);
          if (known) known.push(group); else this.byHandle.set(group.dataset.h, [group]);
        }
      }
      return this.byHandle;
    }

    // Whole picture in a window of this many pixels: the middle, and units a pixel. Markers stand above their places:
    // the uppermost has its room, too.
    whole(wide, high) {
      const [w, h] = this.size, above = this.findings.length ? Math.min(MARK_ABOVE, high / 8) : 0;
      const unit = Math.max(w / wide, h / (high - above));
      return { x: w / 2, y: h / 2 - Math.max(above - (high - h / unit) / 2, 0) * unit, unit };
    }

    resize() {
      const { clientWidth: wide, clientHeight: high } = this.window;
      const whole = this.whole(wide, high);
      if (!this.view || this.view.unit >= this.most * 0.999) this.view = whole;
      this.most = whole.unit;
      this.look();
    }

    // Draws soon. A picture of very many entities is only shifted and scaled while it moves, and drawn when it rests.
    look() {
      if (this.heavy && this.drawn) {
        const { x, y, unit } = this.drawn, k = unit / this.view.unit;
        const { clientWidth: wide, clientHeight: high } = this.window;
        const dx = (x - this.view.x) / this.view.unit + wide / 2 * (1 - k);
        const dy = (y - this.view.y) / this.view.unit + high / 2 * (1 - k);
        this.window.classList.add("moving");
        this.window.classList.toggle("scaled", Math.abs(k - 1) > 1e-9);
        for (const part of [this.svg, this.layer]) part.style.transform = `translate(${dx}px, ${dy}px) scale(${k})`;
        clearTimeout(this.rest);
        this.rest = setTimeout(() => this.draw(), REST);
      } else if (!this.due) this.due = requestAnimationFrame(() => { this.due = 0; this.draw(); });
    }

    draw(wide = this.window.clientWidth, high = this.window.clientHeight) {
      if (!wide || !high || !this.view) return;
      const { x, y, unit } = this.drawn = this.view;
      clearTimeout(this.rest);
      this.window.classList.remove("moving", "scaled");
      this.svg.style.transform = this.layer.style.transform = "";
      this.svg.setAttribute("viewBox", `${x - wide * unit / 2} ${y - high * unit / 2} ${wide * unit} ${high * unit}`);
      this.window.classList.toggle("near", unit < this.most * 0.98);
      this.drawMarks(wide, high);
    }

    marksOnly() { if (this.view) this.drawMarks(this.window.clientWidth, this.window.clientHeight); }

    // Findings that are shown and in sight, gathered where their markers would lie on one another; farther apart
    // where they would still be too many to be told from one another.
    gather(wide, high, apart = 1) {
      const { x, y, unit } = this.view;
      const across = apart * MARK_WIDE, down = apart * MARK_HIGH;
      const cells = new Map(), groups = [];
      const order = this.drawing.order;
      for (const finding of this.findings) {
        if (!finding.shown) continue;
        const px = (finding.at[1] - x) / unit + wide / 2, py = (finding.at[2] - y) / unit + high / 2;
        if (px < -20 || py < -4 || px > wide + 20 || py > high + 40) continue;
        const cx = Math.floor(px / across), cy = Math.floor(py / down);
        let home = null;
        for (let i = cx - 1; i <= cx + 1 && !home; i++) {
          for (let j = cy - 1; j <= cy + 1 && !home; j++) {
            for (const g of cells.get(i * 65536 + j) || []) {
              if (Math.abs(g.px - px) < across && Math.abs(g.py - py) < down) { home = g; break; }
            }
          }
        }
        if (home) { home.findings.push(finding); continue; }
        home = { px, py, findings: [finding] };
        groups.push(home);
        const key = cx * 65536 + cy;
        if (cells.has(key)) cells.get(key).push(home); else cells.set(key, [home]);
      }
      if (groups.length > MOST_MARKS) return this.gather(wide, high, 1.5 * apart);
      for (const group of groups) group.findings.sort((a, b) => order(a) - order(b));
      return groups;
    }

    drawMarks(wide, high) {
      const picked = this.drawing.picked;
      const focused = this.layer.contains(document.activeElement) ? document.activeElement : null;
      this.groups = this.gather(wide, high);
      const left = new Map(this.markers), markers = new Map();
      let stop = null;
      for (const group of this.groups) {
        const first = group.findings[0];
        const here = picked && group.findings.includes(picked);
        const shown = here ? picked : first;
        let button = left.get(first.number);
        if (!button) {
          button = mark("", "", "button");
          button.type = "button";
          button.addEventListener("click", () => this.press(button.group));
          button.addEventListener("mouseenter", () => this.drawing.meet(button.group.findings));
          button.addEventListener("mouseleave", () => this.drawing.meet([]));
          button.addEventListener("focus", () => { this.rove(button); this.drawing.meet(button.group.findings); });
          button.addEventListener("blur", () => this.drawing.meet([]));
          this.layer.append(button);
        }
        left.delete(first.number);
        markers.set(first.number, button);
        button.group = group;
        group.button = button;
        const others = group.findings.length - 1;
        button.className = `mark ${shown.level}${here ? " picked" : ""}`;
        button.firstChild.textContent = others ? `${shown.mark} +${others}` : shown.mark;
        button.setAttribute("aria-label",
          `${shown.level} ${shown.number + 1}, ${shown.rule}` + (others ? `, and ${others} more here` : ""));
        button.style.left = `${100 * group.px / wide}%`;
        button.style.top = `${100 * group.py / high}%`;
        button.style.setProperty("--shift", "0px");
        button.tabIndex = -1;
        if (here || !stop) stop = button;
      }
      this.keepWithin(wide);
      const lost = focused && [...left.values()].includes(focused);
      for (const button of left.values()) button.remove();
      this.markers = markers;
      if (focused && !lost) stop = focused;
      if (stop) stop.tabIndex = 0;
      if (lost) (stop || this.window).focus({ preventScroll: true });
      this.layer.hidden = !this.groups.length;
    }

    // A marker whose place is in sight is read whole: moved sideways, its stem stays where it was.
    keepWithin(wide) {
      const near = this.groups.filter((g) => g.px >= 0 && g.px <= wide && Math.min(g.px, wide - g.px) < MARK_WIDE);
      const moves = near.map(({ px, button }) => {
        const half = Math.min(button.offsetWidth, wide) / 2;
        return Math.min(Math.max(px, half), wide - half) - px;
      });
      near.forEach((g, k) => g.button.style.setProperty("--shift", `${moves[k]}px`));
    }

    rove(button) {
      for (const other of this.markers.values()) other.tabIndex = other === button ? 0 : -1;
    }

    // A marker opens its first finding, and at each further press the next one that stands there.
    press(group) {
      const k = group.findings.indexOf(this.drawing.picked);
      this.drawing.pick(group.findings[(k + 1) % group.findings.length], { from: "mark", group });
      const again = this.groups.find((g) => g.findings.includes(this.drawing.picked));
      if (again) again.button.focus({ preventScroll: true });
    }

    zoom(factor, px = this.window.clientWidth / 2, py = this.window.clientHeight / 2) {
      const { clientWidth: wide, clientHeight: high } = this.window;
      const before = this.view.unit;
      const unit = Math.min(Math.max(before * factor, this.most / DEEPEST), this.most);
      if (unit === this.most) { this.view = this.whole(wide, high); this.look(); return; }
      this.view = {
        x: this.view.x + (px - wide / 2) * (before - unit), y: this.view.y + (py - high / 2) * (before - unit), unit,
      };
      this.look();
    }

    move(dx, dy) {
      const { x, y, unit } = this.view;
      const [w, h] = this.size;
      this.view = { x: Math.min(Math.max(x - dx * unit, 0), w), y: Math.min(Math.max(y - dy * unit, 0), h), unit };
      this.look();
    }

    // The place in the middle, close enough to read and far enough to hold what belongs to it.
    centre([, x, y], groups) {
      if (!this.view) this.resize();
      const { clientWidth: wide, clientHeight: high } = this.window;
      let unit = 0;
      for (const group of groups) {
        const box = group.getBBox(), t = group.parentNode.transform.baseVal[0];
        const [ox, oy] = t ? [t.matrix.e, t.matrix.f] : [0, 0];
        const dx = Math.max(Math.abs(box.x + ox - x), Math.abs(box.x + ox + box.width - x));
        const dy = Math.max(Math.abs(box.y + oy - y), Math.abs(box.y + oy + box.height - y));
        unit = Math.max(unit, 2.3 * dx / wide, 2.3 * dy / high);
      }
      const around = unit ? Math.min(3 * unit, this.most / 6) : this.most / 6; // a small thing is seen with what is near
      unit = Math.min(Math.max(unit, around), this.most * 0.7);
      if (this.view.unit >= unit && this.view.unit <= Math.min(4 * unit, this.most * 0.5)) unit = this.view.unit;
      this.view = { x, y, unit };
      this.draw();
    }

    fit(findings) {
      const xs = findings.map((f) => f.at[1]), ys = findings.map((f) => f.at[2]);
      const { clientWidth: wide, clientHeight: high } = this.window;
      const [x0, x1, y0, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
      const unit = Math.max(1.6 * (x1 - x0) / wide, 1.6 * (y1 - y0) / high, this.most / DEEPEST);
      this.view = { x: (x0 + x1) / 2, y: (y0 + y1) / 2, unit: Math.min(unit, this.view.unit) };
      this.draw();
    }

    listen() {
      const w = this.window;
      const at = (event) => { const r = w.getBoundingClientRect(); return [event.clientX - r.left, event.clientY - r.top]; };
      w.addEventListener("wheel", (event) => {
        event.preventDefault();
        const lines = event.deltaMode === 1 ? 16 : event.deltaMode === 2 ? 400 : 1;
        this.zoom(Math.exp(Math.max(-300, Math.min(300, event.deltaY * lines)) * 0.002), ...at(event));
      }, { passive: false });
      w.addEventListener("pointerdown", (event) => {
        if (event.button || event.target.closest("button")) return;
        this.pointers.set(event.pointerId, at(event));
        this.dragged = this.pointers.size > 1;
        this.start = at(event);
      });
      w.addEventListener("pointermove", (event) => {
        const before = this.pointers.get(event.pointerId);
        if (!before) return;
        const now = at(event);
        if (this.pointers.size === 1) {
          if (!this.dragged && Math.hypot(now[0] - this.start[0], now[1] - this.start[1]) < 4) return;
          if (event.pointerType === "touch" && this.view.unit >= this.most * 0.98) return; // the page scrolls
          if (!this.dragged) { this.dragged = true; w.setPointerCapture(event.pointerId); w.classList.add("held"); }
          this.move(now[0] - before[0], now[1] - before[1]);
        } else if (this.pointers.size === 2) {
          const [other] = [...this.pointers].filter(([id]) => id !== event.pointerId).map(([, p]) => p);
          const was = Math.hypot(before[0] - other[0], before[1] - other[1]);
          const is = Math.hypot(now[0] - other[0], now[1] - other[1]);
          this.dragged = true;
          if (was > 1 && is > 1) this.zoom(was / is, (now[0] + other[0]) / 2, (now[1] + other[1]) / 2);
        }
        this.pointers.set(event.pointerId, now);
      });
      const end = (event) => {
        const held = this.pointers.delete(event.pointerId);
        if (!this.pointers.size) w.classList.remove("held");
        if (held && event.type === "pointerup" && !this.dragged) this.point(event);
      };
      w.addEventListener("pointerup", end);
      w.addEventListener("pointercancel", end);
      w.addEventListener("keydown", (event) => this.key(event));
    }

    // The entity under the pointer, or beside it; else the dimension whose text is nearest.
    point(event) {
      for (let reach = 0; reach <= REACH; reach += 3.5) {
        for (let turn = 0; turn < (reach ? 8 : 1); turn++) {
          const [dx, dy] = [reach * Math.cos(turn * Math.PI / 4), reach * Math.sin(turn * Math.PI / 4)];
          const hit = document.elementFromPoint(event.clientX + dx, event.clientY + dy);
          const group = hit && hit.closest("g[data-h]");
          if (group && this.svg.contains(group) && this.drawing.pickHandle(group.dataset.h)) return;
        }
      }
      const frame = this.window.getBoundingClientRect(), { x, y, unit } = this.view;
      const px = x + (event.clientX - frame.left - frame.width / 2) * unit;
      const py = y + (event.clientY - frame.top - frame.height / 2) * unit;
      let nearest = null, least = NEAR_TEXT * unit;
      for (const d of this.drawing.dimensions) {
        const away = d.at && d.at[0] === this.number ? Math.hypot(d.at[1] - px, d.at[2] - py) : Infinity;
        if (away < least) [nearest, least] = [d, away];
      }
      if (nearest) this.drawing.pickHandle(nearest.handle);
    }

    key(event) {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      const arrows = { ArrowLeft: [60, 0], ArrowRight: [-60, 0], ArrowUp: [0, 60], ArrowDown: [0, -60] };
      const button = event.target.closest(".marks button");
      if (event.key === "+" || event.key === "=") this.zoom(0.7);
      else if (event.key === "-" || event.key === "_") this.zoom(1 / 0.7);
      else if (event.key === "0") this.zoom(1e9);
      else if (arrows[event.key] && button) {
        const step = event.key === "ArrowRight" || event.key === "ArrowDown" ? 1 : -1;
        const buttons = this.groups.map((g) => g.button);
        buttons[(buttons.indexOf(button) + step + buttons.length) % buttons.length].focus();
      } else if (arrows[event.key] && event.target === this.window) this.move(...arrows[event.key]);
      else return;
      event.preventDefault();
    }

    // On paper: the whole picture, in a frame of its own proportions.
    print(on) {
      this.printing = on;
      const [w, h] = this.size;
      this.window.style.aspectRatio = on ? `${w} / ${h}` : "";
      this.window.style.width = on ? `min(100%, ${21 * w / h}cm)` : "";
      if (on) {
        const wide = Math.min(PRINT_WIDE, 790 * w / h);
        this.kept = [this.view, this.most];
        this.view = this.whole(wide, wide * h / w);
        this.most = this.view.unit;
        this.draw(wide, wide * h / w);
      } else {
        [this.view, this.most] = this.kept;
        if (this.seen) this.resize();
      }
    }
  }

  // One drawing: its findings, its pictures, its panel. Made when the drawing is first opened.
  class Drawing {
    constructor(section) {
      this.section = section;
      const data = JSON.parse(one("script.data", section).textContent);
      Object.assign(this, data);
      this.listed = all(".item", section).map((item, place) =>
        Object.assign(this.findings[item.dataset.f], {
          number: Number(item.dataset.f), shown: true, later: item.parentNode.classList.contains("later"), item, place,
        }));
      this.byHandle = new Map();
      for (const f of this.findings) {
        for (const h of f.handles) {
          if (this.byHandle.has(h)) this.byHandle.get(h).push(f); else this.byHandle.set(h, [f]);
        }
      }
      this.dimension = new Map(this.dimensions.map((d) => [d.handle, d]));
      this.panel = one(".panel", section);
      this.picked = null;
      this.met = [];
      this.sheets = all(".sheet", section).map((element, k) => new Sheet(this, k, element, this.figures[k]));
      this.at = 0;
      this.listen();
    }

    get sheet() { return this.sheets[this.at]; }
    order(f) { return LEVELS.indexOf(f.level) * 1e6 + f.place; }

    listen() {
      const { section } = this;
      section.addEventListener("click", (event) => {
        const item = event.target.closest(".item"), tool = event.target.closest("[data-do]");
        const spot = event.target.closest(".spot"), further = event.target.closest(".further");
        if (item) this.pick(this.findings[item.dataset.f], { from: "list" });
        else if (tool && this.sheet) this.sheet.zoom({ closer: 0.7, farther: 1 / 0.7, whole: 1e9 }[tool.dataset.do]);
        else if (spot) this.goTo(spot);
        else if (further) this.further(further.closest(".group"));
      });
      const list = one(".list", section);
      for (const [type, on] of [["mouseover", true], ["mouseout", false], ["focusin", true], ["focusout", false]]) {
        list.addEventListener(type, (event) => {
          const item = event.target.closest(".item");
          if (item) this.meet(on ? [this.findings[item.dataset.f]] : []);
        });
      }
      list.addEventListener("keydown", (event) => {
        const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
        const item = event.target.closest(".item");
        if (!step || !item) return;
        const next = this.step(this.findings[item.dataset.f], step);
        if (next) { this.reveal(next); next.item.focus(); }
        event.preventDefault();
      });
      section.addEventListener("keydown", (event) => {
        if (event.target.closest("input, select") || event.ctrlKey || event.metaKey || event.altKey) return;
        const step = { n: 1, p: -1 }[event.key];
        if (step) {
          const next = this.step(this.picked, step);
          if (next) this.pick(next, { from: "key" });
        } else if (event.key === "Escape" && !this.panel.hidden) this.close();
      });
      const sieve = one(".sieve", section);
      if (sieve) {
        sieve.addEventListener("input", () => this.sift(new FormData(sieve)));
        sieve.addEventListener("submit", (event) => event.preventDefault());
        sieve.addEventListener("reset", () => setTimeout(() => this.sift(new FormData(sieve))));
      }
      const layouts = one(".layouts", section);
      if (layouts) layouts.addEventListener("change", () => this.turn(Number(layouts.value)));
      const lay = one(".lay", section), power = one(".power", section);
      if (lay) {
        lay.addEventListener("change", () => {
          power.disabled = !lay.checked;
          if (lay.checked && !this.laidOnce) {
            this.laidOnce = true;
            power.value = this.goodPower();
          }
          this.lay();
          say(lay.checked ? `As-read part shown, its moves ${one(".times", section).textContent.slice(2)} times larger`
            : "As-read part hidden");
        });
        power.addEventListener("input", () => this.lay());
      }
    }

    // The picture of a layout.
    turn(number) {
      this.at = number;
      this.sheets.forEach((sheet, k) => { sheet.element.hidden = k !== number; });
      const layouts = one(".layouts", this.section);
      if (layouts) layouts.value = String(number);
      this.sheet.resize();
    }

    // The finding before or after one in the list, among those that are shown; from none, the first or the last.
    step(finding, by) {
      const n = this.listed.length;
      let k = finding ? finding.place + by : by > 0 ? 0 : n - 1;
      while (k >= 0 && k < n && !this.listed[k].shown) k += by;
      return this.listed[k] || null;
    }

    sift(form) {
      const levels = new Set(form.getAll("level")), rule = form.get("rule");
      const words = form.get("words").toLowerCase().split(/\s+/).filter(Boolean);
      if (words.length && !this.texts) {
        this.texts = this.findings.map((f) => `${f.item.parentNode.textContent} ${f.handles.join(" ")}`.toLowerCase());
      }
      const counts = new Map();
      let total = 0;
      for (const f of this.listed) {
        const shown = levels.has(f.level) && (!rule || f.rule === rule)
          && words.every((word) => this.texts[f.number].includes(word));
        const count = (counts.get(f.rule) || 0) + shown;
        if (shown) total++;
        counts.set(f.rule, count);
        f.shown = shown;
        this.put(f, !shown || count > AT_ONCE);
      }
      for (const group of all(".group", this.section)) {
        const count = counts.get(group.dataset.rule) || 0;
        group.hidden = !count;
        one(".count", group).textContent = String(count);
        this.tellRest(group, count - AT_ONCE);
      }
      const n = this.findings.length;
      one(".shown output", this.section).textContent =
        (total === n ? `${n} finding` : `${total} of ${n} finding`) + (n === 1 ? "" : "s");
      if (this.sheet) this.sheet.marksOnly();
    }

    // How many findings of a rule are not listed yet.
    tellRest(group, count) {
      const rest = one(".rest", group);
      if (!rest) return;
      rest.classList.toggle("wanted", count > 0);
      one("button", rest).textContent = `${count} more`;
    }

    // Off the list, or on it. Few items change at a time, however many findings there are.
    put(finding, later) {
      if (later !== finding.later) finding.item.parentNode.classList.toggle("later", finding.later = later);
    }

    waiting(group) {
      return this.listed.filter((f) => f.rule === group.dataset.rule && f.shown && f.later);
    }

    // The next findings of a rule in the list.
    further(group) {
      const waiting = this.waiting(group);
      for (const f of waiting.slice(0, AT_ONCE)) this.put(f, false);
      this.tellRest(group, waiting.length - AT_ONCE);
      if (waiting.length) waiting[0].item.focus();
    }

    // An item in the list, even where its turn has not come yet.
    reveal(finding) {
      if (!finding.later) return;
      this.put(finding, false);
      const group = finding.item.closest(".group");
      group.hidden = false;
      this.tellRest(group, this.waiting(group).length);
    }

    // On paper the list is whole, but for what was sifted out.
    print(on) {
      for (const f of this.findings) f.item.parentNode.hidden = on && !f.shown;
      for (const sheet of this.sheets) sheet.print(on);
    }

    // What the pointer or the focus is on is shown on both sides, lightly.
    meet(findings) {
      const toggle = (on) => {
        for (const f of this.met) {
          f.item.classList.toggle("met", on);
          for (const sheet of this.sheets) {
            for (const h of f.handles) for (const g of sheet.entities.get(h) || []) g.classList.toggle("met", on);
            for (const group of sheet.groups) if (group.findings.includes(f)) group.button.classList.toggle("met", on);
          }
        }
      };
      toggle(false);
      this.met = findings.slice(0, SAME_SHOWN);
      toggle(true);
    }

    emphasise(handles, measured) {
      for (const element of this.lit || []) element.classList.remove("picked", "measured");
      this.lit = [];
      if (!this.sheet) return [];
      for (const [name, some] of [["measured", measured], ["picked", handles]]) {
        for (const h of some) {
          for (const g of this.sheet.entities.get(h) || []) { g.classList.add(name); this.lit.push(g); }
        }
      }
      return this.lit;
    }

    pick(finding, { from = "", group = null } = {}) {
      if (this.picked) {
        this.picked.item.classList.remove("picked");
        this.picked.item.removeAttribute("aria-current");
      }
      this.picked = finding;
      this.reveal(finding);
      this.opener = from === "list" ? finding.item : from === "mark" ? "mark" : this.opener;
      finding.item.classList.add("picked");
      finding.item.setAttribute("aria-current", "true");
      const own = finding.handles.map((h) => this.dimension.get(h)).filter(Boolean);
      if (finding.at && finding.at[0] !== this.at) this.turn(finding.at[0]);
      const same = finding.at ? this.findings.filter((f) => f !== finding && f.shown && f.at
        && f.at.every((v, k) => v === finding.at[k])) : [];
      const around = group && group.findings.length > same.length + 1 ? group : null;
      this.fill(finding, own, same, around);
      const lit = this.emphasise(finding.handles, own.flatMap((d) => d.features));
      if (finding.at && from !== "mark") this.sheet.centre(finding.at, lit);
      else if (this.sheet) this.sheet.marksOnly();
      if (from !== "list" && !this.narrow) finding.item.scrollIntoView({ block: "nearest" });
      if (from !== "mark") this.showBoard();
      history.replaceState(null, "", `#${this.section.id}/${finding.mark}`);
      say(`${finding.level} ${finding.number + 1}, ${finding.rule}: ${one(".said", finding.item).textContent}. ` +
        (finding.at ? "In the middle of the picture." : "It has no place on a picture."));
    }

    // Whether the list stands below the picture, not beside it.
    get narrow() { return NARROW.matches; }

    showBoard() {
      one(".board", this.section).scrollIntoView({ block: this.narrow ? "start" : "nearest" });
    }

    // An entity of the picture: its first finding, else its arithmetic. Whether there was anything to show.
    pickHandle(handle) {
      const findings = (this.byHandle.get(handle) || []).filter((f) => f.shown);
      const dimension = this.dimension.get(handle);
      if (findings.length) {
        const own = findings.filter((f) => f.handles.length === 1);
        this.pick((own.length ? own : findings)[0], { from: "mark" });
      } else if (dimension) this.pickDimension(dimension);
      else return false;
      return true;
    }

    clear() {
      if (this.picked) {
        this.picked.item.classList.remove("picked");
        this.picked.item.removeAttribute("aria-current");
      }
      this.picked = null;
    }

    pickDimension(dimension) {
      this.clear();
      this.panel.replaceChildren(this.head(make("h3", {}, `${dimension.text || dimension.handle}: ${dimension.verdict}`)),
        this.steps(dimension));
      this.panel.hidden = false;
      this.emphasise([dimension.handle], dimension.features);
      this.sheet.marksOnly();
      say(`Dimension ${dimension.text}: ${dimension.verdict}`);
    }

    goTo(spot) {
      const [k, x, y] = spot.dataset.at.split(" ").map(Number);
      if (k !== this.at) this.turn(k);
      const dimension = this.dimension.get(spot.dataset.h);
      if (dimension) this.pickDimension(dimension);
      this.sheet.centre([k, x, y], this.emphasise([spot.dataset.h], []));
      this.showBoard();
      this.sheet.window.focus({ preventScroll: true });
      say("In the middle of the picture.");
    }

    head(title) {
      const button = (text, label, act) => make("button", { type: "button", ariaLabel: label, onclick: act }, text);
      const by = (step) => () => { const next = this.step(this.picked, step); if (next) this.pick(next, { from: "key" }); };
      return make("header", {}, title, make("span", { className: "go" },
        button("previous", "previous finding", by(-1)), button("next", "next finding", by(1)),
        button("close", "close", () => this.close())));
    }

    fill(finding, own, same, around) {
      const more = one(".more", finding.item.parentNode);
      const where = one(".where", finding.item);
      const parts = [
        this.head(make("h3", {}, mark(finding.level, finding.mark), ` ${finding.level}: ${finding.rule}`)),
        make("p", {}, one(".said", finding.item).textContent),
        where && make("p", { className: "where" }, where.textContent),
        ...[...more.children].map((child) => child.cloneNode(true)),
      ];
      if (same.length || around) {
        const shown = (around ? around.findings.filter((f) => f !== finding) : same);
        parts.push(make("p", { className: "same" }, "Also here: ",
          ...shown.slice(0, SAME_SHOWN).map((f) => make("button", {
            type: "button", ariaLabel: `${f.level} ${f.number + 1}, ${f.rule}`, title: f.rule,
            onclick: () => { this.pick(f, { from: "mark", group: around }); this.panel.focus({ preventScroll: true }); },
          }, mark(f.level, f.mark))),
          shown.length > SAME_SHOWN ? `and ${shown.length - SAME_SHOWN} more ` : "",
          around ? make("button", { type: "button", onclick: () => this.sheet.fit(around.findings) }, "closer") : ""));
      }
      own.forEach((d, k) => parts.push(this.fold(
        `The arithmetic of ${d.text || "the dimension"} [${d.handle}]`, () => this.steps(d), k === 0 && own.length === 1)));
      const page = document.getElementById(`rule-${finding.rule}`);
      if (page) {
        for (const title of ["Why it matters at the machine", "How to mend it"]) {
          const part = all("section", page).find((s) => s.dataset.title === title);
          if (part) parts.push(this.fold(title, () => make("div", {},
            ...[...part.children].slice(1).map((child) => child.cloneNode(true)))));
        }
        parts.push(make("p", {}, make("a", { href: `#rule-${finding.rule}` }, `${finding.rule} explained`)));
      }
      this.panel.replaceChildren(...parts.filter(Boolean));
      this.panel.scrollTop = 0;
      this.panel.hidden = false;
    }

    // Something that is made when it is opened.
    fold(title, content, open = false) {
      const details = make("details", {}, make("summary", {}, title));
      const fill = () => { if (details.open && details.children.length === 1) details.append(content()); };
      details.addEventListener("toggle", fill);
      details.open = open;
      fill();
      return details;
    }

    steps(dimension) {
      return make("ol", { className: "steps" }, ...dimension.steps.map(([title, ...lines]) =>
        make("li", {}, make("strong", {}, title), ...lines.map((line) => make("p", {}, line)))));
    }

    close() {
      const { opener, picked } = this;
      this.clear();
      this.emphasise([], []);
      this.panel.hidden = true;
      this.panel.replaceChildren();
      history.replaceState(null, "", `#${this.section.id}`);
      if (this.sheet) this.sheet.marksOnly();
      const group = picked && this.sheet && this.sheet.groups.find((g) => g.findings.includes(picked));
      if (opener === "mark" && group) group.button.focus({ preventScroll: true });
      else if (picked) { picked.item.scrollIntoView({ block: "nearest" }); picked.item.focus({ preventScroll: true }); }
      else if (this.sheet) this.sheet.window.focus({ preventScroll: true });
      say("Closed");
    }

    // So that the largest move is a twentieth of the picture.
    goodPower() {
      const most = Math.max(...this.parts.map((p) => p.most));
      const size = Math.max(...this.parts.map((p) => Math.max(...this.figures[p.figure].size)));
      const k = most > 0 ? size / 20 / most : 1;
      return Math.round(100 * Math.log10(Math.min(Math.max(k, 1), 1e4)));
    }

    // point = drawn + k × (as read − drawn)
    lay() {
      const on = one(".lay", this.section).checked;
      const k = 10 ** (one(".power", this.section).value / 100);
      one(".times", this.section).textContent = `× ${times(k)}`;
      for (const sheet of this.sheets) {
        const layer = one(".lay-over", sheet.svg);
        layer.replaceChildren();
        if (!on) continue;
        const shapes = this.parts.filter((p) => p.figure === sheet.number).flatMap((p) => p.shapes);
        const line = (name, some, power) => {
          const path = document.createElementNS("http://www.w3.org/2000/svg", "path");
          path.setAttribute("class", name);
          path.setAttribute("d", some.map((shape) => outline(shape, power)).join(""));
          layer.append(path);
        };
        line("was", shapes.filter(moves), 0);
        line("reads", shapes, k);
      }
    }
  }

  // A shape is its kind, then each coordinate as drawn followed by its move.
  function moves([kind, ...v]) {
    if (kind === "p") return false;
    const still = (a) => Math.abs(a) < 1e-9;
    if (kind === "s") return !(still(v[2]) && still(v[3]) && still(v[6]) && still(v[7]));
    return !(still(v[2]) && still(v[3]) && still(v[5]));
  }

  function outline([kind, ...v], k) {
    const point = (i) => [v[i] + k * v[i + 2], v[i + 1] + k * v[i + 3]];
    if (kind === "p") {
      const pairs = [];
      for (let i = 0; i < v.length; i += 2) pairs.push(`${v[i]} ${v[i + 1]}`);
      return `M${pairs.join("L")}`;
    }
    const [ax, ay] = point(0);
    if (kind === "s") { const [bx, by] = point(4); return `M${ax} ${ay}L${bx} ${by}`; }
    const r = Math.max(v[4] + k * v[5], 0);
    if (kind === "c") return `M${ax - r} ${ay}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0`;
    const turn = ([x, y]) => Math.atan2(ay - y, x - ax);
    const from = turn(point(6)), to = turn(point(10));
    const sweep = ((to - from) % (2 * Math.PI) + 2 * Math.PI) % (2 * Math.PI);
    const on = (a) => `${ax + r * Math.cos(a)} ${ay - r * Math.sin(a)}`;
    return `M${on(from)}A${r} ${r} 0 ${sweep > Math.PI ? 1 : 0} 0 ${on(to)}`;
  }

  // Drawings by their number, made when opened.
  const made = new Map();
  const sections = all(".drawing");
  function drawing(section) {
    if (!made.has(section)) made.set(section, new Drawing(section));
    return made.get(section);
  }

  function open(section) {
    document.body.classList.toggle("open", Boolean(section));
    for (const other of sections) other.hidden = other !== section;
    const index = one("#index");
    if (index) index.hidden = Boolean(section);
    if (!section) return null;
    const opened = drawing(section);
    if (opened.sheet) {
      opened.sheet.resize();
      setTimeout(() => opened.sheet.entities); // so that the first click need not wait for it
    }
    return opened;
  }

  // The address says what is open: '#index', '#drawing-2', '#drawing-2/E14', '#rule-rounded'.
  let back = null;
  function follow(first) {
    const wanted = /^#(drawing-\d+)(?:\/[A-Z](\d+))?$/.exec(location.hash);
    const section = wanted && document.getElementById(wanted[1]);
    if (section) {
      const opened = open(section);
      const finding = wanted[2] && opened.findings[Number(wanted[2]) - 1];
      if (finding) opened.pick(finding, { from: "key" });
      else if (!first) { window.scrollTo(0, 0); one(".name", section).focus({ preventScroll: true }); }
    } else if (first || location.hash === "#index" || location.hash === "") {
      open(one("#index") ? null : sections[0]);
    }
    const page = /^#rule-[a-z0-9-]+$/.test(location.hash) && document.getElementById(location.hash.slice(1));
    if (page) {
      page.open = true;
      page.scrollIntoView();
      one("summary", page).focus({ preventScroll: true });
    }
  }

  document.addEventListener("click", (event) => {
    const link = event.target.closest('a[href^="#rule-"]');
    if (link && !link.closest(".rules")) back = link;
    if (event.target.closest(".return") && back) {
      event.preventDefault();
      const to = back.isConnected ? back : one(".picked.item");
      if (to) { to.scrollIntoView({ block: "center" }); to.focus(); }
    }
    if (link && location.hash === link.hash) follow(false);
  });
  window.addEventListener("hashchange", () => follow(false));
  one("#look").addEventListener("change", (event) => { document.documentElement.dataset.look = event.target.value; });
  const printed = () => (document.body.classList.contains("open") ? sections.filter((s) => !s.hidden) : sections);
  window.addEventListener("beforeprint", () => printed().forEach((s) => drawing(s).print(true)));
  window.addEventListener("afterprint", () => printed().forEach((s) => drawing(s).print(false)));
  follow(true);
})();
