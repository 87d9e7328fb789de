// A network that can be cut: it stands between the browser and the program, so
// that service workers, workers and pages all lose it alike, and an answer can
// be lost after the program has done what was asked.
import { createServer, request as ask } from "node:http";

/** @typedef {{method: string, path: string, body: string, headers: import("node:http").IncomingHttpHeaders}} Asked */
/** @typedef {(asked: Asked) => boolean} Choice */

export class Network {
  /** Everything that reached the program, oldest first. @type {Asked[]} */
  asked = [];
  #cut = false;
  /** @type {Choice | null} */
  #lose = null;
  #losses = 0;
  /** @type {import("node:http").Server} */
  #server;
  url = "";

  /** @param {string} to where the program listens */
  constructor(to) {
    const target = new URL(to);
    this.#server = createServer((incoming, outgoing) => {
      if (this.#cut) {
        incoming.socket.destroy();
        return;
      }
      /** @type {Buffer[]} */
      const parts = [];
      incoming.on("data", (part) => parts.push(part));
      incoming.on("end", () => {
        const body = Buffer.concat(parts);
        const asked = { method: incoming.method ?? "", path: incoming.url ?? "", body: body.toString("utf8"), headers: incoming.headers };
        const onward = ask(
          { host: target.hostname, port: target.port, method: incoming.method, path: incoming.url, headers: incoming.headers },
          (answer) => {
            this.asked.push(asked);
            /** @type {Buffer[]} */
            const answered = [];
            answer.on("data", (part) => answered.push(part));
            answer.on("end", () => {
              if (this.#cut || (this.#losses > 0 && this.#lose?.(asked))) {
                this.#losses--;
                incoming.socket.destroy();
                return;
              }
              outgoing.writeHead(answer.statusCode ?? 502, answer.headers);
              outgoing.end(Buffer.concat(answered));
            });
          },
        );
        onward.on("error", () => incoming.socket.destroy());
        onward.end(body);
      });
    });
  }

  /** Begins, on a port of its own. */
  async open() {
    await new Promise((resolve) => this.#server.listen(0, "127.0.0.1", () => resolve(undefined)));
    const address = this.#server.address();
    if (!address || typeof address === "string") throw new Error("no port");
    this.url = `http://127.0.0.1:${address.port}`;
    return this;
  }

  /** From now on nothing passes. */
  cut() {
    this.#cut = true;
    this.#server.closeAllConnections();
  }

  mend() {
    this.#cut = false;
  }

  /**
   * The next answers to such requests are lost, after the program gave them.
   * @param {number} times
   * @param {Choice} which
   */
  lose(times, which) {
    this.#losses = times;
    this.#lose = which;
  }

  async close() {
    this.#server.closeAllConnections();
    await new Promise((resolve) => this.#server.close(resolve));
  }
}
