/* Makes the tables sortable: a button in each column's head, for mouse, touch and keyboard.
 * A second press turns the order round. Without this script the tables stand as they are written,
 * which is an order with a meaning.
 *
 * A cell is sorted by its data-v where it has one, else by its text: by number where the column
 * holds numbers (class n), else by letters. What has no value stays at the end either way. */
(function () {
  "use strict";

  function keyOf(row, column, byNumber) {
    var cell = row.cells[column];
    var text = cell ? cell.getAttribute("data-v") || cell.textContent.trim() : "";
    if (byNumber) {
      var number = parseFloat(text);
      return isNaN(number) ? null : number;
    }
    return text === "" || text === "-" ? null : text.toLowerCase();
  }

  function sortBy(table, column, down) {
    var body = table.tBodies[0];
    var byNumber = table.tHead.rows[0].cells[column].classList.contains("n");
    var rows = Array.from(body.rows).map(function (row, place) {
      return { row: row, place: place, key: keyOf(row, column, byNumber) };
    });
    rows.sort(function (a, b) {
      if (a.key === null || b.key === null) {
        return (a.key === null) - (b.key === null) || a.place - b.place;
      }
      var order = byNumber ? a.key - b.key : a.key.localeCompare(b.key, "en", { numeric: true });
      return (down ? -order : order) || a.place - b.place;
    });
    rows.forEach(function (item) { body.appendChild(item.row); });
  }

  function press(table, heads, column) {
    var down = heads[column].getAttribute("aria-sort") === "ascending";
    heads.forEach(function (head) { head.removeAttribute("aria-sort"); });
    heads[column].setAttribute("aria-sort", down ? "descending" : "ascending");
    sortBy(table, column, down);
  }

  Array.from(document.querySelectorAll("table.sort")).forEach(function (table) {
    var heads = Array.from(table.tHead.rows[0].cells);
    heads.forEach(function (head, column) {
      var button = document.createElement("button");
      button.type = "button";
      button.title = "sort by this column";
      while (head.firstChild) {
        button.appendChild(head.firstChild);
      }
      head.appendChild(button);
      button.addEventListener("click", function () { press(table, heads, column); });
    });
    table.classList.add("sortable");
  });
})();
