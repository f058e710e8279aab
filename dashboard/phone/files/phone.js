/* The crew's day: what is too old turns to "unknown" by itself, with a network and without.

   Without a network the kept page stays readable, says so, and counts no longer than it said. The
   later of the telephone's clock and the server's counts. A clock that is behind the time at which
   the page was made could keep a go alive for ever: nothing counts then. */
(function () {
  "use strict";
  var EVERY_MS = 1000, ASK_EVERY_MS = 5000, PATIENCE_MS = 4000, BEHIND_MS = 120000;
  var KEEP = "crewplan-day-1";
  var root = document.documentElement;
  var ahead_ms = 0, lost = false;

  function each(selector, act) {
    Array.prototype.forEach.call(document.querySelectorAll(selector), act);
  }

  function mark() {
    var now = Date.now() + ahead_ms;
    var made = Date.parse(document.body.getAttribute("data-made-at"));
    if (document.body.hasAttribute("data-clock-runs") && now < made - BEHIND_MS) {
      root.setAttribute("data-clock", "behind");
    } else {
      root.removeAttribute("data-clock");
    }
    if (lost) { root.setAttribute("data-connection", "lost"); } else { root.removeAttribute("data-connection"); }
    each("[data-void-after]", function (block) {
      if (now > Date.parse(block.getAttribute("data-void-after"))) { block.setAttribute("data-stale", "age"); }
    });
  }

  function forget() {
    return "caches" in window ? caches.delete(KEEP) : Promise.resolve();
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
        var was_lost = lost;
        lost = false;
        ahead_ms = Math.max(0, Date.parse(answer.now) - Date.now());
        /* a session that has ended leaves nothing on the screen, nor on the telephone */
        if (answer.signed_in === false && document.body.hasAttribute("data-signed-in")) {
          document.body.replaceChildren();
          forget().then(function () { window.location.reload(); });
        } else if (was_lost) {
          window.location.reload(); /* what was measured meanwhile counts at once */
        }
      })
      .catch(function () { lost = true; })
      .then(function () { clearTimeout(patience); mark(); });
  }

  function keep() {
    if (!("serviceWorker" in navigator) || !("caches" in window)) {
      each(".not-kept", function (words) { words.hidden = false; });
      return;
    }
    var scope = location.pathname.indexOf("/link/") === 0 ? "/link/" : "/small/";
    navigator.serviceWorker.register("/small/worker.js", { scope: scope })
      .then(function () { return navigator.serviceWorker.ready; })
      .then(function () {
        if (navigator.serviceWorker.controller || lost) { return null; }
        return fetch(location.href).then(function (answer) { /* the first time the worker saw nothing */
          if (!answer.ok || answer.redirected) { return null; }
          return caches.open(KEEP).then(function (kept) { return kept.put(location.href, answer); });
        });
      })
      .then(function () { each(".kept", function (words) { words.hidden = false; }); })
      .catch(function () { each(".not-kept", function (words) { words.hidden = false; }); });
  }

  mark();
  setInterval(mark, EVERY_MS);
  setInterval(ask, ASK_EVERY_MS);
  document.addEventListener("visibilitychange", function () { mark(); ask(); });
  window.addEventListener("offline", function () { lost = true; mark(); });
  window.addEventListener("online", ask);
  each("select", function (select) {
    select.addEventListener("change", function () { select.form.submit(); });
  });
  ask();
  keep();
})();
