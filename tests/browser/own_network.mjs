// A network of a test's own, with an address as in a local network and no way out; and profiles whose trusted authorities
// stand in a folder of their own, where a phone's settings would have them.

import { execFileSync, spawnSync } from "node:child_process";
import { mkdir } from "node:fs/promises";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const ADDRESS = "192.168.77.1";
const certutil = (...args) => execFileSync(process.env.SCANTLING_CERTUTIL ?? "certutil", args);

/** Runs a test's file again in a network of its own, and ends as that did; gives the address there. Where the system allows
 * none, it goes on here, and gives nothing. @param {string} file its `import.meta.url` */
export function inOwnNetwork(file) {
  if (process.env.SCANTLING_ALONE) return process.env.SCANTLING_ALONE;
  const up = `ip link set lo up && ip addr add ${ADDRESS}/24 dev lo`;
  const how = [["-n"], ["-rn"]].find((one) => spawnSync("unshare", [...one, "sh", "-c", up]).status === 0);
  if (!how) {
    console.log("no network of its own to be had: on loopback");
    return "";
  }
  const told = { stdio: "inherit", env: { ...process.env, SCANTLING_ALONE: ADDRESS } };
  const ran = spawnSync("unshare", [...how, "sh", "-c", `${up} && exec "$@"`, "sh", process.execPath, fileURLToPath(file), ...process.argv.slice(2)], told);
  process.exit(ran.status ?? 1);
}

/** A home without trusted authorities; gives its folder. @param {string} folder @param {string} name */
export async function home(folder, name) {
  const at = join(folder, name);
  await mkdir(join(at, ".pki/nssdb"), { recursive: true });
  certutil("-d", `sql:${join(at, ".pki/nssdb")}`, "-N", "--empty-password");
  return at;
}

/** Trusts an authority there, as a person does in a phone's settings. @param {string} at @param {string} certificate its file */
export const trust = (at, certificate) => certutil("-d", `sql:${join(at, ".pki/nssdb")}`, "-A", "-t", "C,,", "-n", "local", "-i", certificate);
