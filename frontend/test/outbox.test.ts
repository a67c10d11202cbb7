/** The outbox against a server that loses answers, goes away, refuses, and knows a repeated key. */

import assert from "node:assert/strict";
import { describe, it } from "node:test";
import type { Answer, Numbers, Plain, Problem } from "../src/api.ts";
import { Outbox, type Outcome } from "../src/outbox.ts";
import { MemoryShelf, type Shelf } from "../src/shelf.ts";
import { type Entered, type Waiting, wire } from "../src/waiting.ts";

const START: Numbers = { bore: 7, tool: 4, gauge: 1 };

/** As the real one: stores once for a key, and refuses what was entered on older numbers. */
class Server {
    up = true;
    /** How many answers are lost after the entry was stored. */
    losing = 0;
    refusing: Problem | null = null;
    numbers: Record<string, number> = { ...START };
    readonly stored: Plain[] = [];
    readonly heard: Plain[] = [];
    readonly #answers = new Map<string, { sent: string; answer: Plain }>();

    take(entry: Waiting): Answer {
        const sent = wire(entry, entry.enteredMs + 4000);
        if (!this.up) {
            return { kind: "away", why: "The server does not answer." };
        }
        this.heard.push(sent);
        const answer = this.#taken(entry, sent);
        if (this.losing > 0) {
            this.losing -= 1;
            return { kind: "away", why: "The server does not answer." };
        }
        return answer;
    }

    somebodyElse(stream = "bore"): void {
        this.numbers[stream] = (this.numbers[stream] ?? 0) + 1;
    }

    #taken(entry: Waiting, sent: Plain): Answer {
        const body = JSON.stringify(entry.body);
        const known = this.#answers.get(entry.key);
        if (known !== undefined) {
            return known.sent === body
                ? { kind: "done", body: { recorded: known.answer, numbers: { ...this.numbers } } }
                : refused({ problem: "conflict", where: "key" });
        }
        if (this.refusing !== null) {
            return { kind: "refused", status: 422, problem: this.refusing };
        }
        const saw = sent["saw"] as Numbers | null;
        if (saw !== null && Object.entries(saw).some(([kind, number]) => this.numbers[kind] !== number)) {
            return refused({ problem: "conflict", where: "bore", since: [{ number: this.numbers["bore"] }] });
        }
        const stream = String(entry.body["to"] ?? "bore");
        if (entry.body["on_advice"] === true) {
            this.somebodyElse("bore");
        }
        this.somebodyElse(stream);
        const answer = { stream: `${stream}/x`, number: this.numbers[stream], after: { ...this.numbers } };
        this.#answers.set(entry.key, { sent: body, answer });
        this.stored.push(sent);
        return { kind: "done", body: { recorded: answer, numbers: { ...this.numbers } } };
    }
}

function refused(problem: Partial<Problem>): Answer {
    const whole = { problem: "entry", wrong: "No.", right: "", where: "", given: null, since: [], ...problem };
    return { kind: "refused", status: 409, problem: whole };
}

/** A page: its outbox, and a clock that runs when it is told to. */
class Page {
    readonly outbox: Outbox;
    readonly server: Server;
    pending: (() => void) | null = null;
    pause = 0;
    #keys = 0;

    constructor(
        server: Server,
        shelf: Shelf = new MemoryShelf(),
        alone: <T>(act: () => Promise<T>) => Promise<T> = (act) => act(),
    ) {
        this.server = server;
        this.outbox = new Outbox(shelf, {
            send: (entry) => Promise.resolve(server.take(entry)),
            alone,
            newKey: () => `new-${++this.#keys}`,
            nowMs: () => 1_000_000,
            later: (act, afterMs) => {
                this.pending = act;
                this.pause = afterMs;
                return () => {
                    this.pending = null;
                };
            },
            tell: () => {},
        });
    }

    enter(key: string, more: Partial<Entered> = {}): Promise<Outcome> {
        const body = { entry: { event: "read", as_read: `46.49${key.length} mm` } };
        return this.outbox.enter({ key, bore: "b", path: "entries", body, said: `Read ${key}`, saw: START, ...more });
    }

    keys(): string[] {
        return this.outbox.seen.queue.map((entry) => entry.key);
    }
}

describe("with the server there", () => {
    it("sends an entry with its key and the numbers seen, and keeps nothing", async () => {
        const page = new Page(new Server());
        const outcome = await page.enter("a");
        assert.equal(outcome.kind, "stored");
        assert.deepEqual(
            page.server.stored.map((sent) => [sent["key"], sent["saw"]]),
            [["a", START]],
        );
        assert.deepEqual(page.keys(), []);
    });

    it("takes two taps with one key for one entry", async () => {
        const page = new Page(new Server());
        await Promise.all([page.enter("a"), page.enter("a")]);
        assert.equal(page.server.stored.length, 1);
    });

    it("lets an entry made before the first was answered carry the numbers after it", async () => {
        const page = new Page(new Server());
        const outcomes = await Promise.all([page.enter("a"), page.enter("b"), page.enter("c")]);
        assert.deepEqual(
            outcomes.map((outcome) => outcome.kind),
            ["stored", "stored", "stored"],
        );
        assert.deepEqual(
            page.server.stored.map((sent) => (sent["saw"] as Numbers)["bore"]),
            [7, 8, 9],
        );
    });

    it("hands a refused entry back to whoever typed it, and keeps nothing", async () => {
        const page = new Page(new Server());
        page.server.refusing = { problem: "entry", wrong: "No.", right: "", where: "as_read", given: null, since: [] };
        const outcome = await page.enter("a");
        assert.equal(outcome.kind === "refused" && outcome.problem.where, "as_read");
        assert.deepEqual(page.keys(), []);
        page.server.refusing = null;
        assert.equal((await page.enter("a")).kind, "stored");
    });
});

