(function () {
  "use strict";
  var by = function (id) { return document.getElementById(id); };
  var main = by("main"), v = main.getAttribute("data-v"), socket = null, fails = 0, refused = 0, count = 0;
  var pending = null, done = false;

  function tell(id, words, no) {
    var place = by(id);
    place.className = no ? "no" : "";
    if (place.textContent !== words) { place.textContent = words; }
  }
  function without() { return !window.WebSocket || refused > 1; }
  function form() { return by("vote"); }
  function given() {
    var vote = { poll: form().getAttribute("data-poll"), answer: "", words: "", sure: null }, fields = form().elements;
    for (var i = 0; i < fields.length; i++) {
      var each = fields[i];
      if (each.name === "words") { vote.words = each.value; }
      if (each.type === "radio" && each.checked) {
        if (each.name === "sure") { vote.sure = Number(each.value); } else { vote.answer = each.value; }
      }
    }
    return vote;
  }
  function put(vote) {
    var fields = form().elements;
    for (var i = 0; i < fields.length; i++) {
      var each = fields[i];
      if (each.name === "words") { each.value = vote.words; }
      if (each.type === "radio") { each.checked = each.value === String(each.name === "sure" ? vote.sure : vote.answer); }
    }
  }
  function take(news) {
    if (news.ack) {
      if (pending && pending.n === news.ack) { pending = null; }
      fails = 0;
      tell("link", "");
      tell("said", news.says, !news.ok);
    } else if (news.v && news.v !== v) {
      var kept = form() ? given() : null;
      v = news.v;
      main.innerHTML = news.html;
      if (kept && form() && form().getAttribute("data-poll") === kept.poll) {
        put(kept);
      } else {
        pending = null;
        tell("said", "");
      }
      tell("say", news.say);
    }
  }
  function ask(method, where, body, then) {
    var request = new XMLHttpRequest();
    request.open(method, where, true);
    request.setRequestHeader("Accept", "application/json");
    request.timeout = 40000;
    request.onreadystatechange = function () {
      if (request.readyState === 4) { then(request.status, request.responseText); }
    };
    if (body) { request.setRequestHeader("Content-Type", "application/x-www-form-urlencoded"); }
    request.send(body);
  }
  function post() {
    var vote = pending;
    if (!vote || !form()) { return; }
    var body = "form=" + encodeURIComponent(form().elements.form.value) + "&poll=" + encodeURIComponent(vote.poll) +
      "&answer=" + encodeURIComponent(vote.answer) + "&words=" + encodeURIComponent(vote.words) + "&sure=" + (vote.sure || "");
    ask("POST", "/vote", body, function (status, text) {
      if (pending !== vote) { return; }
      if (status) { var news = JSON.parse(text); news.ack = vote.n; take(news); } else { setTimeout(send, 2000); }
    });
  }
  function send() {
    if (!pending) { return; }
    if (socket && socket.readyState === 1) { socket.send(JSON.stringify(pending)); } else if (without()) { post(); }
  }
  function later(what) {
    fails++;
    tell("link", fails > 1 ? "No connection to the room. Trying again by itself." : "");
    setTimeout(what, Math.min(8000, 300 * Math.pow(2, fails)) * (0.5 + Math.random()));
  }
  function wait() {
    ask("GET", "/news?v=" + encodeURIComponent(fails ? "" : v), null, function (status, text) {
      if (status === 403) { location.reload(); return; }
      if (status !== 200) { later(listen); return; }
      fails = 0;
      tell("link", "");
      take(JSON.parse(text));
      send();
      wait();
    });
  }
  function listen() {
    var opened = false;
    if (without()) { wait(); return; }
    socket = new WebSocket("ws://" + location.host + "/socket?v=" + encodeURIComponent(v));
    socket.onopen = function () { opened = true; fails = refused = 0; tell("link", ""); send(); };
    socket.onmessage = function (message) { take(JSON.parse(message.data)); };
    socket.onclose = function (end) {
      if (!opened) { refused++; }
      if (end.code >= 4000) { tell("link", end.reason); if (end.code < 4100) { return; } }
      later(listen);
    };
  }
  document.addEventListener("submit", function (event) {
    if (event.target.id !== "vote") { return; }
    event.preventDefault();
    pending = given();
    pending.n = ++count;
    tell("said", "Sending ...");
    send();
  });
  listen();
})();
