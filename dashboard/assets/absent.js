/* Whether the server is still there, for the board's pages and the telephone's alike.

   It is asked every five seconds, on each return to the page, and when the network comes back. A
   session that has ended leaves nothing on the screen. */
window.crewplan_server = function (page) {
  "use strict";
  var EVERY_MS = 1000, ASK_EVERY_MS = 5000, PATIENCE_MS = 4000;
  var server = { lost: false, ahead_ms: 0 }; /* its clock over the reader's, where it is ahead */

  server.ask = function () {
    var stop = new AbortController();
    var patience = setTimeout(function () { stop.abort(); }, PATIENCE_MS);
    fetch("/alive", { cache: "no-store", signal: stop.signal })
      .then(function (answer) {
        if (!answer.ok) { throw new Error("no answer"); }
        return answer.json();
      })
      .then(function (answer) {
        var was_lost = server.lost;
        if (!page.renewing()) { server.lost = false; }
        server.ahead_ms = Math.max(0, Date.parse(answer.now) - Date.now());
        if (answer.signed_in === false && document.querySelector("[data-signed-in]")) {
          document.body.replaceChildren();
          page.ended();
        } else {
          page.answered(Date.parse(answer.now), was_lost);
        }
      })
      .catch(function () { server.lost = true; })
      .then(function () { clearTimeout(patience); page.mark(); });
  };

  server.watch = function () {
    page.mark();
    setInterval(page.mark, EVERY_MS);
    setInterval(server.ask, ASK_EVERY_MS);
    document.addEventListener("visibilitychange", function () { page.mark(); server.ask(); });
    window.addEventListener("offline", function () { server.lost = true; page.mark(); });
    window.addEventListener("online", server.ask);
    server.ask();
  };
  return server;
};
