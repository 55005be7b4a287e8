"use strict";
/* Shows what comes and says, by itself, when nothing comes. Text goes in as text only; every word is from the
   page or from the watch. */
(() => {
  const STALE_MS = 5000, TICK_MS = 500, GAP_MS = 3000, AGAIN_MS = 2000, ANEW_MS = 15000;
  const root = document.documentElement, words = root.dataset;
  const el = (id) => document.getElementById(id);
  const part = (id, of) => el(id).querySelector(of);

  const figures = {};         // the newest of each part
  let seen = null;            // when the instant shown was new, by `now`; null where not known
  let heard = -Infinity;      // when anything came
  let shut = true;            // figures are not to be believed until a new instant comes
  let kept = true;            // somebody keeps the watch
  let source = null, opened = -Infinity, why = "";
  let least = Infinity, most = Infinity;

  /* Milliseconds that only grow, by whichever of two clocks goes faster: one may stand still while the device
     sleeps, the other may be set. */
  let ran = 0, wall = Date.now(), run = performance.now();
  const now = () => {
    const to = [Date.now(), performance.now()];
    ran += Math.max(to[0] - wall, to[1] - run, 0);
    [wall, run] = to;
    return ran;
  };

  const node = (tag, style, text) => {
    const made = document.createElement(tag);
    if (style) made.className = style;
    if (text !== undefined) made.textContent = text;
    return made;
  };
  const put = (into, ...some) => { into.replaceChildren(...some); };
  const say = (id, text) => { if (el(id).textContent !== text) el(id).textContent = text; };
  const because = (id, text) => { part(id, ":scope > .why").textContent = text; };

  const paint = {
    now(of) {
      for (const name of ["ship", "berth", "clock", "day", "zone"]) say(name, of[name]);
      kept = of.kept;
    },
    headline(of) {
      el("headline").className = "headline " + of.stage;
      say("word", of.word);
      say("large", of.by ? of.large + "  " + of.by : of.large);
      say("text", of.text);
      say("waiting", of.waiting);
    },
    next(of) {
      put(part("next", "ul"), ...of.rows.map((row) => {
        const item = node("li");
        item.append(node("span", "what figure", row.what), " ", node("span", "when figure", row.when));
        return item;
      }));
      because("next", of.why);
    },
    water(of) {
      put(part("water", "dl"), ...of.map((one) => {
        const item = node("div", one.wide ? "wide" : "");
        item.append(node("dt", "", one.label), node("dd", "value figure " + one.stage, one.value));
        if (one.note) item.append(node("dd", "note figure", one.note));
        if (one.source) item.append(node("dd", "source figure", one.source));
        return item;
      }));
      because("water", "");
    },
    lines(of) {
      put(part("lines", "ul"), ...of.rows.map(line));
      part("lines", ".quiet").textContent = of.quiet;
      because("lines", of.why);
    },
    alerts(of) {
      put(part("alerts", "ul"), ...of.rows.map((row) => {
        const item = node("li", row.waits ? "waits" : ""), head = node("p", "head");
        head.append(node("span", "word " + row.stage, row.word));
        if (row.state) head.append(node("span", "state", row.state));
        if (row.since) head.append(node("span", "faint figure", row.since));
        item.append(head, node("p", "figure", row.text));
        return item;
      }));
      because("alerts", of.none || of.more);
    },
    plan(of) {
      const drawn = new DOMParser().parseFromString(of, "image/svg+xml").documentElement;
      if (drawn.localName !== "svg") throw new Error("no drawing");
      put(part("plan", ".drawing"), document.adoptNode(drawn));
      because("plan", "");
    },
    gauges(of) {
      put(part("gauges", ".wrong"), ...of.wrong.map((text) => node("li", "", text)));
      put(part("gauges", ".rows"), ...of.rows.map((row) => {
        const item = node("div", row.good ? "row" : "row bad");
        item.append(node("span", "", row.name), node("span", "figure", row.value));
        const said = node("span", "why");
        said.append(node("span", "quality", row.quality), row.why ? ", " : "", node("span", "figure", row.why));
        item.append(said);
        return item;
      }));
      because("gauges", of.none);
    },
  };

  function line(row) {
    const item = node("li"), first = node("div", "first");
    first.append(node("span", "id", row.id), node("span", "word " + row.stage, row.word));
    if (row.because) first.append(node("span", "because " + row.stage, row.because));
    if (row.figure) first.append(node("span", "figure", row.figure));
    if (row.load) first.append(node("span", "load figure", row.load));
    item.append(first);
    if (row.bar !== null) {
      const bar = node("div", "bar " + row.stage), filled = node("i");
      filled.style.setProperty("--at", String(Math.max(0, row.bar)));
      bar.append(filled, node("b", "at70"), node("b", "at85"), node("b", "at100"));
      bar.setAttribute("aria-hidden", "true");
      const below = node("div", "first faint");
      below.append(node("span", "", row.role), node("span", "figure", row.of));
      if (row.limits) below.append(node("span", "", row.because + " " + row.limits));
      if (row.rate) below.append(node("span", "figure", row.rate));
      item.append(bar, below);
    }
    if (row.note) item.append(node("p", "figure", row.note));
    return item;
  }

  function show(changed) {
    Object.assign(figures, changed);
    for (const name of Object.keys(paint)) {
      if (!(name in changed)) continue;
      try {
        if (changed[name] === null) throw new Error(name);
        paint[name](changed[name]);
      } catch (fault) {
        if (name === "headline" || name === "now") throw fault;
        fail(name);
      }
    }
  }

  function fail(name) {
    const section = el(name);
    for (const list of section.querySelectorAll("ul, dl, .rows, .drawing, .quiet")) list.replaceChildren();
    because(name, words.notShown);
  }

  /* `sent_s` runs at the server: what an event takes longer than the quickest one of this connection, it waited
     on its way; and that one took no longer than this connection has been open when the first one came. */
  function take(event) {
    const came = now();
    const got = JSON.parse(event.data);
    const took = came - got.sent_s * 1000;
    if (least === Infinity) [least, most] = [took, came - opened];
    else if (took < least) [least, most] = [took, Math.max(most - (least - took), 0)];
    show(got.parts);
    heard = came;
    why = "";
    if (got.age_s === null) { shut = true; seen = null; }
    else {
      seen = came - got.age_s * 1000 - (took - least) - most;
      if (came - seen <= STALE_MS) shut = false;
    }
    tick();
  }

  function connect() {
    if (source !== null) source.close();
    opened = now();
    least = most = Infinity;
    source = new EventSource("/pictures");
    source.onmessage = (event) => { try { take(event); } catch (fault) { shut = true; console.error(fault); } };
    source.onerror = () => { if (source !== null) source.close(); source = null; ask(); };
  }

  /* A stream does not say why it was refused: ask for its head alone. */
  async function ask() {
    try {
      const head = await fetch("/pictures", { method: "HEAD", cache: "no-store" });
      why = head.status === 403 ? words.refused : head.status === 503 ? words.full : words.connecting;
    } catch { why = words.connecting; }
  }

  function span(ms) {
    const s = Math.max(0, Math.floor(ms / 1000));
    if (s < 120) return s + " s";
    if (s < 7200) return Math.floor(s / 60) + " min";
    return Math.floor(s / 3600) + " h " + String(Math.floor(s / 60) % 60).padStart(2, "0");
  }

  let last = now();
  function tick() {
    const at = now();
    if (at - last > GAP_MS) doubt();
    last = at;
    const age = seen === null ? Infinity : at - seen;
    if (age > STALE_MS) shut = true;
    const silent = at - heard > STALE_MS, gone = !kept && !silent, old = shut || !kept;
    root.classList.toggle("stale", old);
    const wait = source === null ? AGAIN_MS : silent ? STALE_MS : shut ? ANEW_MS : Infinity;
    if (at - opened > wait) connect();
    say("live", old ? (gone ? words.gone : words.stale) : el("large").textContent);
    if (!old) return;
    if (gone) say("old-words", words.gone);
    else if (seen !== null) say("old-words", words.staleFor + " " + span(age));
    else if (figures.now) say("old-words", words.stale);
    say("old-why", why);
  }

  /* Back from sleep, or the network has changed: nothing is believed before a new instant. */
  function doubt() {
    shut = true;
    connect();
  }
  for (const name of ["online", "offline"]) addEventListener(name, () => { doubt(); tick(); });
  addEventListener("pageshow", (event) => { if (event.persisted) { doubt(); tick(); } });
  document.addEventListener("visibilitychange", () => { if (!document.hidden) { doubt(); tick(); } });
  document.addEventListener("resume", () => { doubt(); tick(); });

  const night = el("night");
  function lamp(on) {
    root.classList.toggle("night", on);
    night.setAttribute("aria-pressed", String(on));
  }
  const stored = () => { try { return localStorage.getItem("night") === "yes"; } catch { return false; } };
  night.addEventListener("click", () => {
    lamp(!root.classList.contains("night"));
    try { localStorage.setItem("night", root.classList.contains("night") ? "yes" : "no"); } catch { /* not kept */ }
  });
  lamp(stored());
  connect();
  setInterval(tick, TICK_MS);
})();
