/**
 * Every entry goes through here: kept on the device first, sent once and in order, kept until the server says it has it.
 *
 * An entry has its key before it is sent, so one whose answer was lost is sent again and stored once. Whatever the
 * server refuses after the person has turned to other things stands still, its bore's later entries behind it, until
 * somebody says what becomes of it.
 */

import type { Answer, Numbers, Plain, Problem } from "./api.ts";
import { MemoryShelf, type Shelf } from "./shelf.ts";
import { afterDropped, afterStored, again, type Entered, nextToSend, seenAfter, type Waiting } from "./waiting.ts";

/** What became of an entry, as far as can be told now. */
export type Outcome =
    | { readonly kind: "stored"; readonly body: Plain }
    | { readonly kind: "refused"; readonly problem: Problem }
    | { readonly kind: "waits"; readonly why: string }
    | { readonly kind: "asks" };

export interface Surroundings {
    /** Send one entry. */
    readonly send: (entry: Waiting) => Promise<Answer>;
    /** Run alone among all pages of this device. */
    readonly alone: <T>(act: () => Promise<T>) => Promise<T>;
    readonly newKey: () => string;
    readonly nowMs: () => number;
    /** Call later; returns what calls it off. */
    readonly later: (act: () => void, afterMs: number) => () => void;
    /** Tell the device's other pages that the queue changed. */
    readonly tell: () => void;
}

export interface Seen {
    readonly queue: readonly Waiting[];
    /** Why the server cannot be reached, or empty. */
    readonly away: string;
    /** Whether what waits outlives the page. */
    readonly lasts: boolean;
}

const FIRST_PAUSE_MS = 500;
const LONGEST_PAUSE_MS = 15_000;
/** Numbers of stored entries kept in mind for those that were entered in view of them. */
const MOST_REMEMBERED = 50;

export class Outbox {
    #shelf: Shelf;
    readonly #around: Surroundings;
    readonly #listeners = new Set<(seen: Seen) => void>();
    /** Entries whose person stands before this page and looks for the answer. */
    readonly #looked = new Map<string, readonly ((outcome: Outcome) => void)[]>();
    /** Entries on their way to the shelf. */
    readonly #keeping = new Set<string>();
    readonly #numbersAfter = new Map<string, Numbers | null>();
    #shown: readonly Waiting[] = [];
    #away = "";
    #pauses = 0;
    #callOff: () => void = () => {};
    #entering: Promise<void> = Promise.resolve();
    #running: Promise<void> | null = null;
    #rerun = false;

    constructor(shelf: Shelf, around: Surroundings) {
        this.#shelf = shelf;
        this.#around = around;
    }

