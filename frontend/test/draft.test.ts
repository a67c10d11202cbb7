import assert from "node:assert/strict";
import { describe, it } from "node:test";
import { Drafts, type Pad } from "../src/draft.ts";

class Sheet implements Pad {
    readonly kept = new Map<string, string>();
    getItem(name: string): string | null {
        return this.kept.get(name) ?? null;
    }
    setItem(name: string, value: string): void {
        this.kept.set(name, value);
    }
    removeItem(name: string): void {
        this.kept.delete(name);
    }
}

function keys(): () => string {
    let made = 0;
    return () => `k${++made}`;
}

describe("a draft", () => {
    it("has one key until it is renewed", () => {
        const drafts = new Drafts(new Sheet(), keys());
        drafts.type("read", "46.4");
        drafts.type("read", "46.49", "mm");
        assert.deepEqual(drafts.of("read"), { key: "k1", text: "46.49", unit: "mm" });
        drafts.renew("read");
        assert.deepEqual(drafts.of("read"), { key: "k2", text: "", unit: "" });
    });

    it("is there after a reload, key and all", () => {
        const pad = new Sheet();
        new Drafts(pad, keys()).type("read", "46.49", "mm");
        assert.deepEqual(new Drafts(pad, keys()).of("read"), { key: "k1", text: "46.49", unit: "mm" });
    });

    it("is held in memory where the browser keeps nothing", () => {
        const refuse = () => {
            throw new Error("refused");
        };
        const drafts = new Drafts({ getItem: refuse, setItem: refuse, removeItem: refuse }, keys());
        drafts.type("read", "46.49", "mm");
        assert.equal(drafts.of("read").text, "46.49");
        drafts.renew("read");
        assert.equal(drafts.of("read").text, "");
    });

    it("begins anew where something else stands in its place", () => {
        const pad = new Sheet();
        pad.setItem("borewright.draft.read", "not JSON");
        assert.equal(new Drafts(pad, keys()).of("read").text, "");
    });
});
