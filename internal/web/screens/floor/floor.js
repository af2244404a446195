// The floor's drawing as a control. Without this file the form works by its
// buttons; with it, the square handles on the eye plane and the lens board are
// dragged or moved with the arrow keys, and fields step by trade steps.
// Nothing is reckoned here: a handle changes the distance that stands in the
// form, and the server answers with a new drawing.
"use strict";
(() => {
  const form = document.getElementById("plan");
  if (!form) {
    return;
  }
  form.classList.add("scripted");
  for (const row of form.querySelectorAll(".at-a-touch")) {
    row.hidden = false;
  }
  const input = (name) => form.elements.namedItem(name);
  const reckon = () => form.dispatchEvent(new Event("reckon"));

  // The distance is written as the studio writes it: the unit stands beside the field.
  const metric = () => document.querySelector("#f-distance + .unit")?.textContent !== "in";
  const writeDistance = (mm) => {
    const by = form.querySelector('[name="by"][value="distance"]');
    by.checked = true;
    if (metric()) {
      input("distance").value = (Math.round(mm) / 1000).toFixed(3).replace(/0$/, "") + " m";
      return;
    }
    const quarters = Math.round(mm / 25.4 * 4);
    const feet = Math.floor(quarters / 48);
    const inches = Math.floor((quarters - feet * 48) / 4);
    const fraction = ["", " 1/4", " 1/2", " 3/4"][quarters % 4];
    input("distance").value = (feet ? feet + " ft " : "") + inches + fraction + " in";
  };

  const sheetOf = (grip) => grip.closest("svg");
  const distanceOf = (grip) => Number(grip.getAttribute("aria-valuenow"));
  // One unit of the sheet in pixels of the screen.
  const pixels = (sheet) => sheet.getBoundingClientRect().width / sheet.viewBox.baseVal.width;

  // While a handle is dragged the drawing keeps its scale and the other thing
  // its place, so that what is dragged stays under the finger.
  let drag = null;
  document.addEventListener("pointerdown", (event) => {
    const grip = event.target.closest?.(".grip");
    if (!grip || event.button !== 0) {
      return;
    }
    event.preventDefault();
    grip.focus({ preventScroll: true });
    const sheet = sheetOf(grip);
    const what = grip.dataset.handle;
    const hold = what === "eye" ? "lens" : "eye";
    drag = {
      pointer: event.pointerId, from: event.clientX, distance: distanceOf(grip),
      perPixel: Number(sheet.dataset.scale) / pixels(sheet) * (what === "eye" ? 1 : -1),
      view: [hold, sheet.dataset[hold], sheet.dataset.scale, sheet.dataset.sheet].join(","),
      id: grip.id,
    };
  });
  document.addEventListener("pointermove", (event) => {
    if (!drag || event.pointerId !== drag.pointer) {
      return;
    }
    event.preventDefault();
    const mm = drag.distance + (event.clientX - drag.from) * drag.perPixel;
    if (mm < 20) {
      return;
    }
    input("view").value = drag.view;
    writeDistance(mm);
    reckon();
  });
  const letGo = (event) => {
    if (!drag || event.pointerId !== drag.pointer) {
      return;
    }
    drag = null;
    input("view").value = "";
    reckon();
  };
  document.addEventListener("pointerup", letGo);
  document.addEventListener("pointercancel", letGo);

  // Arrow keys move a handle by a trade step, with Shift by ten of them.
  document.addEventListener("keydown", (event) => {
    const grip = event.target.closest?.(".grip");
    if (grip) {
      const toward = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[event.key];
      if (!toward) {
        return;
      }
      event.preventDefault();
      const lens = grip.dataset.handle === "lens" ? -1 : 1;
      const step = Number(sheetOf(grip).dataset.step) * (event.shiftKey ? 10 : 1);
      const mm = Math.round(distanceOf(grip) / step + toward * lens) * step;
      if (mm > 20) {
        writeDistance(mm);
        grip.setAttribute("aria-valuenow", String(mm)); // a second press may come before the answer
        reckon();
      }
      return;
    }
    const field = event.target.closest?.("input[data-step]");
    if (!field || !["ArrowUp", "ArrowDown"].includes(event.key)) {
      return;
    }
    const up = event.key === "ArrowUp" ? 1 : -1;
    const text = stepped(field.dataset.step, field.value, up, field.parentElement.querySelector(".unit")?.textContent);
    if (text !== null) {
      event.preventDefault();
      field.value = text;
      reckon();
    }
  });

  // stepped changes a plain number by one trade step and leaves any other
  // writing alone: third stops, half seconds, quarter inches.
  const stepped = (kind, text, up, beside) => {
    const found = text.match(/^\s*(\d+(?:[.,]\d+)?)\s*([a-z]*)\s*$/i);
    if (!found) {
      return null;
    }
    const value = Number(found[1].replace(",", "."));
    const unit = found[2];
    const add = (step) => Math.max(step, Math.round(value / step + up) * step);
    let next;
    switch (kind) {
      case "third": next = value * 2 ** (up / 3); break;
      case "ev": next = Math.round((value * 3 + up)) / 3; break;
      case "half": next = add(0.5); break;
      default: next = add({ m: 0.01, mm: 10, cm: 1, in: 0.25, ft: 0.25 }[unit || beside] ?? 1);
    }
    const figure = Number(next.toPrecision(kind === "third" || kind === "ev" ? 3 : 6));
    return String(figure) + (unit ? " " + unit : "");
  };

  // A folded part says what is chosen in it.
  form.addEventListener("change", (event) => {
    const part = event.target.closest("details.rest");
    const line = part?.querySelector(".rest-chosen");
    if (line) {
      const words = [...part.querySelectorAll("input:checked")].filter((i) => i.value !== "")
        .map((i) => i.closest("label").querySelector(".option-word").textContent);
      line.textContent = words.join(", ") || "not said";
    }
  });

  // What the figures assume stays open while they change.
  let assumed = false;
  document.addEventListener("click", (event) => {
    const details = event.target.closest?.("summary")?.parentElement;
    if (details?.id === "assumed") {
      assumed = !details.open;
    }
  });
  document.addEventListener("htmx:after:swap", () => {
    const details = document.getElementById("assumed");
    if (details) {
      details.open = assumed;
    }
  });

  // Plate sizes at a touch.
  form.addEventListener("click", (event) => {
    const set = event.target.closest("[data-set]");
    const turn = event.target.closest("[data-turn]");
    if (set) {
      input(set.dataset.set).value = set.dataset.value;
    } else if (turn) {
      const field = input(turn.dataset.turn);
      const lying = /,?\s*lying\s*$/i;
      field.value = lying.test(field.value) ? field.value.replace(lying, "") : field.value.trim() + " lying";
    }
    if (set || turn) {
      reckon();
    }
  });

  // A page that the browser kept and shows again still names the plate it planned.
  addEventListener("pageshow", (event) => {
    if (event.persisted) {
      location.reload();
    }
  });
})();
