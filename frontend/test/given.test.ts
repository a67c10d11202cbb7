import assert from "node:assert/strict";
import { describe, it } from "node:test";
import { fieldAt, given } from "../src/given.ts";

describe("what a bore is started with", () => {
    it("is grouped by dotted names, and empty fields are left out", () => {
        const found = given([
            ["callout", " 28 H6 "],
            ["unit", "mm"],
            ["hole", "27.812"],
            ["adjuster.kind", "dial"],
            ["adjuster.line", "0.002"],
            ["adjuster.lines_per_turn", "50"],
            ["push_off", "0.018"],
            ["push_off_at", ""],
            ["tool.stands", "cut"],
            ["tool.cut_hole.depth", "0.3"],
            ["gauge.shows", "0.002 mm"],
            ["name", ""],
        ]);
        assert.deepEqual(found, {
            callout: "28 H6",
            unit: "mm",
            hole: { size: "27.812" },
            adjuster: { kind: "dial", line: "0.002", lines_per_turn: 50 },
            push_off: { guess: "0.018", at: "0.3" },
            tool: { cut_hole: { depth: "0.3" } },
            gauge: { step: "0.002 mm" },
        });
    });

    it("takes a gauge's step that was typed, and a width beside the hole", () => {
        const found = given([
            ["hole", "27.812"],
            ["hole.within", "0.004"],
            ["gauge.shows", "other mm"],
            ["gauge.step", "0.0004"],
        ]);
        assert.deepEqual(found, { hole: { size: "27.812", within: "0.004" }, gauge: { step: "0.0004" } });
    });

    it("takes no step from the digits of a reading", () => {
        assert.deepEqual(given([["hole", "27.8120"]]), { hole: { size: "27.8120" } });
    });

    it("says that the tool cut the hole though nobody knows how deep, and keeps a depth that push-off is for", () => {
        const cut = [
            ["tool.stands", "cut"],
            ["push_off", "0.018"],
        ] as const;
        assert.deepEqual(given([...cut]), { push_off: { guess: "0.018" }, tool: { cut_hole: {} } });
        const both = given([...cut, ["tool.cut_hole.depth", "0.3"], ["push_off_at", "0.2"]]);
        assert.deepEqual(both["push_off"], { guess: "0.018", at: "0.2" });
    });

    it("lists the load of a push test in its cut, and half of one for the server to refuse", () => {
        const cut = [
            ["cut.feed", "0.08"],
            ["cut.load", "100"],
        ] as const;
        const whole = given([...cut, ["cut.gives", "0.012"], ["cut.bar.diameter", "25"]]);
        const push = [{ load: "100", gives: "0.012" }];
        assert.deepEqual(whole, { cut: { feed: "0.08", bar: { diameter: "25" }, push_test: push } });
        assert.deepEqual(given([...cut]), { cut: { feed: "0.08", push_test: [{ load: "100" }] } });
    });

    it("leaves what is no whole number for the server to refuse", () => {
        assert.deepEqual(given([["adjuster.lines_per_turn", "fifty"]]), { adjuster: { lines_per_turn: "fifty" } });
    });
});

describe("the field of a problem", () => {
    const names = ["callout", "hole", "hole.within", "adjuster.line", "push_off"];
    it("is the one that the server names", () => {
        assert.equal(fieldAt("callout", names), "callout");
        assert.equal(fieldAt("hole.size", names), "hole");
        assert.equal(fieldAt("hole.within", names), "hole.within");
        assert.equal(fieldAt("given.push_off.guess", names), "push_off");
        assert.equal(fieldAt("adjuster", names), "adjuster.line");
        assert.equal(fieldAt("gauge.step", names), null);
    });
});
