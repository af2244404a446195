// The floor's drawings as a control. Without this file the form works by its
// buttons; with it, the square handles on the eye plane, the standards and the
// head are dragged or moved with the arrow keys, and fields step by trade steps.
// Nothing is reckoned here: a handle changes a field of the form, and the server
// answers with new drawings.
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

  // What stands outside the form belongs to it all the same.
  document.addEventListener("change", (event) => {
    if (event.target.matches?.('[form="plan"]')) {
      reckon();
    }
  });

  // Lengths are written as the studio writes them: the unit stands beside the field.
  const metric = () => document.querySelector("#f-distance + .unit")?.textContent !== "in";
  const lengthText = (mm) => {
    if (metric()) {
      return Math.abs(mm) < 1000 ? Math.round(mm) + " mm" : (Math.round(mm) / 1000).toFixed(3).replace(/0$/, "") + " m";
    }
    const eighths = Math.round(Math.abs(mm) / 25.4 * 8);
    const feet = Math.floor(eighths / 96);
    const inches = Math.floor((eighths - feet * 96) / 8);
    const fraction = ["", " 1/8", " 1/4", " 3/8", " 1/2", " 5/8", " 3/4", " 7/8"][eighths % 8];
    return (mm < 0 && eighths > 0 ? "-" : "") + (feet ? feet + " ft " : "") + inches + fraction + " in";
  };
  // write puts a handle's value into its field; nought leaves a movement's field empty.
  const write = (grip, value) => {
    const field = input(grip.dataset.field);
    if (!field) {
      return;
    }
    if (grip.dataset.field === "distance") {
      form.querySelector('[name="by"][value="distance"]').checked = true;
      field.value = lengthText(value);
    } else if (grip.dataset.unit === "mm") {
      const text = lengthText(value);
      field.value = /^-?0 /.test(text) && !/\d\/\d/.test(text) ? "" : text;
    } else {
      const fine = Number(grip.dataset.step) < 1 ? 10 : 1;
      const rounded = Math.round(value * fine) / fine;
      field.value = rounded === 0 ? "" : String(rounded);
    }
  };
  const valueOf = (grip) => Number(grip.getAttribute("aria-valuenow"));
  const within = (grip, value) => {
    const low = grip.dataset.field === "distance" ? 20 : Number(grip.getAttribute("aria-valuemin"));
    return Math.min(Math.max(value, low), Number(grip.getAttribute("aria-valuemax")));
  };
  const sheetOf = (grip) => grip.closest("svg");
  // One unit of the sheet in pixels of the screen.
  const pixels = (sheet) => sheet.getBoundingClientRect().width / sheet.viewBox.baseVal.width;

  // While a handle is dragged the drawing keeps its scale and what is not
  // dragged its place, so that what is dragged stays under the finger.
  let drag = null;
  document.addEventListener("pointerdown", (event) => {
    const grip = event.target.closest?.(".grip");
    if (!grip || event.button !== 0) {
      return;
    }
    event.preventDefault();
    grip.focus({ preventScroll: true });
    const sheet = sheetOf(grip);
    const hold = grip.dataset.hold;
    drag = {
      pointer: event.pointerId, grip, upright: grip.classList.contains("vertical"), value: valueOf(grip),
      from: grip.classList.contains("vertical") ? event.clientY : event.clientX,
      rate: Number(grip.dataset.rate) / pixels(sheet),
      view: [hold, sheet.dataset[hold], sheet.dataset.scale, sheet.dataset.sheet].join(","),
    };
  });
  document.addEventListener("pointermove", (event) => {
    if (!drag || event.pointerId !== drag.pointer) {
      return;
    }
    event.preventDefault();
    const at = drag.upright ? event.clientY : event.clientX;
    input("view").value = drag.view;
    write(drag.grip, within(drag.grip, drag.value + (at - drag.from) * drag.rate));
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
      // The arrow goes the way the handle does: a value that rises to the left or downward falls with it.
      const upright = event.key === "ArrowUp" || event.key === "ArrowDown";
      const along = Number(grip.dataset.rate) < 0 ? -1 : 1;
      const sign = grip.classList.contains("vertical") === upright ? (upright ? -along : along) : 1;
      const step = Number(grip.dataset.step) * (event.shiftKey ? 10 : 1);
      const next = within(grip, Math.round(valueOf(grip) / step + toward * sign) * step);
      write(grip, next);
      grip.setAttribute("aria-valuenow", String(next)); // a second press may come before the answer
      reckon();
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
  // writing alone: third stops, half seconds, quarter inches, half degrees. What
  // goes to either side starts from an empty field too.
  const bothWays = ["small", "degree", "five", "one"];
  const stepped = (kind, text, up, beside) => {
    const found = (bothWays.includes(kind) && text.trim() === "" ? "0" : text).match(/^\s*([-−]?\d+(?:[.,]\d+)?)\s*([a-z°]*)\s*$/i);
    if (!found) {
      return null;
    }
    const value = Number(found[1].replace(",", ".").replace("−", "-"));
    const unit = found[2];
    const add = (step) => Math.round(value / step + up) * step;
    let next;
    switch (kind) {
      case "third": next = value * 2 ** (up / 3); break;
      case "ev": next = Math.round((value * 3 + up)) / 3; break;
      case "half": next = Math.max(0.5, add(0.5)); break;
      case "one": next = add(1); break;
      case "five": next = add(5); break;
      case "degree": next = add(0.5); break;
      case "blur": next = Math.max(0.01, add(0.01)); break;
      case "small": next = add({ m: 0.005, mm: 5, cm: 0.5, in: 0.125, ft: 0.125 }[unit || beside] ?? 1); break;
      default: { const step = { m: 0.01, mm: 10, cm: 1, in: 0.25, ft: 0.25 }[unit || beside] ?? 1; next = Math.max(step, add(step)); }
    }
    const figure = Number(next.toPrecision(kind === "third" || kind === "ev" ? 3 : 6));
    return String(figure) + (unit ? (unit === "°" ? "" : " ") + unit : "");
  };

  // Laying the plane asks for the movements without leaving the page.
  form.addEventListener("click", (event) => {
    const lay = event.target.closest('button[name="lay"]');
    if (!lay) {
      return;
    }
    event.preventDefault();
    const asked = document.createElement("input");
    asked.type = "hidden";
    asked.name = "lay";
    asked.value = "yes";
    form.append(asked);
    reckon();
    setTimeout(() => asked.remove(), 300); // once it is asked
  });

  // A folded part says what is chosen in it.
  form.addEventListener("change", (event) => {
    const part = event.target.closest("details.rest");
    const line = part?.querySelector(".rest-chosen:not(.kept-line)");
    if (line) {
      const words = [...part.querySelectorAll("input:checked")].filter((i) => i.value !== "")
        .map((i) => i.closest("label").querySelector(".option-word").textContent);
      line.textContent = words.join(", ") || "not said";
    }
  });

  // What is unfolded among the figures stays so while they change.
  const unfolded = new Set();
  document.addEventListener("click", (event) => {
    const details = event.target.closest?.("summary")?.parentElement;
    if (details?.matches("#reckoned details")) {
      unfolded[details.open ? "delete" : "add"](details.id);
    }
  });
  document.addEventListener("htmx:after:swap", () => {
    for (const details of document.querySelectorAll("#reckoned details")) {
      details.open = unfolded.has(details.id);
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
