"use strict";
addEventListener("keydown", function (event) {
  var card = document.querySelector(".card:target");
  if (event.key !== "Escape" || !card) { return; }
  var back = card.querySelector(".close");
  location.hash = back.getAttribute("href");
  var note = document.getElementById(back.getAttribute("href").slice(1));
  if (note) { note.focus(); }
});
