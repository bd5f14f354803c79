// Only in a page that `serve` shows: asks the same server, by a script it loads, whether the guide was built anew.
// A page's policy lets a script of the same place run and forbids everything else, and so it stays.
(function () {
  "use strict";
  var query = document.currentScript.dataset.ask, leaving = false;
  function ask() {
    var answer = document.createElement("script");
    answer.src = "/changed.js?" + query + "&at=" + Date.now();
    answer.onload = function () { answer.remove(); ask(); };
    answer.onerror = function () { answer.remove(); setTimeout(ask, 1000); };
    document.head.append(answer);
  }
  window.addEventListener("beforeunload", function () { leaving = true; });
  window.addEventListener("changed", function () { if (!leaving) location.reload(); });  // else it would call the reader back
  window.addEventListener("load", function () { setTimeout(ask); });  // before that the page would count as loading
})();
