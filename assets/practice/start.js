/* Starts the page that carries its programme. */
(() => {
  const read = (id) => JSON.parse(document.getElementById(id).textContent);
  const programme = read("programme");
  footrosePage.begin(programme, programme.words, read("store"));
})();
