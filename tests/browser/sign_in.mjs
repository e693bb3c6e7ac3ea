// Signing in, as every walk begins: by the link's code where scripts run, else by typing it.

/** Leaves the page at the jobs. */
export async function signIn(page, code, script) {
  if (script) {
    await page.goto(`/sign-in#${code}`);
    await page.waitForURL("**/");
    return;
  }
  await page.goto("/sign-in");
  await page.getByLabel("Code").fill(code);
  await page.getByRole("button", { name: "Sign in" }).tap();
  await page.waitForURL("**/");
}
