// Ticks survive a reload: kept by this browser under the plan fingerprint, so that another plan starts without any.
(function () {
  "use strict";
  var plan = document.body.getAttribute("data-plan");
  var boxes = document.querySelectorAll("input[data-key]");
  var store = null;
  try {
    store = window.localStorage;
    store.setItem("airlath:probe", "1");
    store.removeItem("airlath:probe");
  } catch (e) {
    store = null;
    document.getElementById("keeps").hidden = false;
  }
  function name(box) {
    return "airlath:" + plan + ":" + box.getAttribute("data-key");
  }
  function count() {
    document.querySelectorAll("[data-count]").forEach(function (span) {
      var list = span.getAttribute("data-count");
      span.textContent = document.querySelectorAll('table[data-list="' + list + '"] input:checked').length;
    });
  }
  boxes.forEach(function (box) {
    try {
      if (store) box.checked = store.getItem(name(box)) === "1";
    } catch (e) {
      store = null;
    }
    box.addEventListener("change", function () {
      try {
        if (store) {
          if (box.checked) store.setItem(name(box), "1");
          else store.removeItem(name(box));
        }
      } catch (e) {
        document.getElementById("keeps").hidden = false;
      }
      count();
    });
  });
  count();
  // On paper everything shows.
  window.addEventListener("beforeprint", function () {
    document.querySelectorAll("details").forEach(function (d) {
      d.open = true;
    });
  });
})();
