/** Asks what becomes of an entry that stands still: what came since, what was entered, send it again or drop it. */

import { isPlain, type Numbers } from "./api.ts";
import type { Outbox } from "./outbox.ts";
import { askedAbout, type Waiting } from "./waiting.ts";

const BEHIND = "Somebody entered something first";
const REFUSED = "An entry that waited was refused";
/** Two who read one hole at once: only they know whether the gauge went in once or twice. */
const TWICE = "Second reading, or the same one twice?";

/** What the two buttons say, by whether two readings met. */
const ANSWERS = {
    twice: { again: "Second reading: enter mine too", drop: "Same one: leave mine out" },
    other: { again: "Enter mine now", drop: "Leave mine out" },
} as const;

export class Asking {
    readonly #outbox: Outbox;
    readonly #bore: string;
    readonly #look: () => Promise<void>;
    readonly #numbers: () => Numbers;
    readonly #dialog = document.querySelector<HTMLDialogElement>("dialog[data-conflict]");
    #about = "";
    #acting = false;

    /**
     * `look` brings the page up to date, so that whoever is asked sees how the bore stands now; `numbers` are those
     * that the page shows.
     */
    constructor(outbox: Outbox, bore: string, look: () => Promise<void>, numbers: () => Numbers) {
        this.#outbox = outbox;
        this.#bore = bore;
        this.#look = look;
        this.#numbers = numbers;
        this.#on("[data-again]", () => this.#outbox.sendAgain(this.#about, this.#numbers()));
        this.#on("[data-drop]", () => this.#outbox.drop(this.#about));
        this.#dialog?.addEventListener("cancel", (event) => event.preventDefault());
    }

    /** Ask about the first entry of this bore that stands still, if there is one. */
    look(): void {
        const entry = askedAbout(this.#outbox.seen.queue, this.#bore);
        const dialog = this.#dialog;
        if (dialog === null || this.#acting) {
            return;
        }
        if (entry === undefined) {
            this.#about = "";
            if (dialog.open) {
                dialog.close();
            }
        } else if (this.#about !== entry.key) {
            this.#about = entry.key;
            void this.#look().then(() => this.#ask(dialog, entry));
        }
    }

    #ask(dialog: HTMLDialogElement, entry: Waiting): void {
        if (this.#about !== entry.key || entry.stopped === null) {
            return;
        }
        const { problem, wrong, right, since } = entry.stopped;
        const behind = problem === "conflict" && since.length > 0;
        const twice = behind && isReading(entry.body["entry"]) && since.some(isReading);
        this.#say("[data-conflict-title]", twice ? TWICE : behind ? BEHIND : REFUSED);
        const answers = ANSWERS[twice ? "twice" : "other"];
        this.#say("[data-again]", answers.again);
        this.#say("[data-drop]", answers.drop);
        this.#say(
            "[data-conflict-why]",
            behind ? "Yours is not recorded. Since this page was shown:" : `${wrong} ${right}`,
        );
        this.#say("[data-yours]", entry.said);
        const list = dialog.querySelector<HTMLElement>("[data-since]");
        list?.replaceChildren(
            ...since.map((event) => item(String(event["said"] ?? event["event"] ?? ""), event["by"])),
        );
        if (list !== null) {
            list.hidden = since.length === 0;
        }
        if (!dialog.open) {
            dialog.showModal();
        }
    }

    #say(selector: string, words: string): void {
        const element = this.#dialog?.querySelector(selector);
        if (element !== null && element !== undefined) {
            element.textContent = words;
        }
    }

    #on(selector: string, act: () => Promise<void>): void {
        this.#dialog?.querySelector(selector)?.addEventListener("click", () => {
            this.#dialog?.close();
            this.#acting = true;
            void act().finally(() => {
                this.#acting = false;
                this.#about = "";
                this.look();
            });
        });
    }
}

function isReading(entry: unknown): boolean {
    return isPlain(entry) && (entry["event"] === "read" || entry["event"] === "hole_checked");
}

function item(said: string, by: unknown): HTMLElement {
    const line = document.createElement("li");
    line.textContent = typeof by === "string" && by !== "" ? `${said}, ${by}` : said;
    return line;
}
