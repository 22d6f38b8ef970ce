(function () {
  "use strict";
  var fails = 0, link = document.getElementById("link");
  function listen() {
    var socket = new WebSocket("ws://" + location.host + "/wall/socket");
    socket.onopen = function () { fails = 0; link.textContent = ""; };
    socket.onmessage = function (message) {
      var parts = JSON.parse(message.data);
      for (var name in parts) { document.getElementById(name).innerHTML = parts[name]; }
    };
    socket.onclose = function (end) {
      fails++;
      link.textContent = end.reason || (fails > 1 ? "No connection to the room. Trying again by itself." : "");
      setTimeout(listen, Math.min(5000, 300 * Math.pow(2, fails)));
    };
  }
  listen();
})();
