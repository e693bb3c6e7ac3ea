// Script is an enhancement: every form works without it.
// On the sign-in page, take the code that stands in the link's fragment, so that it never reaches a log.
const code = document.querySelector("form[data-code] input[name=code]");
if (code && /^#\d{8}$/.test(location.hash)) {
  code.value = location.hash.slice(1);
  history.replaceState(null, "", location.pathname);
  code.form.requestSubmit();
}
// One press, one entry: a second press while the first is on its way does nothing.
document.addEventListener("submit", (event) => {
  if (event.target.dataset.sent) event.preventDefault();
  event.target.dataset.sent = "1";
  addEventListener("pageshow", () => delete event.target.dataset.sent, { once: true });
});
// A pick list of weeks or kinds that goes where it says.
for (const button of document.querySelectorAll("[data-print]")) {
  button.hidden = false;
  button.addEventListener("click", () => print());
}
