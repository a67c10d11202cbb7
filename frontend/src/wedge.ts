/**
 * A gauge that types: tells its burst of keys from a hand by the time between them, wherever the focus is.
 *
 * A gauge sends its digits, perhaps a unit, and Enter or Tab within a few milliseconds of each other; nobody types a
 * whole number at that pace. What a hand types is left alone.
 */

/** Longest time between two keys of a gauge, in milliseconds; from memory, hands need about 80 and more. */
export const PACE_MS = 45;

/** Fewest keys before Enter that a gauge sends; fewer could be a hand that happens to hit two keys at once. */
export const FEWEST = 3;

const ENDS = new Set(["Enter", "Tab", "NumpadEnter"]);
const READING = /^\s*[+\-\u2212]?\s*\d[\d.,]*\s*(?:mm|in|inch|"|\u00b5m|um)?\s*$/i;
const STARTS = /^[\d.,+\-\u2212]$/;

export type Heard =
    /** A key of a hand, or the first of a burst: nobody can tell yet. */
    | { readonly kind: "key" }
    /** The end of a burst that is a reading. */
    | { readonly kind: "reading"; readonly text: string }
    /** The end of a burst that is none, such as a label that was scanned. */
    | { readonly kind: "other"; readonly text: string };

export class Wedge {
    #text = "";
    #lastMs = Number.NEGATIVE_INFINITY;

    /** Whether the key that comes now would begin anew rather than belong to a burst. */
    begins(atMs: number): boolean {
        return this.#text === "" || atMs - this.#lastMs > PACE_MS;
    }

    /** Take in one key, by its name and the time it was struck. */
    hear(key: string, atMs: number): Heard {
        const begins = this.begins(atMs);
        this.#lastMs = atMs;
        if (ENDS.has(key)) {
            const text = begins ? "" : this.#text;
            this.#text = "";
            if (text.length < FEWEST) {
                return { kind: "key" };
            }
            return READING.test(text) ? { kind: "reading", text: tidied(text) } : { kind: "other", text };
        }
        if ([...key].length === 1) {
            this.#text = begins ? key : this.#text + key;
        }
        return { kind: "key" };
    }
}

/** Whether a key, struck where no text is typed, begins a number. */
export function startsNumber(key: string): boolean {
    return STARTS.test(key);
}

/** The reading without the plus sign and the zeros that gauges put in front of a size. */
function tidied(text: string): string {
    return text
        .trim()
        .replace(/^\+\s*/, "")
        .replace(/^([-\u2212]?)0+(?=\d)/, "$1");
}
