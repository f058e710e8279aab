/* Keeps the crew's day for where there is no network: the newest page each address gave, and what it
   is drawn with. The network comes first; a kept page is only shown where nothing answers. What the
   server refuses is forgotten at once: a session that ended, a link that was revoked. */
"use strict";
var KEEP = "crewplan-day-1";
var LOOKS = ["/small/phone.css", "/small/phone.js", "/assets/go.svg", "/assets/no-go.svg", "/assets/unknown.svg"];
var OLDEST_MS = 3 * 24 * 3600 * 1000; /* assumed: nobody needs a load list of longer ago */
var PATIENCE_MS = 8000;

self.addEventListener("install", function (event) {
  event.waitUntil(
    caches.open(KEEP).then(function (kept) { return kept.addAll(LOOKS); })
      .then(function () { return self.skipWaiting(); })
  );
});

self.addEventListener("activate", function (event) {
  event.waitUntil(
    caches.keys().then(function (names) {
      return Promise.all(names.map(function (name) {
        return name.indexOf("crewplan-") === 0 && name !== KEEP ? caches.delete(name) : null;
      }));
    }).then(function () { return self.clients.claim(); })
  );
});

function kept_one(request) {
  return caches.open(KEEP).then(function (kept) {
    return kept.match(request, { ignoreVary: true, ignoreSearch: request.mode !== "navigate" });
  });
}

function young(answer) {
  var made = answer && Date.parse(answer.headers.get("Date"));
  return answer && !(Date.now() - made > OLDEST_MS);
}

function patiently(request) {
  var stop = new AbortController();
  var timer = setTimeout(function () { stop.abort(); }, PATIENCE_MS);
  return fetch(request, { signal: stop.signal }).finally(function () { clearTimeout(timer); });
}

function forget_days() {
  return caches.open(KEEP).then(function (kept) {
    return kept.keys().then(function (requests) {
      return Promise.all(requests.map(function (one) {
        return LOOKS.indexOf(new URL(one.url).pathname) < 0 ? kept.delete(one) : null;
      }));
    });
  });
}

function page(request) {
  return patiently(request).then(function (answer) {
    if (answer.status >= 502 && answer.status <= 504) { throw new Error("nobody behind the proxy"); }
    return answer;
  }).then(function (answer) {
    var mine = answer.ok && !answer.redirected;
    var copy = mine ? answer.clone() : null;
    var done = mine
      ? caches.open(KEEP).then(function (kept) { return kept.put(request.url, copy); })
      : forget_days();
    /* a telephone without room for it still shows what came */
    return done.then(function () { return answer; }, function () { return answer; });
  }, function (error) {
    return kept_one(request).then(function (answer) {
      if (young(answer)) { return answer; }
      throw error;
    });
  });
}

function look(request) {
  return patiently(request).then(function (answer) {
    if (!answer.ok) { throw new Error("no file"); }
    return answer;
  }).catch(function (error) {
    return kept_one(request).then(function (answer) {
      if (answer) { return answer; }
      throw error;
    });
  });
}

self.addEventListener("fetch", function (event) {
  var request = event.request, path = new URL(request.url).pathname;
  if (request.method !== "GET" || new URL(request.url).origin !== self.location.origin) { return; }
  if (request.mode === "navigate" && (path === "/small/tomorrow" || /^\/link\/[^/]+$/.test(path))) {
    event.respondWith(page(request));
  } else if (LOOKS.indexOf(path) >= 0) {
    event.respondWith(look(request));
  }
});
