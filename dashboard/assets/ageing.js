/* Turns what is too old, and all of it when the connection drops, to "unknown".

   A verdict must never stay on a screen because nobody refreshed it. The later of the reader's
   clock and the server's counts, so that a clock that is behind cannot keep a go alive. */
(function () {
  "use strict";
  var EVERY_MS = 1000;
  var ASK_EVERY_MS = 5000;
  var PATIENCE_MS = 4000;
  var ahead_ms = 0; /* of the server's clock over the reader's, where it is ahead */
  var lost = false;

  function each(selector, act) {
    Array.prototype.forEach.call(document.querySelectorAll(selector), act);
  }

  function set(element, name, value) {
    if (element.getAttribute(name) !== value) {
      element.setAttribute(name, value);
    }
  }

  function mark() {
    var now = Date.now() + ahead_ms;
    if (lost) {
      set(document.documentElement, "data-connection", "lost");
    } else {
      document.documentElement.removeAttribute("data-connection");
    }
    each(".ages", function (block) {
      var until = block.getAttribute("data-void-after");
      if (until && now > Date.parse(until)) {
        set(block, "data-stale", "age");
      }
    });
  }

  function ask() {
    var stop = new AbortController();
    var patience = setTimeout(function () { stop.abort(); }, PATIENCE_MS);
    fetch("/alive", { cache: "no-store", signal: stop.signal })
      .then(function (answer) {
        if (!answer.ok) { throw new Error("no answer"); }
        return answer.json();
      })
      .then(function (answer) {
        lost = false;
        /* a session that has ended leaves nothing on the screen */
        if (answer.signed_in === false && document.querySelector("[data-signed-in]")) {
          document.body.replaceChildren();
          window.location.reload();
        }
        ahead_ms = Math.max(0, Date.parse(answer.now) - Date.now());
      })
      .catch(function () { lost = true; })
      .then(function () { clearTimeout(patience); mark(); });
  }

  function start() {
    mark();
    setInterval(mark, EVERY_MS);
    setInterval(ask, ASK_EVERY_MS);
    document.addEventListener("visibilitychange", function () { mark(); ask(); });
    window.addEventListener("offline", function () { lost = true; mark(); });
    window.addEventListener("online", ask);
    new MutationObserver(mark).observe(document.body, { childList: true, subtree: true });
    ask();
  }

  if (document.readyState === "loading") {
    document.addEventListener("DOMContentLoaded", start);
  } else {
    start();
  }
})();
