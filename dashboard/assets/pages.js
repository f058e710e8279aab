/* Going from question to question without loading the whole document again. */
(function () {
  "use strict";
  var last_path = null;
  var by_chooser = false;

  function go(address) {
    window.history.pushState(null, "", address);
    window.dispatchEvent(new PopStateEvent("popstate"));
  }

  document.addEventListener("click", function (event) {
    var link = event.target.closest && event.target.closest("#board a[href^='/']");
    var plain = event.button === 0 && !(event.metaKey || event.ctrlKey || event.shiftKey || event.altKey);
    if (!link || !plain || link.hasAttribute("data-whole")) { return; }
    event.preventDefault();
    go(link.getAttribute("href"));
  });

  document.addEventListener("change", function (event) {
    if (!event.target.matches("#board select[name='crew']")) { return; }
    by_chooser = true;
    go("/tomorrow?crew=" + encodeURIComponent(event.target.value));
  });

  /* The plain page goes in the moment in which the living one has its heading: nobody, with eyes or
     with a reader, ever meets two of each link. */
  var first_page = document.getElementById("first-paint");
  if (first_page) {
    var watch = new MutationObserver(function () {
      if (!document.querySelector("#board #page h1")) { return; }
      watch.disconnect();
      first_page.remove();
    });
    watch.observe(document.body, { childList: true, subtree: true });
  }

  /* After a page is there: its name, and where a reader of it starts. */
  function arrived() {
    var heading = document.querySelector("#page h1");
    var branch = document.querySelector("#board header b");
    if (heading && branch) { document.title = heading.textContent + " " + branch.textContent; }
    if (by_chooser) {
      var chooser = document.querySelector("#board select[name='crew']");
      if (chooser) { chooser.focus(); }
    } else if (heading && last_path !== null && last_path !== window.location.pathname) {
      heading.setAttribute("tabindex", "-1");
      heading.focus({ preventScroll: true });
      window.scrollTo(0, 0);
    }
    by_chooser = false;
    last_path = window.location.pathname;
    window.dispatchEvent(new Event("crewplan:arrived"));
  }

  window.dash_clientside = Object.assign({}, window.dash_clientside, {
    board: {
      arrived: function () {
        setTimeout(arrived, 0);
        return window.dash_clientside.no_update;
      }
    }
  });
})();
