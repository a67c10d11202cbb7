/** What a bore is started with, from the fields of a form: dotted names become groups, what is empty is left out. */

import type { Plain } from "./api.ts";

/** Fields that stand for a part of a group, by the group's own way of naming it. */
const PATHS: Readonly<Record<string, string>> = {
    hole: "hole.size",
    push_off: "push_off.guess",
    push_off_at: "push_off.at",
};

/** Fields that only decide which others are asked for, and those that are put together otherwise. */
const NOT_SENT = new Set(["tool.stands", "gauge.shows", "cut.load", "cut.gives"]);
/** What a choice says where its value is typed beside it. */
const OTHER = "other";
const WHOLE = new Set(["adjuster.lines_per_turn", "adjuster.split"]);

export function given(fields: readonly (readonly [string, string])[]): Plain {
    const typed = fields.map(([name, value]) => [name, value.trim()] as const).filter(([, value]) => value !== "");
    const found: Record<string, unknown> = {};
    for (const [name, value] of typed.filter(([one]) => !NOT_SENT.has(one))) {
        put(found, PATHS[name] ?? name, WHOLE.has(name) && /^\d+$/.test(value) ? Number(value) : value);
    }
    const said = new Map(typed);
    const step = said.get("gauge.shows") ?? OTHER;
    if (!step.startsWith(OTHER)) {
        put(found, "gauge.step", step);
    }
    if (said.get("tool.stands") === "cut") {
        cutHole(found, said);
    }
    pushed(found, said);
    return found;
}

/** One load of a push test is typed in two fields; a cut lists its loads. */
function pushed(found: Record<string, unknown>, said: ReadonlyMap<string, string>): void {
    const push: Record<string, unknown> = {};
    for (const [name, field] of [
        ["load", "cut.load"],
        ["gives", "cut.gives"],
    ] as const) {
        const value = said.get(field);
        if (value !== undefined) {
            push[name] = value;
        }
    }
    if (Object.keys(push).length > 0) {
        put(found, "cut.push_test", [push]);
    }
}

/** The field that a problem belongs to, by the path that the server names; null where it is none of them. */
export function fieldAt(where: string, names: readonly string[]): string | null {
    const path = where.replace(/^given\./, "");
    const exact = names.find((name) => name === path || PATHS[name] === path);
    return exact ?? names.find((name) => path.startsWith(`${name}.`) || name.startsWith(`${path}.`)) ?? null;
}

/** The tool stands as it cut the hole: what push-off is typed is that pass's, and for its depth where that is known. */
function cutHole(found: Record<string, unknown>, said: ReadonlyMap<string, string>): void {
    const depth = said.get("tool.cut_hole.depth");
    if (depth === undefined) {
        put(found, "tool.cut_hole", {});
    } else if (said.has("push_off") && !said.has("push_off_at")) {
        put(found, "push_off.at", depth);
    }
}

function put(into: Record<string, unknown>, path: string, value: unknown): void {
    const [head = "", ...rest] = path.split(".");
    if (rest.length === 0) {
        into[head] = value;
        return;
    }
    const group = (into[head] ?? {}) as Record<string, unknown>;
    into[head] = group;
    put(group, rest.join("."), value);
}
