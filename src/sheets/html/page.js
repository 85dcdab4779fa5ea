"use strict";
(() => {
  const data = JSON.parse(document.getElementById("data").textContent);
  const svg = document.querySelector(".drawing svg");
  const panel = document.getElementById("particulars");
  const whole = svg.viewBox.baseVal;
  const home = { x: whole.x, y: whole.y, w: whole.width, h: whole.height };
  let view = { ...home };
  const show = () => svg.setAttribute("viewBox", `${view.x} ${view.y} ${view.w} ${view.h}`);

  // Millimetres of the drawing under a point of the screen.
  const under = (x, y) => {
    const to = svg.getScreenCTM().inverse();
    return { x: to.a * x + to.e, y: to.d * y + to.f };
  };
  const zoom = (factor, x, y) => {
    const w = Math.min(Math.max(view.w / factor, home.w / 60), home.w * 1.5);
    const by = w / view.w;
    view = { x: x - (x - view.x) * by, y: y - (y - view.y) * by, w, h: view.h * by };
    show();
  };
  const centred = (factor) => zoom(factor, view.x + view.w / 2, view.y + view.h / 2);
  const fit = () => { view = { ...home }; show(); };

  const fingers = new Map();
  let moved = 0;
  svg.addEventListener("pointerdown", (e) => {
    if (fingers.size === 0) moved = 0;
    fingers.set(e.pointerId, { x: e.clientX, y: e.clientY });
  });
  svg.addEventListener("pointermove", (e) => {
    const was = fingers.get(e.pointerId);
    if (!was) return;
    const now = { x: e.clientX, y: e.clientY };
    moved += Math.hypot(now.x - was.x, now.y - was.y);
    if (moved > 6 && !svg.hasPointerCapture(e.pointerId)) svg.setPointerCapture(e.pointerId);
    if (fingers.size === 1) {
      const a = under(was.x, was.y), b = under(now.x, now.y);
      view.x -= b.x - a.x;
      view.y -= b.y - a.y;
      show();
    } else if (fingers.size === 2) {
      const [other] = [...fingers].filter(([id]) => id !== e.pointerId).map(([, p]) => p);
      const before = Math.hypot(was.x - other.x, was.y - other.y);
      const after = Math.hypot(now.x - other.x, now.y - other.y);
      if (before > 1 && after > 1) {
        const middle = under((now.x + other.x) / 2, (now.y + other.y) / 2);
        zoom(after / before, middle.x, middle.y);
      }
    }
    fingers.set(e.pointerId, now);
  });
  for (const end of ["pointerup", "pointercancel", "pointerleave"]) {
    svg.addEventListener(end, (e) => fingers.delete(e.pointerId));
  }
  svg.addEventListener("wheel", (e) => {
    e.preventDefault();
    const p = under(e.clientX, e.clientY);
    zoom(Math.exp(-e.deltaY / 500), p.x, p.y);
  }, { passive: false });

  const element = (name, text) => {
    const out = document.createElement(name);
    if (text !== undefined) out.textContent = text;
    return out;
  };
  const groups = [...svg.querySelectorAll("g[data-of]")].filter((g) => data[g.dataset.of]);

  const pick = (id) => {
    const chosen = data[id];
    const lit = new Set(chosen ? [id, ...chosen.path] : []);
    svg.classList.toggle("picked", Boolean(chosen));
    for (const g of svg.querySelectorAll("g[data-of]")) {
      g.classList.toggle("on", lit.has(g.dataset.of));
      g.classList.toggle("chosen", g.dataset.of === id);
    }
    panel.replaceChildren();
    if (!chosen) {
      panel.append(element("p", "Tap a part or a cable: its data, its findings and its path to the source."));
      return;
    }
    panel.append(element("h2", chosen.name));
    if (chosen.way) panel.append(element("p", chosen.way));
    const list = element("dl");
    for (const [what, value] of chosen.data) list.append(element("dt", what), element("dd", value));
    panel.append(list);
    panel.append(element("p", chosen.findings.length ? "Findings:" : "No finding names it; see also what was not checked."));
    const findings = element("ul");
    for (const text of chosen.findings) findings.append(element("li", text));
    if (chosen.findings.length) panel.append(findings);
  };

  svg.addEventListener("click", (e) => {
    if (moved > 6) return;
    let g = e.target.closest("g[data-of]");
    while (g && !data[g.dataset.of]) g = g.parentElement && g.parentElement.closest("g[data-of]");
    // Fingers are wide: where nothing was hit, what is within 4 mm of the screen counts.
    if (!g) g = near(e.clientX, e.clientY);
    pick(g ? g.dataset.of : undefined);
  });
  const near = (x, y) => {
    for (const r of [6, 12, 18]) {
      for (let n = 0; n < 8; n++) {
        const a = (n * Math.PI) / 4;
        const hit = document.elementFromPoint(x + r * Math.cos(a), y + r * Math.sin(a));
        const g = hit && hit.closest && hit.closest("g[data-of]");
        if (g && data[g.dataset.of]) return g;
      }
    }
    return undefined;
  };
  const seen = new Set();
  for (const g of groups) {
    if (seen.has(g.dataset.of)) continue;
    seen.add(g.dataset.of);
    g.setAttribute("tabindex", "0");
    g.setAttribute("role", "button");
    g.setAttribute("aria-label", data[g.dataset.of].name);
    g.addEventListener("keydown", (e) => {
      if (e.key === "Enter" || e.key === " ") { e.preventDefault(); pick(g.dataset.of); }
    });
  }
  document.addEventListener("keydown", (e) => { if (e.key === "Escape") pick(undefined); });
  for (const row of document.querySelectorAll("tr[data-go]")) {
    row.addEventListener("click", () => {
      pick(row.dataset.go);
      document.querySelector(".drawing").scrollIntoView({ block: "start" });
    });
  }
  document.getElementById("closer").addEventListener("click", () => centred(1.5));
  document.getElementById("farther").addEventListener("click", () => centred(1 / 1.5));
  document.getElementById("all").addEventListener("click", fit);
  const folds = [...document.querySelectorAll("details")];
  let open = [];
  addEventListener("beforeprint", () => { open = folds.map((d) => d.open); folds.forEach((d) => { d.open = true; }); fit(); });
  addEventListener("afterprint", () => folds.forEach((d, n) => { d.open = open[n]; }));
  pick(undefined);
})();
