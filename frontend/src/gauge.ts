/** Brings what a gauge types to the field of the reading, wherever the focus is, and never over what a hand typed. */

import { EntryForm } from "./entry.ts";
import { press } from "./keypad.ts";
import { startsNumber, Wedge } from "./wedge.ts";

/** A field as it stood before a burst of keys began in it. */
interface Before {
    readonly field: HTMLInputElement | HTMLTextAreaElement;
    readonly value: string;
    /** Whether it held a reading of the gauge. */
    readonly held: boolean;
}

export class GaugeListener {
    readonly #wedge = new Wedge();
    readonly #formFor: () => EntryForm | null;
    readonly #show: (form: EntryForm) => Promise<boolean>;
    #before: Before | null = null;
    /** Readings that came while another still stood in the field. */
    readonly #later: string[] = [];
    /** Whether what stands in the field came from the gauge. */
    #holds = false;
    /** What a hand had half typed when a reading came. */
    #byHand = "";

    constructor(formFor: () => EntryForm | null, show: (form: EntryForm) => Promise<boolean>) {
        this.#formFor = formFor;
        this.#show = show;
        document.addEventListener("keydown", (event) => this.#heard(event), { capture: true });
        document.addEventListener("input", () => this.#changedByHand());
    }

    /** The field is free again: bring the next reading that waits, or what a hand had half typed. */
    settled(): void {
        this.#holds = false;
        const next = this.#later.shift();
        const form = this.#formFor();
        if (next !== undefined) {
            this.#bring(next);
        } else if (this.#byHand !== "" && form !== null && form.typed === "") {
            type(form, this.#byHand);
            this.#byHand = "";
        }
    }

    /** A reading that is mended by hand is the hand's; one that is cleared makes room for the next. */
    #changedByHand(): void {
        this.#holds = false;
        if (this.#later.length > 0 && this.#formFor()?.typed === "") {
            this.settled();
        }
    }

    #heard(event: KeyboardEvent): void {
        if (event.isComposing || event.ctrlKey || event.metaKey || event.altKey || event.repeat) {
            return;
        }
        const field = textField(event.target);
        const form = this.#formFor();
        if (this.#wedge.begins(event.timeStamp)) {
            const stands = field ?? form?.input ?? null;
            this.#before = stands === null ? null : { field: stands, value: stands.value, held: this.#holds };
        }
        const heard = this.#wedge.hear(event.key, event.timeStamp);
        if (heard.kind === "reading" && form !== null) {
            stop(event);
            this.#putBack();
            this.#take(heard.text);
        } else if (heard.kind === "other" && (field === null || isNumberField(field))) {
            stop(event);
            this.#putBack();
            form?.say(`That is not a reading: ${heard.text}`, true);
        } else if (heard.kind === "key" && field === null && form !== null && startsNumber(event.key)) {
            stop(event);
            form.open();
            press(form.input, event.key);
        }
    }

    #take(text: string): void {
        if (this.#holds || this.#formFor()?.busy === true) {
            this.#later.push(text);
            this.#count();
        } else {
            this.#bring(text);
        }
    }

    #bring(text: string): void {
        const form = this.#formFor();
        if (form === null) {
            this.#later.unshift(text);
            return;
        }
        if (!this.#holds && form.typed.trim() !== "" && form.typed !== text) {
            this.#byHand = form.typed;
        }
        type(form, text);
        form.open();
        this.#holds = true;
        void this.#show(form).then(() => this.#count());
    }

    #count(): void {
        const form = this.#formFor();
        if (form !== null && this.#later.length > 0) {
            const line = form.form.querySelector("[data-understood]");
            const said = (line?.textContent ?? "").replace(/ Behind it.*$/, "");
            form.say(`${said} Behind it from the gauge: ${this.#later.join(", ")}.`, line?.classList.contains("doubt"));
        }
    }

    /** Take out of a field what a burst of keys has typed into it. */
    #putBack(): void {
        const before = this.#before;
        this.#before = null;
        if (before !== null && before.field.value !== before.value) {
            before.field.value = before.value;
            before.field.dispatchEvent(new Event("input", { bubbles: true }));
            this.#holds = before.held;
        }
    }
}

function type(form: EntryForm, text: string): void {
    form.typed = text;
    form.input.dispatchEvent(new Event("input", { bubbles: true }));
}

function stop(event: Event): void {
    event.preventDefault();
    event.stopPropagation();
}

const TEXT_TYPES = new Set(["text", "search", "tel", "url", "email", "number", "password"]);

function textField(target: EventTarget | null): HTMLInputElement | HTMLTextAreaElement | null {
    if (target instanceof HTMLTextAreaElement) {
        return target;
    }
    return target instanceof HTMLInputElement && TEXT_TYPES.has(target.type) ? target : null;
}

function isNumberField(field: HTMLElement): boolean {
    const form = EntryForm.around(field);
    return form !== null && !form.words && form.input === field;
}
