import assert from "node:assert/strict";
import { describe, it } from "node:test";
import { fieldAt, given, lastDigit } from "../src/given.ts";

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
            ["name", ""],
        ]);
        assert.deepEqual(found, {
            callout: "28 H6",
            unit: "mm",
            hole: { size: "27.812" },
            adjuster: { kind: "dial", line: "0.002", lines_per_turn: 50 },
            push_off: { guess: "0.018" },
            tool: { cut_hole: { depth: "0.3" } },
            gauge: { step: "0.001" },
        });
    });

    it("keeps a gauge's step that was typed, and a width beside the hole", () => {
        const found = given([
            ["hole", "27.812"],
            ["hole.within", "0.004"],
            ["gauge.step", "0.0005"],
        ]);
        assert.deepEqual(found, { hole: { size: "27.812", within: "0.004" }, gauge: { step: "0.0005" } });
    });

    it("leaves what is no whole number for the server to refuse", () => {
        assert.deepEqual(given([["adjuster.lines_per_turn", "fifty"]]), { adjuster: { lines_per_turn: "fifty" } });
    });
});

describe("the step of a gauge", () => {
    it("is one in the last digit that it shows", () => {
        assert.equal(lastDigit("27.812"), "0.001");
        assert.equal(lastDigit("27,8120 mm"), "0.0001 mm");
        assert.equal(lastDigit("1.0946 in"), "0.0001 in");
        assert.equal(lastDigit("Ø28"), "1");
        assert.equal(lastDigit("1 3/32 in"), null);
        assert.equal(lastDigit("about 28"), null);
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
