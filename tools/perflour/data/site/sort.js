"use strict";
(function () {
  function key(row, at) {
    var cell = row.cells[at], value = cell.getAttribute("data-value");
    return value === null ? cell.textContent.trim() : Number(value);
  }
  function compare(a, b, at) {
    var x = key(a, at), y = key(b, at);
    if (x === "" || y === "") { return (x === "") - (y === ""); } // nothing stands last, both ways
    return typeof x === "number" && typeof y === "number" ? x - y : String(x).localeCompare(String(y));
  }
  function sortBy(table, heads, at) {
    var up = heads[at].getAttribute("aria-sort") !== "ascending";
    heads.forEach(function (head) { head.removeAttribute("aria-sort"); });
    heads[at].setAttribute("aria-sort", up ? "ascending" : "descending");
    Array.prototype.forEach.call(table.tBodies, function (body) {
      var rows = Array.prototype.filter.call(body.rows, function (row) { return row.className !== "group"; });
      rows.sort(function (a, b) {
        var order = compare(a, b, at), empty = key(a, at) === "" || key(b, at) === "";
        return up || empty ? order : -order;
      });
      rows.forEach(function (row) { body.appendChild(row); });
    });
  }
  Array.prototype.forEach.call(document.querySelectorAll("table[data-sorts]"), function (table) {
    var heads = Array.prototype.slice.call(table.tHead.rows[0].cells);
    heads.forEach(function (head, at) {
      var button = document.createElement("button");
      button.type = "button";
      while (head.firstChild) { button.appendChild(head.firstChild); }
      head.appendChild(button);
      button.addEventListener("click", function () { sortBy(table, heads, at); });
    });
  });
}());
