(function () {
  "use strict";
  var fails = 0, link = document.getElementById("link");
  function fit(place, largest) {
    if (!place) { return; }
    for (var size = largest; size > 1.5; size -= 0.1) {
      place.style.fontSize = size + "vh";
      if (place.scrollHeight <= place.clientHeight + 1 && place.scrollWidth <= place.clientWidth + 1) { return; }
    }
  }
  function fitAll() {
    fit(document.getElementById("side"), 2.9);
    fit(document.querySelector("#picture .brief, #picture .home, #picture .calls"), 4.2);
  }
  function listen() {
    var socket = new WebSocket("ws://" + location.host + "/wall/socket");
    socket.onopen = function () { fails = 0; link.textContent = ""; };
    socket.onmessage = function (message) {
      var parts = JSON.parse(message.data);
      for (var name in parts) { document.getElementById(name).innerHTML = parts[name]; }
      if (parts.side !== undefined || document.querySelector("#picture .brief, #picture .home, #picture .calls")) { fitAll(); }
    };
    socket.onclose = function (end) {
      fails++;
      link.textContent = end.reason || (fails > 1 ? "No connection to the room. Trying again by itself." : "");
      setTimeout(listen, Math.min(5000, 300 * Math.pow(2, fails)));
    };
  }
  window.addEventListener("resize", fitAll);
  fitAll();
  listen();
})();