describe("with the server away", () => {
    it("keeps what is entered in order, and sends it once when the server is back", async () => {
        const page = new Page(new Server());
        page.server.up = false;
        assert.equal((await page.enter("a")).kind, "waits");
        assert.equal((await page.enter("b", { body: { to: "tool", on_advice: true } })).kind, "waits");
        assert.equal((await page.enter("c")).kind, "waits");
        assert.deepEqual(page.keys(), ["a", "b", "c"]);
        page.server.up = true;
        page.pending?.();
        await page.outbox.drain();
        assert.deepEqual(
            page.server.stored.map((sent) => sent["key"]),
            ["a", "b", "c"],
        );
        assert.deepEqual(
            page.server.stored.map((sent) => sent["saw"]),
            [START, { bore: 8, tool: 4, gauge: 1 }, { bore: 9, tool: 5, gauge: 1 }],
        );
        assert.deepEqual(
            page.server.stored.map((sent) => sent["ago"]),
            [4, 4, 4],
        );
        assert.deepEqual(page.keys(), []);
        assert.equal(page.outbox.seen.away, "");
    });

    it("waits longer after each try, a quarter of a minute at most", async () => {
        const page = new Page(new Server());
        page.server.up = false;
        await page.enter("a");
        const pauses = [page.pause];
        for (let tries = 0; tries < 7; tries += 1) {
            await page.outbox.drain();
            pauses.push(page.pause);
        }
        assert.deepEqual(pauses, [500, 1000, 2000, 4000, 8000, 15_000, 15_000, 15_000]);
    });

    it("stores once what was stored before its answer was lost", async () => {
        const page = new Page(new Server());
        page.server.losing = 1;
        assert.equal((await page.enter("a")).kind, "waits");
        await page.enter("b");
        await page.outbox.drain();
        assert.deepEqual(
            page.server.heard.map((sent) => sent["key"]),
            ["a", "a", "b"],
        );
        assert.deepEqual(
            page.server.stored.map((sent) => sent["key"]),
            ["a", "b"],
        );
    });

    it("keeps what waits when the page is closed and opened again", async () => {
        const shelf = new MemoryShelf();
        const page = new Page(new Server(), shelf);
        page.server.up = false;
        await page.enter("a");
        await page.enter("b");
        page.server.up = true;
        await new Page(page.server, shelf).outbox.drain();
        assert.deepEqual(
            page.server.stored.map((sent) => sent["key"]),
            ["a", "b"],
        );
    });

    it("undoes what still waits by withdrawing it once it is in", async () => {
        const page = new Page(new Server());
        page.server.up = false;
        await page.enter("a");
        await page.enter("u", { path: "withdraw", body: { of: "a" } });
        page.server.up = true;
        await page.outbox.drain();
        const [, undone] = page.server.stored;
        assert.deepEqual([undone?.["stream"], undone?.["number"], undone?.["of"]], ["bore", 8, undefined]);
    });
});

