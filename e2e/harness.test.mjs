// The harness itself, on pages made for it: each check must be able to fail.
import assert from "node:assert/strict";
import { mkdtemp, rm, stat, writeFile } from "node:fs/promises";
import { createServer } from "node:http";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, describe, it } from "node:test";
import { axe, fits, openBrowser, openPage, quiet, screens, shot, signIn, startProgram } from "./harness.mjs";

/** @param {string} body */
const whole = (body) =>
  `<!doctype html><html lang="en"><head><meta charset="utf-8"><link rel="icon" href="data:,">
   <meta name="viewport" content="width=device-width"><title>A page</title></head><body><main><h1>Feet</h1>${body}</main></body></html>`;

/** @type {Record<string, string>} */
const pages = {
  "/good": whole(`<p>Nothing wrong here.</p>`),
  "/faulty": whole(`<input type="text"><p style="color:#bbb;background:#fff">Hard to read.</p>`),
  "/wide": whole(`<div style="width:2000px">Wide</div>`),
  "/throws": whole(`<script>throw new Error("broken on purpose")</script>`),
  "/complains": whole(`<script>console.error("complaint on purpose")</script>`),
  "/abroad": whole(`<img alt="" src="http://127.0.0.1:9/picture.png">`),
  "/gap": whole(`<img alt="" src="/not-there.png">`),
  "/scheme": whole(`<p></p><script>document.querySelector("p").textContent =
    matchMedia("(prefers-color-scheme: dark)").matches + " " + innerWidth + "x" + innerHeight</script>`),
};

/** Stands in for the program: same words, a form that takes one passphrase. */
const standIn = `
  import { createServer } from "node:http";
  const [word, , listen] = process.argv.slice(2);
  const form = '<form method="post"><input type="password" name="p"><button type="submit">Sign in</button></form>';
  const server = createServer((request, response) => {
    let sent = "";
    request.on("data", (chunk) => (sent += chunk));
    request.on("end", () => {
      const right = new URLSearchParams(sent).get("p") === process.env.TENGRAM_PASSPHRASE;
      response.setHeader("Content-Type", "text/html").end(right ? "<h1>Today</h1>" : form);
    });
  });
  if (word !== "demo" || listen !== "127.0.0.1:0") process.exit(2);
  if (process.argv.includes("--refuse")) { console.error("refused on purpose"); process.exit(1); }
  if (!process.argv.includes("--silent")) server.listen(0, "127.0.0.1", () =>
    console.log("Listening on http://127.0.0.1:" + server.address().port));
  else setInterval(() => {}, 1000);
`;

describe("the harness", () => {
  /** @type {import("playwright-core").Browser} */
  let browser;
  /** @type {import("node:http").Server} */
  let server;
  let url = "";
  let folder = "";

  before(async () => {
    browser = await openBrowser();
    server = createServer((request, response) => {
      const page = pages[request.url ?? ""];
      response.writeHead(page ? 200 : 404, { "Content-Type": "text/html" }).end(page);
    });
    await new Promise((resolve) => server.listen(0, "127.0.0.1", () => resolve(undefined)));
    const address = server.address();
    assert.ok(address && typeof address === "object");
    url = `http://127.0.0.1:${address.port}`;
    folder = await mkdtemp(join(tmpdir(), "tengram-harness-"));
    await writeFile(join(folder, "stand-in.mjs"), standIn);
  });

  after(async () => {
    await browser?.close();
    server?.close();
    await rm(folder, { recursive: true, force: true });
  });

  /** @param {string} path @param {Parameters<typeof openPage>[2]} [options] */
  const open = async (path, options) => {
    const page = await openPage(browser, url, options);
    await page.goto(path, { waitUntil: "load" });
    return page;
  };
  /** @param {string[]} [args] @param {number} [seconds] */
  const start = (args, seconds) =>
    startProgram({ command: [process.execPath, join(folder, "stand-in.mjs")], args, seconds });

  it("passes a page that is in order", async () => {
    const page = await open("/good");
    await axe(page, "good");
    await fits(page, "good");
    quiet(page);
  });

  it("finds planted accessibility faults and names them", async () => {
    const page = await open("/faulty");
    await assert.rejects(axe(page, "faulty"), (/** @type {Error} */ error) => {
      assert.match(error.message, /faulty has accessibility faults/);
      assert.match(error.message, /label \(critical\)[^]*input/);
      assert.match(error.message, /color-contrast \(serious\)/);
      return true;
    });
  });

  it("finds a page that is wider than the screen", async () => {
    await assert.rejects(fits(await open("/wide"), "wide"), /wide is \d+ pixels wider/);
  });

  for (const [path, trouble] of [
    ["/throws", /script error: broken on purpose/],
    ["/complains", /console: complaint on purpose/],
    ["/abroad", /asked another host: http:\/\/127\.0\.0\.1:9/],
    ["/gap", /console: .*404/],
  ]) {
    it(`notices trouble at ${path}`, async () => {
      const page = await open(String(path));
      assert.throws(() => quiet(page), (/** @type {Error} */ error) => {
        assert.match(error.message, /** @type {RegExp} */ (trouble));
        return true;
      });
    });
  }

  for (const [name, size] of Object.entries(screens)) {
    it(`opens a ${name} in light and in dark`, async () => {
      const screen = /** @type {keyof typeof screens} */ (name);
      for (const scheme of /** @type {const} */ (["light", "dark"])) {
        const page = await open("/scheme", { screen, scheme });
        const told = await page.locator("p").textContent();
        assert.equal(told, `${scheme === "dark"} ${size.width}x${size.height}`);
      }
    });
  }

  it("saves a picture", async () => {
    const path = await shot(await open("/good"), "harness-good");
    assert.ok((await stat(path)).size > 1000);
  });

  it("starts the program, signs in, and leaves nothing behind", async () => {
    const program = await start();
    const page = await openPage(browser, program.url);
    await signIn(page, program);
    assert.equal(await page.locator("h1").textContent(), "Today");
    await program.stop();
    await assert.rejects(stat(program.data), /ENOENT/);
    await assert.rejects(fetch(program.url));
  });

  it("says why the program did not start", async () => {
    await assert.rejects(start(["--refuse"]), /did not start: exit 1[^]*refused on purpose/);
    await assert.rejects(start(["--silent"], 1), /did not start: no answer in 1 s/);
    await assert.rejects(startProgram({ command: [join(folder, "gone")] }), /did not start: .*ENOENT/);
  });
});
