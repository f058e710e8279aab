/* The crew's day: what is too old turns to "unknown" by itself, with a network and without.

   Without a network the kept page stays readable, says so, and counts no longer than it said. The
   later of the telephone's clock and the server's counts. A clock that is behind the time at which
   the page was made could keep a go alive for ever: nothing counts then. With a network the page is
   asked for anew each minute, so that a gust that a colleague measured stops everybody. */
(function () {
  "use strict";
  var BEHIND_MS = 120000;
  var RENEW_MS = 60000, PAGE_PATIENCE_MS = 10000;
  var KEEP = "crewplan-day-1";
  var root = document.documentElement;
  var renewing = false;

  function each(selector, act) {
    Array.prototype.forEach.call(document.querySelectorAll(selector), act);
  }

  function made_at() {
    return Date.parse(document.body.getAttribute("data-made-at"));
  }

  function mark() {
    var now = Date.now() + server.ahead_ms;
    var made = made_at();
    if (document.body.hasAttribute("data-clock-runs") && now < made - BEHIND_MS) {
      root.setAttribute("data-clock", "behind");
    } else {
      root.removeAttribute("data-clock");
    }
    if (server.lost) { root.setAttribute("data-connection", "lost"); } else { root.removeAttribute("data-connection"); }
    each("[data-void-after]", function (block) {
      if (now > Date.parse(block.getAttribute("data-void-after"))) { block.setAttribute("data-stale", "age"); }
    });
  }

  function forget() {
    return "caches" in window ? caches.delete(KEEP) : Promise.resolve();
  }

  var server = window.crewplan_server({
    mark: mark,
    renewing: function () { return renewing; },
    answered: function (now, was_lost) {
      if (was_lost || now - made_at() > RENEW_MS) { renew(); }
    },
    ended: function () { /* nor on the telephone */
      forget().then(function () { window.location.reload(); });
    }
  });

  /* What a page says, without the time at which it was made. */
  function said(main) {
    var copy = main.cloneNode(true);
    Array.prototype.forEach.call(copy.querySelectorAll(".offline"), function (one) { one.remove(); });
    Array.prototype.forEach.call(copy.querySelectorAll("[data-stale]"), function (one) {
      one.removeAttribute("data-stale");
    });
    return copy.innerHTML;
  }

  function show(text) {
    var fresh = new DOMParser().parseFromString(text, "text/html");
    var main = fresh.querySelector("main"), old = document.querySelector("main");
    if (!main || !old) { throw new Error("no page"); }
    if (said(main) !== said(old)) {
      var ticked = [];
      each("main input:checked", function (box) { ticked.push(box.parentNode.textContent); });
      old.replaceWith(document.adoptNode(main));
      each("main input[type='checkbox']", function (box) {
        box.checked = ticked.indexOf(box.parentNode.textContent) >= 0;
      });
    } else {
      old.querySelector(".offline").textContent = main.querySelector(".offline").textContent;
    }
    document.body.setAttribute("data-made-at", fresh.body.getAttribute("data-made-at"));
    each("[data-made-words]", function (words) {
      words.textContent = fresh.querySelector("[data-made-words]").textContent;
    });
  }

  function renew() {
    if (renewing) { return; }
    renewing = true;
    var stop = new AbortController();
    var patience = setTimeout(function () { stop.abort(); }, PAGE_PATIENCE_MS);
    fetch(location.href, { cache: "no-store", signal: stop.signal })
      .then(function (answer) {
        if (answer.redirected || (answer.status >= 400 && answer.status < 500)) {
          return forget().then(function () { window.location.reload(); });
        }
        if (!answer.ok) { throw new Error("no page"); }
        var copy = answer.clone();
        return answer.text().then(function (text) {
          show(text);
          server.lost = false;
          if (!("caches" in window)) { return null; }
          return caches.open(KEEP).then(function (kept) { return kept.put(location.href, copy); })
            .catch(function () {}); /* no room for it */
        });
      })
      .catch(function () { server.lost = true; }) /* an old page must say so */
      .then(function () { clearTimeout(patience); renewing = false; mark(); });
  }

  function keep() {
    if (!("serviceWorker" in navigator) || !("caches" in window)) {
      each(".not-kept", function (words) { words.hidden = false; });
      return;
    }
    var controlled = Boolean(navigator.serviceWorker.controller); /* else it claims this page below */
    var scope = location.pathname.indexOf("/link/") === 0 ? "/link/" : "/small/";
    navigator.serviceWorker.register("/small/worker.js", { scope: scope })
      .then(function () { return navigator.serviceWorker.ready; })
      .then(function () {
        if (controlled) { return null; }
        return fetch(location.href).then(function (answer) { /* the first time the worker saw nothing */
          if (!answer.ok || answer.redirected) { throw new Error("not ours to keep"); }
          return caches.open(KEEP).then(function (kept) { return kept.put(location.href, answer); });
        });
      })
      .then(function () { each(".kept", function (words) { words.hidden = false; }); })
      .catch(function () { each(".not-kept", function (words) { words.hidden = false; }); });
  }

  document.addEventListener("change", function (event) {
    if (event.target.matches("select[name='crew']")) { event.target.form.submit(); }
  });
  server.watch();
  keep();
})();
