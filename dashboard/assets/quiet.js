/* Puts the HTML that a quiet part carries into it; see dashboard/quiet.py. */
(function () {
  "use strict";
  var held = new WeakMap();

  function fill(element) {
    (held.get(element) || []).forEach(function (node) { node.remove(); });
    held.delete(element);
    var text = element.getAttribute("data-html");
    if (text === null) { return; }
    var template = document.createElement("template");
    template.innerHTML = text;
    var nodes = Array.prototype.slice.call(template.content.childNodes);
    held.set(element, nodes);
    nodes.forEach(function (node) { element.appendChild(node); });
  }

  function look(node) {
    if (node.nodeType !== 1) { return; }
    if (node.hasAttribute("data-html") && !held.has(node)) { fill(node); }
    Array.prototype.forEach.call(node.querySelectorAll("[data-html]"), function (inner) {
      if (!held.has(inner)) { fill(inner); }
    });
  }

  function start() {
    new MutationObserver(function (changes) {
      changes.forEach(function (change) {
        if (change.type === "attributes") { fill(change.target); }
        Array.prototype.forEach.call(change.addedNodes, look);
      });
    }).observe(document.body, {
      attributes: true, attributeFilter: ["data-html"], childList: true, subtree: true
    });
    look(document.body);
  }

  if (document.readyState === "loading") {
    document.addEventListener("DOMContentLoaded", start);
  } else {
    start();
  }
})();