describe("when somebody else was there first", () => {
    async function conflicted(): Promise<Page> {
        const page = new Page(new Server());
        page.server.up = false;
        await page.enter("a");
        await page.enter("b");
        page.server.up = true;
        page.server.somebodyElse();
        await page.outbox.drain();
        return page;
    }

    it("stands still, sends nothing of that bore, and says what came since", async () => {
        const page = await conflicted();
        assert.equal(page.server.stored.length, 0);
        assert.deepEqual(page.keys(), ["a", "b"]);
        assert.deepEqual(page.outbox.seen.queue[0]?.stopped?.since, [{ number: 8 }]);
        await page.outbox.drain();
        assert.equal(page.server.heard.length, 1);
    });

    it("goes on with another bore meanwhile", async () => {
        const page = await conflicted();
        const outcome = await page.enter("z", { bore: "other", saw: null });
        assert.equal(outcome.kind, "stored");
    });

    it("says of an entry behind one that stands still that it is asked about", async () => {
        const page = await conflicted();
        assert.equal((await page.enter("c")).kind, "asks");
    });

    it("sends it again as things stand now, and what was made after it", async () => {
        const page = await conflicted();
        await page.outbox.sendAgain("a", { bore: 8, tool: 4, gauge: 1 });
        assert.deepEqual(
            page.server.stored.map((sent) => [sent["key"], (sent["saw"] as Numbers)["bore"]]),
            [
                ["a", 8],
                ["b", 9],
            ],
        );
        assert.deepEqual(page.keys(), []);
    });

    it("drops it, and asks about what was made after it", async () => {
        const page = await conflicted();
        await page.outbox.drop("a");
        assert.deepEqual(page.keys(), ["b"]);
        assert.match(page.outbox.seen.queue[0]?.stopped?.wrong ?? "", /before it was dropped/);
        assert.equal(page.server.stored.length, 0);
        await page.outbox.drop("b");
        assert.deepEqual(page.keys(), []);
    });

    it("drops the withdrawal of what is dropped", async () => {
        const page = await conflicted();
        await page.enter("u", { path: "withdraw", body: { of: "a" } });
        await page.outbox.drop("a");
        assert.deepEqual(page.keys(), ["b"]);
    });

    it("asks at once when the person still looks, too", async () => {
        const page = new Page(new Server());
        page.server.somebodyElse();
        assert.equal((await page.enter("a")).kind, "asks");
        assert.deepEqual(page.keys(), ["a"]);
    });

    it("does not take what came between two of its own entries for its own", async () => {
        const server = new Server();
        const page = new Page(server);
        server.up = false;
        await page.enter("a");
        await page.enter("b");
        server.up = true;
        server.losing = 1;
        await page.outbox.drain();
        server.somebodyElse();
        await page.outbox.drain();
        assert.deepEqual(
            server.stored.map((sent) => sent["key"]),
            ["a"],
        );
        assert.notEqual(page.outbox.seen.queue[0]?.stopped, null);
    });

    it("gives another key to an entry whose key was used for something else", async () => {
        const server = new Server();
        const page = new Page(server);
        await page.enter("a");
        const other = { body: { entry: { event: "passed" } }, saw: { bore: 8, tool: 4, gauge: 1 } };
        assert.equal((await page.enter("a", other)).kind, "asks");
        await page.outbox.sendAgain("a", { bore: 8, tool: 4, gauge: 1 });
        assert.deepEqual(
            server.stored.map((sent) => sent["key"]),
            ["a", "new-1"],
        );
    });

    it("asks about what was refused after it had waited", async () => {
        const page = new Page(new Server());
        page.server.up = false;
        await page.enter("a");
        page.server.up = true;
        page.server.refusing = { problem: "out of turn", wrong: "No.", right: "", where: "", given: null, since: [] };
        await page.outbox.drain();
        assert.equal(page.outbox.seen.queue[0]?.stopped?.problem, "out of turn");
    });
});

describe("two pages of one device", () => {
    /** One lock for all pages, as the browser has it. */
    function lock(): <T>(act: () => Promise<T>) => Promise<T> {
        let last: Promise<unknown> = Promise.resolve();
        return <T>(act: () => Promise<T>): Promise<T> => {
            const mine = last.then(act);
            last = mine.catch(() => {});
            return mine;
        };
    }

    it("send each entry once, in order", async () => {
        const [server, shelf, alone] = [new Server(), new MemoryShelf(), lock()];
        const [one, two] = [new Page(server, shelf, alone), new Page(server, shelf, alone)];
        server.up = false;
        await one.enter("a");
        await two.outbox.refresh();
        await two.enter("b");
        server.up = true;
        await Promise.all([one.outbox.drain(), two.outbox.drain(), one.outbox.drain(), two.outbox.drain()]);
        assert.deepEqual(
            server.heard.map((sent) => sent["key"]),
            ["a", "b"],
        );
    });

    it("ask where one had not seen what the other entered", async () => {
        const [server, shelf, alone] = [new Server(), new MemoryShelf(), lock()];
        const [one, two] = [new Page(server, shelf, alone), new Page(server, shelf, alone)];
        server.up = false;
        await one.enter("a");
        await two.enter("b");
        server.up = true;
        await Promise.all([one.outbox.drain(), two.outbox.drain()]);
        assert.deepEqual(
            server.stored.map((sent) => sent["key"]),
            ["a"],
        );
        assert.equal((await shelf.all())[0]?.stopped?.problem, "conflict");
    });

    it("tell the person at one page what the other page sent", async () => {
        const [server, shelf, alone] = [new Server(), new MemoryShelf(), lock()];
        const [one, two] = [new Page(server, shelf, alone), new Page(server, shelf, alone)];
        const outcomes = await Promise.all([one.enter("a"), two.outbox.drain(), two.outbox.drain()]);
        assert.equal(outcomes[0].kind, "stored");
        assert.equal(server.heard.length, 1);
    });
});

describe("where the device keeps nothing", () => {
    it("goes on in memory, and says so", async () => {
        const broken: Shelf = {
            lasts: true,
            all: () => Promise.resolve([]),
            add: () => Promise.reject(new Error("full")),
            change: () => Promise.resolve(),
        };
        const page = new Page(new Server(), broken);
        assert.equal((await page.enter("a")).kind, "stored");
        assert.equal(page.outbox.seen.lasts, false);
    });
});
