// The clock of one plate. The page holds all its words; this chooses what is shown, counts, and
// makes an event of each press. What becomes of a press is in presses.js.
"use strict";
(() => {
  const presses = globalThis.platewrightPresses;
  const root = document.querySelector("[data-clock]");
  if (!root) {
    return;
  }
  const one = (name, within = root) => within.querySelector("[data-" + name + "]");
  const zone = Number(root.dataset.zone) * 1000;
  const wetTime = Number(root.dataset.wet);
  const rows = [...document.querySelectorAll("[data-step]")];
  const steps = rows.map((row) => ({
    row,
    kind: row.dataset.step,
    since: row.dataset.since,
    after: Number(row.dataset.after),
    until: Number(row.dataset.until),
    seconds: "seconds" in row.dataset,
  }));
  const exposed = steps.find((s) => s.kind === "exposed");
  const capOffKey = "cap off";
  const finished = "finished";

  const { kept, device, newID } = presses;
  let plate = JSON.parse(root.dataset.plate);
  const capKey = "platewright-cap-" + presses.studio + "-" + plate.number;

  // The studio's clock as this device knows it: its own, corrected by the difference found in the
  // quickest answer so far. A jump larger than the answers' delays is one of the device's clock.
  let ahead = Date.parse(plate.now) - Date.now();
  let delay = Infinity;
  const now = () => Date.now() + ahead;
  const setClock = (said, asked, answered) => {
    const trip = answered - asked;
    const found = Date.parse(said) - (asked + answered) / 2;
    if (trip >= 0 && (trip <= delay || Math.abs(found - ahead) > trip + delay)) {
      ahead = found;
      delay = trip;
    }
  };

  // standing is the plate's events as they will be when every press here is handed over.
  const standing = () => {
    let events = plate.events.slice();
    for (const { number, event } of presses.all()) {
      if (number !== plate.number) {
        continue;
      }
      if (event.kind === "corrected") {
        events = events.filter((e) => e.id !== event.corrects);
      } else if (!events.some((e) => e.id === event.id || e.kind === event.kind)) {
        events.push(event);
      }
    }
    const found = new Map();
    for (const e of events) {
      found.set(e.kind, e);
    }
    return found;
  };
  const furthest = (events) => steps.findLastIndex((s) => events.has(s.kind));
  const at = (event) => Date.parse(event.at);
  const capOff = () => {
    const cap = kept.read(capKey);
    return cap && typeof cap.at === "number" ? cap : null;
  };

  const twoFigures = (n) => String(n).padStart(2, "0");
  const minutes = (ms) => {
    const s = Math.floor(ms / 1000);
    const hours = Math.floor(s / 3600);
    const rest = twoFigures(s % 60);
    return hours ? hours + ":" + twoFigures(Math.floor(s / 60) % 60) + ":" + rest : Math.floor(s / 60) + ":" + rest;
  };
  const figures = (step, ms) => {
    const s = Math.floor(Math.max(ms, 0) / 1000);
    return step.seconds && s < 100 ? String(s) : minutes(s * 1000);
  };
  const up = (ms) => Math.ceil(ms / 1000) * 1000;
  const against = (step, ms) => {
    if (step.until && ms >= step.until) {
      return "late by " + minutes(ms - step.until);
    }
    if (step.after) {
      return ms < step.after ? "due in " + minutes(up(step.after - ms)) : "due now";
    }
    return step.until ? "within " + minutes(up(step.until - ms)) : "";
  };
  const put = (element, text) => {
    if (element.textContent !== text) {
      element.textContent = text;
    }
  };

  // render shows the step to take now and all that was taken.
  let events = standing();
  let key = root.dataset.now;
  const render = () => {
    events = standing();
    const last = furthest(events);
    const next = steps[last + 1];
    if (!next || next !== exposed) {
      kept.drop(capKey);
    }
    key = !next ? finished : next === exposed && capOff() ? capOffKey : next.kind;
    root.dataset.now = key;
    for (const part of root.querySelectorAll("[data-for]")) {
      part.hidden = !part.dataset.for.split("|").includes(key);
    }
    one("press").hidden = key === finished;
    one("undo").hidden = last < 0;
    put(one("undo-word"), key === capOffKey ? capOffKey : last < 0 ? "" : steps[last].kind);
    for (const step of steps) {
      const done = events.get(step.kind);
      step.row.hidden = !done;
      if (!done) {
        continue;
      }
      put(one("at", step.row), new Date(at(done) + zone).toISOString().slice(11, 19));
      put(one("took", step.row), took(step, done));
    }
    document.querySelector("[data-none]").hidden = last >= 0;
    sayKept();
    tick();
  };
  const took = (step, done) => {
    if (step === exposed) {
      const s = done.detail?.exposure_s;
      return s ? String(s) + "\u2009s" : "not counted";
    }
    const since = events.get(step.since);
    if (!since) {
      return "";
    }
    const ms = Math.floor(Math.max(at(done) - at(since), 0) / 1000) * 1000;
    const text = "after " + minutes(ms);
    if (step.until && ms > step.until) {
      return text + ", late by " + minutes(ms - step.until);
    }
    return step.after && ms < step.after ? text + ", early by " + minutes(step.after - ms) : text;
  };

  // tick writes the count and comes again when its next second is full: once a second, and not at
  // all while the page is out of sight.
  const count = one("count");
  const planned = root.dataset.planned;
  let timer = 0;
  const tick = () => {
    clearTimeout(timer);
    const moment = now();
    let text = "";
    let said = "";
    let from = null;
    let step = steps.find((s) => s.kind === key);
    const cap = key === capOffKey ? capOff() : null;
    if (cap) {
      step = exposed;
      from = cap.at;
      said = !step.after ? "" : moment - from < step.after ? minutes(up(step.after - (moment - from))) + " to go" : "the seconds are full";
    } else if (step === exposed && planned) {
      text = planned;
    } else if (step && events.has(step.since)) {
      from = at(events.get(step.since));
    }
    const out = events.get("out of bath");
    let wet = "";
    if (out && !events.has("developer on")) {
      const left = at(out) + wetTime - moment;
      wet = left > 0 ? minutes(up(left)) + " of wet left" : "wet time run out " + minutes(-left) + " ago";
    }
    let late = false;
    let due = false;
    if (from !== null) {
      const ms = Math.max(moment - from, 0);
      text = figures(step, ms);
      late = step.until > 0 && ms >= step.until;
      due = step.after > 0 && ms >= step.after;
      if (!cap && !wet) {
        said = against(step, ms);
      }
    }
    put(count, text);
    count.parentElement.dataset.digits = String(text.length);
    put(one("against"), said);
    put(one("wet-left"), wet);
    root.classList.toggle("due", due);
    root.classList.toggle("late", late);
    if (!document.hidden && (from !== null || wet)) {
      const phase = from !== null ? moment - from : moment - at(out);
      timer = setTimeout(tick, 1000 - (((phase % 1000) + 1000) % 1000) + 5);
    }
  };

  // Sayings stand in lines of their own until the next press.
  const say = (text) => put(one("said"), text);
  let trouble = "";
  const sayKept = () => {
    const waiting = presses.all().length;
    put(one("kept"), waiting ? presses.waiting(trouble) : "all kept");
    root.classList.toggle("waiting", waiting > 0);
    one("login").hidden = !(waiting && trouble === presses.needsLogin);
  };

  // A switch in a wet pedal bounces: it closes several times within some tenths of a second. No
  // hand does two steps of a plate that fast, so what comes sooner than this is one press.
  const gap = 400;
  let lastPress = -Infinity;
  const tooSoon = () => {
    const moment = performance.now();
    if (moment - lastPress < gap) {
      return true;
    }
    lastPress = moment;
    return false;
  };
  const record = (event) => {
    presses.add(plate.number, { id: newID(), at: new Date(now()).toISOString(), device, detail: {}, ...event });
    say("");
    render();
    pump();
  };
  const press = () => {
    if (key === finished || tooSoon()) {
      return;
    }
    stayAwake();
    const next = steps[furthest(standing()) + 1];
    if (!next) {
      return;
    }
    if (next !== exposed) {
      record({ kind: next.kind });
      return;
    }
    const cap = capOff();
    if (!cap) {
      kept.write(capKey, { at: now() });
      say("");
      render();
      return;
    }
    kept.drop(capKey);
    record({ kind: next.kind, detail: { exposure_s: Math.max(Math.round((now() - cap.at) / 100) / 10, 0.1) } });
  };
  const undo = () => {
    if (tooSoon()) {
      return;
    }
    if (capOff()) {
      kept.drop(capKey);
      say("");
      render();
      return;
    }
    const taken = standing();
    const last = steps[furthest(taken)];
    if (last) {
      record({ kind: "corrected", corrects: taken.get(last.kind).id, detail: { void: true } });
    }
  };

  // pump hands presses over, oldest first and one at a time, and asks how the plate stands when
  // there is nothing to hand over. Only one request is under way, so no old answer undoes a new one.
  const often = 5000;
  let busy = false;
  let again = 0;
  let failures = 0;
  const take = (body, reply) => {
    setClock(body.now, reply.asked, reply.answered);
    if (body.number === plate.number) {
      plate = body;
    }
  };
  const pump = async () => {
    if (busy) {
      return;
    }
    busy = true;
    clearTimeout(again);
    try {
      let handed = false;
      while (presses.all().length > 0) {
        await presses.handOver({ take, say });
        handed = true;
        failures = 0;
        trouble = "";
        render();
      }
      if (!handed && !document.hidden) {
        const reply = await presses.ask(root.dataset.api);
        if (reply.status === 200) {
          take(reply.body, reply);
        }
        failures = 0;
        trouble = "";
      }
    } catch (why) {
      failures++;
      trouble = why.said ?? "";
    }
    busy = false;
    render();
    const wait = failures === 0 ? often : presses.pause(failures);
    if (presses.all().length > 0 || (!document.hidden && key !== finished)) {
      again = setTimeout(pump, wait);
    }
  };

  // Keys, and whatever a pedal sends. A key counts once until it is let go. Other buttons and links
  // keep the two keys that press them, and fields keep all.
  const pedal = new Set([" ", "Enter", "PageDown", "ArrowRight", "ArrowDown", "b", "B"]);
  const held = new Set();
  const nextButton = one("press").querySelector("button");
  const elsewhere = ({ key, target }) =>
    target !== nextButton && target.closest?.(key === " " || key === "Enter" ? "a, button, input, textarea" : "input, textarea");
  addEventListener("keydown", (event) => {
    if (!pedal.has(event.key) || event.ctrlKey || event.altKey || event.metaKey || elsewhere(event)) {
      return;
    }
    event.preventDefault();
    if (event.repeat || held.has(event.code)) {
      return;
    }
    held.add(event.code);
    press();
  });
  addEventListener("keyup", (event) => {
    // Some browsers press a button as the space bar is let go.
    if (held.delete(event.code)) {
      event.preventDefault();
    }
  });
  addEventListener("blur", () => held.clear());

  // A wet finger slides: the press counts as it comes down. A click without one is a voice's or a
  // screen reader's.
  const onPress = (button, act) => {
    let down = false;
    button.addEventListener("pointerdown", (event) => {
      if (event.isPrimary && event.button === 0) {
        down = true;
        act();
      }
    });
    button.addEventListener("click", (event) => {
      event.preventDefault();
      if (!down || event.detail === 0) {
        act();
      }
      down = false;
      // or the pedal's next press would press this button again
      if (button !== nextButton && event.detail > 0) {
        button.blur();
      }
    });
    button.addEventListener("contextmenu", (event) => event.preventDefault());
    button.form.addEventListener("submit", (event) => event.preventDefault());
  };
  onPress(nextButton, press);
  onPress(one("undo").querySelector("button"), undo);

  // The screen stays lit while a plate runs, where the browser can do that.
  let lock = null;
  const stayAwake = async () => {
    if (!navigator.wakeLock || document.hidden || (lock && !lock.released)) {
      return;
    }
    try {
      lock = await navigator.wakeLock.request("screen");
    } catch {
      lock = null;
    }
  };

  document.addEventListener("visibilitychange", () => {
    held.clear();
    if (document.hidden) {
      return;
    }
    render();
    pump();
    if (key !== finished && events.size > 0) {
      stayAwake();
    }
  });
  addEventListener("pageshow", (event) => {
    if (event.persisted) {
      render();
      pump();
    }
  });
  addEventListener("online", () => {
    failures = 0;
    pump();
  });
  addEventListener("storage", (event) => {
    if (event.key === capKey) {
      render();
    } else if (event.key === presses.key || event.key === null) {
      pump();
    }
  });

  root.classList.add("live");
  render();
  pump();
  if (events.size > 0) {
    stayAwake();
  }
})();
