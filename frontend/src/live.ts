/**
 * Word from the server that a bore has changed, for as long as somebody looks at the page.
 *
 * The stream is closed while the page is hidden: a browser holds few connections to one server, and a page that was
 * left open must not take one from the page that is worked at.
 */

import { type Numbers, numbersOf, plain, word } from "./api.ts";

export interface Ears {
    /** A bore has changed, here or elsewhere. */
    readonly changed: (bore: string, numbers: Numbers | null) => void;
    /** The server answers again, or somebody looks at the page again: what is shown may be old. */
    readonly back: () => void;
    /** The line is dead. */
    readonly lost: () => void;
}

const FIRST_PAUSE_MS = 1000;
const LONGEST_PAUSE_MS = 30_000;
/** Twice what the server lets pass between two signs of life, and a little. */
const SILENCE_MS = 40_000;

export class Live {
    readonly #address: string;
    readonly #ears: Ears;
    #source: EventSource | null = null;
    #pauses = 0;
    #again: number | undefined;
    #silence: number | undefined;

    constructor(address: string, ears: Ears) {
        this.#address = address;
        this.#ears = ears;
        document.addEventListener("visibilitychange", () => this.#seen());
        window.addEventListener("pageshow", (event) => event.persisted && this.#seen());
        window.addEventListener("online", () => this.#seen());
    }

    start(): void {
        this.#seen();
    }

    #seen(): void {
        this.#close();
        if (document.visibilityState === "visible") {
            this.#pauses = 0;
            this.#open();
        }
    }

    #open(): void {
        this.#close();
        const source = new EventSource(this.#address);
        this.#source = source;
        source.addEventListener("open", () => {
            this.#pauses = 0;
            this.#alive();
            this.#ears.back();
        });
        source.addEventListener("beat", () => this.#alive());
        source.addEventListener("changed", (event) => {
            this.#alive();
            const told = plain(event.data as string);
            this.#ears.changed(word(told?.["bore"]), numbersOf(told?.["numbers"]));
        });
        source.addEventListener("error", () => this.#lost());
    }

    #lost(): void {
        this.#close();
        this.#ears.lost();
        const pause = Math.min(LONGEST_PAUSE_MS, FIRST_PAUSE_MS * 2 ** this.#pauses) * (0.75 + Math.random() / 2);
        this.#pauses += 1;
        this.#again = window.setTimeout(() => this.#open(), pause);
    }

    #alive(): void {
        window.clearTimeout(this.#silence);
        this.#silence = window.setTimeout(() => this.#lost(), SILENCE_MS);
    }

    #close(): void {
        window.clearTimeout(this.#again);
        window.clearTimeout(this.#silence);
        this.#source?.close();
        this.#source = null;
    }
}