    get seen(): Seen {
        return { queue: this.#shown, away: this.#away, lasts: this.#shelf.lasts };
    }

    subscribe(listener: (seen: Seen) => void): void {
        this.#listeners.add(listener);
    }

    /** Keep an entry and send it; the same key again is the same entry. */
    async enter(entered: Entered): Promise<Outcome> {
        const outcome = new Promise<Outcome>((resolve) => {
            this.#looked.set(entered.key, [...(this.#looked.get(entered.key) ?? []), resolve]);
        });
        this.#keeping.add(entered.key);
        const kept = this.#entering.then(() => this.#keep(entered));
        this.#entering = kept.catch(() => {});
        await kept.finally(() => this.#keeping.delete(entered.key));
        void this.drain();
        return outcome;
    }

    /** Send what waits, now. */
    drain(): Promise<void> {
        this.#callOff();
        if (this.#running !== null) {
            this.#rerun = true;
            return this.#running;
        }
        this.#running = this.#drained();
        return this.#running;
    }

    /** Send an entry that stood still as things stand now. */
    async sendAgain(key: string, saw: Numbers | null): Promise<void> {
        await this.#shelf.change((queue) => {
            const entry = queue.find((one) => one.key === key);
            return entry === undefined ? {} : { put: again(entry, saw, this.#around.newKey(), queue) };
        });
        await this.#changed();
        await this.drain();
    }

    /** Drop an entry; those made after it stand still and are asked about. */
    async drop(key: string): Promise<void> {
        await this.#dropped(key);
        await this.drain();
    }

    /** Look at the queue anew: another page of this device changed it. */
    async refresh(): Promise<void> {
        this.#shown = await this.#shelf.all();
        this.#show();
    }

    /** One after the other, so that each is made in view of those before it. */
    async #keep(entered: Entered): Promise<void> {
        const shownLast = this.#shown.filter((entry) => entry.bore === entered.bore).at(-1);
        const make = (queue: readonly Waiting[]) => this.#made(entered, shownLast, queue);
        try {
            await this.#shelf.add(make);
        } catch {
            this.#shelf = new MemoryShelf();
            await this.#shelf.add(make);
        }
        await this.#changed();
    }

    #made(entered: Entered, shownLast: Waiting | undefined, queue: readonly Waiting[]): Omit<Waiting, "order"> {
        const still = shownLast !== undefined && queue.some((entry) => entry.key === shownLast.key);
        const saw =
            shownLast !== undefined && !still ? (this.#numbersAfter.get(shownLast.key) ?? entered.saw) : entered.saw;
        return {
            ...entered,
            saw,
            enteredMs: this.#around.nowMs(),
            follows: still ? shownLast.key : null,
            tries: 0,
            stopped: null,
        };
    }

    async #drained(): Promise<void> {
        try {
            do {
                this.#rerun = false;
                await this.#around.alone(() => this.#sendAll());
                await this.#answerLookers();
            } while (this.#rerun);
        } finally {
            this.#running = null;
        }
    }

    async #sendAll(): Promise<void> {
        for (;;) {
            const next = nextToSend(await this.#shelf.all());
            if (next === undefined) {
                return;
            }
            const answer = await this.#around.send(next);
            if (answer.kind === "away") {
                await this.#waits(next, answer.why);
                return;
            }
            this.#pauses = 0;
            this.#away = "";
            await (answer.kind === "done" ? this.#stored(next, answer.body) : this.#refused(next, answer.problem));
        }
    }

    async #stored(sent: Waiting, body: Plain): Promise<void> {
        this.#remember(sent.key, seenAfter(body));
        await this.#shelf.change((queue) => ({
            put: afterStored(sent, body, queue),
            remove: queue.filter((entry) => entry.key === sent.key),
        }));
        await this.#changed();
        this.#settle(sent.key, { kind: "stored", body });
    }

    /** A person who still looks at the entry mends it where it was typed; otherwise the queue stands still and asks. */
    async #refused(sent: Waiting, problem: Problem): Promise<void> {
        if (this.#looked.has(sent.key) && sent.tries === 0 && problem.problem !== "conflict") {
            await this.#dropped(sent.key);
            this.#settle(sent.key, { kind: "refused", problem });
            return;
        }
        await this.#shelf.change((queue) => ({
            put: queue
                .filter((entry) => entry.key === sent.key)
                .map((entry) => ({ ...entry, tries: entry.tries + 1, stopped: problem })),
        }));
        await this.#changed();
        this.#settle(sent.key, { kind: "asks" });
    }

    async #waits(sent: Waiting, why: string): Promise<void> {
        this.#away = why;
        await this.#shelf.change((queue) => ({
            put: queue.filter((entry) => entry.key === sent.key).map((entry) => ({ ...entry, tries: entry.tries + 1 })),
        }));
        await this.#changed();
        const pause = Math.min(LONGEST_PAUSE_MS, FIRST_PAUSE_MS * 2 ** this.#pauses);
        this.#pauses += 1;
        this.#callOff();
        this.#callOff = this.#around.later(() => void this.drain(), pause);
    }

    async #dropped(key: string): Promise<void> {
        await this.#shelf.change((queue) => {
            const entry = queue.find((one) => one.key === key);
            if (entry === undefined) {
                return {};
            }
            const { stopped, gone } = afterDropped(entry, queue);
            return { put: stopped, remove: gone };
        });
        await this.#changed();
    }

    /** Answer those who look at an entry that was not settled here: it waits, it stands still, or another page sent it. */
    async #answerLookers(): Promise<void> {
        const queue = await this.#shelf.all();
        const still = new Set(queue.filter((entry) => entry.stopped !== null).map((entry) => entry.bore));
        for (const key of [...this.#looked.keys()].filter((one) => !this.#keeping.has(one))) {
            const entry = queue.find((one) => one.key === key);
            if (entry === undefined) {
                this.#settle(key, { kind: "stored", body: {} });
            } else if (still.has(entry.bore)) {
                this.#settle(key, { kind: "asks" });
            } else if (this.#away !== "") {
                this.#settle(key, { kind: "waits", why: this.#away });
            }
        }
    }

    #settle(key: string, outcome: Outcome): void {
        const lookers = this.#looked.get(key) ?? [];
        this.#looked.delete(key);
        for (const looker of lookers) {
            looker(outcome);
        }
    }

    #remember(key: string, numbers: Numbers | null): void {
        this.#numbersAfter.set(key, numbers);
        for (const old of [...this.#numbersAfter.keys()].slice(0, -MOST_REMEMBERED)) {
            this.#numbersAfter.delete(old);
        }
    }

    async #changed(): Promise<void> {
        await this.refresh();
        this.#around.tell();
    }

    #show(): void {
        for (const listener of this.#listeners) {
            listener(this.seen);
        }
    }
}
