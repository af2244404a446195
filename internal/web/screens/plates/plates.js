// A tap on the plate sets the place of a mark; a place typed moves the cross.
"use strict";
(() => {
  const face = document.querySelector("[data-marking]");
  const across = document.getElementById("f-x_pct");
  const down = document.getElementById("f-y_pct");
  if (!face || !across || !down) {
    return;
  }
  const drawing = face.querySelector(".plate-marks");
  const cross = face.querySelector("[data-chosen]");
  const box = drawing.viewBox.baseVal;

  const draw = () => {
    const number = (field) => Number(field.value.replace("%", "").replace(",", "."));
    const x = number(across);
    const y = number(down);
    const there = across.value.trim() !== "" && down.value.trim() !== "" && x >= 0 && x <= 100 && y >= 0 && y <= 100;
    cross.setAttribute("visibility", there ? "visible" : "hidden");
    if (there) {
      cross.setAttribute("transform", "translate(" + (x / 100) * box.width + " " + (y / 100) * box.height + ")");
    }
  };
  const share = (v, from, size) => (Math.min(1, Math.max(0, (v - from) / size)) * 100).toFixed(1);

  face.addEventListener("click", (event) => {
    const place = drawing.getBoundingClientRect();
    across.value = share(event.clientX, place.left, place.width);
    down.value = share(event.clientY, place.top, place.height);
    const form = across.closest("details");
    if (form) {
      form.open = true;
    }
    draw();
  });
  across.addEventListener("input", draw);
  down.addEventListener("input", draw);
  draw();
})();
