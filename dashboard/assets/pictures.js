/* A picture that nobody sees yet is drawn once the page is there, one at a time: drawing all of
   them first would keep a person waiting for the words. Pictures in the window are drawn at once. */
(function () {
  "use strict";
  var MOST_MS = 300; /* until a busy page draws the next one all the same */
  var waiting = [];

  function seen(element) {
    var box = element.getBoundingClientRect();
    return box.bottom > 0 && box.top < window.innerHeight;
  }

  function when_idle(work) {
    if (window.requestIdleCallback) {
      window.requestIdleCallback(work, { timeout: MOST_MS });
    } else {
      setTimeout(work, 0);
    }
  }

  /* Those that came into the window meanwhile go first. */
  function draw_next() {
    var place = Math.max(0, waiting.findIndex(function (one) { return seen(one.element); }));
    var one = waiting.splice(place, 1)[0];
    if (waiting.length) { when_idle(draw_next); }
    if (one) { one.draw(); }
  }

  /* What still waits of an element is older than what is drawn into it now. */
  function forget(element) {
    waiting = waiting.filter(function (one) {
      if (one.element === element) { one.done(element); }
      return one.element !== element;
    });
  }

  function patient(plotly) {
    function react(element, figure) {
      figure = window.crewplan_room(element, figure);
      forget(element);
      if (element.querySelector(".main-svg") || seen(element)) {
        return plotly.react(element, figure);
      }
      return new Promise(function (done, failed) {
        waiting.push({
          element: element,
          done: done,
          draw: function () {
            if (!element.isConnected) { done(element); return; } /* the page has been left */
            plotly.react(element, figure).then(done, failed);
          }
        });
        if (waiting.length === 1) { when_idle(draw_next); }
      });
    }
    return Object.create(plotly, { react: { value: react } });
  }

  /* The library comes when the first picture does, and is then asked for by this name. */
  var drawing = window.Plotly && patient(window.Plotly);
  Object.defineProperty(window, "Plotly", {
    configurable: true,
    get: function () { return drawing; },
    set: function (plotly) { drawing = plotly && patient(plotly); }
  });
})();
