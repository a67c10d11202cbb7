/** Wishes that come while one is being carried out. */

import assert from "node:assert/strict";
import { describe, it } from "node:test";
import { Turns } from "../src/turns.ts";

/** Something slow to look at: each look sees what stood there when it began, and is let go by hand. */
function slow() {
    const at = { stands: 0, seen: [] as number[], looks: [] as (() => void)[] };
    const turns = new Turns(async () => {
        const saw = at.stands;
        await new Promise<void>((resolve) => at.looks.push(resolve));
        at.seen.push(saw);
    });
    return { at, turns };
}

const soon = () => new Promise((resolve) => setTimeout(resolve, 0));

describe("turns", () => {
    it("looks once more for a wish that came while a look was under way", async () => {
        const { at, turns } = slow();
        const first = turns.want();
        at.stands = 1;
        const second = turns.want();
        at.looks[0]?.();
        await soon();
        at.looks[1]?.();
        await Promise.all([first, second]);
        assert.deepEqual(at.seen, [0, 1]);
    });

    it("carries out many wishes in one", async () => {
        const { at, turns } = slow();
        const all = [turns.want(), turns.want(), turns.want()];
        at.looks[0]?.();
        await soon();
        at.looks[1]?.();
        await Promise.all(all);
        assert.equal(at.seen.length, 2);
    });

    it("goes on after one that failed", async () => {
        let times = 0;
        const turns = new Turns(() => {
            times += 1;
            return times === 1 ? Promise.reject(new Error("lost")) : Promise.resolve();
        });
        await assert.rejects(turns.want(), /lost/);
        await turns.want();
        assert.equal(times, 2);
    });
});
