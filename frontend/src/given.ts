/** What a bore is started with, from the fields of a form: dotted names become groups, what is empty is left out. */

import type { Plain } from "./api.ts";

/** Fields that stand for a part of a group, by the group's own way of naming it. */
const PATHS: Readonly<Record<string, string>> = {
    hole: "hole.size",
    push_off: "push_off.guess",
    push_off_at: "push_off.at",
};

/** Fields that only decide which others are asked for. */
const NOT_SENT = new Set(["tool.stands"]);
const WHOLE = new Set(["adjuster.lines_per_turn", "adjuster.split"]);

export function given(fields: readonly (readonly [string, string])[]): Plain {
    const typed = fields.map(([name, value]) => [name, value.trim()] as const).filter(([, value]) => value !== "");
    const found: Record<string, unknown> = {};
    for (const [name, value] of typed.filter(([one]) => !NOT_SENT.has(one))) {
        put(found, PATHS[name] ?? name, WHOLE.has(name) && /^\d+$/.test(value) ? Number(value) : value);
    }
    const hole = typed.find(([name]) => name === "hole")?.[1];
    const step = hole === undefined ? null : lastDigit(hole);
    if (step !== null && !typed.some(([name]) => name === "gauge.step")) {
        put(found, "gauge.step", step);
    }
    return found;
}

/** The field that a problem belongs to, by the path that the server names; null where it is none of them. */
export function fieldAt(where: string, names: readonly string[]): string | null {
    const path = where.replace(/^given\./, "");
    const exact = names.find((name) => name === path || PATHS[name] === path);
    return exact ?? names.find((name) => path.startsWith(`${name}.`) || name.startsWith(`${path}.`)) ?? null;
}

/** One in the last digit of a reading, with the unit typed behind it: the step of a gauge that shows so many digits. */
export function lastDigit(reading: string): string | null {
    const found = /^[Øø⌀]?\s*\d+(?:[.,](?<decimals>\d+))?\s*(?<unit>mm|in|inch|")?$/i.exec(reading.trim())?.groups;
    if (found === undefined) {
        return null;
    }
    const decimals = found["decimals"]?.length ?? 0;
    const step = decimals === 0 ? "1" : `0.${"0".repeat(decimals - 1)}1`;
    return found["unit"] === undefined ? step : `${step} ${found["unit"]}`;
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
