/** What stands on the Size page while entries wait: what was done, in place of an order that was carried out already. */

import { announce } from "./speak.ts";
import type { Waiting } from "./waiting.ts";

/** An entry that is not answered by then is said to wait; a hand has seen by then that nothing came. */
const LATE_MS = 1500;

/** The state that an entry leaves the work in, as it stands large once the server has it. */
const STANDS: Readonly<Record<string, string>> = {
    set: "Set, not in the spindle",
    seated: "Set, not cut",
    moved: "Moved, not cut",
    passed: "Cut, not measured",
    read: "Measured",
    hole_checked: "Hole measured",
};

/** What is seen and typed: entering it twice would count it twice, doing it again harms nothing. */
const TYPED: ReadonlySet<string> = new Set(["read", "hole_checked", "temperature", "set_on", "noted"]);

export class Held {
    readonly #main: HTMLElement;
    #timer: number | undefined;

    constructor(main: HTMLElement) {
        this.#main = main;
    }

    /** Show it while one of these waits for longer than an answer takes; else show what is advised. */
    look(waiting: readonly Waiting[]): void {
        window.clearTimeout(this.#timer);
        const now = Date.now();
        // The server has answered what stands still: whoever is asked about it sees the bore as it stands now.
        const asked = waiting.some((entry) => entry.stopped !== null);
        const late = !asked && waiting.some((entry) => entry.tries > 0 || now - entry.enteredMs >= LATE_MS);
        if (waiting.length > 0 && !late && !asked) {
            this.#timer = window.setTimeout(() => this.look(waiting), LATE_MS);
        }
        const was = this.#main.hasAttribute("data-stale");
        this.#main.toggleAttribute("data-stale", late);
        for (const held of this.#main.querySelectorAll<HTMLElement>("[data-held], [data-held-state]")) {
            held.hidden = !late;
        }
        const panel = this.#main.querySelector<HTMLElement>(".panel[data-asks]");
        if (panel !== null) {
            panel.hidden = false;
        }
        if (late) {
            this.#say(waiting, was);
        }
    }

    #say(waiting: readonly Waiting[], was: boolean): void {
        const said = waiting.map((entry) => entry.said).join("; ");
        this.#write("[data-held-said]", said);
        const last = eventOf(waiting.at(-1));
        this.#write("[data-held-count]", waiting.length === 1 ? "1 entry waits" : `${waiting.length} entries wait`);
        const stands = waiting.map((entry) => STANDS[eventOf(entry)]).filter((words) => words !== undefined);
        const before = this.#main.querySelector("[data-state-words] strong")?.textContent ?? "";
        this.#write("[data-held-stands]", stands.at(-1) ?? before);
        this.#write("[data-held-again]", TYPED.has(last) ? "Do not enter it again." : "Do not do it again.");
        if (!was) {
            announce(`No advice: the server is out of reach. Kept on this device: ${said}.`);
        }
        this.#beware(last);
        this.#goOn(last);
    }

    /** Show the caution of what comes after the last entry; the last of them holds where no other does. */
    #beware(last: string): void {
        const lines = [...this.#main.querySelectorAll<HTMLElement>("[data-beware-after]")];
        const meant = lines.find((line) => (line.dataset["bewareAfter"] ?? "").split(" ").includes(last));
        for (const line of lines) {
            line.hidden = line !== (meant ?? lines.at(-1));
        }
    }

    /** Ask for what comes after the last entry; where the page asks for the same as before, that stays. */
    #goOn(last: string): void {
        const asks = this.#main.querySelector<HTMLElement>(".panel[data-asks]");
        const same = asks?.querySelector(`form[data-primary][data-event="${last}"]`) !== null && last === "read";
        const panel = this.#main.querySelector<HTMLElement>(".panel[data-held]");
        if (asks === null || panel === null) {
            return;
        }
        asks.hidden = !same;
        panel.hidden = same;
        let asked = same;
        for (const piece of panel.querySelectorAll<HTMLElement>("[data-held-after]")) {
            piece.hidden = !(piece.dataset["heldAfter"] ?? "").split(" ").includes(last);
            asked ||= !piece.hidden;
        }
        if (!asked) {
            this.#main.querySelector("[data-more]")?.closest("details")?.setAttribute("open", "");
        }
    }

    #write(selector: string, words: string): void {
        const element = this.#main.querySelector(selector);
        if (element !== null && element.textContent !== words) {
            element.textContent = words;
        }
    }
}

function eventOf(entry: Waiting | undefined): string {
    const body = entry?.body["entry"];
    return typeof body === "object" && body !== null && "event" in body ? String(body.event) : "";
}
