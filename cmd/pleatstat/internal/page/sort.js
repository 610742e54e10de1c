"use strict";
(function () {
  function all(list) { return Array.prototype.slice.call(list); }
  function say(table, text) {
    document.getElementById(table.dataset.status).textContent = text;
  }
  function words(head) { return head.textContent.trim(); }

  function sort(table, head) {
    var heads = all(head.parentElement.children);
    var at = heads.indexOf(head);
    var numeric = head.dataset.numeric === "yes";
    var down = head.getAttribute("aria-sort") === "ascending";
    heads.forEach(function (other) { other.setAttribute("aria-sort", "none"); });
    head.setAttribute("aria-sort", down ? "descending" : "ascending");
    var body = table.tBodies[0];
    var rows = all(body.rows).map(function (row, i) {
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
    var first = numeric ? (down ? "largest first" : "smallest first") : (down ? "from Z to A" : "from A to Z");
    say(table, "Sorted by " + words(head) + ", " + first + ".");
  }

  // Headings become buttons here, so that without script none is there that does nothing.
  all(document.querySelectorAll("table[data-status]")).forEach(function (table) {
    all(table.tHead.rows[0].cells).forEach(function (head) {
      var button = document.createElement("button");
      button.type = "button";
      button.textContent = words(head);
      head.textContent = "";
      head.appendChild(button);
      head.setAttribute("aria-sort", "none");
      button.addEventListener("click", function () { sort(table, head); });
    });
  });

  // "sk-12" finds SK 12: only letters and digits count.
  function plain(text) { return text.toLowerCase().replace(/[^\p{L}\p{N}]/gu, ""); }

  function find(field) {
    var table = document.getElementById(field.dataset.table);
    var rows = all(table.tBodies[0].rows);
    var wanted = field.value.split(/\s+/).map(plain);
    var shown = 0;
    rows.forEach(function (row) {
      var name = plain(row.cells[0].textContent);
      row.hidden = !wanted.every(function (w) { return name.indexOf(w) >= 0; });
      shown += row.hidden ? 0 : 1;
    });
    say(table, field.value.trim() === "" ? "" : shown + " of " + rows.length + " shown.");
  }

  all(document.querySelectorAll("input[data-table]")).forEach(function (field) {
    field.parentElement.hidden = false;
    field.addEventListener("input", function () { find(field); });
    field.addEventListener("keydown", function (event) {
      if (event.key === "Escape") { field.value = ""; find(field); }
    });
    if (field.value !== "") { find(field); } // kept by the browser on the way back
  });

  // A link to a row that the search hides shows all rows again.
  function arrive() {
    var target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    if (target && target.tagName === "TR" && target.hidden) {
      all(document.querySelectorAll("input[data-table]")).forEach(function (field) { field.value = ""; find(field); });
      target.scrollIntoView();
    }
  }
  window.addEventListener("hashchange", arrive);
  arrive();
}());
