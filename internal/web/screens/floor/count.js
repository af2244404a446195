// Counts the seconds for a hand with a lens cap: three beats to make ready, then
// the cap comes off and the seconds are counted, large, with a tick if it is
// wanted. Pressed again when the cap is back on, it tells how far off the time was in
// stops. What is counted to is what the server reckoned or was told: the figure in
// #cap-off.
"use strict";
(() => {
  const part = document.querySelector(".count");
  if (!part) {
    return;
  }
  part.hidden = false;
  const figure = part.querySelector(".count-figure");
  const said = part.querySelector(".count-said");
  const go = part.querySelector(".count-go");
  const sound = part.querySelector(".count-sound");
  const start = go.textContent;
  const beats = 3;
  let run = null;
  let audio = null;

  const wanted = () => Number(document.getElementById("cap-off")?.value || 0);

  // A low tick each second, a high one when the cap moves.
  const tick = (high) => {
    if (!audio) {
      return;
    }
    const tone = audio.createOscillator();
    const loud = audio.createGain();
    tone.frequency.value = high ? 1320 : 660;
    loud.gain.setValueAtTime(0.25, audio.currentTime);
    loud.gain.exponentialRampToValueAtTime(0.001, audio.currentTime + 0.09);
    tone.connect(loud).connect(audio.destination);
    tone.start();
    tone.stop(audio.currentTime + 0.1);
  };
  sound.addEventListener("click", () => {
    if (audio) {
      audio.close();
      audio = null;
    } else if (window.AudioContext) {
      audio = new AudioContext();
      tick(false);
    }
    sound.setAttribute("aria-pressed", String(audio !== null));
  });

  const seconds = (s) => (s < 10 ? s.toFixed(1) : String(Math.round(s)));
  const stops = (s) => (s < 0 ? "−" : "+") + Math.abs(s).toFixed(2) + "\u2009stops";

  const rest = (words) => {
    clearTimeout(run?.timer);
    run = null;
    part.classList.remove("running", "over");
    go.textContent = start;
    figure.textContent = "";
    said.textContent = words;
  };

  // step shows the beat that has come and waits for the next, by the clock and not by adding up waits.
  const step = () => {
    const at = (performance.now() - run.off) / 1000;
    const next = Math.floor(at + 0.001) + 1;
    if (at < -0.001) {
      figure.textContent = String(Math.ceil(-at - 0.001));
      tick(false);
    } else {
      const whole = Math.floor(at + 0.001);
      if (!run.open) {
        run.open = true;
        said.textContent = "Cap off";
        go.textContent = "Cap on";
        tick(true);
      } else if (!run.over) {
        tick(false);
      }
      if (at + 0.001 >= run.want) {
        if (!run.over) {
          run.over = true;
          part.classList.add("over");
          said.textContent = "Cap on";
          tick(true);
        }
        const late = Math.log2(Math.max(at, 0.01) / run.want);
        if (late >= 0.05) {
          said.textContent = "Cap on: " + stops(late);
        }
        if (late > 2) {
          rest("Left alone at two stops over.");
          return;
        }
      }
      figure.textContent = String(whole);
    }
    const until = at >= 0 && at < run.want && next > run.want ? run.want : next;
    run.timer = setTimeout(step, Math.max(5, (until - at) * 1000));
  };

  go.addEventListener("click", () => {
    if (run) {
      const at = (performance.now() - run.off) / 1000;
      if (at <= 0) {
        rest("Stopped before the cap was off.");
        return;
      }
      const off = Math.log2(at / run.want);
      rest(seconds(at) + "\u2009s for " + seconds(run.want) + "\u2009s: " + (Math.abs(off) < 0.005 ? "right" : stops(off)));
      return;
    }
    const want = wanted();
    if (!(want > 0)) {
      rest("There are no seconds to count yet.");
      return;
    }
    if (want > 3600) {
      rest("That is too long to count.");
      return;
    }
    run = { want, off: performance.now() + beats * 1000, open: false, over: false };
    part.classList.add("running");
    go.textContent = "Stop";
    said.textContent = "Make ready, for " + seconds(want) + "\u2009s";
    step();
  });
})();
