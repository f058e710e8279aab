/* While a search runs, how far it is, about once a second; a new page once it has ended. */
(function () {
  "use strict";
  var EVERY_MS = 1000;

  function ask() {
    var place = document.getElementById("standing");
    if (!place || !place.querySelector("[data-running]")) { return; }
    fetch(place.getAttribute("data-again"), { cache: "no-store" })
      .then(function (answer) {
        if (!answer.ok) { throw new Error("no answer"); }
        return answer.text();
      })
      .then(function (text) {
        var fresh = document.createElement("template");
        fresh.innerHTML = text;
        if (!fresh.content.querySelector("[data-running]")) {
          window.location.reload();
          return;
        }
        /* only the words change, so that the button under somebody's finger stays */
        place.querySelector("[data-running]").replaceWith(fresh.content.querySelector("[data-running]"));
        setTimeout(ask, EVERY_MS);
      })
      .catch(function () {
        var words = place.querySelector("[data-running]");
        if (words) { words.textContent = "The board does not answer. Trying again; what it found so far is not lost while it runs."; }
        setTimeout(ask, 3 * EVERY_MS);
      });
  }

  setTimeout(ask, EVERY_MS);
})();
