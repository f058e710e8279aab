/* Sorting a table by a column's name, and keeping only the rows that hold some text. */
(function () {
  "use strict";

  function value(row, column) {
    var cell = row.cells[column];
    var key = cell.getAttribute("data-sort");
    if (key !== null) { return /^-?[0-9.]+$/.test(key) ? parseFloat(key) : key.toLowerCase(); }
    var text = cell.textContent.trim();
    var number = parseFloat(cell.getAttribute("data-number") || text);
    return isNaN(number) ? text.toLowerCase() : number;
  }

  function sort(button) {
    var head = button.closest("th");
    var column = head.cellIndex;
    var body = head.closest("table").tBodies[0];
    var up = head.getAttribute("aria-sort") === "descending" ||
      (head.getAttribute("aria-sort") === null && column === 0);
    Array.prototype.forEach.call(head.parentNode.cells, function (other) {
      other.removeAttribute("aria-sort");
    });
    head.setAttribute("aria-sort", up ? "ascending" : "descending");
    Array.prototype.slice.call(body.rows).sort(function (a, b) {
      var x = value(a, column), y = value(b, column);
      var order = x < y ? -1 : x > y ? 1 : 0;
      return up ? order : -order;
    }).forEach(function (row) { body.appendChild(row); });
  }

  document.addEventListener("click", function (event) {
    var button = event.target.closest && event.target.closest("th button");
    if (button) { sort(button); }
  });

  document.addEventListener("input", function (event) {
    if (!event.target.matches("input.keeps-rows")) { return; }
    var wanted = event.target.value.trim().toLowerCase();
    var section = event.target.closest("section");
    var kept = 0;
    Array.prototype.forEach.call(section.querySelectorAll("tbody tr"), function (row) {
      row.hidden = row.textContent.toLowerCase().indexOf(wanted) < 0;
      if (!row.hidden) { kept += 1; }
    });
    section.querySelector("[role='status']").textContent = kept + " shown";
  });
})();
