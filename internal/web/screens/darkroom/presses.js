// The presses of this device: each an event with its own id, kept here until the studio has taken
// it, so that it outlives a reload, a lost network and a studio that is restarted. They are handed
// over oldest first; handing one over twice is harmless. Any page that loads this file hands over
// what still waits.
"use strict";
globalThis.platewrightPresses = (() => {
  // What this device keeps. Where the browser takes nothing more, memory serves until the page goes.
  const memory = new Map();
  const kept = {
    read(key) {
      if (memory.has(key)) {
        return memory.get(key);
      }
      try {
        return JSON.parse(localStorage.getItem(key) ?? "null");
      } catch {
        return null;
      }
    },
    write(key, value) {
      try {
        localStorage.setItem(key, JSON.stringify(value));
        memory.delete(key);
      } catch {
        memory.set(key, value);
      }
    },
    drop(key) {
      memory.delete(key);
      try {
        localStorage.removeItem(key);
      } catch {
        // nothing was kept there
      }
    },
  };
  // The same address may serve another studio tomorrow, with a plate of the same number.
  const studio = document.querySelector("[data-studio]")?.dataset.studio ?? "";
  const key = "platewright-presses-" + studio;
  const all = () => kept.read(key) ?? [];
  const add = (number, event) => kept.write(key, [...all(), { number, event }]);

  // Beyond this machine plain HTTP is no secure context, and randomUUID is not there.
  const newID = () => {
    if (crypto.randomUUID) {
      return crypto.randomUUID();
    }
    return [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");
  };
  let device = kept.read("platewright-device");
  if (!device) {
    device = "device " + newID().slice(0, 4).toUpperCase();
    kept.write("platewright-device", device);
  }

  const ask = async (path, options) => {
    const stop = new AbortController();
    const limit = setTimeout(() => stop.abort(), 10000);
    const asked = Date.now();
    try {
      const answer = await fetch(path, { ...options, signal: stop.signal, cache: "no-store", redirect: "error" });
      const body = await answer.json();
      return { status: answer.status, body, asked, answered: Date.now() };
    } finally {
      clearTimeout(limit);
    }
  };
  const needsLogin = "this device is not logged in";
  // handOver hands the oldest press over. take is given the plate the studio answers with, say what
  // it says of a press it did not record. What the studio cannot take now is thrown and stays.
  const handOver = async ({ take, say }) => {
    const { number, event } = all()[0];
    const reply = await ask("/api/plates/" + number + "/events", {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify(event),
    });
    const refused = [400, 404, 413, 415, 422].includes(reply.status) && reply.body.error;
    if (reply.status === 200) {
      take(reply.body, reply);
    } else if (reply.status === 409 && reply.body.plate) {
      take(reply.body.plate, reply);
      say("Plate " + number + ": " + reply.body.error.message);
    } else if (refused) {
      const { field, message } = reply.body.error;
      say("Not recorded, plate " + number + ", " + event.kind + ": " + (field ? field + " " : "") + message);
    } else {
      throw { said: reply.status === 401 ? needsLogin : "it answers " + reply.status };
    }
    kept.write(key, all().filter((p) => p.event.id !== event.id));
  };
  const waiting = (trouble) => {
    const n = all().length;
    const text = n === 1 ? "1 press waits for the studio" : n + " presses wait for the studio";
    return trouble ? text + ": " + trouble : text;
  };
  const pause = (failures) => Math.min(1000 * 2 ** (failures - 1), 15000);

  return { studio, key, kept, device, newID, all, add, ask, handOver, waiting, pause, needsLogin };
})();

// A page that is no clock hands over what waits, and says so in its line for it.
(() => {
  const presses = globalThis.platewrightPresses;
  const line = document.querySelector("[data-presses]");
  if (!line) {
    return;
  }
  const put = (text) => {
    line.textContent = text;
    line.hidden = text === "";
  };
  let failures = 0;
  let said = "";
  const handOver = async () => {
    const before = presses.all().length;
    try {
      while (presses.all().length > 0) {
        put(presses.waiting(""));
        await presses.handOver({ take: () => {}, say: (text) => (said = text) });
        failures = 0;
      }
      put(said || (before ? "All presses of this device are kept now; load the page again to see them." : ""));
    } catch (why) {
      failures++;
      put(presses.waiting(why.said ?? ""));
      setTimeout(handOver, presses.pause(failures));
    }
  };
  handOver();
})();
