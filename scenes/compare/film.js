(function () {
  var data = JSON.parse(document.getElementById("film-data").textContent), last = data.progress.length - 1;
  var film = document.getElementById("film"), bar = document.getElementById("film-bar");
  var play = document.getElementById("film-play"), way = document.getElementById("film-way");
  var told = document.getElementById("film-told");
  function tell(moment) {
    var words = moment === 0 ? "address" : moment === last ? "top" : Math.round(100 * data.progress[moment]) + " %";
    told.textContent = words;
    way.setAttribute("aria-valuetext", words);
  }
  function show(moment) {
    film.pause();
    film.currentTime = (moment + 0.5) / data.rate;
    way.value = moment;
    tell(moment);
  }
  function run() {
    var started = film.play();
    if (started) { started.catch(function () {}); }
  }
  function follow() {
    if (film.paused) { return; }
    var frame = Math.min(data.order.length - 1, Math.floor(film.currentTime * data.rate + 0.01));
    way.value = data.order[frame];
    tell(data.order[frame]);
    requestAnimationFrame(follow);
  }
  function toggle() { if (film.paused) { run(); } else { film.pause(); } }
  function still() {
    var picture = document.createElement("img");
    picture.src = film.poster;
    picture.alt = film.getAttribute("aria-label") + "; this browser cannot play it, so the top is shown";
    film.replaceWith(picture);
    bar.hidden = true;
  }
  film.addEventListener("error", still);
  film.addEventListener("play", function () { play.textContent = "Pause"; follow(); });
  film.addEventListener("pause", function () { play.textContent = "Play"; });
  film.addEventListener("click", toggle);
  play.addEventListener("click", toggle);
  way.addEventListener("input", function () { show(Number(way.value)); });
  film.controls = false;
  bar.hidden = false;
  tell(0);
  if (film.error) {
    still();
  } else if (matchMedia("(prefers-reduced-motion: reduce)").matches) {
    show(last);
  } else {
    run();
  }
})();
