"use strict";
document.querySelectorAll("th[aria-sort] button").forEach(function (button) {
  button.addEventListener("click", function () {
    var head = button.parentElement;
    var table = head.closest("table");
    var heads = Array.prototype.slice.call(head.parentElement.children);
    var at = heads.indexOf(head);
    var numeric = head.dataset.numeric === "yes";
    var down = head.getAttribute("aria-sort") === "ascending";
    heads.forEach(function (other) { other.setAttribute("aria-sort", "none"); });
    head.setAttribute("aria-sort", down ? "descending" : "ascending");
    var body = table.tBodies[0];
    var rows = Array.prototype.slice.call(body.rows).map(function (row, i) {
      var cell = row.cells[at];
      return { row: row, i: i, key: numeric ? cell.dataset.key : cell.textContent };
    });
    rows.sort(function (a, b) {
      if (a.key === "" || b.key === "") { // what is missing stays last
        return (a.key === "") - (b.key === "") || a.i - b.i;
      }
      var d = numeric ? Number(a.key) - Number(b.key) : a.key.localeCompare(b.key, "en", { numeric: true });
      return (down ? -d : d) || a.i - b.i;
    });
    rows.forEach(function (entry) { body.appendChild(entry.row); });
    document.getElementById("said").textContent =
      table.caption.textContent + ": sorted by " + button.textContent + ", " + (down ? "largest first" : "smallest first");
  });
});
