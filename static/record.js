// Reads the chart of a record mark by mark: by pointer, touch and keyboard.
"use strict";
(() => {
  const source = document.getElementById("record-marks");
  const reading = document.getElementById("record-reading");
  if (!source || !reading) return;
  const marks = JSON.parse(source.textContent);

  for (const chart of document.querySelectorAll("[data-record-chart]")) {
    const points = [...chart.querySelectorAll(".record-point")];
    // A narrow chart has the newest lines only: both end with the same one.
    const before = marks.length - points.length;
    let chosen = -1;

    const choose = (number) => {
      if (!points.length) return;
      points[chosen]?.classList.remove("record-chosen");
      chosen = Math.max(0, Math.min(points.length - 1, number));
      points[chosen].classList.add("record-chosen");
      const [words, address] = marks[before + chosen];
      const link = document.createElement("a");
      link.href = address;
      link.textContent = words;
      reading.replaceChildren(link);
      reading.hidden = false;
    };

    const nearest = (x) => {
      const distances = points.map((point) => {
        const box = point.getBoundingClientRect();
        return Math.abs(box.left + box.width / 2 - x);
      });
      return distances.indexOf(Math.min(...distances));
    };

    chart.addEventListener("pointermove", (event) => {
      if (event.pointerType === "mouse") choose(nearest(event.clientX));
    });
    // A touch reads when it is lifted: words that appear sooner could come to lie under it.
    chart.addEventListener("click", (event) => choose(nearest(event.clientX)));
    chart.addEventListener("keydown", (event) => {
      const moves = {
        ArrowLeft: chosen - 1,
        ArrowRight: chosen + 1,
        Home: 0,
        End: points.length - 1,
      };
      if (event.key in moves) {
        choose(moves[event.key]);
      } else if (event.key === "Enter" && chosen >= 0) {
        window.location.assign(marks[before + chosen][1]);
      } else {
        return;
      }
      event.preventDefault();
    });

    // The newest line is read from the start, so that nothing moves when another one is chosen.
    choose(points.length - 1);
  }
})();
