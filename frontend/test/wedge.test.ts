import assert from "node:assert/strict";
import { describe, it } from "node:test";
import { type Heard, startsNumber, Wedge } from "../src/wedge.ts";

function heard(keys: readonly string[], everyMs: number, wedge = new Wedge(), fromMs = 1000): Heard {
    let last: Heard = { kind: "key" };
    keys.forEach((key, index) => {
        last = wedge.hear(key, fromMs + index * everyMs);
    });
    return last;
}

describe("a gauge that types", () => {
    for (const [sent, text] of [
        ["46.491", "46.491"],
        ["46,491", "46,491"],
        ["+0046.491", "46.491"],
        ["46.491mm", "46.491mm"],
        ["1.83027 in", "1.83027 in"],
        ["-0.003", "-0.003"],
        ["-00.003", "-0.003"],
        ['1.8302"', '1.8302"'],
        ["0.0", "0.0"],
    ] as const) {
        it(`is heard with ${sent}`, () => {
            assert.deepEqual(heard([...sent, "Enter"], 4), { kind: "reading", text });
        });
    }

    it("is heard when it ends with Tab", () => {
        assert.deepEqual(heard([..."46.491", "Tab"], 4), { kind: "reading", text: "46.491" });
    });

    it("is heard at the pace of a slow one, and not beyond", () => {
        assert.equal(heard([..."46.491", "Enter"], 45).kind, "reading");
        assert.equal(heard([..."46.491", "Enter"], 46).kind, "key");
    });

    it("is not made of what a hand typed before it", () => {
        const wedge = new Wedge();
        heard([..."46.4"], 180, wedge);
        assert.deepEqual(heard([..."46.491", "Enter"], 4, wedge, 5000), { kind: "reading", text: "46.491" });
    });

    it("is not completed by the Enter of a hand", () => {
        const wedge = new Wedge();
        heard([..."46.491"], 4, wedge);
        assert.equal(wedge.hear("Enter", 3000).kind, "key");
    });

    it("is told from a label that was scanned", () => {
        assert.deepEqual(heard([..."JOB-4711", "Enter"], 4), { kind: "other", text: "JOB-4711" });
        assert.deepEqual(heard([..."12AB34", "Enter"], 4), { kind: "other", text: "12AB34" });
    });

    it("sends one reading after the other", () => {
        const wedge = new Wedge();
        assert.deepEqual(heard([..."46.491", "Enter"], 4, wedge), { kind: "reading", text: "46.491" });
        assert.deepEqual(heard([..."46.490", "Enter"], 4, wedge, 1024), { kind: "reading", text: "46.490" });
    });
});

describe("a hand", () => {
    it("is left alone", () => {
        assert.equal(heard([..."46.491", "Enter"], 120).kind, "key");
    });

    it("is left alone when it hits two keys at once", () => {
        const wedge = new Wedge();
        wedge.hear("4", 0);
        wedge.hear("6", 10);
        assert.equal(wedge.hear("Enter", 30).kind, "key");
    });

    it("is left alone with Shift and arrows between", () => {
        const wedge = new Wedge();
        wedge.hear("Shift", 0);
        wedge.hear("ArrowLeft", 5);
        assert.equal(wedge.hear("Enter", 10).kind, "key");
    });
});

describe("what begins a number", () => {
    it("is a digit, a point or a sign", () => {
        assert.deepEqual(["7", ".", ",", "+", "-", "\u2212"].map(startsNumber), Array(6).fill(true));
        assert.deepEqual(["a", " ", "Enter", "F5", ""].map(startsNumber), Array(5).fill(false));
    });
});
