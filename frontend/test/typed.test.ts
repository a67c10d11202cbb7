import assert from "node:assert/strict";
import { describe, it } from "node:test";
import { otherSign, understand, withUnit } from "../src/typed.ts";

describe("a length understood on the device", () => {
    for (const [typed, unit, text] of [
        ["46.491", "mm", "46.491 mm"],
        ["46,4910", "mm", "46.4910 mm"],
        [" Ø46.491 ", "mm", "46.491 mm"],
        ["1.83027 in", "mm", "1.83027 in"],
        ['1.83027"', "in", "1.83027 in"],
        [".5", "mm", "0.5 mm"],
        ["46.", "mm", "46 mm"],
        ["3 um", "mm", "3 µm"],
        ["2 3/8", "in", "2 3/8"],
        ["3 thou 7 tenths", "in", "3 thou 7 tenths"],
    ] as const) {
        it(`keeps ${typed} to the last zero`, () => {
            const found = understand(typed, unit, false);
            assert.equal(found.kind === "understood" && found.text, text);
        });
    }

    for (const [typed, wrong] of [
        ["", /Nothing/],
        ["46.49.1", /Two decimal points/],
        ["46,491.0", /Two decimal points/],
        ["46.491 kg", /not a unit/],
        ["4e1", /not a unit|not a number/],
        ["-46.491", /no sign/],
        ["forty", /not a number/],
    ] as const) {
        it(`refuses ${typed || "nothing"}`, () => {
            const found = understand(typed, "mm", false);
            assert.match(found.kind === "wrong" ? found.wrong : "understood", wrong);
        });
    }

    it("takes lines with their sign, and says a minus as one", () => {
        assert.deepEqual(understand("-9,5", "lines", true), {
            kind: "understood",
            text: "-9.5",
            said: "\u22129.5 lines",
        });
    });

    it("takes a temperature, a Fahrenheit marked", () => {
        const found = understand("70 F", "°C", true);
        assert.deepEqual(found.kind === "understood" && [found.text, found.said], ["70 F", "70 °F"]);
    });
});

describe("a unit written behind", () => {
    it("is the one in view, where none was typed", () => {
        assert.equal(withUnit("46.491", "mm"), "46.491 mm");
        assert.equal(withUnit("46.", "mm"), "46. mm");
        assert.equal(withUnit("1.83 in", "mm"), "1.83 in");
        assert.equal(withUnit("3 thou", "in"), "3 thou");
        assert.equal(withUnit("2 3/8", "in"), "2 3/8");
        assert.equal(withUnit("+9.5", "lines"), "+9.5");
    });
});

describe("the sign key", () => {
    it("turns the sign and keeps the digits", () => {
        assert.equal(otherSign("9.5"), "-9.5");
        assert.equal(otherSign("-9.5"), "+9.5");
        assert.equal(otherSign("\u22129.5"), "+9.5");
        assert.equal(otherSign("+9.5"), "-9.5");
        assert.equal(otherSign(""), "-");
    });
});
