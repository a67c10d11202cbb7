/** An entry that waits for the server: what is sent of it, and what it becomes when the one before it was stored. */

import { isPlain, type Numbers, numbersOf, type Plain, type Problem } from "./api.ts";

export type Path = "entries" | "withdraw" | "release" | "quarantine" | "reopen";

/** What a person entered, before it has a place in the queue. */
export interface Entered {
    readonly key: string;
    readonly bore: string;
    readonly path: Path;
    /** What is sent besides key and numbers; never changed after it was entered. */
    readonly body: Plain;
    /** What it is, in words, for the person who waits. */
    readonly said: string;
    /** The numbers that the person had in view, or null where the entry assumes no state. */
    readonly saw: Numbers | null;
}

export interface Waiting extends Entered {
    /** Its place in the queue. */
    readonly order: number;
    /** When it was entered, by this device's clock, in milliseconds. */
    readonly enteredMs: number;
    /** The key of the entry it was made after, while that one still waits. */
    readonly follows: string | null;
    /** How often it was sent without an answer. */
    readonly tries: number;
    /** Why the queue stands still at it and a person is asked, or null. */
    readonly stopped: Problem | null;
}

/** What is sent of a waiting entry. */
export function wire(entry: Waiting, nowMs: number): Plain {
    const ago = Math.max(0, Math.round((nowMs - entry.enteredMs) / 1000));
    return { ...entry.body, key: entry.key, saw: entry.saw, ...(ago > 0 ? { ago } : {}) };
}

/** The next entry to send: the first whose bore does not stand still, and whose forerunner is stored. */
export function nextToSend(queue: readonly Waiting[]): Waiting | undefined {
    const still = new Set(queue.filter((entry) => entry.stopped !== null).map((entry) => entry.bore));
    return queue.find((entry) => !still.has(entry.bore));
}

/** The entry that a person is asked about: the first of a bore that stands still. */
export function askedAbout(queue: readonly Waiting[], bore: string): Waiting | undefined {
    return queue.find((entry) => entry.bore === bore && entry.stopped !== null);
}

/**
 * The numbers in view once an act of one's own was stored: those right after it, which the server keeps with its answer.
 *
 * The bore's newest numbers, which stand beside it, will not do: they may hold what somebody else entered meanwhile.
 */
export function seenAfter(answer: Plain): Numbers | null {
    return isPlain(answer["recorded"]) ? numbersOf(answer["recorded"]["after"]) : null;
}

/** What the followers of a stored entry become. */
export function afterStored(entry: Waiting, answer: Plain, queue: readonly Waiting[]): Waiting[] {
    const recorded = isPlain(answer["recorded"]) ? answer["recorded"] : {};
    return queue
        .filter((other) => other.key !== entry.key)
        .filter((other) => other.follows === entry.key || other.body["of"] === entry.key)
        .map((other) => {
            const saw = entry.saw === null ? null : seenAfter(answer);
            const seen = other.follows === entry.key ? { ...other, saw, follows: null } : other;
            return other.body["of"] === entry.key ? { ...seen, body: withdrawal(other.body, recorded) } : seen;
        });
}

/** Name the event to be withdrawn, now that it has a place in the record. */
function withdrawal(body: Plain, recorded: Plain): Plain {
    const { of: _, ...rest } = body;
    const stream = String(recorded["stream"]).split("/", 1)[0] ?? "";
    return { ...rest, stream, number: recorded["number"] };
}

const ORPHAN: Problem = {
    problem: "conflict",
    wrong: "The entry before it was dropped.",
    right: "See whether this one still holds.",
    where: "",
    given: null,
    since: [],
};

/** What the followers of a dropped entry become, and which go with it: nothing is left that one could withdraw. */
export function afterDropped(entry: Waiting, queue: readonly Waiting[]): { stopped: Waiting[]; gone: Waiting[] } {
    const gone = [entry, ...queue.filter((other) => other.body["of"] === entry.key)];
    const keys = new Set(gone.map((one) => one.key));
    const stopped = queue
        .filter((other) => !keys.has(other.key) && other.follows !== null && keys.has(other.follows))
        .map((other) => ({ ...other, follows: null, stopped: ORPHAN }));
    return { stopped, gone };
}

/** The entry as it is sent again by a person who has seen what came since; followers keep to its new key. */
export function again(entry: Waiting, saw: Numbers | null, newKey: string, queue: readonly Waiting[]): Waiting[] {
    const key = entry.stopped?.where === "key" ? newKey : entry.key;
    const followers = queue
        .filter((other) => other.follows === entry.key || other.body["of"] === entry.key)
        .map((other) => ({
            ...other,
            follows: other.follows === entry.key ? key : other.follows,
            body: other.body["of"] === entry.key ? { ...other.body, of: key } : other.body,
        }));
    return [{ ...entry, key, saw, follows: null, stopped: null, tries: 0 }, ...followers];
}
