/* The pictures' script is large, and its first picture slow: where a first page has none, both are
   done with while nobody waits, by small pictures out of sight (dashboard/pages/picture.py). */
(function () {
  "use strict";
  var LATEST_MS = 2000; /* on a page that is never idle, or in a browser that does not tell */

  function draw_ahead() {
    var place = document.getElementById("ahead");
    if (!place || document.querySelector("#page .dash-graph")) { return; }
    var pictures = JSON.parse(place.getAttribute("data-pictures"));
    window.dash_clientside.set_props("ahead", { children: pictures });
  }

  window.addEventListener("crewplan:arrived", function () {
    if (window.requestIdleCallback) {
      window.requestIdleCallback(draw_ahead, { timeout: LATEST_MS });
    } else {
      setTimeout(draw_ahead, LATEST_MS);
    }
  }, { once: true });
})();
