/** The forms of a Size page, and what is half typed in them over its renderings. */

import type { Drafts } from "./draft.ts";
import { EntryForm } from "./entry.ts";
import { announce } from "./speak.ts";

export class Forms {
    readonly #main: HTMLElement;
    readonly #drafts: Drafts;
    readonly #bore: string;

    constructor(main: HTMLElement, drafts: Drafts, bore: string) {
        this.#main = main;
        this.#drafts = drafts;
        this.#bore = bore;
    }

    /** All of them: the one that answers the card, then what else may have happened, then what settles a doubt. */
    all(): EntryForm[] {
        const found = [...this.#main.querySelectorAll<HTMLFormElement>("form[data-entry]")];
        return found
            .map((form) => new EntryForm(form))
            .filter((form) => form.asked)
            .sort((one, other) => one.rank - other.rank);
    }

    /** The name of what is half typed in a form: the same for every form that takes the same thing. */
    draftOf(form: EntryForm): string {
        const which = form.event === "temperature" ? String(form.filled["when"]) : "";
        return [this.#bore, form.event, form.field, which].join(" ");
    }

    keep(form: EntryForm): void {
        this.#drafts.type(this.draftOf(form), form.typed, form.unit);
    }

    /** Put what was half typed where it belongs, in the unit it was typed in; returns the forms that hold some. */
    restore(): EntryForm[] {
        for (const field of this.#main.querySelectorAll<HTMLInputElement>("form:has(bw-keypad) [inputmode]")) {
            field.inputMode = "none";
        }
        const seen = new Set<string>();
        return this.all().filter((form) => {
            const name = this.draftOf(form);
            const { text, unit } = this.#drafts.of(name);
            if (text === "" || form.typed !== "" || seen.has(name)) {
                return false;
            }
            seen.add(name);
            if (unit !== form.unit) {
                form.switchUnit();
            }
            form.typed = text;
            return true;
        });
    }

    /** Let a hand that was typing when the form under it went go on in the form that takes the same thing now. */
    goOn(typing: EntryForm): void {
        if (typing.typed === "" || typing.busy || typing.form.isConnected) {
            return;
        }
        const name = this.draftOf(typing);
        const next = this.all().find((form) => this.draftOf(form) === name);
        if (next === undefined) {
            this.#drafts.renew(name);
            const words = `The bore has moved on. You had typed: ${typing.said}.`;
            announce(words);
            this.all()[0]?.say(words, true);
        } else if (!next.primary) {
            next.open();
            next.say("The bore has moved on; what you typed is kept here.");
        }
    }
}
