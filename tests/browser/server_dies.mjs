// The server dies while it takes a batch in, and between taking it in and saying so; and an older copy of its folder is put
// back. Each entry that was saved on the phone is on the record once, whatever happened.
//
// `node server_dies.mjs PROGRAM FOLDER`: FOLDER/data is a filled data folder. Source of the cases: the sync contract, rules 1
// and 3 (one transaction an entry, the answer after it is on disk; a server that lost something is sent it again).

import assert from "node:assert/strict";
import { cp, rm } from "node:fs/promises";
import { join } from "node:path";
import { PICTURE } from "./lib.mjs";
import { Phone, main, times, until } from "./phones.mjs";
import { Server, Wire } from "./server.mjs";

const isBatch = ({ path, body }) => path === "/sync/v1/ops" && JSON.parse(body).ops.length > 0;

await main(async ({ program, folder, ends }) => {
  const data = join(folder, "data");
  const server = ends(await new Server(program, data, ["serve"]).start());
  const wire = ends(await new Wire(server).open());
  const phone = ends(await new Phone(join(folder, "phone"), wire.origin).open());
  await phone.signIn(server.code);
  const { page } = phone;
  const saved = [];
  const save = async (text) => {
    await phone.note(text);
    saved.push(text);
  };
  const onRecord = async () => {
    const record = await phone.record();
    return saved.map((text) => times(record, "note.add", "text", text));
  };
  const allOnce = async () => assert.deepEqual(await onRecord(), saved.map(() => 1));

  // Killed in the middle of a batch, three times at another place.
  await server.kill();
  for (let n = 1; n <= 8; n += 1) await save(`Batch, ${n}`);
 await phone.toSend(8);
  const lineCut = (asked) => asked.path.startsWith("/sync/") && "lost";
  for (const after of [15, 60, 120]) {
    await server.start();
    const killed = new Promise((done) => {
      wire.meets = (asked) => {
        if (!isBatch(asked)) return;
        wire.meets = lineCut; // the phone's next try must not undo what is looked at
        setTimeout(() => server.kill().then(done), after);
      };
    });
    await page.goto(phone.job);
    await killed;
    await server.start();
    const there = await onRecord();
    assert.ok(there.every((n) => n <= 1), `${there}`);
    console.log(`killed ${after} ms into a batch of ${saved.length}: ${there.filter(Boolean).length} were in`);
    await server.kill();
  }
  await server.start();
  wire.meets = () => undefined;
  await page.goto(phone.job);
  await phone.toSend(0);
  await allOnce();

  // Killed when all of it is on disk and nobody has been told.
  await server.kill();
  for (let n = 1; n <= 3; n += 1) await save(`Not told, ${n}`);
  await server.start();
  const killed = new Promise((done) => {
    wire.meets = (asked) =>
      isBatch(asked) &&
      (async (told) => {
        assert.equal(told.status, 200);
        await server.kill();
        done();
        throw new Error("the answer is lost");
      });
  });
  await page.goto(phone.job);
  await killed;
  wire.meets = () => undefined;
  await phone.toSend(3);
  await server.start();
  await page.goto(phone.job);
  await phone.toSend(0);
  await allOnce();
  assert.ok((await phone.entries()).slice(-3).every((of) => of.result.replayed), "told the second time");

  // An answer lost by the line alone; and one that is too late: the phone sends again and is told the same.
  wire.meets = (asked) => isBatch(asked) && "unanswered";
  await save("The line dropped");
  wire.meets = () => undefined;
  await page.goto(phone.job);
  await phone.toSend(0);
  await allOnce();
  console.log("killed in mid-batch and before the answer: each entry once");

  // An older copy of the folder is put back, pictures and all: what came after it comes again.
  await server.kill();
  await cp(data, join(folder, "older"), { recursive: true });
  await server.start();
  await page.goto(phone.job);
  for (let n = 1; n <= 3; n += 1) await save(`After the copy, ${n}`);
  await page.locator("#hand + .rows input[type=file]").first().setInputFiles(PICTURE);
  await Promise.all([page.waitForEvent("load"), page.getByRole("button", { name: "Save photo" }).first().tap()]);
  await phone.toSend(0);
  const photos = async () => (await phone.record()).filter((one) => one.kind === "photo.add").map((one) => one.entity_id);
  const [photo] = await photos();
  const small = `${wire.origin}${phone.job}/photo/${photo}/file`;
  assert.equal((await phone.context.request.get(small)).status(), 200);
  await server.kill();
  await rm(data, { recursive: true });
  await cp(join(folder, "older"), data, { recursive: true });
  await server.start();
  assert.deepEqual((await onRecord()).slice(-3), [0, 0, 0], "the copy is older");
  await page.goto(phone.job);
  await until("all is there again", async () => (await onRecord()).every((n) => n > 0));
  await until("its picture too", async () => (await phone.context.request.get(small)).status() === 200);
  await phone.toSend(0);
  await allOnce();
  assert.deepEqual(await photos(), [photo]);
  // and goes on from there
  await save("After the restore");
  await phone.toSend(0);
  await allOnce();
  console.log("an older copy was put back: all is there again, once");
}, "whatever dies, each entry is there once");
