/* Turns what is too old, and all of it when the connection drops, to "unknown".

   A verdict must never stay on a screen because nobody refreshed it. The later of the reader's
   clock and the server's counts, so that a clock that is behind cannot keep a go alive. */
(function () {
  "use strict";
  function each(selector, act) {
    Array.prototype.forEach.call(document.querySelectorAll(selector), act);
  }

  function set(element, name, value) {
    if (element.getAttribute(name) !== value) {
      element.setAttribute(name, value);
    }
  }

  function mark() {
    var now = Date.now() + server.ahead_ms;
    if (server.lost) {
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

  var server = window.crewplan_server({
    mark: mark,
    renewing: function () { return false; },
    answered: function () {},
    ended: function () { window.location.reload(); }
  });

  function start() {
    new MutationObserver(mark).observe(document.body, { childList: true, subtree: true });
    server.watch();
  }

  if (document.readyState === "loading") {
    document.addEventListener("DOMContentLoaded", start);
  } else {
    start();
  }
})();
