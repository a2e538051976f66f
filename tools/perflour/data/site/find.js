(function () {
  var known = JSON.parse(document.getElementById("known").textContent);
  var field = document.getElementById("find"), told = document.getElementById("find-told");
  var rows = Array.prototype.slice.call(document.querySelectorAll("main table tbody tr"));
  var LIMIT = /^(.+?)\s+(over|above|at least|>=?|under|below|at most|<=?)\s+(\d+(?:[.,]\d+)?)\s*%?$/;
  function addressOf(row) {
    return "formulas/" + row.cells[0].querySelector("a").getAttribute("href").replace(/^(\.\.\/)?formulas\//, "");
  }
  function ratio(one, name) {
    var key = name.trim().replace(/\s+/g, "-");
    if (key in one.ratios) { return [one.ratios[key]]; }
    return one.items.filter(function (item) { return item[1] !== null && item[0].indexOf(name) >= 0; })
      .map(function (item) { return item[1]; });
  }
  function holds(one, what) {
    return one.items.some(function (item) { return item[0].indexOf(what) >= 0; })
      || one.allergens.some(function (name) { return name.indexOf(what) >= 0; });
  }
  // a term to a test of one formula; `unsure` names formulas that are left out for want of knowledge
  function test(term, unsure) {
    var found = term.match(LIMIT);
    if (found) {
      var up = /^(over|above|at least|>)/.test(found[2]), same = /least|most|=/.test(found[2]);
      var bound = Number(found[3].replace(",", "."));
      return function (one) {
        return ratio(one, found[1]).some(function (value) {
          return up ? value > bound || (same && value === bound) : value < bound || (same && value === bound);
        });
      };
    }
    if ((found = term.match(/^(?:contains|with) (.+)$/))) {
      return function (one) { return holds(one, found[1]); };
    }
    if ((found = term.match(/^(?:without|no) (.+)$/))) {
      return function (one, address) {
        if (holds(one, found[1])) { return false; }
        if (one.unknown) { unsure[address] = true; }
        return !one.unknown;
      };
    }
    if ((found = term.match(/^class (.+)$/))) { return function (one) { return one["class"].indexOf(found[1]) >= 0; }; }
    if ((found = term.match(/^status (.+)$/))) { return function (one) { return one.status.indexOf(found[1]) === 0; }; }
    return function (one) {
      return term.split(/\s+/).every(function (word) { return one.words.indexOf(word) >= 0 || holds(one, word); });
    };
  }
  function isKnown(term) {
    var found = term.match(LIMIT);
    return !found || Object.keys(known).some(function (address) { return ratio(known[address], found[1]).length > 0; });
  }
  function find() {
    var asked = field.value.trim().toLowerCase();
    var terms = asked.split(/\s*(?:,(?!\d)|;|\band\b)\s*/).filter(Boolean), unsure = {}, count = 0;
    var tests = terms.map(function (term) { return test(term, unsure); });
    rows.forEach(function (row) {
      var address = addressOf(row), one = known[address];
      row.hidden = !tests.every(function (holds) { return holds(one, address); });
      count += row.hidden ? 0 : 1;
    });
    var strange = terms.filter(function (term) { return !isKnown(term); });
    var left = Object.keys(unsure).length;
    told.textContent = !asked ? "" : count + " of " + rows.length + (rows.length === 1 ? " formula" : " formulas")
      + (strange.length ? "; no ratio and no ingredient is called so: " + strange.join(", ") : "")
      + (left ? "; left out, for not all that they bring is known: " + left : "");
  }
  field.form.addEventListener("submit", function (event) { event.preventDefault(); find(); });
  field.addEventListener("input", find);
  field.value = new URLSearchParams(location.search).get("find") || "";
  find();
}());
